"""One-line diagrams: legible for a house of six panels, the same each time, user text only ever text."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from itertools import combinations

import pytest
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import text_to_path

from calc.families import families
from calc.job import Job
from calc.show.charts import draw
from calc.show.style import style
from calc.wiring.house import House
from calc.wiring.reading import codebook_for
from tests.families.runs import job, run, toml

SVG = "{http://www.w3.org/2000/svg}"
LEAST_PT = 6.0
MOST_HEIGHT_PT = 8.5 * 72
SER = {"cable": "2-2-2-4 SER Al", "calculated_a": 60, "breaker_a": 90, "length_ft": 60, "neutral": True}


def house(name: str = "Panel", deep: int = 1, branches: int = 1) -> Job:
    """A service and six panels, side by side or ``deep`` of them one behind the other, each with its branch runs."""
    text = '[dwelling]\nkind = "one-family"\n' + toml("panels", name="Main", service_equipment=True, main_a=200)
    text += run(name="Service", role="service", feeds="Main", calculated_a=150, length_ft=30, size="4/0")
    before = "Main"
    for at in range(1, 7):
        here = f"{name} {at}"
        before = before if (at - 1) % deep else "Main"
        text += toml("panels", name=here, bus_a=125)
        text += run(name=f"Feeder {at}", fed_from=before, feeds=here, **SER)
        for branch in range(branches):
            text += run(name=f"Far circuit {at} {chr(65 + branch)}", role="branch", fed_from=here, calculated_a=8,
                        volts=120, cable="12/2 NM with ground", breaker_a=15, length_ft=90, neutral=None)  # fmt: skip
        before = here
    return job(text)


def diagram(of: Job) -> str:
    """The first chart of the conductors."""
    family, code = families()["feeder"], codebook_for(of)
    chart = family.charts(House(of, code), family.work(House(of, code)))[0]
    assert chart.data.kind == "one-line"
    assert draw(chart) == draw(chart)
    return draw(chart)


def boxes(svg: str) -> dict[str, list[tuple[float, float, float, float]]]:
    """Where each text stands: left, right, top and bottom, by the widths of its font."""
    found: dict[str, list[tuple[float, float, float, float]]] = {}
    for text in ET.fromstring(svg).iter(f"{SVG}text"):
        (span,) = text.iter(f"{SVG}tspan")
        assert text.get("font-family") == style()["fonts"]["chart"]
        size = float(text.attrib["font-size"])
        assert size >= LEAST_PT
        said = span.text or ""
        look = FontProperties(family=style()["fonts"]["chart"], size=size)
        wide = text_to_path.get_text_width_height_descent(said, look, ismath=False)[0]
        left, middle = float(text.attrib["x"]), float(text.attrib["y"]) + float(span.attrib["dy"])
        found.setdefault(said, []).append((left, left + wide, middle - size / 2, middle + size / 2))
    return found


@pytest.mark.parametrize(("deep", "branches"), [(1, 1), (2, 1), (3, 1), (1, 6), (3, 6)])
def test_a_house_of_six_panels_is_legible(deep: int, branches: int) -> None:
    svg = diagram(house(deep=deep, branches=branches))
    placed = boxes(svg)
    assert {f"Panel {at}" for at in range(1, 7)} <= set(placed)
    assert {f"Feeder {at}" for at in range(1, 7)} <= set(placed)
    width = float(ET.fromstring(svg).attrib["width"].removesuffix("pt"))
    assert float(ET.fromstring(svg).attrib["height"].removesuffix("pt")) <= MOST_HEIGHT_PT
    every = [box for some in placed.values() for box in some]
    assert all(box[0] >= 0 and box[1] <= width for box in every)
    for one, other in combinations(every, 2):
        apart = one[1] <= other[0] or other[1] <= one[0] or one[3] <= other[2] + 1 or other[3] <= one[2] + 1
        assert apart, (one, other)


def test_sizes_breaker_and_length_stand_on_it() -> None:
    placed = boxes(diagram(house()))
    assert {"4/0 Cu THHN", "2-2-2-4 SER Al", "90 A, 60 ft", "12/2 NM with ground", "15 A, 90 ft"} <= set(placed)


def test_names_are_only_text() -> None:
    name = "<img src=x onerror='alert(1)'> & $a_1$ & $b$"
    svg = diagram(house(name))
    assert not {element.tag for element in ET.fromstring(svg).iter()} & {f"{SVG}img", f"{SVG}script", "img"}
    assert any(said.startswith("<img src=x") for said in boxes(svg))


def test_what_is_not_worked_not_shown_or_falls_short_says_so() -> None:
    """Each run is marked with the state of its own sheet, in the words of the sheets."""
    text = toml("panels", name="Main") + run(name="Short", feeds="Main", size="14", calculated_a=90, breaker_a=90)
    text += run(name="Air", role="branch", fed_from="Main", wiring_method="overhead", size="6", calculated_a=40)
    text += toml("panels", name="Sub") + run(name="Open", fed_from="Main", feeds="Sub", cable="6/3 NM-B")
    assert {"falls short", "not worked", "not shown"} <= set(boxes(diagram(job(text))))
