"""The one-line diagram of a whole house: what offices ask for at each point, each panel once, nothing cut off."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from calc.documents.house import one_line
from calc.families.branch_circuits.worked import all_circuits
from calc.show.charts import draw
from calc.wiring.tree import live_panels, live_runs
from calc.work.chart import Chart, Node, OneLine
from tests.documents.houses import DEMO, demo, large
from tests.show.test_one_line import assert_sound, boxes


def charts(name: str) -> list[Chart]:
    house, stands = large() if name == "large" else demo(name)
    return one_line(house, stands.sheets)


def nodes(found: list[Chart]) -> Iterator[Node]:
    for chart in found:
        assert isinstance(chart.data, OneLine)
        waiting = list(chart.data.trees)
        while waiting:
            here = waiting.pop()
            yield here
            waiting += [link.to for link in here.links]


def words(found: list[Chart]) -> str:
    return " ".join(
        text for node in nodes(found) for text in (*node.lines, *(t for link in node.links for t in link.labels))
    )


@pytest.mark.parametrize("name", [*DEMO, "large"])
def test_nothing_is_cut_off_or_on_top_of_another(name: str) -> None:
    """At every size each word lies within the drawing, on no other, at 8 pt or more; a page holds it."""
    for chart in charts(name):
        assert_sound(draw(chart))


@pytest.mark.parametrize("name", [*DEMO, "large"])
def test_each_panel_is_told_once(name: str) -> None:
    """Every live panel has its ratings in one place, though it may be named where the drawing goes on."""
    house, _ = large() if name == "large" else demo(name)
    told = [
        node.lines[0].partition(" x ")[0] for node in nodes(charts(name)) if any("bus" in line for line in node.lines)
    ]
    assert sorted(told) == sorted(panel.name for panel in live_panels(house.whole_job))


@pytest.mark.parametrize("name", [*DEMO, "large"])
def test_each_run_is_drawn_once(name: str) -> None:
    """Every live run is one line of it."""
    house, _ = large() if name == "large" else demo(name)
    drawn = [link.labels[0] for node in nodes(charts(name)) for link in node.links]
    for run in live_runs(house.whole_job):
        assert sum(text == run.name or text.startswith((f"{run.name}, ", f"{run.name} x ")) for text in drawn) == 1, (
            run.name
        )


def test_what_an_office_asks_for_stands_on_it() -> None:
    """Transformer, meter, service disconnect, interrupting ratings beside available current, sets, raceway and trade size,
    grounding electrode conductor, surge protection, another building's electrode."""
    found = charts("fernhollow-lot-14")
    said = words(found)
    for text in (
        "transformer 37.5 kVA, 1.6 %", "available 16,277 A", "service disconnect 400 A, bus 400 A",
        "interrupting 22,000 A, available 9,970 A", "interrupting 10,000 A, available 7,232 A", "surge protection type 2",
        "2 sets of 4/0 Al XHHW-2, neutral 1/0", "in 2 in PVC-40, buried, 35 ft", "4 Cu to concrete-encased electrode",
        "2 Cu main bonding jumper", "6 Cu bond of the gas piping", "8 Cu to rods", "ground 10",
    ):  # fmt: skip
        assert text in said, text
    (service,) = [link for node in nodes(found) for link in node.links if link.labels[0] == "R1 service"]
    assert list(service.ends) == ["meter", "breaker"]


def test_circuits_without_a_run_are_summed() -> None:
    """Each circuit of a panel is on the drawing, by its run or in the sum."""
    house, stands = demo("fernhollow-lot-14")
    of_panel = [b for b in all_circuits(house).branches if b.panel == "Indoor panel"]
    bare = [b for b in of_panel if b.run is None]
    said = words(one_line(house, stands.sheets))
    assert f"{len(bare)} circuits: {sum(b.circuit.poles == 1 for b in bare)} of 120 V" in said


def test_like_units_are_multiplied() -> None:
    """Three flats alike are one panel and one feeder 'x 3', not one of each."""
    said = words(charts("tinkers-row-4"))
    assert "Flat panel x 3" in said
    assert "Flat feeder x 3, 100 A" in said


def test_what_nobody_states_or_works_is_said() -> None:
    """An interrupting rating that is not stated, and a fault current that nobody worked, are no blanks."""
    assert "interrupting not stated, available not worked" in words(charts("cask-lane-27"))


def test_the_words_of_the_diagram_name_every_panel() -> None:
    """Who can't see the drawing is told the same."""
    house, _ = demo("fernhollow-lot-14")
    (chart,) = charts("fernhollow-lot-14")
    assert all(panel.name in chart.alt for panel in live_panels(house.whole_job))
    assert "available 9,970 A" in chart.alt
    assert boxes(draw(chart))
