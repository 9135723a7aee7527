"""What interval readings show at a glance: the highest demand of each month, and the days that had most."""

from __future__ import annotations

from collections.abc import Iterable

from calc.families.dwelling_load.readings import in_demand, readings
from calc.wiring.house import House
from calc.work import Refused
from calc.work.chart import Chart, Levels

MOST_DAYS = 10


def record_charts(house: House, subject: str) -> list[Chart]:
    """Highest demand by month, and the highest days; none where no readings are kept beside the job or can be read."""
    said = house.job.measured_demand
    if said is None or said.readings_file is None:
        return []
    try:
        found = readings(house, said)
    except Refused:
        return []
    values, unit = in_demand(found)
    months = _highest((f"{at:%Y-%m}", value) for at, value in zip(found.written, values, strict=True))
    days = _highest((f"{at:%Y-%m-%d}", value) for at, value in zip(found.written, values, strict=True))
    top = sorted(days.items(), key=lambda day: -day[1])[:MOST_DAYS]
    return [
        _chart("Highest demand by month", months.items(), unit, subject),
        _chart("The days with the highest demand", top, unit, subject),
    ]


def _highest(pairs: Iterable[tuple[str, float]]) -> dict[str, float]:
    found: dict[str, float] = {}
    for label, value in pairs:
        found[label] = max(found.get(label, 0.0), value)
    return found


def _chart(title: str, bars: Iterable[tuple[str, float]], unit: str, subject: str) -> Chart:
    shown = [(label, round(value, 2)) for label, value in bars]
    highest = max(value for _, value in shown)
    alt = f"{title}, {unit}: {', '.join(f'{label} {value:g}' for label, value in shown)}."
    return Chart(title, alt, Levels(shown, [("highest of the record", highest)], unit), subject)
