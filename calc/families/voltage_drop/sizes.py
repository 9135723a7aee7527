"""Sizes side by side: the smallest that serves and the next two, in copper and in aluminum, each with its drop."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from calc.families.feeder.sizing import Sizing
from calc.job import Run
from calc.wiring.wires import called
from calc.work import Refused
from calc.work.table import Table, columns

SHOWN = 3
Drop = Callable[[str, str], float | None]  # percent by size and metal; None where it can't be worked


@dataclass(frozen=True)
class Candidates:
    """A run, what decides its size, and the voltage drop of other sizes."""

    run: Run
    sizing: Sizing
    drop_pct: Drop


def sizes_table(found: Sequence[Candidates]) -> Table:
    """A table: a row for each run and metal, with ampacity and drop of each size."""
    return Table(
        title="Sizes that serve",
        intro="For the load, breaker and conditions of use of each run: the smallest that serves and the next two, in "
        "copper and in aluminum, with ampacity and voltage drop of each.",
        columns=columns("Run", "Metal", "Smallest that serves", "Next", "And next"),
        rows=[row for each in found for row in _rows(each)],
        notes=[
            "The drop is that of the run alone, in percent of its own voltage, by the method that the job chose. "
            "It is left out where the run has no length, or no voltage would be left."
        ],
    )


def _rows(each: Candidates) -> list[list[str]]:
    rows: list[list[str]] = []
    for metal in ("copper", "aluminum"):
        sizing = each.sizing
        other = replace(sizing, wires=replace(sizing.wires, metal=metal, given=None))
        other = replace(other, needed=replace(other.needed, listed=None)) if metal != sizing.wires.metal else other
        try:
            sizes = list(islice(other.serving(), SHOWN))
        except Refused:
            continue  # a cable that nobody makes of this metal
        cells = [_cell(each, other, size) for size in sizes] or ["none serves"]
        rows.append([each.run.name, f"{metal} {sizing.wires.kind}", *(cells + ["-"] * SHOWN)[:SHOWN]])
    return rows


def _cell(each: Candidates, sizing: Sizing, size: str) -> str:
    """'2 x 1/0 AWG: 300 A, 1.21 %'."""
    sets = f"{each.run.sets} x " if each.run.sets > 1 else ""
    drop = each.drop_pct(size, sizing.wires.metal)
    lost = "" if drop is None else f", {drop:.2f} %"
    return f"{sets}{called(size)}: {round(sizing.tried(size)[0].ampacity.number, 1):,g} A{lost}"
