"""What stands on page 1 of a document: facts, a table, totals and the verdict."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from calc.work.plain import Public
from calc.work.table import Table

Fact = tuple[str, str]
"""A label and its text."""


@dataclass(frozen=True)
class Summary(Public):
    """One calculation for a reader of one page."""

    title: str
    facts: Sequence[Fact]
    table: Table
    totals: Sequence[Fact]
    figures: Mapping[str, float | str]
    """What machines want of it, by name, in the unit that the name ends in."""
    verdict: str
    verdict_detail: str
    preparer: Sequence[Fact]
