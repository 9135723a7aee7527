"""A plain table beside the sheets: rows of text under headings, with what is to be said of them."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from typing import Literal

from calc.work.plain import Public

Align = Literal["left", "right"]
SheetName = tuple[str, str, str]
"""A sheet by its family, title and subject."""


@dataclass(frozen=True)
class Column:
    """A column's heading, to which side its cells are set, and how wide it is."""

    name: str
    align: Align = "left"
    weight: int = 0
    """Its share of the page's width beside the other columns; 0 where its cells decide."""


@dataclass(frozen=True)
class Table(Public):
    """Rows of text under headings."""

    title: str
    columns: Sequence[Column]
    rows: Sequence[Sequence[str]]
    """A cell for each column; a row of a single cell is a heading across the columns. A cell that is a state, in capitals
    where it is no pass, is set as one."""
    intro: str = ""
    notes: Sequence[str] = ()
    own_page: bool = False
    """Whether it is printed by itself, as a schedule that hangs in a panel's door."""
    strong: Sequence[int] = ()
    """The rows, counted from 0, that are totals of those above them."""
    sheets: Sequence[SheetName | None] = ()
    """The sheet that each row rests on, where rows do; on paper a last column says where the worked annex has it."""
    kind: Literal["table"] = field(default="table", init=False)
    schema_version: Literal[1] = field(default=1, init=False)


def columns(*names: str, right: Collection[int] = ()) -> tuple[Column, ...]:
    """Columns by name, those at the places ``right`` set to the right."""
    return tuple(Column(name, "right" if at in right else "left") for at, name in enumerate(names))


def weighed(*columns: tuple[str, int] | tuple[str, int, Align]) -> tuple[Column, ...]:
    """Columns by name with their share of the width and, where that is the right one, the side that cells are set to."""
    return tuple(Column(name, align[0] if align else "left", weight) for name, weight, *align in columns)


def figures(first: str, *others: str) -> tuple[Column, ...]:
    """Words in the first column, figures in the others."""
    return columns(first, *others, right=range(1, 1 + len(others)))
