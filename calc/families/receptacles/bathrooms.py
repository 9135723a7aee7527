"""Receptacles of bathrooms: one near each basin, and one may serve two."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calc.codebook import Codebook
from calc.families.receptacles.places import own
from calc.families.receptacles.tally import TAKEN_OUT, Left, Tally, name_of, not_entered, ones, said_of
from calc.families.receptacles.wall_line import TINY_IN, WallLine, inches
from calc.families.receptacles.wall_spaces import closing
from calc.job import Outlet, Room, format_length, place
from calc.job.fields import entered
from calc.work import IN_PER_FT, Missing, Refused, Sheet, Value, constant, given, smaller

ONE = constant("one", 1, "")
MOST_BASINS = 12
NO_WALL = ("door", "cased-opening", "garage-door", "slider", "fixed-glass")


def bathroom(sheet: Sheet, code: Codebook, room: Room, tally: Tally) -> Basins:
    """A receptacle within reach of each basin: the fewest, and the check or the places."""
    cites = [code.cite("basin_reach")]
    if not room.basins:
        raise Missing("A bathroom's receptacles are measured from its basins: enter its [[rooms.basins]].", *cites,
                      at=place(room, "basins"))  # fmt: skip
    if len(room.basins) > MOST_BASINS:
        raise Refused(f"More than {MOST_BASINS} basins are not worked.", *cites)
    limit = sheet.line("basin_reach_in", code["basin_reach"] * IN_PER_FT)
    basins = Basins(room)
    if basins.line is not None:
        basins.closed = closing(sheet, basins.line, code["wall_least"].number * 12)
    places = basins.fewest(limit.number, code["place_margin"].number)
    tally.needed.append(sheet.line("basins_needed", ones(map(basins.where, places)), cites=cites))
    outlets = room.outlets
    if not entered(room, "outlets"):
        not_entered(sheet, code, room, "near the basins", "basin_reach")
        sheet.find("placed", "; ".join(map(basins.where, places)), item="basins", cites=cites)
        basins.placed = places
        return basins
    tally.asked = True
    left = [_left(outlet) for outlet in outlets]
    names = [_name(basins, outlet, number) for number, outlet in enumerate(outlets, 1)]
    sheet.find("outlets_counted", said_of(names, left), cites=[code.cite("outlet_left_out")])
    basins.counted = [outlet for outlet, why in zip(outlets, left, strict=True) if why is None]
    tally.provided.append(ones(basins.where(basins.of(outlet)) for outlet in basins.counted))
    for number in range(len(room.basins)):
        _served(sheet, basins, number, limit, code)
    sheet.caution("caution_basin")
    return basins


def _left(outlet: Outlet) -> Left | None:
    if outlet.status == "removed":
        return TAKEN_OUT
    if outlet.at_ft is None:
        return Left("its place is not entered")
    return Left("inside a cabinet") if outlet.in_cabinet else own(outlet)


def _name(basins: Basins, outlet: Outlet, number: int) -> str:
    return name_of(outlet, None, number) if outlet.at_ft is None else basins.where(basins.of(outlet))


def _served(sheet: Sheet, basins: Basins, number: int, limit: Value, code: Codebook) -> None:
    """Whether a basin has a receptacle within reach."""
    name, cites = f"basin {number + 1}", [code.cite("basin_reach")]
    remedy = f"add a receptacle within {format_length(limit.number)} of {name}"
    if not basins.counted:
        there = given(f"receptacles near {name}", 0, "", place(basins.room, "outlets"))
        sheet.check("basin_has_one", there >= ONE, remedy=remedy, item=name, cites=cites)
        return
    away = [
        given(f"from {name} to the receptacle at {basins.where(at)}", basins.distance(number, at), "in",
              f"{place(outlet, 'at_ft')}, from the basin's edge")
        for outlet in basins.counted for at in [basins.of(outlet)]
    ]  # fmt: skip
    nearest = sheet.line("basin_to_receptacle_in", smaller(*away), item=name)
    sheet.check("basin_served", nearest <= limit, remedy=remedy, item=name, cites=cites)


class Basins:
    """The basins of a bathroom along its wall line, or along a running dimension where no walls are entered.

    ``counted`` are the receptacles that count, ``placed`` the places for those to come.
    """

    def __init__(self, room: Room) -> None:
        self.room = room
        self.line = WallLine(room) if room.walls else None
        self.closed = False
        self.counted: list[Outlet] = []
        self.placed: list[float] = []

    def of(self, outlet: Outlet) -> float:
        """Where a receptacle with a place is, on the line."""
        assert outlet.at_ft is not None
        return self.line.of(outlet) if self.line else inches(outlet.at_ft)

    def where(self, at: float) -> str:
        """A place in words."""
        return self.line.where(at) if self.line else f"{format_length(at)} along the wall"

    def span(self, number: int) -> tuple[float, float]:
        """From where to where a basin is."""
        basin = self.room.basins[number]
        begin = self.line.of(basin) if self.line else inches(basin.at_ft)
        return begin, begin + inches(basin.width_ft)

    def distance(self, number: int, at: float) -> float:
        """How far along the wall a place is from the edge of a basin; around a corner that is more than across it."""
        begin, end = self.span(number)
        if self.line is not None:
            return round(self.line.distance(begin, end, at, self.closed), 6)
        return round(max(begin - at, at - end, 0.0), 6)

    def fewest(self, reach: float, margin: float) -> list[float]:
        """The fewest places that serve every basin, and of those the ones close to their basins; closer than the margin is none.

        From the basins served so far the first one left out is served by each place that can: no choice is missed.
        """
        spots = sorted(set(self._spots(reach, margin)))
        every = range(len(self.room.basins))
        near = [
            {n: max(away, margin) for n in every if (away := self.distance(n, at)) <= reach + TINY_IN} for at in spots
        ]
        best: dict[frozenset[int], tuple[int, float, tuple[float, ...]]] = {frozenset(): (0, 0.0, ())}
        for _ in every:
            for done, (count, far, chosen) in list(best.items()):
                first = next((n for n in every if n not in done), None)
                for at, served in zip(spots, near, strict=True):
                    if first in served:
                        new = [served[n] for n in served if n not in done]
                        way = (count + 1, round(far + sum(new), 6), (*chosen, at))
                        key = done | set(served)
                        best[key] = min(best.get(key, way), way)
        if frozenset(every) not in best:
            raise Refused("There is no wall for a receptacle within reach of a basin.")
        return sorted(best[frozenset(every)][2])

    def _spots(self, reach: float, margin: float) -> Iterator[float]:
        """Beside the basins, at the ends of their reach and beside doors: one of these ends every choice of places."""
        doors = [self.line.span(o) for o in self.room.openings if o.kind in NO_WALL] if self.line else []
        spans = [self.span(number) for number in range(len(self.room.basins))]
        spots = [at for a, b in spans for at in (a - margin, b + margin, a - reach, b + reach, (a + b) / 2)]
        for at in [*spots, *(edge for door in doors for edge in door)]:
            if self.line is not None and self.closed:
                at = round(at % self.line.around, 6)
            if self._is_wall(at - 2 * TINY_IN, doors) or self._is_wall(at + 2 * TINY_IN, doors):
                yield at

    def _is_wall(self, at: float, doors: Sequence[tuple[float, float]]) -> bool:
        """Whether there is wall at a place: on the line, and in no door."""
        if self.line is None:
            return at >= 0
        if self.closed:
            at %= self.line.around
        return 0 <= at <= self.line.around and not any(low < at < high for low, high in doors)
