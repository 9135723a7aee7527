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
CHIMNEY = 1.4  # of a fireplace behind the wall line, in rows
TOUCH = 0.05  # feet that a door may stand against a cabinet
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
            if opening.kind == "fireplace":
                sketch.keep_clear(low, high, -CHIMNEY * sketch.row)
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
    """A leaf and the quarter circle that it swings through; a wide one is two leaves half open. A leaf that a cabinet is in
    the way of hangs on the other side or, where that is no better, opens to the outside of the room."""
    width = (high - low) / 12
    if width > HINGED_FT:
        pair = [(low, 1, 1), (high, -1, 1)]
        out = any(_in_the_way(sketch, _arc(sketch, hinge, width / 2, way, side, number)) for hinge, way, side in pair)
        if out:
            sketch.keep_clear(low, high, -width / 2)
        for hinge, way, side in pair:
            _leaf(sketch, hinge, _arc(sketch, hinge, width / 2, way, -side if out else side, number), number)
        return
    tries = [(low, 1, 1), (high, -1, 1), (low, 1, -1)]
    arcs = [(hinge, _arc(sketch, hinge, width, way, side, number)) for hinge, way, side in tries]
    hinge, arc = next((one for one in arcs if not _in_the_way(sketch, one[1])), arcs[-1])
    if arc is arcs[-1][1]:
        sketch.keep_clear(low, high, -width)
    _leaf(sketch, hinge, arc, number)


def _arc(sketch: Sketch, hinge: float, width: float, way: int, side: int, number: int) -> list[Point]:
    """The way of a leaf's edge from open to shut; ``way`` along the wall, ``side`` into the room or out of it."""
    return [
        sketch.point(hinge + way * 12 * width * sin(step * pi / 16), side * width * cos(step * pi / 16), number)
        for step in range(9)
    ]


def _leaf(sketch: Sketch, hinge: float, arc: list[Point], number: int) -> None:
    sketch.draw_line(sketch.point(hinge, 0.0, number), arc[0], weight=1.2)
    sketch.draw_line(*arc, weight=0.6)


def _in_the_way(sketch: Sketch, arc: list[Point]) -> bool:
    """Whether a leaf passes through a cabinet."""
    line = sketch.line
    for opening in line.room.openings:
        if opening.kind not in ("cabinet", "bookcase"):
            continue
        low, high = line.span(opening)
        for number, length in enumerate(line.lengths):
            begin, end = max(low, line.begins[number]), min(high, line.begins[number] + length)
            if end <= begin:
                continue
            xs, ys = zip(*(sketch.point(at, off, number) for at in (begin, end) for off in (0.0, DEPTH_FT[opening.kind])),
                         strict=True)  # fmt: skip
            if any(min(xs) + TOUCH < x < max(xs) - TOUCH and min(ys) + TOUCH < y < max(ys) - TOUCH for x, y in arc):
                return True
    return False


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
    sketch.band(low, high, 0.0, -CHIMNEY * sketch.row, FIREPLACE)


def _cabinet(sketch: Sketch, opening: Opening, low: float, high: float, number: int) -> None:
    sketch.band(low, high, 0.0, DEPTH_FT[opening.kind], CABINET)


_DRAWN: dict[str, Callable[[Sketch, Opening, float, float, int], None]] = {
    "door": _door, "cased-opening": _passage, "garage-door": _passage, "slider": _slider, "fixed-glass": _glass,
    "window": _glass, "fireplace": _fireplace, "cabinet": _cabinet, "bookcase": _cabinet,
}  # fmt: skip
