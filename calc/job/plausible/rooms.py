"""Rooms, outlets and boxes: walls that don't close, heights in feet, volumes and wires that don't go together."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import cos, hypot, radians, sin

from calc.job.boxes import Box, Contents
from calc.job.cables import SIZES, Conductors
from calc.job.model import Job
from calc.job.plausible.notice import Found, Odd, live
from calc.job.rooms import Room

CLOSES_WITHIN_FT = 1.0
"""How far a room's walls may miss their beginning: tapes and corners are that far off. Common practice, no source."""
LOWEST_IN = 6
"""Below this height a receptacle stands in the floor, or its height was written in feet. Common practice, no source."""
MOST_IN3_A_GANG = 60
"""More than this a gang is no box for devices. Common practice, no source."""
MOST_IN3 = 500
LEAST_IN3 = 6


def _area(job: Job) -> Found:
    dwelling = job.dwelling
    if dwelling is None or dwelling.floor_area_ft2 is None:
        return
    inside = sum(_room_area(room) for room in live(job.rooms) if room.building is None and room.unit_group is None)
    if inside > dwelling.floor_area_ft2:
        yield Odd(dwelling, "floor_area_ft2", f"the rooms whose walls are taped have {inside:,.0f} ft2")


def _line(room: Room) -> tuple[list[tuple[float, float]], float]:
    """The corners of a room's wall line from its beginning, and how far it turned in all, degrees."""
    x = y = heading = 0.0
    corners = [(x, y)]
    for wall in room.walls:
        x, y = x + wall.length_ft * cos(radians(heading)), y - wall.length_ft * sin(radians(heading))
        corners.append((x, y))
        heading += wall.turn_deg
    return corners, heading


def _room_area(room: Room) -> float:
    """Area within a room's wall line, ft2; 0 where it does not close."""
    corners, turned = _line(room)
    if not room.walls or abs(turned - 360) > 1 or hypot(*corners[-1]) > CLOSES_WITHIN_FT:
        return 0
    return abs(sum(a * d - c * b for (a, b), (c, d) in pairwise(corners))) / 2


def _walls(job: Job) -> Found:
    """A wall line that does not come round to its beginning: a wall is missing, or a length or a turn is wrong."""
    for room in live(job.rooms):
        corners, turned = _line(room)
        miss = hypot(*corners[-1])
        if len(room.walls) < 3:
            continue  # a part of a room
        if abs(turned - 360) > 1:
            yield Odd(room, "walls", f"the wall line turns {turned:g} degrees, once round is 360", "a wall or a turn")
        elif miss > CLOSES_WITHIN_FT:
            yield Odd(room, "walls", f"the wall line misses its beginning by {miss:.3g} ft", "a wall's length or turn")


def _heights(job: Job) -> Found:
    for room in live(job.rooms):
        for outlet in live(room.outlets):
            height = outlet.height_in
            if height and height < LOWEST_IN and outlet.from_wall_in is None:
                yield Odd(
                    outlet,
                    "height_in",
                    "lower than a receptacle in a wall",
                    f"{height:g} ft, which is {height * 12:g} in",
                )


def _volumes(job: Job) -> Found:
    for box in live(job.boxes):
        if box.marked_in3 is None:
            continue
        most = MOST_IN3_A_GANG * box.gangs if box.devices else MOST_IN3
        if not LEAST_IN3 <= box.marked_in3 <= most:
            gangs = f"{box.gangs} gang{'s' * (box.gangs > 1)}"
            meant = box.marked_in3 / 10 if box.marked_in3 > most else box.marked_in3 * 10
            yield Odd(box, "marked_in3", f"for a box of {gangs}", f"{meant:g} in3")


def _bodies(job: Job) -> Found:
    """More devices than the gangs that are stated, and a metal box of the table that is said to be of plastic."""
    for box in live(job.boxes):
        for contents, gangs in ((box, box.gangs), *((side, side.gangs) for side in box.compartments)):
            yokes = sum(device.count * (device.gangs or 1) for device in contents.devices)
            if "gangs" in contents.model_fields_set and yokes > gangs:
                yield Odd(contents, "gangs", f"its devices take {yokes}", f"{yokes}")
        if box.box is not None and box.material == "nonmetallic":
            yield Odd(box, "material", f"{box.box} is a metal box of the table", "metal")


def _wires(job: Job) -> Found:
    """A device's wire that no cable of its box has, and cables thinner than those of the box's circuit."""
    circuits = {circuit.name: circuit for circuit in job.circuits}
    for box in live(job.boxes):
        for contents in (box, *box.compartments):
            sizes = {cable.size for cable in _in_box(contents)}
            for device in contents.devices:
                if sizes and device.wire not in sizes:
                    yield Odd(device, "wire", f"no cable of {box.name} has that size", f"{' or '.join(_sorted(sizes))}")
        circuit = circuits.get(box.circuit or "")
        known = [cable for cable in (circuit.cable, *circuit.other_cables) if cable] if circuit else []
        thin = [cable for cable in box.cables if known and _thinner(cable, known)]
        if circuit and thin:
            odd = f'"{thin[0]}" is thinner than the cable of its circuit "{circuit.name}", {known[0]}'
            yield Odd(box, "cables", odd, "another circuit, another cable, or the other under other cables")


def _in_box(contents: Box | Contents) -> Iterator[Conductors]:
    yield from (*contents.cables, *contents.conductors, *contents.through, *contents.looped)


def _sorted(sizes: set[str]) -> list[str]:
    return sorted(sizes, key=SIZES.index)


def _thinner(cable: Conductors, known: list[Conductors]) -> bool:
    return SIZES.index(cable.size) < min(SIZES.index(other.size) for other in known)


RULES = (_area, _walls, _heights, _volumes, _bodies, _wires)
