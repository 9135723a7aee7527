"""A record of demand: what the job states of it, or interval readings from a CSV file beside the job."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from calc.families.dwelling_load.meter_file import HOUR, meter_file
from calc.job import MeasuredDemand, place
from calc.wiring.house import House
from calc.wiring.reading import read
from calc.work import Value, given


@dataclass(frozen=True)
class Record:
    """The highest demand in kW or A, what is known of the record, and when it happened, where that is known."""

    highest: Value
    days: Value | None
    interval: Value | None
    missing: Value | None = None
    both_legs: bool = False
    when: str = ""


def record(house: House, said: MeasuredDemand) -> Record:
    """The record of a job. Missing, with the line, for a file of readings that can't be used."""
    if said.readings_file is not None:
        folder = house.job.path.parent if house.job.path else Path()
        return _from_file(house.file(folder / said.readings_file), said)
    days = None
    if said.from_date and said.to_date:
        length = (said.to_date - said.from_date).days + 1
        days = given("length of the record", length, "day", place(said, "to_date"))
    interval = read(said, "interval_min") if said.interval_min else None
    return Record(read(said, "peak_kw" if said.peak_kw is not None else "peak_a"), days, interval)


def _from_file(path: Path, said: MeasuredDemand) -> Record:
    found = meter_file(path)
    at = place(said, "readings_file")
    top = max(range(len(found.values)), key=found.values.__getitem__)
    number = found.values[top] / (found.interval / HOUR) if found.unit == "kwh" else found.values[top]
    length = found.times[-1] - found.times[0] + found.interval
    return Record(
        highest=given("highest demand in the readings", round(number, 6), "A" if found.unit == "a" else "kW", at),
        days=given("length of the record", length // timedelta(days=1), "day", at),
        interval=given("interval of the readings", found.interval / timedelta(minutes=1), "min", at),
        missing=given("readings missing", round(length / found.interval) - len(found.times), "reading", at),
        both_legs=found.unit == "a",
        when=f"interval that begins {found.written[top]:%Y-%m-%d %H:%M}, of {len(found.times):,} readings",
    )
