"""Interval readings of a meter out of a CSV file, as a recorder or a utility writes it: which columns, when, how much.

Header rows differ. What is looked for: a time, or a date and a time, of the beginning of each interval; and kW, kWh
(energy of the interval), or the amperes of both legs; a header that names them otherwise is told by the job, column by
column. Other columns, and lines above the header, are passed over. Times are ISO, or day and month with slashes in the
order that the file itself or the job decides; local times that jump in March and November are brought to standard time.
Whether the oldest or the newest reading comes first makes no difference; a day may stand in each row (`by_day.py`).
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Literal

from calc.families.dwelling_load.by_day import Row, below_one_another, days
from calc.intake import MOST_RECORD_BYTES, NotTaken, rows_of, taken, text_of
from calc.job import Problem
from calc.work import Missing

HEADER_WITHIN = 30  # rows: utilities put name, address and meter above it
MOST = 100_000  # kilowatts or amperes; more is a slip of the file
HOUR = timedelta(hours=1)
OUTWARD = {"export", "exported", "received", "generated", "generation", "returned", "surplus", "cost"}
"""Words of columns that hold something else than what the house drew."""
HALF_DAY = ("%I:%M %p", "%I:%M:%S %p", "%I:%M%p")
CLOCKS = ("%H:%M", "%H:%M:%S", *HALF_DAY)
MONTH_DAY = re.compile(r"(\d{1,2})([/-])(\d{1,2})[/-](\d{4}|\d{2})\b")
"""A date of two numbers, month and day in either order, and a year."""
Order = Literal["month-first", "day-first"]
ROLES = ("time", "date", "kw", "kwh", "leg_1_a", "leg_2_a")
"""What a column can be told to be."""
ALLOWED = ("a time, and one column of kw or kwh, or both of leg_1_a and leg_2_a; or say which column is which "
           '(readings_columns = ["time = Read At", "kwh = Use"])')  # fmt: skip


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


def meter_file(path: Path, told: Mapping[str, str] | None = None, order: Order | None = None) -> Readings:
    """The readings of a file. Missing, with the line, where it can't be used.

    ``told`` says by role (see ROLES) how the header calls a column; ``order`` how dates such as 3/4/2025 are meant, which
    a file with a day beyond the twelfth decides itself.
    """
    try:
        rows = rows_of(text_of(taken(path, MOST_RECORD_BYTES, "record"), "CSV"))
    except NotTaken as error:
        raise _unusable(path, error.line, error.read, error.hint or "a CSV file kept beside the job") from None
    known = _told(path, told) if told else None
    by_day = _by_day(path, rows, known)
    if by_day is not None:
        return _in_order(path, *by_day, order)
    found = (
        (at, _columns_told(cells, known) if known else _columns(path, number, cells))
        for at, (number, cells) in enumerate(rows[:HEADER_WITHIN])
    )
    at, columns = next(((at, each) for at, each in found if each), (0, None))
    if columns is None:
        header = ", ".join(cell.strip().lower() for cell in rows[0][1]) if rows else "missing"
        lacks = f"; none of its rows names {', '.join(known.values())}" if known else ""
        raise _unusable(path, 1, f"the header is {header}{lacks}", ALLOWED)
    data = [(number, cells) for number, cells in rows[at + 1 :] if any(_cell(cells, n) for n in columns.values)]
    if data and _newest_first(data, columns):
        data.reverse()
    return _in_order(path, data, columns, order)


def _by_day(path: Path, rows: Sequence[Row], known: Mapping[str, str] | None) -> tuple[list[Row], _Columns] | None:
    """The readings of a file that has a day in each row, one below the other; None where it has not."""
    for at, (number, cells) in enumerate(rows[:HEADER_WITHIN]):
        data = list(rows[at + 1 :])
        found = days(cells, [above for _, above in rows[:at]], data[0][1] if data else [], known)
        if found is None:
            continue
        if not found.unit:
            first = cells[found.intervals[0][0]].strip()
            raise _unusable(path, number, "has a day in each row, and nothing says whether in kW or in kWh",
                            f'readings_columns = ["date = {cells[found.date].strip()}", "kwh = {first}"], or kw')  # fmt: skip
        if _newest_first(data, _Columns((found.date,), (), found.unit)):
            data.reverse()
        return below_one_another(data, found), _Columns((0,), (1,), found.unit)
    return None


def _in_order(path: Path, data: Sequence[Row], columns: _Columns, order: Order | None) -> Readings:
    """The readings of rows from the oldest to the newest."""
    if len(data) < 2:
        raise _unusable(path, None, "holds fewer than two readings", "a whole record")
    unit = columns.unit or _unit_said(path, data, columns)
    when = _when(path, [(number, " ".join(_cell(cells, n) for n in columns.when)) for number, cells in data], order)
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


def _told(path: Path, told: Mapping[str, str]) -> dict[str, str]:
    """The columns as the job calls them, in small letters. Missing for a role that there is none of, or that lacks another."""
    known = {role.strip().lower(): name.strip().lower() for role, name in told.items()}
    values = [role for role in known if role in ("kw", "kwh")]
    legs = {"leg_1_a", "leg_2_a"} <= known.keys()
    if not known.keys() <= set(ROLES) or not known.keys() & {"time", "date"} or len(values) + legs != 1:
        raise _unusable(
            path,
            None,
            f"columns are told as {', '.join(known)}",
            "time or date or both, and kw, kwh, or leg_1_a and leg_2_a",
        )
    return known


def _columns_told(header: Sequence[str], known: Mapping[str, str]) -> _Columns | None:
    """The columns that the job names, where this row has them all."""
    names = [cell.strip().lower() for cell in header]
    if not set(known.values()) <= set(names):
        return None
    at = {role: names.index(name) for role, name in known.items()}
    when = tuple(at[role] for role in ("date", "time") if role in at)
    unit = next((role for role in ("kw", "kwh") if role in at), "a")
    return _Columns(when, (at[unit],) if unit != "a" else (at["leg_1_a"], at["leg_2_a"]), unit)


def _newest_first(data: Sequence[tuple[int, list[str]]], columns: _Columns) -> bool:
    """Whether the file runs backwards: by its first and last day, with month and day as they can be meant."""
    texts = [" ".join(_cell(cells, n) for n in columns.when) for _, cells in data]
    dated = [[int(each) for each in found.group(4, 1, 3)] for text in texts if (found := MONTH_DAY.match(text))]
    if len(dated) == len(texts):
        orders = [(0, 1, 2)] if any(two > 12 for *_, two in dated) else [(0, 2, 1)]
        orders = orders if any(max(one, two) > 12 for _, one, two in dated) else [(0, 1, 2), (0, 2, 1)]
        ends = [[[day[n] for n in order] for day in (dated[0], dated[-1])] for order in orders]
        return all(last < first for first, last in ends)
    days = [text[:10] for text in (texts[0], texts[-1]) if re.match(r"\d{4}-\d\d-\d\d", text)]
    return len(days) == 2 and days[1] < days[0]


def _unit_said(path: Path, data: Sequence[tuple[int, list[str]]], columns: _Columns) -> str:
    """The unit that a column says in each row: the same in all."""
    first = _cell(data[0][1], columns.unit_at).lower()
    for number, cells in data:
        said = _cell(cells, columns.unit_at)
        if said.lower() != first or first not in ("kw", "kwh"):
            raise _unusable(path, number, f"is in {said!r}", "kW or kWh, the same in each row")
    return first


def _when(path: Path, times: Sequence[tuple[int, str]], order: Order | None) -> Callable[[str], datetime]:
    """How the file writes its times, by its first one: ISO, or with month and day in the order that the file has."""
    first = times[0][1]
    dated = MONTH_DAY.match(first)
    if dated:
        year = "%Y" if len(dated[4]) == 4 else "%y"
        days = [dated[2].join((*(("%m", "%d") if each == "month-first" else ("%d", "%m")), year))
                for each in [order or _order(path, times)]]  # fmt: skip
    else:
        days = ["%Y-%m-%d"]
    for form in (f"{day} {clock}" for day in days for clock in (CLOCKS if dated else HALF_DAY)):
        if _reads(form, first):
            return lambda text: datetime.strptime(text.upper(), form)
    return lambda text: _iso(text, first)


def _reads(form: str, text: str) -> bool:
    try:
        datetime.strptime(text.upper(), form)
    except ValueError:
        return False
    return True


def _order(path: Path, times: Sequence[tuple[int, str]]) -> Order:
    """Whether month or day comes first, as the file tells: by a number beyond twelve, or by days that run on."""
    found = [(number, *map(int, dated.group(1, 3, 4))) for number, text in times if (dated := MONTH_DAY.match(text))]
    if any(one > 12 for _, one, _, _ in found):
        return "day-first"
    if any(two > 12 for _, _, two, _ in found):
        return "month-first"
    month = _run_on([(year, one, two) for _, one, two, year in found])
    day = _run_on([(year, two, one) for _, one, two, year in found])
    if month != day:
        return "month-first" if month else "day-first"
    number, one, two, year = found[0]
    read = f"a date such as {one:02}/{two:02}/{year}, and nothing in the file tells whether month or day comes first"
    raise _unusable(path, number, read, f'readings_dates = "month-first" for day {two} of month {one}, or "day-first" for '
                    f"day {one} of month {two}")  # fmt: skip


def _run_on(days: Sequence[tuple[int, int, int]]) -> bool:
    """Whether days follow one another, most of them on the day before."""
    try:
        steps = [b - a for a, b in pairwise(date(*day) for day in dict.fromkeys(days))]
    except ValueError:
        return False
    return bool(steps) and min(steps) > timedelta(0) and steps.count(timedelta(days=1)) * 2 > len(steps)


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
