"""Panels and their schedules: rows that add up, connected apart from demand, nothing invented of an existing panel."""

from __future__ import annotations

from pathlib import Path

import pytest

from calc.documents.house import circuit_table, panel_table, schedules
from calc.documents.house.panels import pages
from calc.families.branch_circuits.worked import all_circuits
from calc.job import parse_job
from calc.job.starters import new_job
from calc.verdict.standing import standing
from calc.wiring.house import House
from calc.work.table import Table
from tests.documents.houses import DEMO, demo, large, with_changes


def of(name: str, panel: str) -> Table:
    (found,) = [table for table in schedules(*demo(name)) if table.title == f"Schedule of {panel}"]
    return found


def cells(table: Table, circuit: str) -> dict[str, str]:
    """The row of a circuit in a list."""
    (row,) = [row for row in table.rows if len(row) > 1 and row[1] == circuit]
    return dict(zip([column.name for column in table.columns], row, strict=True))


def volt_amperes(text: str) -> int:
    return sum(int(part.replace(",", "")) for part in text.split(" / ") if part[:1].isdigit())


def in_rows(table: Table) -> int:
    at = [n for n, column in enumerate(table.columns) if column.name in ("VA", "Connected, VA")]
    return sum(volt_amperes(row[n]) for row in table.rows if len(row) > 1 for n in at)


@pytest.mark.parametrize("name", DEMO)
def test_the_rows_of_a_schedule_add_up_to_its_connected_load(name: str) -> None:
    """What stands in the rows and what is on no circuit yet is what the head calls connected, to the rounding of halves."""
    house, stands = demo(name)
    found = [page for page in pages(house, stands) if page.work is not None]
    for page, table in zip(found, schedules(house, stands), strict=True):
        assert abs(in_rows(table) + page.loose_va - page.connected.va) <= len(table.rows), table.title
        assert f"Connected {round(page.connected.va):,} VA" in table.intro


def test_the_legs_add_up_to_the_connected_load() -> None:
    """Both legs together, and what is on no circuit yet, are all that is connected."""
    house, stands = demo("fernhollow-lot-14")
    for page in pages(house, stands):
        if page.work is not None:
            assert sum(page.legs_va) + page.loose_va == pytest.approx(page.connected.va)


@pytest.mark.parametrize("name", DEMO)
def test_a_feeder_s_breaker_carries_what_the_panel_behind_it_says(name: str) -> None:
    """All that is connected behind it: loads that have no circuit yet too, which the panel's own sum once left out."""
    house, stands = demo(name)
    found = {page.panel.name: page for page in pages(house, stands)}
    for page in found.values():
        for breaker in page.work.breakers if page.work is not None else ():
            behind = found.get(breaker.run.feeds or "") if breaker.run is not None else None
            there = page.breaker_connected(breaker)
            if behind is not None and there is not None and not behind.panel.unit_group:
                assert there.va == pytest.approx(behind.connected.va), behind.panel.name


def test_connected_load_has_no_demand_in_it() -> None:
    """Cooktop and two ovens are 17,000 VA by their nameplates, though their circuit is sized for a demand of 10,000; no
    current of a leg stands on the page, which beside a main of 200 A would read as an overload."""
    table = of("fernhollow-lot-14", "Indoor panel")
    row = next(row for row in table.rows if "Cooking" in row)
    assert row[7] == "8,500"
    assert "234.9" not in table.intro
    assert "Demand 39,432 VA, 164.3 A" in table.intro
    assert "main and feeder are sized for it" in table.intro


@pytest.mark.parametrize("name", ["cask-lane-27", "cask-lane-27-new-service"])
@pytest.mark.parametrize(("circuit", "va"), [("Range", "11,500"), ("Dryer", "5,000"), ("Water heater", "4,500")])
def test_an_existing_panel_prints_the_nameplates_of_page_1(name: str, circuit: str, va: str) -> None:
    """A load that names its panel and is called as its circuit is on it, with all of its nameplate."""
    assert cells(of(name, "Old panel"), circuit)["Connected, VA"] == va


@pytest.mark.parametrize("name", ["cask-lane-27", "cask-lane-27-new-service"])
def test_no_place_is_invented_in_an_existing_panel(name: str) -> None:
    """Where nobody says on which space an existing breaker stands, no breaker of the panel gets one, nor a leg."""
    table = of(name, "Old panel")
    assert {row[0] for row in table.rows} == {"not stated"}
    assert "Leg" not in [column.name for column in table.columns]
    assert "leg 1" not in table.intro


def test_stated_places_of_an_existing_panel_are_kept() -> None:
    """With every existing place stated, the panel is drawn by its spaces, and marked as found or new."""
    existing = {
        f"circuits[{n}].positions": [first, first + 2] if n <= 3 else [first]
        for n, first in zip((1, 2, 3, 4, 5, 6, 7, 9, 10, 11), (1, 2, 5, 6, 8, 9, 10, 11, 12, 13), strict=True)
    }
    house, stands = with_changes("cask-lane-27", existing)
    (table,) = schedules(house, stands)
    assert "Leg" in [column.name for column in table.columns]
    (range_,) = [row for row in table.rows if "Range, as found" in row]
    assert range_[0] == "1"
    assert any("Heat pump, new" in row for row in table.rows)
    assert any(note.startswith("Removed by this job: Furnace") for note in table.notes)


def test_conductors_that_nobody_states_do_not_pass() -> None:
    """An existing circuit whose conductors are not stated is not shown where it is in scope, and outside it otherwise."""
    house, stands = with_changes("cask-lane-27", {"scope.covers": ["dwelling-load", "branch-circuits"]})
    (table,) = schedules(house, stands)
    for row in table.rows:
        if row[6] == "not stated":
            assert row[-1] != "passes", row
    assert cells(table, "Range")["State"] == "NOT SHOWN"
    assert cells(of("cask-lane-27", "Old panel"), "Range")["State"] == "outside scope"


@pytest.mark.parametrize("name", ["cask-lane-27", "cask-lane-27-new-service"])
def test_a_removed_circuit_is_shown_as_removed(name: str) -> None:
    """The furnace's circuit stands on the schedule, marked, and adds nothing."""
    row = cells(of(name, "Old panel"), "Furnace, gas, to be taken out")
    assert (row["Work"], row["Connected, VA"]) == ("removed", "")


def test_a_spare_is_a_breaker_and_a_space_is_none() -> None:
    """A spare has a rating and no load; an empty place has neither, and is called a space."""
    changes = {
        "circuits[+]": {
            "name": "Spare one",
            "panel": "Indoor panel",
            "positions": [27],
            "breaker_a": 20,
            "purpose": "spare",
        }
    }
    house, stands = with_changes("fernhollow-lot-14", changes)
    table = next(t for t in schedules(house, stands) if t.title.endswith("Indoor panel"))
    row = next(row for row in table.rows if row[0] == "27")
    assert (row[1], row[3], row[5]) == ("spare", "20", "")
    assert row[11] == "space"
    assert row[9] == row[7] == ""


@pytest.mark.parametrize("name", DEMO)
def test_every_breaker_stands_once(name: str) -> None:
    """Each circuit of a panel in scope has one place on its schedule."""
    house, stands = demo(name)
    tables = schedules(house, stands)
    for page, table in zip([p for p in pages(house, stands) if p.work is not None], tables, strict=True):
        assert page.work is not None
        said = [cell.removesuffix(", new").removesuffix(", as found") for row in table.rows for cell in row]
        for breaker in page.work.breakers:
            name_ = f"{breaker.run.feeds} ({breaker.run.name})" if breaker.run is not None else breaker.entry.name
            assert said.count(name_) == 1, name_


def test_every_panel_in_scope_has_one_row() -> None:
    """Three panels, three rows; ratings beside what may flow there."""
    table = panel_table(*demo("fernhollow-lot-14"))
    assert table is not None
    assert [row[0] for row in table.rows] == ["Meter-main", "Indoor panel", "Workshop panel"]
    names = [column.name for column in table.columns]
    main = dict(zip(names, table.rows[0], strict=True))
    assert (main["Interrupting, A"], main["Available, A"]) == ("22,000", "9,970")  # 9,969.2, up
    assert main["Surge protection"] == "type 2"


def test_like_panels_are_counted() -> None:
    """One panel of the job stands for three flats."""
    table = panel_table(*demo("tinkers-row-4"))
    assert table is not None
    assert "Flat panel x 3" in [row[0] for row in table.rows]


def test_what_is_not_worked_is_said() -> None:
    """A panel whose fault current nobody worked does not look as if it had passed."""
    table = panel_table(*demo("cask-lane-27"))
    assert table is not None
    row = dict(zip([column.name for column in table.columns], table.rows[0], strict=True))
    assert (row["Interrupting, A"], row["Available, A"], row["State"]) == ("not stated", "not worked", "outside scope")


def test_a_house_of_many_circuits_has_them_all() -> None:
    """150 circuits of long names in five panels."""
    house, stands = large()
    tables = schedules(house, stands)
    said = [cell for table in tables for row in table.rows for cell in row]
    assert sum(branch.name in said for branch in all_circuits(house).branches) == 150


def test_no_place_is_proposed_in_a_panel_of_which_nobody_says_what_stands_where() -> None:
    """An old panel's free spaces are read off the panel: neither its schedule nor the circuits invent them."""
    house, stands = demo("cask-lane-27")
    circuits = circuit_table(house, stands)
    assert circuits is not None
    assert {row[1] for row in circuits.rows} == {"not stated"}
    (schedule,) = schedules(house, stands)
    assert {row[0] for row in schedule.rows} == {"not stated"}


def test_an_existing_panel_whose_breakers_are_not_listed_has_no_schedule() -> None:
    """The circuits that are added are told; that all else in the panel is free is not."""
    house = House.of(parse_job(new_job("Alder", "kitchen").encode(), Path("kitchen.toml")))
    stands = standing(house)
    assert circuit_table(house, stands) is not None
    assert schedules(house, stands) == []
