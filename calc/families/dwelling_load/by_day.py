"""Readings with a day in each row and a column for each of its intervals: put one below the other, as other files have them.

The columns are called by the clock (0:15, 12:00 AM, 0015, 00:00-00:15) or counted (1 to 24, HE01 to HE24); called by the end
of an interval, they begin one interval after midnight. An empty cell is no reading: so it is in the hour that March leaves out.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import NamedTuple

A_DAY_MIN = 24 * 60
COUNTS = (24, 48, 96)
"""Intervals of a day: of an hour, of half, of a quarter."""
_CLOCK = re.compile(r"(\d{1,2}):(\d{2})(?::00)?\s*(am|pm)?|(\d{1,2})\s*(am|pm)|(\d{2})(\d{2})")
_WORDS = re.compile(
    r"\b(?:kwh|kw|hours?|hr|interval|ending|beginning|energy|usage|read(?:ing)?|period)\b|\bhe(?=\s*\d)|[()_]"
)
_UNIT = re.compile(r"\b(kwh|kw)\b", re.IGNORECASE)

Row = tuple[int, list[str]]


class Days(NamedTuple):
    """Where a header has the day and its intervals: (column, minutes after midnight at which it begins)."""

    date: int
    intervals: tuple[tuple[int, int], ...]
    unit: str
    """'kw', 'kwh', or '' where nothing says it."""


def days(
    header: Sequence[str], above: Sequence[Sequence[str]], first: Sequence[str], known: Mapping[str, str] | None
) -> Days | None:
    """The columns of a header with a day in each row; None where it is none.

    The unit is what the header, the lines above it or the first row say, or the role of the first interval as told.
    """
    names = [cell.strip().lower() for cell in header]
    told = (known or {}).get("date", "")
    date = next(
        (at for at, name in enumerate(names) if (name == told if told else "date" in name or name == "day")), -1
    )
    columns = [at for at, name in enumerate(names) if at != date and _starts(name) is not None]
    begins = _begins([names[at] for at in columns]) if date >= 0 else None
    if begins is None:
        return None
    role = next((role for role in ("kw", "kwh") if (known or {}).get(role) == names[columns[0]]), "")
    said = {found.lower() for row in (*above, header, first) for cell in row for found in _UNIT.findall(cell)}
    return Days(date, tuple(zip(columns, begins, strict=True)), role or ("" if len(said) != 1 else said.pop()))


def below_one_another(rows: Sequence[Row], found: Days) -> list[Row]:
    """A row for each reading: the day with the time at which its interval begins, and the reading."""
    return [
        (number, [f"{cells[found.date].strip()} {minutes // 60:02}:{minutes % 60:02}", cells[at].strip()])
        for number, cells in rows
        for at, minutes in found.intervals
        if at < len(cells) and cells[at].strip()
    ]


def _starts(name: str) -> str | None:
    """The clock or the number by which a column is called; None where it is called by neither."""
    plain = re.split(r"\s*(?:-|to|–)\s*", _WORDS.sub(" ", name).strip())[0].strip()
    return plain if plain.isdigit() or _CLOCK.fullmatch(plain) else None


def _begins(names: Sequence[str]) -> list[int] | None:
    """When each interval of a day begins, in minutes after midnight; None where they don't make up a day."""
    if len(names) not in COUNTS:
        return None
    step, called = A_DAY_MIN // len(names), [str(_starts(name)) for name in names]
    if all(each.isdigit() for each in called) and [int(each) - int(called[0]) for each in called] == [
        *range(len(called))
    ]:
        return [step * n for n in range(len(called))] if int(called[0]) in (0, 1) else None
    minutes = [_minutes(each) for each in called]
    first = minutes[0]
    if first not in (0, step):
        return None
    even = (
        all(at == (first + step * n) % A_DAY_MIN for n, at in enumerate(minutes[:-1]))
        and minutes[-1] % A_DAY_MIN == (first + step * (len(minutes) - 1)) % A_DAY_MIN
    )
    return [step * n for n in range(len(minutes))] if even else None


def _minutes(called: str) -> int:
    clock = _CLOCK.fullmatch(called)
    if clock is None:
        return -1
    hour = int(clock[1] or clock[4] or clock[6])
    half = clock[3] or clock[5]
    return (hour % 12 + 12 * (half == "pm") if half else hour) * 60 + int(clock[2] or clock[7] or 0)
