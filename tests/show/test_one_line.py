"""One-line diagrams: legible for a house of six panels, the same each time, user text only ever text."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from itertools import combinations

import pytest
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import text_to_path

from calc.documents.house import one_line
from calc.families import families
from calc.job import Job
from calc.show.charts import draw
from calc.show.style import style
from calc.wiring.house import House
from tests.families.runs import job, run, toml

SVG = "{http://www.w3.org/2000/svg}"
LEAST_PT = 8.0
MOST_HEIGHT_PT = 9.5 * 72
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


def diagrams(of: Job) -> list[str]:
    """The drawings, with what the sheets of the conductors say."""
    house = House.of(of)
    found = one_line(house, {"feeder": families()["feeder"].work(house)})
    assert all(chart.data.kind == "one-line" and draw(chart) == draw(chart) for chart in found)
    return [draw(chart) for chart in found]


def boxes(*svgs: str) -> dict[str, list[tuple[float, float, float, float]]]:
    """Where each text stands: left, right, top and bottom, by the widths of its font as it is printed."""
    found: dict[str, list[tuple[float, float, float, float]]] = {}
    for svg in svgs:
        root = ET.fromstring(svg)
        scale = float(root.attrib["width"].removesuffix("pt")) / float(root.attrib["viewBox"].split()[2])
        for text in root.iter(f"{SVG}text"):
            assert text.get("font-family") == style()["fonts"]["chart"]
            size = float(text.attrib["font-size"])
            assert size * scale >= LEAST_PT
            said = (text.text or "").replace("\u00a0", " ")
            look = FontProperties(family=style()["fonts"]["chart"], size=size)
            wide = text_to_path.get_text_width_height_descent(said, look, ismath=False)[0]
            left, low = float(text.attrib["x"]), float(text.attrib["y"])
            left -= {"start": 0.0, "middle": wide / 2, "end": wide}[text.get("text-anchor", "start")]
            found.setdefault(said, []).append((left, left + wide, low - 0.75 * size, low + 0.2 * size))
    return found


def assert_sound(svg: str) -> None:
    """Nothing outside of the drawing's box, and no text on another."""
    root = ET.fromstring(svg)
    width, height = map(float, root.attrib["viewBox"].split()[2:])
    assert float(root.attrib["height"].removesuffix("pt")) <= MOST_HEIGHT_PT
    every = [box for some in boxes(svg).values() for box in some]
    for left, right, top, low in every:
        assert (left >= 0, right <= width, top >= 0, low <= height) == (True,) * 4
    for one, other in combinations(every, 2):
        apart = one[1] <= other[0] or other[1] <= one[0] or one[3] <= other[2] + 1 or other[3] <= one[2] + 1
        assert apart, (one, other)


@pytest.mark.parametrize(("deep", "branches"), [(1, 1), (2, 1), (3, 1), (1, 6), (3, 6)])
def test_a_house_of_six_panels_is_legible(deep: int, branches: int) -> None:
    """Every panel and feeder is on it at 8 pt or more, however deep the tree; what a page can't hold goes on in another."""
    svgs = diagrams(house(deep=deep, branches=branches))
    placed = " ".join(boxes(*svgs))
    assert all(f"Panel {at}" in placed and f"Feeder {at}" in placed for at in range(1, 7))
    for svg in svgs:
        assert_sound(svg)


def test_sizes_breaker_and_length_stand_on_it() -> None:
    """Each run is told with its conductors, its breaker, its raceway and its length."""
    said = " ".join(boxes(*diagrams(house())))
    for text in ("4/0 Cu THHN", "2-2-2-4, 60 ft", "Feeder 1, 90 A", "12/2 NM, 90 ft", "Far circuit 1 A, 15 A"):
        assert text in said, text


def test_names_are_only_text() -> None:
    name = "<img src=x onerror='alert(1)'> & $a_1$ & $b$"
    (svg, *_) = diagrams(house(name))
    assert not {element.tag for element in ET.fromstring(svg).iter()} & {f"{SVG}img", f"{SVG}script", "img"}
    assert any(said.startswith("<img") or "onerror" in said for said in boxes(svg))


def test_what_is_not_worked_not_shown_or_falls_short_says_so() -> None:
    """Each run is marked with the state of its own sheet, in the words of the sheets."""
    text = toml("panels", name="Main") + run(name="Short", feeds="Main", size="14", calculated_a=90, breaker_a=90)
    text += run(name="Air", role="branch", fed_from="Main", wiring_method="overhead", size="6", calculated_a=40)
    text += toml("panels", name="Sub") + run(name="Open", fed_from="Main", feeds="Sub", cable="6/3 NM-B")
    assert {"falls short", "not worked", "not shown"} <= set(boxes(*diagrams(job(text))))
