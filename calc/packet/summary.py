"""Page 1's load table: its rows, and shorter forms of it in which the smallest loads are put together."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Any

from calc.packet.wording import clipped, printed

Table = dict[str, Any]
FEWER_ROWS = (30, 24, 18, 12)
_NAME_LENGTH = 64
_UNIT = "VA"
_SHORT_CELL = 18
_WIDEST_WEIGHT = 48


@dataclass(frozen=True)
class Row:
    """A row's cells; emphasis: a subtotal or total; rolled: stands for several loads put together."""

    cells: list[str]
    emphasis: bool = False
    rolled: bool = False

    def as_json(self) -> dict[str, Any]:
        """For the template."""
        return {"cells": self.cells, "emphasis": self.emphasis, "rolled": self.rolled}


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


def variants(table: Table) -> list[list[Row]]:
    """The rows in full, then with ever more of the smallest loads put together, for the page to choose from."""
    rows = table_rows(table)
    columns = _va_columns(table)
    found = [rows]
    for most in FEWER_ROWS:
        shorter = _rolled(rows, columns, most)
        if len(shorter) < len(found[-1]):
            found.append(shorter)
    return [[_fitted(row) for row in choice] for choice in [*found, _elsewhere(rows)]]


def _elsewhere(rows: list[Row]) -> list[Row]:
    """The form of last resort, for rows that no size makes fit: the total, and where the loads are."""
    if not rows:
        return []
    width = len(rows[0].cells)
    total = [row for row in rows[-1:] if row.emphasis]
    return [Row(["All loads are listed in full on the page named below.", *[""] * (width - 1)], rolled=True), *total]


def _va_columns(table: Table) -> list[int]:
    return [i for i, column in enumerate(table["columns"]) if str(column["name"]).split()[-1:] == [_UNIT]]


def _rolled(rows: list[Row], columns: list[int], most: int) -> list[Row]:
    """Rows, at most so many where that can be: the smallest loads become one row that adds up their columns.

    Subtotals and rows whose loads can't be read as numbers stay: what is printed is never guessed.
    """
    surplus = len(rows) - most
    loads = {i: numbers for i, row in enumerate(rows) if (numbers := _numbers(row, columns)) and not row.emphasis}
    if surplus <= 0 or len(loads) < 2:
        return rows
    smallest = sorted(sorted(loads, key=lambda i: max(loads[i].values()))[: surplus + 1])
    cells = [""] * len(rows[0].cells)
    cells[0] = f"{len(smallest)} smaller loads together"
    for column in columns:
        parts = [loads[i][column] for i in smallest if column in loads[i]]
        cells[column] = f"{sum(parts):,}" if parts else ""
    together = Row(cells, rolled=True)
    return [together if i == smallest[-1] else row for i, row in enumerate(rows) if i not in smallest[:-1]]


def _numbers(row: Row, columns: list[int]) -> dict[int, Decimal]:
    """The row's numbers by column; none at all if any filled cell isn't a number."""
    found: dict[int, Decimal] = {}
    for column in columns:
        text = row.cells[column].replace(",", "").removesuffix(_UNIT).strip()
        if text in ("", "-", "–", "—"):
            continue
        try:
            found[column] = Decimal(text)
        except InvalidOperation:
            return {}
    return found if all(number.is_finite() for number in found.values()) else {}


def _fitted(row: Row) -> Row:
    return Row([printed(clipped(cell, _NAME_LENGTH)) for cell in row.cells], row.emphasis, row.rolled)


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


def column_heads(table: Table) -> tuple[list[str], list[str]]:
    """Names and alignments of a table's columns."""
    names = [printed(column["name"]) for column in table["columns"]]
    return names, [str(column.get("align", "left")) for column in table["columns"]]
