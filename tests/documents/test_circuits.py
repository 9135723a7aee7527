"""Circuits and protection, and what a dwelling must have: one row each, required beside provided."""

from __future__ import annotations

import pytest

from calc.documents.house import circuit_table, required_table
from calc.work.table import Table
from tests.documents.houses import DEMO, demo, large, with_changes


def cells(table: Table | None, circuit: str) -> dict[str, str]:
    assert table is not None
    (row,) = [row for row in table.rows if len(row) > 1 and row[0] in (circuit, f"{circuit} (existing)")]
    return dict(zip([column.name for column in table.columns], row, strict=True))


@pytest.mark.parametrize("name", [*DEMO, "large"])
def test_every_circuit_in_scope_has_one_row(name: str) -> None:
    """As many rows as sheets of circuits, each with its sheet."""
    house, stands = large() if name == "large" else demo(name)
    sheets = [s for s in stands.sheets.get("branch-circuits", ()) if s.title == "Branch circuit"]
    table = circuit_table(house, stands)
    rows = [] if table is None else [row for row in table.rows if len(row) > 1]
    assert sorted(row[0].removesuffix(" (existing)") for row in rows) == sorted(s.subject for s in sheets)
    if table is not None:
        assert [s is None for s in table.sheets] == [len(row) == 1 for row in table.rows]


def test_protection_stands_with_the_section_that_asks_for_it() -> None:
    """A kitchen circuit needs both and has both in its breaker; a cooktop's needs GFCI alone; a water heater's neither."""
    table = circuit_table(*demo("fernhollow-lot-14"))
    row = cells(table, "Kitchen left")
    assert (row["AFCI required"], row["AFCI there"]) == ("210.12(B)", "breaker")
    assert (row["GFCI required"], row["GFCI there"]) == ("210.8(A)", "breaker")
    row = cells(table, "Cooking")
    assert (row["AFCI required"], row["AFCI there"], row["GFCI required"]) == ("no", "", "210.8(D)")
    row = cells(table, "Water heater")
    assert (row["GFCI required"], row["GFCI there"]) == ("no", "")


def test_protection_that_is_missing_is_none_and_falls_short() -> None:
    """A charger outdoors without ground-fault protection."""
    table = circuit_table(*demo("cask-lane-27-new-service"))
    row = cells(table, "Vehicle charger")
    assert (row["GFCI required"], row["GFCI there"], row["State"]) == ("210.8(F)", "none", "FALLS SHORT")
    assert table is not None
    assert any(note.startswith("Vehicle charger FALLS SHORT: ") for note in table.notes)


def test_an_existing_circuit_whose_wire_nobody_states_does_not_pass() -> None:
    """It is not shown; and its place in the panel is not stated, though the legs were balanced with one."""
    table = circuit_table(*with_changes("cask-lane-27", {"scope.covers": ["branch-circuits"]}))
    row = cells(table, "Range")
    assert (row["Wire"], row["State"], row["Spaces"]) == ("not stated", "NOT SHOWN", "not stated")


def test_required_circuits_have_a_row_each() -> None:
    """Small-appliance, laundry, bathroom and garage circuits, the counter's two, and each pair that shares a neutral."""
    table = required_table(*demo("fernhollow-lot-14"))
    assert table is not None
    said = {row[0]: row for row in table.rows}
    assert len(said) == len(table.rows)
    for kind in ("small-appliance", "laundry", "bathroom", "garage"):
        assert said[f"Circuits listed: {kind} circuit"][-1] == "passes"
    assert said["Circuits listed: small-appliance circuit"][1] == "3 circuits provided, 3 circuits required"
    assert said["Kitchen left and Kitchen right share a neutral"][1] == "all 6 requirements met"


def test_a_pair_that_falls_short_says_in_what() -> None:
    """Halves on one leg are named, with the numbers."""
    table = required_table(*demo("fernhollow-lot-12"))
    assert table is not None
    (row,) = [row for row in table.rows if row[0].endswith("share a neutral")]
    assert "1 leg provided, 2 legs required" in row[1]
    assert row[-1] == "FALLS SHORT"
