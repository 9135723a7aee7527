"""The ampacity of every run in one chart: table, corrected, adjusted and limit beside what it needs, in parts of its ampacity."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from textwrap import wrap

from calc.families.feeder.sizing import Sizing
from calc.job import Run
from calc.wiring.ampacity import Rung
from calc.wiring.wires import called
from calc.work.chart import Chart, Ladders

TITLE = "Ampacity of the runs"
UNIT = "% of the ampacity of each run"
LETTERS, LINES = 24, 58  # of a label on a line, and what a page holds of them
MARKS = (
    "table",
    "corrected for the air",
    "adjusted for number of conductors",
    "limit of terminals or cable",
    "load",
    "breaker",
)
"""What stands on each ladder; the rungs first, then what they are measured against."""


def ladder_charts(found: Sequence[tuple[Run, Sizing, Rung]]) -> list[Chart]:
    """A row for each run: its rungs, all sets together, its load and its breaker, in percent of its ampacity."""
    rows: list[tuple[str, Sequence[float]]] = []
    said: list[str] = []
    for run, sizing, of in found:
        sets = sizing.at.sets.number
        needed = sizing.needed
        amperes = (of.table.number * sets, of.corrected.number * sets, of.adjusted.number * sets, of.limit.number * sets,
                   needed.load.calculated.number, needed.breaker.number)  # fmt: skip
        ampacity = of.ampacity.number
        size = f"{int(sets)} sets of {called(of.size)}" if sets > 1 else called(of.size)
        rows.append((f"{run.name}, {ampacity:,.10g} A", tuple(round(100 * each / ampacity, 2) for each in amperes)))
        parts = "; ".join(f"{mark} {each:,.10g} A" for mark, each in _told(amperes))
        said.append(
            f"{run.name}, {size} {sizing.wires.metal} {sizing.wires.kind}, ampacity {ampacity:,.10g} A: {parts}."
        )
    return [
        Chart(
            TITLE if n == 1 else f"{TITLE}, continued",
            " ".join(said[first:last]),
            Ladders(MARKS, rows[first:last], UNIT),
        )
        for n, (first, last) in enumerate(_pages([label for label, _ in rows]), 1)
    ]


def _pages(labels: Sequence[str]) -> Iterator[tuple[int, int]]:
    """The first row of each chart and the one after its last, so that a page holds it."""
    first, lines = 0, 0
    for at, label in enumerate(labels):
        taken = 1 + len(wrap(label, LETTERS))
        if lines + taken > LINES and at > first:
            yield first, at
            first, lines = at, 0
        lines += taken
    if labels:
        yield first, len(labels)


def _told(amperes: Sequence[float]) -> Iterator[tuple[str, float]]:
    yield from zip(MARKS, (round(each, 1) for each in amperes), strict=True)
