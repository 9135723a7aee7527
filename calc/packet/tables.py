"""A table's rows, heads and widths as they are set."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from calc.packet.wording import printed

Table = dict[str, Any]
_UNIT = "VA"
_SHORT_CELL = 18
_WIDEST_WEIGHT = 48
_LETTERS_ACROSS = 130  # of the text's width


@dataclass(frozen=True)
class Row:
    """A row's cells; emphasis: a subtotal or total."""

    cells: list[str]
    emphasis: bool = False


def table_rows(table: Table) -> list[Row]:
    """The table's rows, each with a cell for each column.

    A row that has a number only in the last of several VA columns is a subtotal: a demand load worked from the
    rows above it.
    """
    width = len(table["columns"])
    *loads, demand = _va_columns(table) or [width]
    rows = []
    for given in table["rows"]:
        cells = [str(cell) for cell in given[:width]] + [""] * (width - len(given))
        rows.append(Row(cells, bool(loads) and cells[demand] != "" and not any(cells[column] for column in loads)))
    return rows


def _va_columns(table: Table) -> list[int]:
    return [i for i, column in enumerate(table["columns"]) if str(column["name"]).split()[-1:] == [_UNIT]]


def column_widths(table: Table) -> list[str | int]:
    """How to share out a table's width: as it says itself, else 'auto' for columns of short cells and a weight by their
    longest cell."""
    if all(column.get("weight") for column in table["columns"]):
        return [column["weight"] for column in table["columns"]]
    widths: list[str | int] = []
    for column in zip(*(row.cells for row in table_rows(table)), strict=True):
        longest = max(map(len, column))
        widths.append("auto" if longest <= _SHORT_CELL else min(longest, _WIDEST_WEIGHT))
    widths = widths or ["auto"] * len(table["columns"])
    return widths if any(width != "auto" for width in widths) else [1, *widths[1:]]


def lines_of(cells: list[str], widths: list[str | int]) -> float:
    """About how many lines a row takes, by the cell that is longest for its column."""
    shares = [width if isinstance(width, int) else 0 for width in widths]
    whole = sum(shares) or 1
    return max(
        (len(cell) * whole / share / _LETTERS_ACROSS for cell, share in zip(cells, shares, strict=True) if share),
        default=0,
    )


def column_heads(table: Table) -> tuple[list[str], list[str]]:
    """Names and alignments of a table's columns."""
    names = [printed(column["name"]) for column in table["columns"]]
    return names, [str(column.get("align", "left")) for column in table["columns"]]
