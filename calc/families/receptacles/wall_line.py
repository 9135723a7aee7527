"""The wall line of a room, walked clockwise: where things stand on it, what breaks it, and the spaces in between.

Lengths are inches from where the first wall begins; angles turn to the right.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from math import cos, hypot, radians, sin
from typing import Protocol

from calc.job import Opening, Room, Wall, format_length, place
from calc.job.fields import Part
from calc.work import Value, given

TINY_IN = 1e-4  # far below any tape; above what binary fractions of a foot leave over
TAPE_IN = 1.0  # how far a tape may be off before walls are said not to meet
HEADINGS = {"north": 90.0, "east": 0.0, "south": -90.0, "west": 180.0}  # which way one looks at the wall


class Placed(Protocol):
    """Something with a place on the wall line."""

    @property
    def wall(self) -> str | None:
        """The wall that ``at_ft`` is measured along; None: the running dimension."""

    @property
    def at_ft(self) -> float | None:
        """Where it is."""


def inches(feet: float) -> float:
    """A length of the job in inches, without the noise of its binary fraction."""
    return round(feet * 12, 6)


def taped(part: Part, field: str, name: str) -> Value:
    """A length of the job that is kept in feet, as a given in inches."""
    return given(name, inches(getattr(part, field)), "in", f"{place(part, field)}, in inches")


@dataclass(frozen=True)
class Stretch:
    """A piece of one wall: number of the wall, and from where to where along that wall."""

    wall: int
    begin: float
    end: float


@dataclass(frozen=True)
class Break:
    """A piece of the line that is no wall space. ``first`` and ``last`` are what it begins and ends with."""

    begin: float
    end: float
    label: str
    first: Opening | Wall
    last: Opening | Wall


@dataclass(frozen=True)
class Space:
    """An unbroken piece of the line; ``loop``: it runs all around and has no ends."""

    begin: float
    length: float
    stretches: tuple[Stretch, ...]
    before: Break | None
    after: Break | None
    loop: bool = False


class WallLine:
    """The walls of a room in the order walked."""

    def __init__(self, room: Room) -> None:
        self.room, self.walls = room, room.walls
        self.lengths = [inches(wall.length_ft) for wall in self.walls]
        self.begins = [sum(self.lengths[:at]) for at in range(len(self.lengths))]
        self.around = sum(self.lengths)
        self._numbers = {wall.name: at for at, wall in enumerate(self.walls)}

    # -- shape ----------------------------------------------------------------------------------------------

    @cached_property
    def corners(self) -> list[tuple[float, float]]:
        """Where each wall begins, and where the last one ends; x to the right, y upward, in inches."""
        look = HEADINGS.get(self.walls[0].name.lower(), 90.0)
        way, (x, y) = look - 90.0, (0.0, 0.0)
        found = [(x, y)]
        for wall, length in zip(self.walls, self.lengths, strict=True):
            x, y = x + length * cos(radians(way)), y + length * sin(radians(way))
            found.append((x, y))
            way -= wall.turn_deg
        return found

    @cached_property
    def apart(self) -> float:
        """How far the end of the last wall is from where the first one begins.

        One wall alone is a running dimension around the room, whose corners nobody entered: it is taken to close.
        """
        (x, y), (x1, y1) = self.corners[0], self.corners[-1]
        return 0.0 if len(self.walls) == 1 else hypot(x1 - x, y1 - y)

    def closes(self, least_space: float) -> bool:
        """Whether the line comes back to where it began; a gap too short to be a wall space is a slip of the tape."""
        return self.apart < least_space

    # -- places ---------------------------------------------------------------------------------------------

    def of(self, item: Placed) -> float:
        """Where on the line an item stands, an inch past the end of its wall being its end."""
        assert item.at_ft is not None
        if item.wall is None:
            return min(inches(item.at_ft), self.around)
        number = self._numbers[item.wall]
        return self.begins[number] + min(inches(item.at_ft), self.lengths[number])

    def span(self, opening: Opening) -> tuple[float, float]:
        """Where an opening begins and ends."""
        begin, limit = self.of(opening), self.around
        if opening.wall is not None:
            number = self._numbers[opening.wall]
            limit = self.begins[number] + self.lengths[number]
        return begin, min(begin + inches(opening.width_ft), limit)

    def wall_at(self, at: float, ending: bool = False) -> int:
        """Number of the wall at a place; ``ending``: at a corner the wall that ends there, not the one that begins."""
        inside = [
            number
            for number, begin in enumerate(self.begins)
            if (begin < at - TINY_IN if ending else begin <= at + TINY_IN)
        ]
        return inside[-1] if inside else 0

    def label(self, number: int) -> str:
        """'north wall', 'wall 2'; one wall alone is the wall line."""
        name = self.walls[number].name
        if len(self.walls) == 1:
            return "wall line"
        if name[0].isdigit():
            return f"wall {name}"
        return name if "wall" in name.lower() else f"{name} wall"

    def corner(self, number: int) -> str:
        """Where a wall begins, as one names it: by the wall before it, or by its left end."""
        if len(self.walls) == 1:
            return "where it begins"
        before = self.walls[number - 1].name.lower()
        own = self.walls[number].name.lower()
        if {own, before} <= set(HEADINGS) and HEADINGS[own] % 180 != HEADINGS[before] % 180:
            return f"the {before} corner"
        return "its left end"

    def where(self, at: float) -> str:
        """'north wall, 7 ft 3 in from the west corner'."""
        at = at % self.around if at > self.around + TINY_IN else at
        number = self.wall_at(at)
        return f"{self.label(number)}, {format_length(at - self.begins[number])} from {self.corner(number)}"

    def from_left(self, at: float) -> str:
        """How far a place is from the left end of its wall."""
        at = at % self.around if at > self.around + TINY_IN else at
        return format_length(at - self.begins[self.wall_at(at)])

    def reach(self, begin: float, end: float) -> str:
        """'north wall, 7 ft 3 in to 9 ft 10 in from the west corner'; a piece over corners names both ends."""
        if begin > self.around - TINY_IN:
            begin, end = begin - self.around, end - self.around
        number = self.wall_at(begin)
        if end <= self.begins[number] + self.lengths[number] + TINY_IN:
            near, far = (format_length(at - self.begins[number]) for at in (begin, end))
            return f"{self.label(number)}, {near} to {far} from {self.corner(number)}"
        over = end % self.around if end > self.around + TINY_IN else end
        last = self.wall_at(over, ending=True)
        far = f"{self.label(last)}, {format_length(over - self.begins[last])} from {self.corner(last)}"
        return f"{self.where(begin)}, on to {far}"

    def distance(self, begin: float, end: float, at: float, closed: bool) -> float:
        """How far a place is from a piece of the line, along the line; nothing inside it."""
        shifts = (-self.around, 0.0, self.around) if closed else (0.0,)
        return min(max(begin - at - shift, at + shift - end, 0.0) for shift in shifts)

    # -- spaces ---------------------------------------------------------------------------------------------

    def breaks(self, openings: Iterable[Opening]) -> list[Break]:
        """What breaks the line, in order: these openings and open sides. What touches is one break."""
        found = [Break(*self.span(opening), opening.kind.replace("-", " "), opening, opening) for opening in openings]
        for number, wall in enumerate(self.walls):
            if wall.kind == "open":
                begin = self.begins[number]
                found.append(Break(begin, begin + self.lengths[number], "open side", wall, wall))
        return _joined(sorted(found, key=lambda b: (b.begin, b.end)))

    def spaces(self, breaks: list[Break], closed: bool) -> list[Space]:
        """The unbroken pieces between the breaks; corners don't break them, nor does the start of a closed line."""
        if not breaks:
            return [replace(self.all_around(0.0), loop=closed)]
        edges = [0.0, *(edge for b in breaks for edge in (b.begin, b.end)), self.around]
        pieces = [(begin, end) for begin, end in zip(edges[::2], edges[1::2], strict=True)]
        bounds = list(zip([None, *breaks], [*breaks, None], strict=True))
        if closed:
            begin, end = pieces.pop()
            last = bounds.pop()
            first, _ = pieces.pop(0), bounds.pop(0)
            pieces.append((begin, end + first[1]))
            bounds.append((last[0], breaks[0]))
        return [
            Space(begin, round(end - begin, 6), tuple(self._stretches(begin, end)), before, after)
            for (begin, end), (before, after) in zip(pieces, bounds, strict=True)
            if end - begin > TINY_IN
        ]

    def all_around(self, begin: float) -> Space:
        """The whole line as a space without ends, cut at a place."""
        return Space(begin, self.around, tuple(self._stretches(begin, begin + self.around)), None, None, True)

    def _stretches(self, begin: float, end: float) -> Iterator[Stretch]:
        """The pieces of walls from ``begin`` to ``end``, which may run past the end of the line into its start."""
        for lap in (0.0, self.around):
            for number, length in enumerate(self.lengths):
                low = max(begin - lap - self.begins[number], 0.0)
                high = min(end - lap - self.begins[number], length)
                if high - low > TINY_IN:
                    yield Stretch(number, round(low, 6), round(high, 6))

    # -- traced lengths -------------------------------------------------------------------------------------

    def wall_length(self, number: int) -> Value:
        """Length of a wall, as a given."""
        return taped(self.walls[number], "length_ft", self.label(number))

    def stretch_length(self, stretch: Stretch, space: Space) -> Value:
        """Length of a stretch out of what was taped: the wall, less what comes before and after it."""
        length = self.wall_length(stretch.wall)
        cut_short = stretch.end < self.lengths[stretch.wall] - TINY_IN
        starts_late = stretch.begin > TINY_IN
        end = self._edge(space.after, stretch.wall, False) if cut_short else length
        return end - self._edge(space.before, stretch.wall, True) if starts_late else end

    def _edge(self, beside: Break | None, number: int, its_end: bool) -> Value:
        """Where a break begins or ends, along the wall of that number."""
        assert beside is not None
        opening = beside.last if its_end else beside.first
        assert isinstance(opening, Opening), "an open side begins and ends with its wall"
        name = opening.kind.replace("-", " ")
        at = taped(opening, "at_ft", f"{name} begins")
        if its_end:
            at = at + taped(opening, "width_ft", f"{name}, width")
        own = 0 if opening.wall is None else self._numbers[opening.wall]
        for before in range(own, number):
            at = at - self.wall_length(before)
        return at


def _joined(breaks: list[Break]) -> list[Break]:
    found: list[Break] = []
    for b in breaks:
        if found and b.begin <= found[-1].end + TINY_IN:
            a = found.pop()
            label = a.label if a.label == b.label else f"{a.label} and {b.label}"
            longest = a if a.end >= b.end else b
            b = Break(a.begin, longest.end, label, a.first, longest.last)
        found.append(b)
    return found
