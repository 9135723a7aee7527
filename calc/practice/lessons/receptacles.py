"""Receptacles as a lesson: invented rooms and kitchens, and the slips that show in their lines."""

from __future__ import annotations

import math
from collections.abc import Sequence
from random import Random
from typing import Any

from calc.families.receptacles.room import rooms
from calc.families.receptacles.wall_line import Space
from calc.families.receptacles.wall_spaces import WallPlan
from calc.job import place
from calc.practice.lesson import Again
from calc.practice.slips import Answer
from calc.work.keys import item_of, keyed

SIDES = ("north", "east", "south", "west")
Drawn = dict[str, Any]


def draw(random: Random, level: int) -> Drawn:
    """A room with doors at level 1; above, glass, fireplaces and short pieces, or a kitchen; then desks and islands."""
    kinds = {1: (_plain,), 2: (_furnished, _furnished, _kitchen), 3: (_furnished, _study, _kitchen, _with_island)}
    room = random.choice(kinds[level])(random)
    return {
        "job": {"name": "Receptacles"},
        "rooms": [{"light": "wall-switched", **room}],
    }


def _walls(random: Random) -> tuple[list[Drawn], dict[str, float]]:
    """A room of four walls, in half feet."""
    across, along = random.randrange(22, 42) / 2, random.randrange(18, 34) / 2
    lengths = dict(zip(SIDES, (across, along, across, along), strict=True))
    return [{"name": name, "length_ft": length} for name, length in lengths.items()], lengths


def _opening(kind: str, wall: str, at: float, width: float, **more: Any) -> Drawn:
    return {"kind": kind, "wall": wall, "at_ft": at, "width_ft": width, **more}


def _anywhere(random: Random, length: float, width: float) -> float:
    """A place on a wall, half a foot or more from its corners."""
    return random.randrange(1, round((length - width) * 2)) / 2


def _plain(random: Random) -> Drawn:
    """Two doors, on two walls."""
    walls, lengths = _walls(random)
    openings = [
        _opening("door", name, _anywhere(random, lengths[name], 3), random.choice([2.5, 3]))
        for name in sorted(random.sample(SIDES, 2), key=SIDES.index)
    ]
    return {"name": "Bedroom", "use": "bedroom", "walls": walls, "openings": openings}


def _furnished(random: Random) -> Drawn:
    """Glass beside a slider, a fireplace, and a passage that leaves a short piece at its corner."""
    walls, lengths = _walls(random)
    glass, slider = random.choice([2, 3, 4]), random.choice([3, 5, 6])
    begins = random.randrange(2, round((lengths["north"] - glass - slider) * 2) + 1) / 2
    stub = random.choice([0.5, 1, 1.5])
    passage = random.choice([3, 4])
    openings = [
        _opening("fixed-glass", "north", begins, glass),
        _opening("slider", "north", begins + glass, slider),
        _opening("cased-opening", "south", lengths["south"] - stub - passage, passage),
    ]
    if random.random() < 0.5:
        openings.insert(2, _opening("fireplace", "east", _anywhere(random, lengths["east"], 5), 5))
    return {"name": "Family room", "use": "family", "walls": walls, "openings": openings}


def _study(random: Random) -> Drawn:
    """A built-in desk, a closet and a door."""
    walls, lengths = _walls(random)
    desk = random.choice([5, 6, 7])
    openings = [
        _opening("door", "east", _anywhere(random, lengths["east"], 5), 5, leads_to="closet"),
        _opening("cabinet", "south", _anywhere(random, lengths["south"], desk), desk, work_surface=True),
        _opening("door", "west", 0.5, 2.5),
    ]
    return {"name": "Den", "use": "den", "walls": walls, "openings": openings}


def _kitchen(random: Random) -> Drawn:
    """A counter with cooktop and sink, and one on another wall."""
    return {"name": "Kitchen", "use": "kitchen", "counters": _counters(random)}


def _counters(random: Random) -> list[Drawn]:
    first, between, last = (
        random.randrange(18, 62, 2),
        random.randrange(14, 60, 2),
        random.choice([9, 10, 11, 16, 24, 36]),
    )
    sink = first + 30 + between
    breaks = [
        {"kind": "cooktop", "at_in": first, "width_in": 30},
        {"kind": "sink", "at_in": sink, "width_in": 33, "behind_in": random.choice([3, 4, 5])},
        {"kind": "refrigerator", "at_in": sink + 33 + last, "width_in": 36},
    ]
    long = {"name": "north counter", "length_in": sink + 69 + last, "depth_in": 25, "breaks": breaks}
    other = {"name": "east counter", "length_in": random.randrange(24, 100, 2), "depth_in": 25}
    return [long, other]


def _with_island(random: Random) -> Drawn:
    """An island, with a counter along a wall."""
    island = {"name": "island", "kind": "island", "length_in": random.randrange(48, 120, 6),
              "depth_in": random.randrange(30, 54, 6), "provision": True}  # fmt: skip
    return {"name": "Kitchen", "use": "kitchen", "counters": [_counters(random)[1], island]}


def _plan(again: Again) -> WallPlan | None:
    """The walls of the room of the question, as its sheet works them."""
    found = [each for each in rooms(again.question.house) if each.sheet.subject == again.sheet.subject]
    return found[0].walls if found else None


def _space(again: Again, key: str) -> tuple[WallPlan, Space] | None:
    plan, number = _plan(again), key.removesuffix("]").rpartition(" ")[2]
    return None if plan is None else (plan, plan.spaces[int(number) - 1].space)


def glass_as_break(again: Again, key: str) -> float | None:
    """The space without the fixed glass in it."""
    found = _space(again, key)
    if found is None:
        return None
    _, space = found
    glass = [opening for opening in again.part.openings if opening.kind == "fixed-glass"]
    names = [wall.name for wall in again.part.walls]
    inside = [
        opening.width_ft * 12 for opening in glass for stretch in space.stretches
        if names[stretch.wall] == opening.wall and stretch.begin <= opening.at_ft * 12 < stretch.end
    ]  # fmt: skip
    return again.numbers[key] - sum(inside) if inside else None


def stub_dropped(again: Again, key: str) -> float | None:
    """The space without the piece beside a break that is shorter than a wall space of its own."""
    found = _space(again, key)
    if found is None or len(found[1].stretches) < 2:
        return None
    ends = (found[1].stretches[0], found[1].stretches[-1])
    short = [end.end - end.begin for end in ends if end.end - end.begin < again.numbers["least_space_in"]]
    return again.numbers[key] - sum(short) if short else None


def _length(again: Again, key: str) -> tuple[float, float]:
    """Length of the space of a line, and what one receptacle serves of it."""
    space = item_of(key)
    if (along := keyed("wall_space_in", space)) in again.numbers:
        return again.numbers[along], again.numbers["wall_serves_in"]
    return again.numbers[keyed("counter_space_in", space)], again.numbers["counter_serves_in"]


def rounded_down(again: Again, key: str) -> float | None:
    """What is left over beyond the last reach dropped."""
    length, serves = _length(again, key)
    return float(math.floor(length / serves)) if length > serves else None


def _pieces(again: Again, least: float) -> list[float]:
    """The pieces of wall between corners and breaks that have a length at least."""
    plan = _plan(again)
    stretches = [stretch for found in plan.spaces for stretch in found.space.stretches] if plan else []
    return [s.end - s.begin for s in stretches if s.end - s.begin >= least]


def _each_by_itself(again: Again, pieces: Sequence[float]) -> float | None:
    return float(sum(math.ceil(piece / again.numbers["wall_serves_in"] - 1e-9) for piece in pieces)) if pieces else None


def walls_one_by_one(again: Again, key: str) -> float | None:
    """Each piece of wall between corners and breaks by itself, those that are long enough to count."""
    return _each_by_itself(again, _pieces(again, again.numbers["least_space_in"]))


def across_the_opening(again: Again, key: str) -> Answer | None:
    """As if the passages were wall."""
    passages = [o for o in again.part.openings if o.kind == "cased-opening"]
    return again.of_job(key, {place(o, "kind"): "window" for o in passages}) if passages else None


def behind_the_sink(again: Again, key: str) -> Answer | None:
    """As if the counter ran on behind the sink."""
    sinks = [each for counter in again.part.counters for each in counter.breaks if each.behind_in is not None]
    return again.of_job(key, {place(sink, "behind_in"): 20 for sink in sinks}) if sinks else None


def door_left_in(again: Again, key: str) -> float | None:
    """The space from where its first break begins, not from where that ends."""
    found = _space(again, key)
    if found is None or not found[1].stretches:
        return None
    first = found[1].stretches[0]
    wall = again.part.walls[first.wall].name
    widths = [o.width_ft * 12 for o in again.part.openings if o.wall == wall and abs((o.at_ft + o.width_ft) * 12 - first.begin) < 0.01]  # fmt: skip
    return again.numbers[key] + widths[0] if widths else None


def to_the_middle_of_the_sink(again: Again, key: str) -> float | None:
    """The space beside a sink with half of the sink."""
    if "sink" not in again.shown[key]["formula"]:
        return None
    widths = [each.width_in for counter in again.part.counters if item_of(key).startswith(counter.name)
              for each in counter.breaks if each.kind == "sink"]  # fmt: skip
    return again.numbers[key] + widths[0] / 2 if len(widths) == 1 else None


def every_piece_served(again: Again, key: str) -> float | None:
    """Each piece of wall by itself, where there are some that are shorter than a space that counts."""
    pieces, long_enough = _pieces(again, 0), _pieces(again, again.numbers["least_space_in"])
    return _each_by_itself(again, pieces) if len(pieces) > len(long_enough) else None
