"""The walls of a room as drawn: solid walls, doors, glass, fireplaces, cabinets, each with its name outside."""

from __future__ import annotations

from collections.abc import Callable
from math import cos, pi, sin

from calc.families.receptacles.sketch import Sketch
from calc.job import Opening, format_length
from calc.work.chart import Point

SOLID, CABINET, FIREPLACE = 0, 2, 3  # fills
THICK = 0.75  # of a wall, in rows
HINGED_FT = 3.5  # wider doors are drawn without a leaf
DEPTH_FT = {"cabinet": 2.0, "bookcase": 1.0, "fireplace": 1.0}


def shell(sketch: Sketch) -> None:
    """Draw the walls with what is in them."""
    line, thick = sketch.line, THICK * sketch.row
    openings = sorted(line.room.openings, key=line.span)
    for number, wall in enumerate(line.walls):
        begin, end = line.begins[number], line.begins[number] + line.lengths[number]
        if wall.kind != "wall":
            _edge(sketch, begin, end, number, 0.0, dash=1 if wall.kind == "open" else 0)
            if wall.kind != "open":
                _edge(sketch, begin, end, number, -thick / 2)
            continue
        at = begin
        for opening in openings:
            low, high = line.span(opening)
            low, high = max(low, begin), min(high, end)
            if high <= low:
                continue
            _DRAWN[opening.kind](sketch, opening, low, high, number)
            sketch.outside((low + high) / 2, opening.kind.replace("-", " "), number)
            if opening.kind not in ("cabinet", "bookcase"):
                if low > at:
                    sketch.band(at, low, 0.0, -thick, SOLID)
                at = max(at, high)
        if end > at:
            sketch.band(at, end, 0.0, -thick, SOLID)


def wall_names(sketch: Sketch) -> None:
    """Name and length of each wall, outside everything else that is written along it."""
    line = sketch.line
    for number, length in enumerate(line.lengths):
        name = f"{line.label(number)}, {format_length(length)}"
        sketch.outside(line.begins[number] + length / 2, name, number, slack=length / 4)


def _edge(sketch: Sketch, low: float, high: float, number: int, offset: float, dash: int = 0) -> None:
    sketch.draw_line(sketch.point(low, offset, number), sketch.point(high, offset, number), dash=dash)


def _door(sketch: Sketch, opening: Opening, low: float, high: float, number: int) -> None:
    """A leaf and the quarter circle that it swings through; a wide one is two leaves half open."""
    width = (high - low) / 12
    if width <= HINGED_FT:
        _leaf(sketch, low, width, 1, number)
    else:
        _leaf(sketch, low, width / 2, 1, number)
        _leaf(sketch, high, width / 2, -1, number)


def _leaf(sketch: Sketch, hinge: float, width: float, way: int, number: int) -> None:
    arc: list[Point] = [
        sketch.point(hinge + way * 12 * width * sin(step * pi / 16), width * cos(step * pi / 16), number)
        for step in range(9)
    ]
    sketch.draw_line(sketch.point(hinge, 0.0, number), arc[0], weight=1.2)
    sketch.draw_line(*arc, weight=0.6)


def _passage(sketch: Sketch, opening: Opening, low: float, high: float, number: int) -> None:
    thick = THICK * sketch.row
    for offset in (0.0, -thick):
        _edge(sketch, low, high, number, offset, dash=1)


def _slider(sketch: Sketch, opening: Opening, low: float, high: float, number: int) -> None:
    """Two panels that pass each other."""
    thick, middle = THICK * sketch.row, (low + high) / 2
    lap = (high - low) / 12
    sketch.band(low, middle + lap, -0.15 * thick, -0.45 * thick, None)
    sketch.band(middle - lap, high, -0.55 * thick, -0.85 * thick, None)


def _glass(sketch: Sketch, opening: Opening, low: float, high: float, number: int) -> None:
    thick = THICK * sketch.row
    sketch.band(low, high, 0.0, -thick, None)
    _edge(sketch, low, high, number, -thick / 2)


def _fireplace(sketch: Sketch, opening: Opening, low: float, high: float, number: int) -> None:
    sketch.band(low, high, 0.0, -max(THICK, 1.4) * sketch.row, FIREPLACE)


def _cabinet(sketch: Sketch, opening: Opening, low: float, high: float, number: int) -> None:
    sketch.band(low, high, 0.0, DEPTH_FT[opening.kind], CABINET)


_DRAWN: dict[str, Callable[[Sketch, Opening, float, float, int], None]] = {
    "door": _door, "cased-opening": _passage, "garage-door": _passage, "slider": _slider, "fixed-glass": _glass,
    "window": _glass, "fireplace": _fireplace, "cabinet": _cabinet, "bookcase": _cabinet,
}  # fmt: skip
