"""The one way in for files that a person hands over: job files, amendments, tables, readings, options, answers, packets.

Whatever lies at a path, reading it ends soon: an ordinary file within limits is given, all else is ``NotTaken`` with the
reason, for each caller to say in its own words. Limits are far above what a house needs.
"""

from __future__ import annotations

import csv
import io
import math
import os
import re
import stat
from pathlib import Path
from typing import Any

import tomli

MOST_BYTES = 2_000_000
"""A job file of a house is a few pages; anything larger is not one."""
MOST_RECORD_BYTES = 20_000_000
"""A year of readings, one each five minutes, has some four million bytes."""
MOST_DEPTH = 20
"""Tables and lists inside one another, in a job file six at most."""
MOST_DIGITS = 100
MOST_COLUMNS = 2_000
MOST_NUMBER = 1e15
"""Beyond it a number is a slip or worse, whatever it counts."""

_LONG_CHAIN = re.compile(r"""(?:^|[\[{,])\s*+(?:(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')\s*+\.\s*+){20}""", re.MULTILINE)
"""A dotted key so long that reading it would take all memory."""
_LONG_NUMBER = re.compile(rf"[=\[,]\s*[+-]?(?:0[xob][0-9A-Fa-f_]{{{MOST_DIGITS}}}|\d[\d_.]{{{MOST_DIGITS - 1}}})")


class NotTaken(Exception):
    """A file can't be used: what was read, what to do about it, and the line, where one is to blame."""

    def __init__(self, read: str, hint: str = "", line: int | None = None) -> None:
        self.read, self.hint, self.line = read, hint, line
        super().__init__("; ".join(filter(None, (f"line {line}: {read}" if line else read, hint))))


def taken(path: str | Path, most: int = MOST_BYTES, kind: str = "job file") -> bytes:
    """The bytes of an ordinary file of at most so many. NotTaken says why when they can't be had.

    It is opened without waiting: a pipe that nobody writes to is refused, not waited for.
    """
    try:
        state = os.stat(path)
        if stat.S_ISDIR(state.st_mode):
            raise NotTaken(f"is a folder, not a {kind}")
        if not stat.S_ISREG(state.st_mode):
            raise NotTaken("is not an ordinary file")
        with open(path, "rb", opener=lambda name, flags: os.open(name, flags | getattr(os, "O_NONBLOCK", 0))) as file:
            raw = b"" if state.st_size > most else file.read(most + 1)
    except FileNotFoundError:
        raise NotTaken("does not exist") from None
    except PermissionError:
        raise NotTaken("may not be read", "ask its owner for permission to read it") from None
    except (OSError, ValueError) as error:
        raise NotTaken(f"can't be read: {getattr(error, 'strerror', None) or 'not a file name'}") from None
    if state.st_size > most or len(raw) > most:
        raise NotTaken(f"has {max(state.st_size, len(raw)):,} bytes", f"a {kind} has up to {most:,} bytes")
    return raw


def text_of(raw: bytes, form: str = "plain text") -> str:
    """Bytes as text in UTF-8, with or without a mark at its head; ``form`` is what a person may save it as."""
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise NotTaken("is not text in UTF-8", f"save it as {form} in UTF-8", line) from None
    if "\0" in text:
        raise NotTaken("is not text: it holds zero bytes")
    return text


def toml_of(text: str) -> dict[str, Any]:
    """The data of a TOML text, no deeper and with no longer numbers than anything of ours has."""
    if _LONG_CHAIN.search(text):
        raise _too_deep()
    if long := _LONG_NUMBER.search(text):
        line = text.count("\n", 0, long.start()) + 1
        raise NotTaken(f"has a number of {MOST_DIGITS} digits or more", f"up to {MOST_DIGITS - 1} digits", line)
    try:
        data = tomli.loads(text)
    except RecursionError:
        raise _too_deep() from None
    except ValueError as error:
        said = str(error)
        place = re.search(r"at line (\d+)", said)
        line = int(place[1]) if place else text.count("\n") + 1
        what = re.sub(r" \(at .*\)$", "", said, flags=re.DOTALL)
        raise NotTaken(f"is not TOML: {what}", "see the line and the one before it", line) from None
    inside: list[Any] = [data]
    for _ in range(MOST_DEPTH):
        inside = [one for each in inside for one in (each.values() if isinstance(each, dict) else each)
                  if isinstance(one, dict | list)]  # fmt: skip
    if inside:
        raise _too_deep()
    return data


def rows_of(text: str) -> list[tuple[int, list[str]]]:
    """The rows of a CSV text that have anything in them, each with the number of the line it ends on."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    rows: list[tuple[int, list[str]]] = []
    try:
        for cells in reader:
            if len(cells) > MOST_COLUMNS:
                raise NotTaken(f"has {len(cells):,} cells", f"up to {MOST_COLUMNS:,} in a row", reader.line_num)
            if any(cell.strip() for cell in cells):
                rows.append((reader.line_num, cells))
    except csv.Error as error:
        raise NotTaken(f"is not CSV: {error}", "", reader.line_num) from None
    return rows


def is_number(value: object) -> bool:
    """Whether a value of a file is a number that can be reckoned with: no truth value, finite, not beyond all measure."""
    return (
        isinstance(value, int | float)
        and not isinstance(value, bool)
        and math.isfinite(value)
        and abs(value) < MOST_NUMBER
    )


def _too_deep() -> NotTaken:
    return NotTaken("is nested too deeply", "a job file has tables within tables, no deeper")
