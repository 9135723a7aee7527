"""Cells of the code's tables, read straight from their files; and the unit that a key or a column ends in."""

import csv
import functools
import re
from pathlib import Path
from typing import Any

from tests.replay.quantities import NUMBER, Fault, exact, is_number, number

SPELT_ALIKE = "ohm ft kft in ft2 in2 in3 cmil kcmil hp"
KEY_UNITS = {"pct": "%", "va": "VA", "kva": "kVA", "kw": "kW", "w": "W", "a": "A", "ka": "kA", "v": "V"}
KEY_UNITS |= {"c": "°C", "f": "°F"} | {word: word for word in SPELT_ALIKE.split()}


def key_unit(key: str) -> str | None:
    """The unit that a line key or a table column ends in; None when its last word is no unit."""
    *front, last = key.split("_")
    if len(front) > 1 and front[-1] == "per":
        return f"{KEY_UNITS.get(front[-2], front[-2])}/{KEY_UNITS.get(last, last)}"
    return KEY_UNITS.get(last)


def check_unit(key: str, word: str) -> None:
    """The key's last word is the unit: a unit that has a word needs it, and a word needs its unit."""
    expected = key_unit(key)
    if expected not in (None, word) or (expected is None and word in KEY_UNITS.values()):
        raise Fault(f"{key!r} doesn't end in its unit {word!r}")


def same(cell: str, value: Any) -> bool:
    """A table cell and a value from JSON: equal as numbers, or as text."""
    return _same(cell, str(value))


@functools.lru_cache(maxsize=100_000)
def _same(cell: str, text: str) -> bool:
    if re.fullmatch(NUMBER, cell) and re.fullmatch(NUMBER, text):
        return number(cell) == number(text)
    return cell == text


def row_fits(row: dict[str, str], key: str, value: Any) -> bool:
    """Exact key column, or the band `<key>_from` to `<key>_to` (plain 'from' and 'to' without those)."""
    if key in row:
        return same(row[key], value)
    prefix = f"{key}_" if f"{key}_from" in row else ""
    if f"{prefix}from" not in row or not is_number(value):
        raise Fault(f"no column {key!r} in the table")
    low, high = row[f"{prefix}from"], row[f"{prefix}to"]
    return (not low or number(low) <= exact(value)) and (not high or exact(value) <= number(high))


@functools.lru_cache(maxsize=200)
def _rows(text: str) -> list[dict[str, str]]:
    """The rows of a table file; nobody changes them."""
    return list(csv.DictReader(line for line in text.splitlines(keepends=True) if not line.startswith("#")))


def cell(lookup: dict[str, Any], tables: Path) -> str:
    """The cell that a lookup names: the first row, in file order, that fits; or the next standard size."""
    path = tables / lookup.get("file", f"{lookup['table']}.csv")
    if not path.is_file():
        raise Fault(f"no table file {path.name}")
    rows = _rows(path.read_text(encoding="utf-8"))
    column, keys = lookup["column"], dict(lookup["row"])
    if not rows or column not in rows[0]:
        raise Fault(f"no column {column!r} in {path.name}")
    least, most = keys.pop("at_least", None), keys.pop("at_most", None)
    cells = [row[column] for row in rows if all(row_fits(row, key, value) for key, value in keys.items())]
    if least is not None:
        cells = sorted((text for text in cells if text and number(text) >= exact(least)), key=number)
    if most is not None:
        cells = sorted((text for text in cells if text and number(text) <= exact(most)), key=number, reverse=True)
    if not cells or not cells[0]:
        raise Fault(f"no cell for {lookup['row']} in {path.name}")
    return cells[0]
