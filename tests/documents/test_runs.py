"""The runs page: one row a run in scope, what it carries and what it has left, nothing that no sheet says."""

from __future__ import annotations

import pytest

from calc.documents.house import circuit_table, panel_table, run_table
from calc.documents.house.made_of import way
from calc.wiring.tree import live_runs
from calc.work.table import Table
from tests.documents.houses import DEMO, demo, large, with_changes
from tests.families import runs


def table(name: str) -> Table:
    house, stands = demo(name)
    found = run_table(house, stands)
    assert found is not None
    return found


def cells(found: Table, name: str) -> dict[str, str]:
    """The row of a run by its columns."""
    (row,) = [row for row in found.rows if row[0].startswith((f"{name}:", f"{name} (existing):"))]
    return dict(zip([column.name for column in found.columns], row, strict=True))


@pytest.mark.parametrize("name", [name for name in DEMO if name != "cask-lane-27"])
def test_every_run_in_scope_has_one_row(name: str) -> None:
    """Each live run stands once, in the order of the job."""
    house, _ = demo(name)
    named = [row[0].partition(":")[0].removesuffix(" (existing)") for row in table(name).rows]
    assert named == [run.name for run in live_runs(house.whole_job)]


def test_no_page_where_no_run_is_in_scope() -> None:
    """A job that covers its load and its new circuits has no runs to show."""
    assert run_table(*demo("cask-lane-27")) is None


def test_a_house_of_many_runs_has_a_row_for_each() -> None:
    """45 runs of long names are 45 rows."""
    house, stands = large()
    found = run_table(house, stands)
    assert found is not None
    assert len(found.rows) == len(found.sheets) == 45


def test_what_decides_and_what_is_left() -> None:
    """R1 needs a dwelling's share of 332 A, has 360 A at its terminals: 7 % left, rounded down; its drop has no limit."""
    row = cells(table("fernhollow-lot-14"), "R1 service")
    assert (row["Load, A"], row["Needs, A"], row["Ampacity, A"]) == ("252.0", "332.0", "360.0")
    assert row["Decided by"].startswith("terminals 75")
    assert row["Left, %"] == "7, ampacity"
    assert row["Drop, % of limit"] == "0.37, no limit"
    assert row["Conductors"] == "2 sets of 4/0 Al XHHW-2, neutral 1/0"
    assert row["Raceway, fill, %"] == "2 in, 25 of 40"


@pytest.mark.parametrize("name", [name for name in DEMO if name != "cask-lane-27"])
def test_a_run_and_its_panel_say_the_same_load_of_the_dwelling(name: str) -> None:
    """121.4 A, rounded once: the whole amperes that its conductors are sized for are no second load."""
    house, stands = demo(name)
    panels = panel_table(house, stands)
    assert panels is not None
    at = [column.name for column in panels.columns].index("Demand, A")
    said = {row[0].removesuffix(" (existing)"): row[at] for row in panels.rows}
    pairs = [(cells(table(name), run.name)["Load, A"], said[run.feeds]) for run in live_runs(house.whole_job)
             if run.role == "service" and run.feeds in said]  # fmt: skip
    assert pairs
    assert [pair for pair in pairs if pair[0] != pair[1]] == []


def test_a_drop_is_rounded_up() -> None:
    """2.0587 % reads as 2.06, and 0.9501 as 0.96: what is used of a limit never looks smaller than it is."""
    found = table("fernhollow-lot-14")
    assert cells(found, "R9 attic hole")["Drop, % of limit"] == "2.06 of 3"
    assert cells(found, "R7 strip heat and blower")["Drop, % of limit"] == "0.96 of 3"


def test_a_limit_that_is_advice_is_called_so() -> None:
    """Where nobody adopted the recommendation, the page doesn't print it as a limit."""
    house, stands = with_changes("fernhollow-lot-14", {"code.amendments": None})
    found = run_table(house, stands)
    assert found is not None
    assert cells(found, "R9 attic hole")["Drop, % of limit"] == "2.06 of 3 advised"


def test_a_run_that_falls_short_says_so_and_why() -> None:
    """The state is a word, and a note names the requirement."""
    found = table("cask-lane-27-new-service")
    row = cells(found, "Feeder to the old panel")
    assert row["State"] == "FALLS SHORT"
    assert any(note.startswith("Feeder to the old panel FALLS SHORT: ") for note in found.notes)


def test_a_cable_without_ground_has_none() -> None:
    """A cable that has no equipment grounding conductor doesn't read as if somebody had left it out of the job."""
    assert cells(table("cask-lane-27-new-service"), "Feeder to the old panel")["Ground"] == "none"


def test_a_run_without_length_or_size_does_not_look_sized() -> None:
    """What nobody entered is 'not stated', never an empty cell that reads as done."""
    house, stands = with_changes(
        "fernhollow-lot-14", {"runs[6].length_ft": None, "runs[6].cable": None, "runs[6].material": "copper"}
    )
    found = run_table(house, stands)
    assert found is not None
    row = cells(found, "R6 water heater")
    assert "length not stated" in row["Method, place, length"]
    assert row["Conductors"] == "not stated"
    assert row["State"] != "passes"


@pytest.mark.parametrize("name", [name for name in DEMO if name != "cask-lane-27"])
def test_columns_of_figures_have_one_form(name: str) -> None:
    """Loads and ampacities to a tenth in every row."""
    found = table(name)
    at = [column.name for column in found.columns]
    for heading in ("Load, A", "Needs, A", "Ampacity, A"):
        for row in found.rows:
            cell = row[at.index(heading)]
            assert not cell or (cell.partition(".")[2].isdigit() and len(cell.partition(".")[2]) == 1), cell


def test_a_run_and_its_circuit_show_one_load_or_both_are_told() -> None:
    """R5's equipment asks for 21 A and draws 17 A, as its circuit's row says; R9's and R10's loads are stated for the run."""
    house, stands = demo("fernhollow-lot-14")
    found, circuits = table("fernhollow-lot-14"), circuit_table(house, stands)
    assert circuits is not None
    of_circuit = {row[0]: row[3] for row in circuits.rows if len(row) > 1}
    (said,) = [note for note in found.notes if note.startswith("Load as the job states it")]
    for run in live_runs(house.whole_job):
        if run.role == "branch" and run.feeds in of_circuit:
            mine = cells(found, run.name)["Load, A"]
            assert mine == of_circuit[run.feeds] or f"{run.name} {mine} A, {of_circuit[run.feeds]} A" in said
    assert (cells(found, "R5 heat pump")["Load, A"], cells(found, "R5 heat pump")["Needs, A"]) == ("17.0", "21.0")
    assert "R9 attic hole 16.0 A, 13.6 A; R10 far bedroom 12.0 A, 11.6 A" in said


@pytest.mark.parametrize(
    ("marked_for", "said"),
    [
        ("wet", "MC, marked for wet places, wet, length not stated"),
        ("direct-burial", "MC, marked for direct burial, wet, length not stated"),
        (None, "MC, wet, length not stated"),
    ],
)
def test_what_a_cable_is_to_be_marked_for_stands_with_its_way(marked_for: str | None, said: str) -> None:
    """Whoever buys it asks for that kind."""
    made = runs.job(runs.run(cable="12/2 MC", location="wet", marked_for=marked_for, calculated_a=10))
    assert way(made.runs[0]) == said
