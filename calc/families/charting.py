"""Charts as data: what a family wants drawn. Drawing them is `calc.show.charts`' work."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal


@dataclass(frozen=True)
class Chart:
    """A chart to be drawn.

    ``alt`` says in words what a reader would see. ``data`` by kind:

    pairs   {"rows": [[label, before, after], ...], "before": name, "after": name, "unit": "VA"}
    levels  {"bars": [[label, value], ...], "lines": [[label, value], ...], "unit": "A"}: bars against ratings
    curves  {"curves": [{"name": name, "points": [[x, y], ...]}, ...], "x": "ft one way", "y": "% lost",
             "lines": [[label, y], ...], "marks": [[label, x, y], ...]}: curves from left to right under level limits
    """

    kind: Literal["pairs", "levels", "curves"]
    title: str
    alt: str
    data: dict[str, Any]
