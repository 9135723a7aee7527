"""Sources at a panel's bus: there, and in every panel on the way up."""

from __future__ import annotations

from typing import Any

import pytest

from calc.families.dwelling_load import work
from calc.job.read import make_job
from calc.wiring.house import House
from calc.work import FALLS_SHORT, NOT_SHOWN, NOT_WORKED, PASSES, Missing, Sheet

SECTIONS = {
    "2017": ("705.12(B)(2)(3)(a)", "705.12(B)(2)(3)(b)"), "2020": ("705.12(B)(3)(1)", "705.12(B)(3)(2)"),
    "2023": ("705.12(B)(1)", "705.12(B)(2)"),
}  # fmt: skip


def _said(part: dict[str, Any], more: dict[str, Any] | None) -> dict[str, Any]:
    """The part with other entries; one of None is left out."""
    return {key: value for key, value in (part | (more or {})).items() if value is not None}


def buses(
    *sources: dict[str, Any],
    edition: str = "2023",
    main: dict[str, Any] | None = None,
    feeder: dict[str, Any] | None = None,
) -> dict[str, Sheet]:
    """Sheets by subject: a main panel of 200 A, 'Garage' fed from it at 100 A, 'Loft' from the garage at 60 A."""
    job = make_job({
        "code": {"edition": edition},
        "job": {"name": "sun"},
        "dwelling": {"kind": "one-family", "floor_area_ft2": 1000},
        "panels": [
            _said({"name": "Main", "fed_from": "utility", "bus_a": 200, "main_a": 200, "service_equipment": True}, main),
            {"name": "Garage", "bus_a": 125},
            {"name": "Loft", "fed_from": "Garage", "bus_a": 125, "main_a": 60},
        ],
        "runs": [{"name": "To the garage", "role": "feeder", "fed_from": "Main", "feeds": "Garage", "volts": 240,
                  "breaker_a": 60, "material": "copper", **(feeder or {})}],
        "sources": [
            {"name": f"Source {n}", "kind": "photovoltaic", "position": "opposite-end", **one}
            for n, one in enumerate(sources, 1)
        ],
    })  # fmt: skip
    found = {sheet.subject: sheet for sheet in work(House.of(job)) if sheet.title == "Sources at the bus"}
    for sheet in found.values():
        sheet.as_json()  # replayed
    return found


@pytest.mark.parametrize("edition", SECTIONS)
def test_a_source_below_feeds_the_bus_above_it(edition: str) -> None:
    """Garage: 60 + 1.25 x 60 on 150 A holds; the main panel: 200 + 1.25 x 60 falls short, even of 120 % of 200."""
    for position in ("opposite-end", "anywhere"):
        found = buses({"panel": "Garage", "output_a": 60}, edition=edition, feeder={"bus_position": position})
        assert found["Garage"].status == PASSES
        assert found["Main"].status == FALLS_SHORT
        assert found["Main"].results["bus_fed_a"] == 275
        assert found["Main"].results["bus_limit_a"] == (240 if position == "opposite-end" else 200)
        (check,) = found["Main"].as_json()["checks"]
        assert SECTIONS[edition][position == "opposite-end"] in check["sections"]


def test_each_panel_on_the_way_up_is_checked() -> None:
    """From the loft by the garage to the main panel; panels beside the way are not."""
    assert set(buses({"panel": "Loft", "output_a": 20})) == {"Main", "Garage", "Loft"}
    assert set(buses({"panel": "Main", "output_a": 20})) == {"Main"}


def test_sources_of_several_panels_add_up_where_they_meet() -> None:
    found = buses(
        {"panel": "Main", "output_a": 10}, {"panel": "Garage", "output_a": 12}, {"panel": "Loft", "output_a": 8}
    )
    assert [found[name].results["bus_sources_a"] for name in ("Main", "Garage", "Loft")] == [37.5, 25, 10]


def test_a_feeder_counts_as_anywhere_on_the_bus_until_its_place_is_said() -> None:
    """32 A below a 200 A main on a 200 A bus: 240 A are allowed at the opposite end only."""
    source = {"panel": "Garage", "output_a": 32}
    unsaid, said = buses(source)["Main"], buses(source, feeder={"bus_position": "opposite-end"})["Main"]
    assert (unsaid.status, said.status) == (FALLS_SHORT, PASSES)
    assert any("bus_position" in note["text"] for note in unsaid.as_json()["notes"])


def test_a_source_whose_output_nobody_entered_leaves_its_buses_not_shown() -> None:
    """One that is known must not pass alone where another feeds the same bus."""
    found = buses({"panel": "Main", "output_a": 10}, {"panel": "Garage"})
    assert [found[name].status for name in ("Source 2", "Main")] == [NOT_SHOWN, NOT_SHOWN]


@pytest.mark.parametrize("lacking", ["bus_a", "main_a"])
def test_a_bus_or_main_that_is_not_entered_is_not_shown(lacking: str) -> None:
    sheet = buses({"panel": "Main", "output_a": 10}, main={lacking: None})["Main"]
    assert sheet.status == NOT_SHOWN
    assert isinstance(sheet.refused, Missing)
    assert sheet.refused.at == f"panels[1].{lacking}"


def test_generators_and_line_side_sources_are_not_worked_at_a_bus() -> None:
    found = buses({"panel": "Main", "kind": "generator"}, {"panel": "Main", "output_a": 10, "position": "line-side"})
    assert {sheet.status for sheet in found.values()} == {NOT_WORKED}
