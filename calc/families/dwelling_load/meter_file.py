"""Interval readings of a meter out of a CSV file, as a recorder or a utility writes it: which columns, when, how much.

Header rows differ. What is looked for: a time, or a date and a time, of the beginning of each interval; and kW, kWh
(energy of the interval), or the amperes of both legs. Other columns, and lines above the header, are passed over. Times
are ISO or month/day/year; local times that jump in March and November are brought to standard time.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from pathlib import Path

from calc.intake import MOST_RECORD_BYTES, NotTaken, rows_of, taken, text_of
from calc.job import Problem
from calc.work import Missing

HEADER_WITHIN = 30  # rows: utilities put name, address and meter above it
MOST = 100_000  # kilowatts or amperes; more is a slip of the file
HOUR = timedelta(hours=1)
OUTWARD = {"export", "exported", "received", "generated", "generation", "returned", "surplus", "cost"}
"""Words of columns that hold something else than what the house drew."""
HALF_DAY = ("%I:%M %p", "%I:%M:%S %p", "%I:%M%p")
FORMATS = (
    *(f"{day} {clock}" for day in ("%m/%d/%Y", "%m/%d/%y", "%m-%d-%Y") for clock in ("%H:%M", "%H:%M:%S", *HALF_DAY)),
    *(f"%Y-%m-%d {clock}" for clock in HALF_DAY),
)
"""How times are written that aren't ISO."""
ALLOWED = "a time, and one column of kw or kwh, or both of leg_1_a and leg_2_a"


@dataclass(frozen=True)
class Readings:
    """Readings in order: when each interval began, as written and in one even time, the value, and what it is in."""

    written: list[datetime]
    times: list[datetime]
    values: list[float]
    unit: str  # 'kw', 'kwh' or 'a', the larger of two legs
    interval: timedelta


@dataclass(frozen=True)
class _Columns:
    when: tuple[int, ...]
    values: tuple[int, ...]
    unit: str  # '' where a column of the row says it
    unit_at: int = -1


def meter_file(path: Path) -> Readings:
    """The readings of a file. Missing, with the line, where it can't be used."""
    try:
        rows = rows_of(text_of(taken(path, MOST_RECORD_BYTES, "record"), "CSV"))
    except NotTaken as error:
        raise _unusable(path, error.line, error.read, error.hint or "a CSV file kept beside the job") from None
    found = ((at, _columns(path, number, cells)) for at, (number, cells) in enumerate(rows[:HEADER_WITHIN]))
    at, columns = next(((at, each) for at, each in found if each), (0, None))
    if columns is None:
        header = ", ".join(cell.strip().lower() for cell in rows[0][1]) if rows else "missing"
        raise _unusable(path, 1, f"the header is {header}", ALLOWED)
    data = [(number, cells) for number, cells in rows[at + 1 :] if any(_cell(cells, n) for n in columns.values)]
    if len(data) < 2:
        raise _unusable(path, None, "holds fewer than two readings", "a whole record")
    unit = columns.unit or _unit_said(path, data, columns)
    when = _when(" ".join(_cell(data[0][1], n) for n in columns.when))
    readings = [_reading(path, number, cells, columns, when) for number, cells in data]
    written = [time for time, _ in readings]
    interval = Counter(b - a for a, b in pairwise(written)).most_common(1)[0][0]
    if interval <= timedelta(0):
        raise _unusable(
            path, data[1][0], f"the time {written[1]} is not after the one before it", "readings in order, each once"
        )
    times = _even(written, interval)
    for (number, _), (before, after) in zip(data[1:], pairwise(times), strict=True):
        if after <= before:
            read = f"the time {after} is not after the one before it"
            raise _unusable(path, number, read, "readings in order, each once")
    return Readings(written, times, [value for _, value in readings], unit, interval)


def _columns(path: Path, number: int, header: Sequence[str]) -> _Columns | None:
    """The columns that a header row names; None where it is none."""
    names = [set(re.sub(r"[^a-z0-9]+", " ", cell.lower()).split()) for cell in header]
    begins = [at for at, name in enumerate(names) if not name & {"end", "stop"}]
    both = [at for at in begins if names[at] & {"timestamp", "datetime"} or {"date", "time"} <= names[at]]
    days = [at for at in begins if "date" in names[at]]
    clocks = [at for at in begins if names[at] & {"time", "start", "begin"} and at not in days]
    when = both[:1] or [*days[:1], *clocks[:1]]
    if not when:
        return None
    legs = [at for leg in "12" for at, name in enumerate(names) if {"leg", leg, "a"} <= name]
    if len(legs) == 2:
        return _Columns(tuple(when), tuple(legs), "a")
    for unit in ("kw", "kwh"):
        values = [at for at, name in enumerate(names) if unit in name and not name & OUTWARD]
        if len(values) > 1:
            several = ", ".join(header[at].strip() for at in values)
            raise _unusable(path, number, f"has several columns of {unit}: {several}", "one of them")
        if values:
            return _Columns(tuple(when), tuple(values), unit)
    usage, units = (next((at for at, name in enumerate(names) if name == word), -1) for word in ({"usage"}, {"units"}))
    return _Columns(tuple(when), (usage,), "", units) if usage >= 0 <= units else None


def _unit_said(path: Path, data: Sequence[tuple[int, list[str]]], columns: _Columns) -> str:
    """The unit that a column says in each row: the same in all."""
    first = _cell(data[0][1], columns.unit_at).lower()
    for number, cells in data:
        said = _cell(cells, columns.unit_at)
        if said.lower() != first or first not in ("kw", "kwh"):
            raise _unusable(path, number, f"is in {said!r}", "kW or kWh, the same in each row")
    return first


def _when(first: str) -> Callable[[str], datetime]:
    """How the file writes its times, by its first one: ISO, or one of the forms with month before day."""
    for form in FORMATS:
        try:
            datetime.strptime(first.upper(), form)
        except ValueError:
            continue
        return lambda text: datetime.strptime(text.upper(), form)
    return lambda text: _iso(text, first)


def _iso(text: str, first: str) -> datetime:
    """A time as ISO writes it, with an offset from UTC as the file's first has one, or without as that."""
    time = datetime.fromisoformat(text)
    if (time.tzinfo is None) != (datetime.fromisoformat(first).tzinfo is None):
        raise ValueError
    return time


def _reading(
    path: Path, number: int, cells: list[str], columns: _Columns, when: Callable[[str], datetime]
) -> tuple[datetime, float]:
    try:
        time = when(" ".join(_cell(cells, n) for n in columns.when))
        values = [float(_cell(cells, n)) for n in columns.values]
        if not all(0 <= value < MOST for value in values):
            raise ValueError
        time = time.astimezone(UTC).replace(tzinfo=None) if time.tzinfo else time
    except (ValueError, OverflowError):
        allowed = ("a time such as 2025-01-14 18:15 or 1/14/2025 6:15 PM, written alike in each row, and a number from 0 in "
                   "each column of values")  # fmt: skip
        raise _unusable(path, number, f"is {', '.join(cells)!r}", allowed) from None
    return time, max(values)


def _even(written: list[datetime], interval: timedelta) -> list[datetime]:
    """Local times in one even time: an hour that is left out in March or comes twice in November is the clock's doing."""
    shift = timedelta(0)
    times = written[:1]
    for before, after in pairwise(written):
        step = after - before
        if step == interval + HOUR and after.date() == _sunday(after.year, 3, 8):
            shift -= HOUR
        elif step == interval - HOUR and after.date() == _sunday(after.year, 11, 1):
            shift += HOUR
        times.append(after + shift)
    return times


def _sunday(year: int, month: int, day: int) -> date:
    """The first Sunday from that day on: clocks change on the second of March and on the first of November."""
    first = date(year, month, day)
    return first + timedelta(days=6 - first.weekday())


def _cell(cells: Sequence[str], at: int) -> str:
    return cells[at].strip() if at < len(cells) else ""


def _unusable(path: Path, line: int | None, read: str, allowed: str) -> Missing:
    """What is to be entered is a file that can be read: until then nothing is known of the demand."""
    return Missing(str(Problem(path.name, line, "", read, allowed)), at="measured_demand.readings_file")
