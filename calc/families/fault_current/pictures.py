"""Available fault current against ratings, as a chart and as a table of points."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from calc.families.fault_current.ratings import panels_at
from calc.families.fault_current.source import LINE_TO_LINE, LINE_TO_NEUTRAL
from calc.job import Job
from calc.work import Sheet, loud
from calc.work.chart import Chart, Levels
from calc.work.table import Table, columns


def charts(job: Job, sheets: Sequence[Sheet]) -> list[Chart]:
    """The largest fault current at the source and at each point with a panel, against the ratings stated there."""
    worked = [s for s in sheets if "largest_fault_a" in s]
    bars = [
        (_where(job, s), round(s.value("largest_fault_a").number)) for s in worked if s is sheets[0] or _panels(job, s)
    ]
    if not bars:
        return []
    ratings = sorted({p.interrupting_a for s in worked for p in _panels(job, s) if p.interrupting_a is not None})
    lines = [("interrupting rating", float(rating)) for rating in ratings]
    said = "; ".join(f"{name} {amperes:,.0f} A" for name, amperes in bars)
    rated = "; ".join(f"{rating:,} A" for rating in ratings) or "none stated"
    return [
        Chart(
            "Available fault current against ratings",
            f"Largest fault current by point: {said}. Interrupting ratings: {rated}.",
            Levels(bars, lines, "A"),
        )
    ]


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


def _where(job: Job, sheet: Sheet) -> str:
    return ", ".join(panel.name for panel in _panels(job, sheet)) or sheet.subject
