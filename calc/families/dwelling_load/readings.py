"""A record of demand: what the job states of it, or interval readings from a CSV file beside the job."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from calc.families.dwelling_load.meter_file import HOUR, Readings, meter_file
from calc.job import MeasuredDemand, place
from calc.wiring.house import House, remembered
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
        return _from_readings(readings(house, said), said)
    days = None
    if said.from_date and said.to_date:
        length = (said.to_date - said.from_date).days + 1
        days = given("length of the record", length, "day", place(said, "to_date"))
    interval = read(said, "interval_min") if said.interval_min else None
    return Record(read(said, "peak_kw" if said.peak_kw is not None else "peak_a"), days, interval)


@remembered
def readings(house: House, said: MeasuredDemand) -> Readings:
    """The readings of the file beside the job that the record names. Missing, with the line, where it can't be used."""
    assert said.readings_file is not None
    folder = house.job.path.parent if house.job.path else Path()
    return meter_file(house.file(folder / said.readings_file), columns_of(said.readings_columns), said.readings_dates)


def columns_of(told: Sequence[str]) -> dict[str, str]:
    """'kwh = Use' -> {'kwh': 'Use'}: what a job says of the columns of its readings."""
    return {role.strip(): name.strip() for role, _, name in (one.partition("=") for one in told)}


def in_demand(found: Readings) -> tuple[list[float], str]:
    """The readings as averages over their intervals, and their unit: energy over the hours of the interval."""
    if found.unit != "kwh":
        return found.values, "A" if found.unit == "a" else "kW"
    return [value / (found.interval / HOUR) for value in found.values], "kW"


def _from_readings(found: Readings, said: MeasuredDemand) -> Record:
    at = place(said, "readings_file")
    values, unit = in_demand(found)
    top = max(range(len(values)), key=values.__getitem__)
    length = found.times[-1] - found.times[0] + found.interval
    return Record(
        highest=given("highest demand in the readings", round(values[top], 6), unit, at),
        days=given("length of the record", length // timedelta(days=1), "day", at),
        interval=given("interval of the readings", found.interval / timedelta(minutes=1), "min", at),
        missing=given("readings missing", round(length / found.interval) - len(found.times), "reading", at),
        both_legs=found.unit == "a",
        when=f"interval that begins {found.written[top]:%Y-%m-%d %H:%M}, of {len(found.times):,} readings",
    )
