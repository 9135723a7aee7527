"""The ampacity ladder of a run as a chart: each rung against load and breaker."""

from __future__ import annotations

from calc.families.feeder.sizing import Sizing
from calc.job import Run
from calc.wiring.ampacity import Rung
from calc.wiring.wires import called
from calc.work import Sheet
from calc.work.chart import Chart, Levels


def ladder_chart(run: Run, sheet: Sheet, sizing: Sizing, of: Rung) -> Chart:
    """Table, corrected, adjusted, terminal limit and ampacity, all sets together, against load and breaker."""
    sets = sizing.at.sets.number
    bars: list[tuple[str, float]] = [
        (f"table, {sizing.at.insulation_c.number:.0f} °C", of.table.number * sets),
        ("corrected for the air", of.corrected.number * sets),
        ("adjusted for number of conductors", of.adjusted.number * sets),
        (f"limit, {sizing.at.limit_c.number:.0f} °C", of.limit.number * sets),
        ("ampacity", of.ampacity.number),
    ]
    needed = sizing.needed
    lines = [("load", needed.load.calculated.number), ("breaker", needed.breaker.number)]
    if needed.share is not None:
        lines.insert(0, ("dwelling share", needed.share.number))
    said = "; ".join(f"{label} {value:,.10g} A" for label, value in [*bars, *lines])
    size = f"{int(sets)} sets of {called(of.size)}" if sets > 1 else called(of.size)
    return Chart(
        f"Ampacity of {run.name}",
        f"{size} {sizing.wires.metal} {sizing.wires.kind}: {said}.",
        Levels([(label, round(value, 1)) for label, value in bars], lines, "A"),
        sheet.subject,
    )
