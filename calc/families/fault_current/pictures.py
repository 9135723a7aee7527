"""Available fault current against ratings, as a chart and as a table of points."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil
from typing import Any

from calc.families.fault_current.ratings import panels_at
from calc.families.fault_current.source import LINE_TO_LINE, LINE_TO_NEUTRAL
from calc.job import Job
from calc.work import Sheet, loud
from calc.work.chart import Chart, Parts
from calc.work.table import Table, columns


def charts(job: Job, sheets: Sequence[Sheet]) -> list[Chart]:
    """The largest fault current at each panel, against the rating stated there and no other."""
    rows: list[tuple[str, tuple[float], float]] = []
    bare = []
    for sheet in (s for s in sheets if "largest_fault_a" in s):
        amperes = ceil(round(sheet.value("largest_fault_a").number, 6))
        for panel in _panels(job, sheet):
            if panel.interrupting_a is None:
                bare.append(f"{panel.name} {amperes:,} A, no rating stated")
            else:
                rating = max(panel.interrupting_a, panel.series_rating_a or 0)
                rows.append((panel.name, (float(amperes),), float(rating)))
    if not rows:
        return []
    said = "; ".join([*(f"{name} {amperes:,.0f} A of {rating:,.0f} A" for name, (amperes,), rating in rows), *bare])
    data = Parts(("available fault current",), rows, "interrupting rating there", "A")
    return [Chart("Available fault current against ratings", f"{said}.", data)]


def points(job: Job, sheets: Sequence[Sheet]) -> Table:
    """Each point: line to line, line to neutral, the ratings stated there and whether they serve."""
    return Table(
        title="Fault current by point",
        intro="Symmetrical current of a bolted fault at the end of each run, in amperes.",
        columns=columns(
            "Point", "Panels", "Line to line", "Line to neutral", "Rating sold that serves", "Result", right=(2, 3, 4)
        ),
        rows=[_row(job, s) for s in sheets],
    )


def _row(job: Job, sheet: Sheet) -> list[str]:
    cells = [
        f"{sheet.value(key).number:,.0f}" if key in sheet else "-"
        for key in (LINE_TO_LINE.key, LINE_TO_NEUTRAL.key, "rating_sold_a")
    ]
    panels = ", ".join(panel.name for panel in _panels(job, sheet))
    return [sheet.subject, panels or "-", *cells, loud(sheet.status) if panels or sheet.refused else "-"]


def _panels(job: Job, sheet: Sheet) -> list[Any]:
    return panels_at(job, next((run for run in job.runs if run.name == sheet.subject), None))
