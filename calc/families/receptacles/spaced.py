"""A space whose receptacles stand at most so far apart, along a wall or a counter: the fewest, the check, the places."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from calc.families.receptacles import spacing
from calc.families.receptacles.spacing import Piece
from calc.families.receptacles.tally import Tally
from calc.work import Citation, Sheet, Value, constant, given, larger, whole

SIDES = constant("sides", 2, "")


@dataclass(frozen=True)
class Reach:
    """How far a receptacle serves: to one side, and both sides together. ``check`` is the key of its check."""

    check: str
    one_side: Value
    both_sides: Value
    cites: tuple[Citation, ...]


@dataclass(frozen=True)
class Served:
    """A receptacle in a space: its mark, how far along it is, in words where, and its place in the job."""

    mark: str
    along: float
    where: str
    at: str

    @property
    def value(self) -> Value:
        """Its place along the space."""
        return given(self.mark, self.along, "in", f"{self.at}, along its space")


@dataclass(frozen=True)
class Spaced:
    """An unbroken space. ``where`` and ``span`` say a place and a piece of it in words, ``remark`` what is special there.

    ``wanted`` holds the pieces that suit a receptacle, the best first. ``loop``: the space has no ends.
    """

    name: str
    length: Value
    served: tuple[Served, ...]
    where: Callable[[float], str]
    span: Callable[[float, float], str]
    remark: Callable[[float], str]
    wanted: tuple[tuple[Piece, ...], ...]
    loop: bool = False

    def spot(self, along: float) -> str:
        """A place to put a receptacle, in words."""
        return self.where(along) + self.remark(along)


def fewest(sheet: Sheet, space: Spaced, reach: Reach, tally: Tally) -> None:
    """The fewest receptacles that serve the space."""
    tally.spaces.append(space.name)
    tally.needed.append(sheet.line("fewest_in_space", whole(space.length / reach.both_sides, "up"), item=space.name))


def check(sheet: Sheet, space: Spaced, reach: Reach, tally: Tally) -> list[Piece]:
    """Whether every point is served; gives the gaps, as pieces of the space."""
    length, limit = space.length.number, reach.one_side.number
    gaps = spacing.uncovered(length, limit, [found.along for found in space.served], space.loop)
    if not space.served:
        has_one(sheet, space, reach.cites, _added(space, _filling(space, gaps, limit)), tally)
        return gaps
    said = "; ".join(f"{o.mark} at {o.where}, {o.along:g} in along the space" for o in space.served)
    sheet.find("served", said, item=space.name)
    far, over = _hops(space, reach)
    farthest = sheet.line("farthest_in", larger(*far), item=space.name, cites=reach.cites)
    for (begin, end), beyond in zip(gaps, (hop for hop in over if hop.number > spacing.TINY), strict=True):
        where = f"{space.name}: {space.span(begin, end)}"
        sheet.line("gap_in", beyond, item=where)
        tally.gaps.append(where)
    sheet.check(
        reach.check, farthest <= reach.one_side, remedy=_remedy(space, gaps, limit), item=space.name, cites=reach.cites
    )
    return gaps


def has_one(sheet: Sheet, space: Spaced, cites: Sequence[Citation], remedy: str, tally: Tally) -> bool:
    """Whether there is a receptacle in the space at all; without one the whole space is a gap."""
    there = given(f"receptacles in {space.name}", len(space.served), "", f"{space.name}, counted")
    passes = sheet.check("space_has_one", there >= constant("one", 1, ""), remedy=remedy, item=space.name, cites=cites)
    if not passes:
        where = f"{space.name}: {space.span(0, space.length.number)}"
        sheet.line("gap_in", space.length, item=where)
        tally.gaps.append(where)
    return passes


def propose(sheet: Sheet, space: Spaced, reach: Value, cites: Sequence[Citation]) -> list[float]:
    """Places for the fewest receptacles, as even as doors, glass and corners let them be."""
    length = space.length.number
    places = spacing.cover((0.0, length), length, reach.number, space.wanted)
    sheet.find("placed", "; ".join(map(space.spot, places)), item=space.name, cites=cites)
    return places


def _hops(space: Spaced, reach: Reach) -> tuple[list[Value], list[Value]]:
    """From one end over each receptacle to the other: how far the farthest point is, and how much is out of reach."""
    places = [found.value for found in space.served]
    pairs = list(pairwise(places))
    between = [(b - a) for a, b in pairs]
    first, last = places[0], space.length - places[-1]
    if space.loop:
        between.append(space.length - places[-1] + places[0])
        return [hop / SIDES for hop in between], [hop - reach.both_sides for hop in between]
    far = [first, *(hop / SIDES for hop in between), last]
    over = [first - reach.one_side, *(hop - reach.both_sides for hop in between), last - reach.one_side]
    return far, over


def _remedy(space: Spaced, gaps: Sequence[Piece], limit: float) -> str:
    """The smallest change: move one receptacle where that is enough, else add the fewest, else set them all anew."""
    if not gaps:
        return ""
    length, places = space.length.number, _filling(space, gaps, limit)
    ways = [_added(space, places)]
    if (moved := spacing.move(length, limit, [o.along for o in space.served], space.loop)) is not None:
        ways.insert(0, f"move {space.served[moved[0]].mark} to {space.spot(moved[1])}")
    number = spacing.fewest(length, limit)
    if moved is None and len(space.served) + len(places) > number:
        anew = spacing.cover((0.0, length), length, limit, space.wanted)
        ways.append(f"set {number} in all, at {'; and at '.join(map(space.spot, anew))}")
    return "; or ".join(ways)


def _filling(space: Spaced, gaps: Sequence[Piece], limit: float) -> list[float]:
    """Places for the fewest receptacles that fill the gaps."""
    return [at for gap in gaps for at in spacing.cover(gap, space.length.number, limit, space.wanted)]


def _added(space: Spaced, places: Sequence[float]) -> str:
    return "add " + "; and ".join(f"a receptacle at {space.spot(at)}" for at in places)
