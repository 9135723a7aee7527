"""Page 1's load table: rows that add up to their totals, with each least value named."""

from __future__ import annotations

from pathlib import Path

import pytest

from calc.families import dwelling_load
from calc.job import read_job
from calc.wiring.house import House

JOBS = [*sorted(Path("notebooks/jobs").glob("*.toml")), *sorted(Path("tests/samples").glob("*.toml"))]
LOADS = [path for path in JOBS if "[dwelling]" in path.read_text() and not dwelling_load.needs(read_job(path))]


def number(cell: str) -> int:
    return int(cell.replace(",", ""))


@pytest.mark.parametrize("path", LOADS, ids=lambda path: path.stem)
def test_the_demand_loads_add_up_to_the_total(path: Path) -> None:
    """Whoever adds up the last column gets what stands under it, to the VA that printing whole VA can hide, which is told."""
    page = dwelling_load.front(House.of(read_job(path)))
    totals = [row for row in page.table.rows if row[0].startswith(("Total load", "Load ")) and row[-1]]
    if len(totals) != 1:  # not worked, or two readings of an unsettled rule beside each other
        return
    *parts, total = [number(row[-1]) for row in page.table.rows if row[-1]]
    told = any(f"{sum(parts):,} VA" in note for note in page.table.notes)
    if (
        "smaller of" in totals[0][-2] and f"{sum(parts):,} VA" in totals[0][-2]
    ):  # a method that takes the smaller of two
        return
    assert sum(parts) == total or (told and abs(sum(parts) - total) <= 2)


def test_loads_over_a_total_add_up_to_what_it_takes() -> None:
    """Four flats: the units' loads to what their share is taken of, the house loads to their sum, the charger at its least."""
    page = dwelling_load.front(House.of(read_job(Path("notebooks/jobs/tinkers-row-4.toml"))))
    rows = [list(row) for row in page.table.rows]
    at = [row[0] for row in rows].index("Units after their share")
    assert sum(number(row[2]) for row in rows[:at]) == 120_920
    end = [row[0] for row in rows].index("House loads")
    assert sum(number(row[2]) for row in rows[at + 1 : end]) == number(rows[end][-1]) == 15_500
    assert "Yard charger: 6,656 counts as the least, 7,200 VA" in [row[0] for row in rows]


def test_only_the_columns_that_say_something_are_there() -> None:
    """A new house has one column of loads; one that is added to has existing and new beside each other."""
    heads = {
        name: [
            c.name for c in dwelling_load.front(House.of(read_job(Path(f"notebooks/jobs/{name}.toml")))).table.columns
        ]
        for name in ("fernhollow-lot-14", "cask-lane-27")
    }
    assert heads["fernhollow-lot-14"] == ["Item", "Section", "Load VA", "Demand factor", "Demand VA"]
    assert heads["cask-lane-27"][2:4] == ["Existing VA", "New VA"]
