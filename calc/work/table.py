"""A plain table beside the sheets: rows of text under headings, with what is to be said of them."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from typing import Literal

from calc.work.plain import Public

Align = Literal["left", "right"]


@dataclass(frozen=True)
class Column:
    """A column's heading, and to which side its cells are set."""

    name: str
    align: Align = "left"


@dataclass(frozen=True)
class Table(Public):
    """Rows of text under headings."""

    title: str
    columns: Sequence[Column]
    rows: Sequence[Sequence[str]]
    """A cell for each column."""
    intro: str = ""
    notes: Sequence[str] = ()
    own_page: bool = False
    """Whether it is printed by itself, as a schedule that hangs in a panel's door."""
    schema_version: Literal[1] = field(default=1, init=False)


def columns(*names: str, right: Collection[int] = ()) -> tuple[Column, ...]:
    """Columns by name, those at the places ``right`` set to the right."""
    return tuple(Column(name, "right" if at in right else "left") for at, name in enumerate(names))


def figures(first: str, *others: str) -> tuple[Column, ...]:
    """Words in the first column, figures in the others."""
    return columns(first, *others, right=range(1, 1 + len(others)))
