"""The grounding table: each electrode and bond once, required beside provided, nothing passing that was not worked."""

from __future__ import annotations

from typing import Any

import pytest

from calc.documents.house import grounding_table
from calc.work.table import Table
from tests.documents.houses import demo, with_changes


def rows(table: Table | None) -> dict[tuple[str, str], dict[str, str]]:
    assert table is not None
    names = [column.name for column in table.columns]
    found = [dict(zip(names, row, strict=True)) for row in table.rows]
    keyed = {(row["Where"], row["Electrode or bond"]): row for row in found}
    assert len(keyed) == len(found)
    return keyed


def test_each_electrode_and_bond_has_one_row() -> None:
    """The service's electrode and bonds, then those of the workshop."""
    found = rows(grounding_table(*demo("fernhollow-lot-14")))
    assert [what for _, what in found] == [
        "concrete-encased electrode", "main bonding jumper", "supply-side bonding jumper", "bond of the water piping",
        "bond of the gas piping", "intersystem bonding termination", "rods",
    ]  # fmt: skip
    electrode = found["Service", "concrete-encased electrode"]
    assert (electrode["Conductor required"], electrode["Provided"], electrode["State"]) == ("4 Cu", "4 Cu", "passes")
    assert "250.66" in electrode["Section"]
    assert "Chapter 9" not in electrode["Section"]  # areas that the sizes are compared by decide nothing here
    assert found["Workshop", "rods"]["Provided"] == "as required"


def test_a_conductor_that_is_too_small_falls_short() -> None:
    """6 AWG to a concrete-encased electrode where 4 is required."""
    found = rows(grounding_table(*with_changes("fernhollow-lot-14", {"grounding.electrodes[1].conductor": 6})))
    row = found["Service", "concrete-encased electrode"]
    assert (row["Conductor required"], row["Provided"], row["State"]) == ("4 Cu", "6 Cu", "FALLS SHORT")


def test_an_electrode_left_out_says_why() -> None:
    """The footing of an old house that can't be reached without breaking concrete is let off, and stands there."""
    row = rows(grounding_table(*demo("cask-lane-27-new-service")))["Service", "concrete-encased electrode"]
    assert (row["As entered"], row["Provided"]) == ("in existing concrete, out of reach: let off", "not connected")


@pytest.mark.parametrize(
    ("changes", "name"),
    [
        ({"grounding.gas_piping": "steel", "grounding.gas_bond": None}, "bond of the gas piping"),
        ({"grounding.gas_piping": None}, "bond of the gas piping"),
        ({"grounding.water_piping": None}, "bond of the water piping"),
        ({"grounding.intersystem_bonding": None}, "intersystem bonding termination"),
        ({"grounding.electrodes[1].length_ft": None}, "concrete-encased electrode"),
    ],
)
def test_what_nobody_entered_does_not_pass(changes: dict[str, Any], name: str) -> None:
    """Gas piping whose circuit nobody states, piping of which nothing is said, an electrode of no stated length."""
    row = rows(grounding_table(*with_changes("fernhollow-lot-14", changes)))["Service", name]
    assert row["State"] == "NOT SHOWN"


def test_no_table_outside_the_scope() -> None:
    """A job that covers loads and new circuits has no grounding to show."""
    assert grounding_table(*demo("cask-lane-27")) is None
