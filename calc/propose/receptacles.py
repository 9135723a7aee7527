"""Receptacles where the sheets of the rooms put the fewest: along walls, at counters and basins, in places with a count."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import cycle
from typing import Any

from calc.families.receptacles.house import serviced
from calc.families.receptacles.room import RoomWork, rooms
from calc.families.receptacles.wall_line import WallLine
from calc.job import Circuit, Job, Room, place
from calc.job.fields import entered
from calc.job.rooms import OUTDOORS
from calc.propose.circuits import serving
from calc.propose.practice import Table, entry, live_rooms, practice
from calc.wiring.house import House
from calc.wiring.reading import read
from calc.work import IN_PER_FT

ROOM_PURPOSES = ("general", "small-appliance", "outdoor", "garage", "laundry", "bathroom")


def receptacles(house: House) -> dict[str, Any]:
    """Receptacles of each new room in which none is entered, on the circuits that serve it."""
    job = house.whole_job
    service = _service(house)
    changes: dict[str, Any] = {}
    for worked in rooms(house):
        room = worked.room
        if room not in live_rooms(job):
            continue
        if not entered(room, "outlets"):
            found = [
                *_along_walls(job, worked),
                *_near_basins(job, worked),
                *_counted(house, room),
                *service.get(room.name, []),
            ]
            if found:
                changes[place(room, "outlets")] = found
        if room.counters and not any(entered(counter, "outlets") for counter in room.counters):
            changes |= _at_counters(job, worked)
    return changes


def _outlet(job: Job, room: Room, **fields: Any) -> Table:
    on = _on(job, room)
    return entry(**fields, circuit=on.name if on else None, tamper_resistant=True)


def _on(job: Job, room: Room) -> Circuit | None:
    first = {"bathroom": ("bathroom",), "garage": ("garage",), "laundry": ("laundry",), "kitchen": ("small-appliance",)}
    first |= dict.fromkeys(OUTDOORS, ("outdoor",))
    return serving(job, room.name, *first.get(room.use, ()), *ROOM_PURPOSES)


def _along_walls(job: Job, worked: RoomWork) -> Iterator[Table]:
    """At the places that the sheet proposes, along the wall that each is on."""
    if worked.walls is not None:
        for at in worked.walls.placed:
            yield _outlet(
                job, worked.room, **_on_wall(worked.walls.line, at), height_in=practice("outlets")["wall_height_in"]
            )


def _on_wall(line: WallLine, at: float) -> Table:
    at = at % line.around if at >= line.around else at
    number = line.wall_at(at)
    return {"wall": line.walls[number].name, "at_ft": round((at - line.begins[number]) / IN_PER_FT.number, 4)}


def _near_basins(job: Job, worked: RoomWork) -> Iterator[Table]:
    if worked.basins is not None:
        for at in worked.basins.placed:
            where = (
                _on_wall(worked.basins.line, at) if worked.basins.line else {"at_ft": round(at / IN_PER_FT.number, 4)}
            )
            yield _outlet(job, worked.room, **where, height_in=practice("outlets")["basin_height_in"], purpose="basin")


def _counted(house: House, room: Room) -> Iterator[Table]:
    """Places that have a count of their own, and those outdoors."""
    job, high = house.whole_job, practice("outlets")
    if room.use == "laundry":
        yield _outlet(job, room, purpose="laundry", height_in=high["laundry_height_in"])
    elif room.use == "garage":
        for bay in range(1, (room.vehicle_bays or 1) + 1):
            yield _outlet(job, room, purpose="vehicle-bay", bay=bay, height_in=high["garage_height_in"])
    elif room.use == "hall" and room.hall_length_ft is not None:
        if (read(room, "hall_length_ft") >= house.code["hall_length"]).holds:
            yield _outlet(job, room, height_in=high["wall_height_in"])
    elif room.use == "basement" and room.finished is False:
        yield _outlet(job, room, height_in=high["garage_height_in"])
    elif room.use in OUTDOORS:
        side = room.front_or_back if room.front_or_back in ("front", "back") else None
        yield _outlet(job, room, purpose=side, height_in=high["outdoor_height_in"])


def _at_counters(job: Job, worked: RoomWork) -> dict[str, Any]:
    """Over each counter, one circuit after the other; an island has what its edition asks for, and one where it asks for none."""
    live = [c for c in job.circuits if c.status != "removed" and worked.room.name in c.rooms]
    turns = cycle([c.name for c in live if c.purpose == "small-appliance"] or [None])
    changes: dict[str, Any] = {}
    results = worked.sheet.results
    for plan in worked.counters:
        counter, found = plan.counter, []
        for at in plan.placed:
            ends = {"end_wall": "left"} if at < 0 else {"end_wall": "right"} if at > counter.length_in else {}
            along = -at if at < 0 else at - counter.length_in if at > counter.length_in else at
            found.append(entry(at_in=round(along, 4), **ends, above_in=practice("outlets")["above_counter_in"],
                               circuit=next(turns), tamper_resistant=True))  # fmt: skip
        if counter.kind != "wall":
            number = max(int(results.get(f"island_needed[{counter.name}]", 0)), 1)
            apart = counter.length_in / number
            found += [entry(at_in=round(apart * (n + 0.5), 2), in_counter=True, circuit=next(turns), tamper_resistant=True)
                      for n in range(number)]  # fmt: skip
        if found:
            changes[place(counter, "outlets")] = found
    return changes


def _service(house: House) -> dict[str, list[Table]]:
    """One for whoever services heating and cooling, in the room of each, or outdoors at the back; by room."""
    job = house.whole_job
    found: dict[str, list[Table]] = {}
    known = {outlet.equipment for room in job.rooms for outlet in room.outlets}
    open_rooms = {room.name: room for room in live_rooms(job) if not entered(room, "outlets")}
    for load in serviced(house):
        outdoors = [room for room in open_rooms.values() if room.use in OUTDOORS]
        at_back = sorted(outdoors, key=lambda room: room.front_or_back != "back")
        room = open_rooms.get(load.room or "") or (at_back[0] if load.outdoors and at_back else None)
        if room is None or load.name in known:
            continue
        row = _outlet(job, room, purpose="equipment-service", equipment=load.name, load_side=False,
                      distance_ft=practice("outlets")["from_equipment_ft"])  # fmt: skip
        found.setdefault(room.name, []).append(row)
    return found
