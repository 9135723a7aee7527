"""What a family's notebook opens with: a drawing of the thing, the governing formula, and where it comes from.

The drawing and what is said beside it are data, ``calc/families/openings/<family>.toml``. Formulas, numbers and sections are
those of the small job that the family's page of the reference works, so that nothing here can say what a sheet doesn't.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Mapping, Sequence
from functools import cache
from html import escape
from math import atan2, cos, pi, sin
from pathlib import Path
from typing import Any

import tomli

from calc.show.html import figure_html
from calc.show.reference import BLANK, part_of, small_house, small_sheets
from calc.show.svg import THIN, Canvas
from calc.work.forms import SheetForm
from calc.work.signs import with_signs

FOLDER = Path(__file__).parents[1] / "families" / "openings"
WIDTH_PT = 244.0
"""As wide as a phone shows without making it smaller: 12 px type stays 12 px."""
SIZE_PT = 9.0
HEAD_PT = 5.0
_COMPARED = {">=": "at least", "<=": "at most", ">": "more than", "<": "less than"}


@cache
def opening_of(family: str) -> dict[str, Any]:
    """The data of a family's opening; nothing for a family that has none."""
    path = FOLDER / f"{family}.toml"
    return tomli.loads(path.read_text(encoding="utf-8")) if path.exists() else {}


def opening_html(family: str, edition: str, fold: str = "") -> str:
    """The opening as HTML, behind a line ``fold`` where there is one; '' for a family that has none."""
    data = opening_of(family)
    if not data:
        return ""
    return figure_html(
        picture_html(family, edition), data["says"], _formulas(family, edition), _rules(family, edition), edition, fold
    )


def picture_html(family: str, edition: str) -> str:
    """The drawing of a family's small job as an image, '' for a family that has none."""
    data = opening_of(family)
    if not data:
        return ""
    image = b64encode(drawn(family, edition).encode()).decode()
    alt = escape(data["alt"], quote=True)
    return f'<img alt="{alt}" src="data:image/svg+xml;base64,{image}" style="max-width:100%;flex:none;">'


def opening_text(family: str, edition: str) -> str:
    """The same as plain text, without the drawing."""
    formulas = [f"{name}: {formula}\n    {numbers}" for name, formula, numbers in _formulas(family, edition)]
    rules = [f"{section}: {words}" for section, words in _rules(family, edition)]
    return "\n".join([opening_of(family)["says"], *formulas, *rules])


def drawn(family: str, edition: str) -> str:
    """The drawing as SVG, its blanks filled from the small job's sheets."""
    data, shown = opening_of(family), [sheet.as_json() for sheet in small_sheets(family, edition)]
    pen = _Pen()
    for shape in data["draw"]:
        pen.shape(shape, lambda text: BLANK.sub(lambda blank: _named(shown, blank[1]), text))
    return pen.svg(WIDTH_PT, data["height"])


def _formulas(family: str, edition: str) -> list[tuple[str, str, str]]:
    """Name, formula and worked numbers of each governing line or check, with signs."""
    shown = [sheet.as_json() for sheet in small_sheets(family, edition)]
    parts: list[Mapping[str, Any]] = [{**part_of(shown, key)} for key in opening_of(family)["lines"]]
    return [(part["name"], with_signs(_formula(part)), with_signs(_numbers(part))) for part in parts]


def _formula(part: Mapping[str, Any]) -> str:
    """The formula of a line in names; of a check, what has to be."""
    if "formula" in part:
        return str(part["formula"])
    return f"{part['provided']['name']} must be {_COMPARED[part['sign']]} {part['required']['name']}"


def _numbers(part: Mapping[str, Any]) -> str:
    if "text" in part:
        return str(part["text"])
    return f"{part['numbers']} = {part['result']}" if part["numbers"] else str(part["result"])


def _rules(family: str, edition: str) -> list[tuple[str, str]]:
    """The sections that the formulas rest on with what they say, in our words, as the edition has them."""
    code = small_house(family, edition).code
    cites = [code.cite(rule) for rule in opening_of(family)["rules"] if code.has(rule)]
    return [(cite.section, cite.words) for cite in cites]


def _named(shown: Sequence[SheetForm], key: str) -> str:
    """What a line, a check or a given of the small job says."""
    given = {each["name"]: each["text"] for sheet in shown for each in sheet["givens"]}
    if key in given:
        return with_signs(given[key])
    part: Mapping[str, Any] = part_of(shown, key)
    return with_signs(str(part["text"] if "text" in part else part["result"]))


class _Pen(Canvas):
    """Draws the shapes of an opening: each a table with its kind as key, in points from the top left."""

    def __init__(self) -> None:
        super().__init__()
        self.size = SIZE_PT

    def shape(self, shape: Mapping[str, Any], filled: Any) -> None:
        """Draw one: a line, an arrow, a box, a circle, or text."""
        colour, weight = shape.get("colour", "ink"), shape.get("weight", THIN)
        if "text" in shape:
            x, y = shape["at"]
            self.text(filled(shape["text"]), x, y, colour, shape.get("anchor", "start"), bold=shape.get("bold", False))
        elif "box" in shape:
            x, y, wide, high = shape["box"]
            inside = self.colours[shape["fill"]] if "fill" in shape else "none"
            self.path(f"M{x} {y}h{wide}v{high}h{-wide}Z", weight, colour, shape.get("dash", ""), inside)
        elif "circle" in shape:
            x, y, r = shape["circle"]
            inside = self.colours[shape["fill"]] if "fill" in shape else "none"
            ring = f"M{x - r} {y}a{r} {r} 0 1 0 {2 * r} 0a{r} {r} 0 1 0 {-2 * r} 0Z"
            self.path(ring, weight, colour, shape.get("dash", ""), inside)
        else:
            points = [(x, y) for x, y in shape.get("line") or shape["arrow"]]
            self.stroke(*points, weight=weight, colour=colour, dash=shape.get("dash", ""))
            if "arrow" in shape:
                self._head(points[-2], points[-1], colour)

    def _head(self, before: tuple[float, float], end: tuple[float, float], colour: str) -> None:
        way = atan2(end[1] - before[1], end[0] - before[0])
        wings = [(end[0] - HEAD_PT * cos(way + turn), end[1] - HEAD_PT * sin(way + turn)) for turn in (pi / 7, -pi / 7)]
        (a, b), (c, d) = wings
        self.path(
            f"M{end[0]:.1f} {end[1]:.1f}L{a:.1f} {b:.1f}L{c:.1f} {d:.1f}Z", THIN, colour, fill=self.colours[colour]
        )
