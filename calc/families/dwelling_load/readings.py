"""A record of demand: what the job states of it, or interval readings from a CSV file beside the job.

The file has a header row with ``time`` (ISO, such as 2025-01-14 18:15) and either ``kw``, ``kwh`` (energy of each
interval) or both of ``leg_1_a`` and ``leg_2_a``; each time is the beginning of its interval.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path

from calc.families.reading import read
from calc.intake import MOST_RECORD_BYTES, NotTaken, rows_of, taken, text_of
from calc.job import Job, MeasuredDemand, Problem, place
from calc.work import Refused, Value, given

KINDS = (("kw",), ("kwh",), ("leg_1_a", "leg_2_a"))
MOST = 100_000  # kilowatts or amperes; more is a slip of the file


@dataclass(frozen=True)
class Record:
    """The highest demand in kW or A, what is known of the record, and when it happened, where that is known."""

    highest: Value
    days: Value | None
    interval: Value | None
    missing: Value | None = None
    both_legs: bool = False
    when: str = ""


def record(job: Job, said: MeasuredDemand) -> Record:
    """The record of a job. Refused, with the line, for a file of readings that can't be used."""
    if said.readings_file is not None:
        folder = job.path.parent if job.path else Path()
        return _from_file(folder / said.readings_file, said)
    days = None
    if said.from_date and said.to_date:
        length = (said.to_date - said.from_date).days + 1
        days = given("length of the record", length, "day", place(said, "to_date"))
    interval = read(said, "interval_min") if said.interval_min else None
    return Record(read(said, "peak_kw" if said.peak_kw is not None else "peak_a"), days, interval)


def _from_file(path: Path, said: MeasuredDemand) -> Record:
    times, values, columns = _readings(path)
    interval = Counter(b - a for a, b in pairwise(times)).most_common(1)[0][0]
    minutes = interval / timedelta(minutes=1)
    hours = interval / timedelta(hours=1)
    at = place(said, "readings_file")
    top = max(range(len(values)), key=values.__getitem__)
    unit, number = ("A", values[top]) if "leg_1_a" in columns else ("kW", values[top])
    if columns == ("kwh",):
        number = values[top] / hours
    length = times[-1] - times[0] + interval
    due = length / interval
    return Record(
        highest=given("highest demand in the readings", round(number, 6), unit, at),
        days=given("length of the record", length // timedelta(days=1), "day", at),
        interval=given("interval of the readings", minutes, "min", at),
        missing=given("readings missing", round(due) - len(times), "reading", at),
        both_legs="leg_1_a" in columns,
        when=f"interval that begins {times[top]:%Y-%m-%d %H:%M}, of {len(times):,} readings",
    )


def _readings(path: Path) -> tuple[list[datetime], list[float], tuple[str, ...]]:
    """Times, the larger leg or the one column of each reading, and the columns used."""
    try:
        rows = rows_of(text_of(taken(path, MOST_RECORD_BYTES, "record"), "CSV"))
    except NotTaken as error:
        raise _unusable(path, error.line, error.read, error.hint or "a CSV file kept beside the job") from None
    header = [name.strip().lower() for name in rows[0][1]] if rows else []
    columns = next((kind for kind in KINDS if set(kind) <= set(header)), None)
    if columns is None or "time" not in header:
        allowed = "time and one of kw, kwh, or both of leg_1_a and leg_2_a"
        raise _unusable(path, 1, f"the header is {', '.join(header) or 'missing'}", allowed)
    readings = [(number, *_reading(path, number, row, header, columns)) for number, row in rows[1:]]
    if len(readings) < 2:
        raise _unusable(path, None, "holds fewer than two readings", "a whole record")
    for (_, before, _), (number, after, _) in pairwise(readings):
        if after <= before:
            read = f"the time {after} is not after the one before it"
            raise _unusable(path, number, read, "readings in order, in standard time or with their offset")
    return [time for _, time, _ in readings], [value for *_, value in readings], columns


def _reading(
    path: Path, number: int, row: list[str], header: list[str], columns: tuple[str, ...]
) -> tuple[datetime, float]:
    try:
        time = datetime.fromisoformat(row[header.index("time")].strip())
        values = [float(row[header.index(name)]) for name in columns]
        if not all(0 <= value < MOST for value in values):
            raise ValueError
    except (ValueError, IndexError):
        allowed = f"a time such as 2025-01-14 18:15 and a number from 0 in each of {', '.join(columns)}"
        raise _unusable(path, number, f"is {', '.join(row)!r}", allowed) from None
    return time.astimezone(UTC).replace(tzinfo=None) if time.tzinfo else time, max(values)


def _unusable(path: Path, line: int | None, read: str, allowed: str) -> Refused:
    return Refused(str(Problem(path.name, line, "", read, allowed)))
