"""Mends of receptacle placement: move one, else add the fewest, at places where a box can be set."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from copy import deepcopy
from itertools import pairwise
from typing import Any

from calc.families.receptacles import spacing
from calc.families.receptacles.room import rooms
from calc.families.receptacles.spaced import Spaced
from calc.families.receptacles.wall_spaces import WallPlan
from calc.job import Counter, Room, place
from calc.job.places import steps
from calc.remedies.survey import Survey
from calc.remedies.ways import Kind, Way, data_at
from calc.work import IN_PER_FT

LIKE = ("circuit", "ground_fault", "tamper_resistant")
COPIED = (*LIKE, "height_in", "above_in")  # from a receptacle that counts, its height too


def outlet_ways(found: Survey, room_name: str) -> Iterator[Way]:
    """Ways to close the gaps of a room, space by space."""
    worked = next((each for each in rooms(found.house) if each.room.name == room_name), None)
    if worked is None:
        return
    results = worked.sheet.results
    if worked.walls is not None and "wall_reach_in" in results:
        around = sum(wall.length_ft for wall in worked.room.walls)
        reach = results["wall_reach_in"]
        for space in worked.walls.spaces:
            if space.spaced is not None:
                yield from _ways(found, space.spaced, reach, place(worked.room, "outlets"),
                                 lambda along, on=space.on_line: {"at_ft": round(on(along) / IN_PER_FT.number % around, 4)})  # type: ignore[misc]  # fmt: skip
    elif worked.walls is not None:
        yield from _one_in_each(found, worked.room, worked.walls)
    if "counter_serves_in" in results:
        for plan in worked.counters:
            for piece in plan.spaces:
                if piece.spaced is not None:
                    yield from _ways(found, piece.spaced, results["counter_serves_in"] / 2,
                                     place(plan.counter, "outlets"),
                                     lambda along, on=piece.on_counter, of=plan.counter: _on_counter(of, on(along)))  # type: ignore[misc]  # fmt: skip


def _one_in_each(found: Survey, room: Room, walls: WallPlan) -> Iterator[Way]:
    """A receptacle in the middle of each wall space of a foyer that has none."""
    around = sum(wall.length_ft for wall in room.walls)
    at = place(room, "outlets")
    for space in walls.spaces:
        if space.spaced is not None and not space.spaced.served:
            length = space.spaced.length.number
            (along,) = spacing.cover((0.0, length), length, length, space.spaced.wanted)
            row = {"at_ft": round(space.on_line(along) / IN_PER_FT.number % around, 4)}
            yield Way(
                Kind.PART, f"add a receptacle at {space.spaced.spot(along)}", {at: [*data_at(found.job.data, at), row]}
            )


def _ways(
    found: Survey, space: Spaced, reach: float, at: str, where: Callable[[float], dict[str, Any]]
) -> Iterator[Way]:
    """Move the receptacle that has the shortest way; add the fewest; both, where a counter is just too long for one."""
    length, served = space.length.number, [one.along for one in space.served]
    gaps = spacing.uncovered(length, reach, served, space.loop)
    if not gaps:
        return
    outlets = data_at(found.job.data, at)
    numbers = [step for one in space.served for step in steps(one.at)[-2:] if isinstance(step, int)]

    def moved(rows: list[dict[str, Any]], number: int, to: float) -> list[dict[str, Any]]:
        row = rows[numbers[number]]
        row.pop("wall", None)
        row.pop("end_wall", None)
        row |= where(to)
        return rows

    def added(rows: list[dict[str, Any]], places: Sequence[float]) -> list[dict[str, Any]]:
        like, copied = (rows[numbers[0]], COPIED) if numbers else (rows[0] if rows else {}, LIKE)
        return rows + [{k: like[k] for k in copied if k in like} | where(to) for to in places]

    way = spacing.move(length, reach, served, space.loop)
    if way is not None:
        text = f"move the receptacle at {space.served[way[0]].where} to {space.spot(way[1])}"
        yield Way(Kind.MOVE, text, {at: moved(deepcopy(outlets), *way)})
    places = [to for gap in gaps for to in spacing.cover(gap, length, reach, space.wanted)]
    if len(places) > 1 and served and (both := _move_and_add(length, reach, served)) is not None:
        number, to, more = both
        text = f"move the receptacle at {space.served[number].where} to {space.spot(to)}, and add one at {space.spot(more)}"
        yield Way(Kind.PART, text, {at: added(moved(deepcopy(outlets), number, to), [more])})
    text = "add " + "; and ".join(f"a receptacle at {space.spot(to)}" for to in places)
    yield Way(Kind.PART, text, {at: added(deepcopy(outlets), places)})


def _on_counter(counter: Counter, at: float) -> dict[str, Any]:
    """A place along a counter as the job says it, on the counter or on the wall at one of its ends."""
    if at < 0:
        return {"at_in": round(-at, 4), "end_wall": "left"}
    if at > counter.length_in:
        return {"at_in": round(at - counter.length_in, 4), "end_wall": "right"}
    return {"at_in": round(at, 4)}


def _move_and_add(length: float, reach: float, served: Sequence[float]) -> tuple[int, float, float] | None:
    """The shortest move of one receptacle beside which a single new one is enough."""
    ways = []
    for number, now in enumerate(served):
        rest = [other for at, other in enumerate(served) if at != number]
        edges = sorted([0.0, length, *(edge for other in rest for edge in (other - reach, other + reach))])
        for a, b in pairwise([edge for edge in edges if 0 <= edge <= length]):
            for to in {round(min(max(now, a), b)), round(a + min(reach, (b - a) / 2)), round(max(b - reach, a))}:
                left = spacing.uncovered(length, reach, [*rest, float(to)], False)
                if len(left) == 1 and left[0][1] - left[0][0] <= 2 * reach:
                    ways.append((abs(to - now), number, float(to), round((left[0][0] + left[0][1]) / 2)))
    return min(ways)[1:] if ways else None
