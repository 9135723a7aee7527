"""Tables as CSV: comment lines (title, source, confidence, labels of columns), a header row, rows as printed.

A key is a column of its own (``size``) or a band of two (``appliances_from``, ``appliances_to``; blank is no end).
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from calc.intake import NotTaken, taken, text_of

FOLDER = Path(__file__).parent / "tables"


@dataclass(frozen=True)
class Table:
    """A table read from its file. ``notes`` holds the comment lines: title, source, confidence, labels."""

    path: Path
    notes: Mapping[str, str]
    columns: tuple[str, ...]
    rows: tuple[Mapping[str, str], ...]
    _found: dict[tuple[tuple[str, Any], ...], Mapping[str, str] | None] = field(
        default_factory=dict, compare=False, repr=False
    )

    @property
    def name(self) -> str:
        """The table's name: its file's."""
        return self.path.stem

    @property
    def file(self) -> str:
        """File name, for a replay."""
        return self.path.name

    @property
    def title(self) -> str:
        """What the table holds."""
        return self.notes["title"]

    @property
    def covers(self) -> str:
        """What rows there are, for a refusal."""
        return self.notes.get("covers", self.title)

    def label(self, column: str) -> str:
        """How a reader knows the column."""
        return self.notes.get(f"label {column}", column.replace("_", " "))

    def find(self, by: Mapping[str, Any]) -> Mapping[str, str] | None:
        """The row that every key of ``by`` falls in."""
        asked = tuple(by.items())
        if asked not in self._found:
            fits = (row for row in self.rows if all(_falls(row, key, value) for key, value in asked))
            self._found[asked] = next(fits, None)
        return self._found[asked]


def _falls(row: Mapping[str, str], key: str, value: Any) -> bool:
    if key in row:
        return float(row[key]) == value if isinstance(value, float) else row[key] == value
    low, high = row[f"{key}_from"], row[f"{key}_to"]
    return float(low) <= value and (high == "" or value <= float(high))


@cache
def load(path: Path) -> Table:
    """Read a table once. Raises ValueError with the file's name where it isn't one."""
    notes: dict[str, str] = {}
    body: list[str] = []
    try:
        text = text_of(taken(path, kind="table"), "CSV")
    except NotTaken as error:
        raise ValueError(f"{path.name}: {error}") from None
    for line in text.splitlines():
        if line.startswith("#"):
            word, _, text = line[1:].partition(":")
            notes[word.strip()] = text.strip()
        elif line.strip():
            body.append(line)
    try:
        rows = list(csv.DictReader(body))
    except csv.Error as error:
        raise ValueError(f"{path.name}: is not CSV: {error}") from None
    for needed in ("title", "source", "confidence"):
        if needed not in notes:
            raise ValueError(f"{path.name}: no '# {needed}:' line at its head")
    if not rows or any(None in row or None in row.values() for row in rows):
        raise ValueError(f"{path.name}: no rows, or a row with more or fewer cells than the header")
    return Table(path, notes, tuple(rows[0]), tuple(rows))
