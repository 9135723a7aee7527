"""Where things go on a plan: places on the wall line as points on paper, and rows of labels beside the walls.

Points are in feet, y upward. An offset is in feet too, positive into the room. A row is the height of a line of text.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise, product
from math import cos, radians, sin

from calc.families.receptacles.wall_line import TINY_IN, WallLine
from calc.work.chart import Area, Lettering, Point, Shape, Sign, SignName, Stroke

ROWS_WIDE, ROWS_TALL, BESIDE = 46.0, 44.0, 12.0  # lines of text across and down a plan, and those beside the room
LETTER = 0.56  # width of a letter, in rows
OUTSIDE, APART = 1.9, 1.5  # first row of text outside a wall, and how far the rows are apart
MOST_ROWS = 6


class Sketch:
    """A drawing of a room under way."""

    def __init__(self, line: WallLine, rows: tuple[float, float, float] = (ROWS_WIDE, ROWS_TALL, BESIDE)) -> None:
        self.line = line
        self.shapes: list[Shape] = []
        xs, ys = zip(*((x / 12, y / 12) for x, y in line.corners), strict=True)
        wide, tall = max(xs) - min(xs), max(ys) - min(ys)
        across, down, beside = rows
        self.row = max(wide / (across - beside), tall / (down - beside), 0.1)
        self._ways: list[float] = []
        way = _first_way(line)
        for wall in line.walls:
            self._ways.append(way)
            way -= wall.turn_deg
        self._taken = [
            (min(a[0], b[0]) / 12, min(a[1], b[1]) / 12, max(a[0], b[0]) / 12, max(a[1], b[1]) / 12)
            for a, b in pairwise(line.corners)
        ]  # the walls, then what stands out of them, then each text that stands outside of one

    # -- places ---------------------------------------------------------------------------------------------

    def wall_of(self, begin: float, end: float) -> int:
        """Number of the wall that a piece of the line is on."""
        return self.line.wall_at((begin + end) / 2)

    def point(self, at: float, offset: float = 0.0, wall: int | None = None) -> Point:
        """A place on the line, so far into the room; a place past the end of the line is one near its start."""
        at = at - self.line.around if wall is None and at > self.line.around + TINY_IN else at
        number = self.line.wall_at(at) if wall is None else wall
        x, y = self.line.corners[number]
        along, way = (at - self.line.begins[number]) / 12, radians(self._ways[number])
        return (
            round(x / 12 + along * cos(way) + offset * sin(way), 4),
            round(y / 12 + along * sin(way) - offset * cos(way), 4),
        )

    def pieces(self, begin: float, end: float) -> Iterator[tuple[float, float]]:
        """A piece of the line, which may run on past its end, cut at the corners."""
        line = self.line
        for lap in (0.0, line.around):
            for wall_begin, length in zip(line.begins, line.lengths, strict=True):
                low, high = max(begin - lap, wall_begin), min(end - lap, wall_begin + length)
                if high > low:
                    yield low, high

    def joint(self, number: int, offset: float) -> Point:
        """The corner where a wall ends, so far into the room from both walls."""
        x, y = self.line.corners[number + 1]
        normals = [
            (sin(radians(way)), -cos(radians(way))) for way in (self._ways[number], self._ways[self._next(number)])
        ]
        (a, b), (c, d) = normals
        across = max(1 + a * c + b * d, 0.2)
        return round(x / 12 + (a + c) * offset / across, 4), round(y / 12 + (b + d) * offset / across, 4)

    def _next(self, number: int) -> int:
        return (number + 1) % len(self.line.walls)

    def turn(self, number: int) -> float:
        """How text along a wall is turned so that it reads from below or from the right."""
        way = round(self._ways[number]) % 180
        return float(way if way <= 90 else way - 180)

    # -- drawing --------------------------------------------------------------------------------------------

    def draw_line(self, *points: Point, dash: int = 0, weight: float = 1.0) -> None:
        """A line through points."""
        self.shapes.append(Stroke(points, weight, dash))

    def band(self, begin: float, end: float, near: float, far: float, look: int | None) -> None:
        """A strip along one wall between two offsets, filled or in outline."""
        number = self.wall_of(begin, end)
        corners = [self.point(at, off, number) for at, off in ((begin, near), (end, near), (end, far), (begin, far))]
        self.shapes.append(Area(corners, look))

    @property
    def walls(self) -> list[tuple[float, float, float, float]]:
        """Left, low, right and high of each wall's line."""
        return self._taken[: len(self.line.walls)]

    def keep_clear(self, begin: float, end: float, offset: float) -> None:
        """Keep text outside off what reaches so far out of a wall."""
        corners = [self.point(at, off) for at in (begin, end) for off in (0.0, offset)]
        xs, ys = zip(*corners, strict=True)
        self._taken.append((min(xs), min(ys), max(xs), max(ys)))

    def sign(self, at: float, offset: float, sign: SignName) -> None:
        """A sign at a place."""
        self.shapes.append(Sign(self.point(at, offset), sign))

    def mark(self, at: float, offset: float, text: str) -> None:
        """A short text that is not turned, in front of a sign at a place."""
        sideways = abs(sin(radians(self._ways[self.line.wall_at(at % self.line.around)])))
        reach = 0.9 + 0.6 * (1 - sideways) + sideways * (0.3 + len(text) * LETTER / 2)
        self.shapes.append(Lettering(self.point(at, offset + reach * self.row), text))

    def clear_of(self, marked: Sequence[float], low: float, high: float, text: str) -> float:
        """The place from low to high for the middle of a text that is farthest from any mark; the middle if that will do."""
        room = (len(text) * LETTER / 2 + 1) * self.row * 12
        places = [low + (high - low) * part for part in (0.5, 0.35, 0.65, 0.2, 0.8)]
        return max(places, key=lambda at: min([room, *(abs(at - mark) for mark in marked)]))

    def text(
        self, at: float, row: float, text: str, wall: int, bold: bool = False, reach: Sequence[Point] = ()
    ) -> None:
        """Text along a wall, so many rows into the room; ``reach``: corners of what it takes where room is made for it."""
        self.shapes.append(Lettering(self.point(at, row * self.row, wall), text, self.turn(wall), bold, reach))

    def outside(self, at: float, text: str, wall: int, slack: float = 0.0) -> None:
        """Text outside a wall, in the first row where nothing stands in its way; ``slack``: how far it may be shifted."""
        near, far = (0.0, slack, -slack), (2 * slack, -2 * slack)
        tries = [*product((0, 1), near), *product((0, 1), far), *product(range(2, MOST_ROWS), (*near, *far))]
        row, shift = next((one for one in tries if self._is_free(at + one[1], one[0], text, wall)), (MOST_ROWS, 0.0))
        box = self._box(at + shift, row, text, wall)
        self._taken.append(box)
        self.text(at + shift, -OUTSIDE - row * APART, text, wall, reach=(box[:2], box[2:]))

    def _is_free(self, at: float, row: int, text: str, wall: int) -> bool:
        left, low, right, high = self._box(at, row, text, wall)
        return not any(a < right and left < c and b < high and low < d for a, b, c, d in self._taken)

    def _box(self, at: float, row: int, text: str, wall: int) -> tuple[float, float, float, float]:
        """What a text outside a wall takes on paper: left, low, right, high."""
        x, y = self.point(at, (-OUTSIDE - row * APART) * self.row, wall)
        way = radians(self._ways[wall])
        long, tall = (len(text) * LETTER / 2 + 0.5) * self.row, APART * self.row / 2 - TINY_IN
        wide, high = abs(cos(way)) * long + abs(sin(way)) * tall, abs(sin(way)) * long + abs(cos(way)) * tall
        return x - wide, y - high, x + wide, y + high


def _first_way(line: WallLine) -> float:
    (x0, y0), (x1, y1) = line.corners[0], line.corners[1]
    if abs(x1 - x0) > abs(y1 - y0):
        return 0.0 if x1 > x0 + TINY_IN else 180.0
    return 90.0 if y1 > y0 else -90.0
