"""Mends of places with a count of their own: a receptacle more in the hall, the bay, at the basin, near the equipment."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from calc.families.receptacles.house import AT_GRADE, SIDES
from calc.families.receptacles.room import rooms
from calc.job import Counter, Room, format_length, place
from calc.remedies.outlets import LIKE
from calc.remedies.survey import Survey
from calc.remedies.ways import Kind, Way, data_at
from calc.work import IN_PER_FT, Check
from calc.work.keys import stem_and_item

Row = dict[str, Any]
AT_END_IN = 6.0
OF_COUNTERS = ("island_enough", "peninsula_end_served", "clear_below")


def place_ways(found: Survey, subject: str, key: str, check: Check) -> Iterator[Way]:
    """Ways to add what the check of a place lacks, in the words of its sheet."""
    root, item = stem_and_item(key)
    if root in ("basin_served", "basin_has_one"):
        yield from _at_basins(found, subject)
    if root == "place_enough":
        for room, row in _wanted(found, subject, item):
            yield Way(Kind.PART, check.remedy, {place(room, "outlets"): _with(found, room, row)})
    for counter in (counter for room in found.job.rooms if room.name == subject for counter in room.counters):
        if root in OF_COUNTERS and item.partition(", receptacle ")[0] == counter.name:
            yield from _at_counter(found, counter, root, check)


def _at_counter(found: Survey, counter: Counter, root: str, check: Check) -> Iterator[Way]:
    """An island or peninsula: receptacles in its top, or one that stands there in another place."""
    if root == "island_enough":
        more = round(check.holds.right.number - check.holds.left.number)
        at = place(counter, "outlets")
        rows = [{"at_in": along, "in_counter": True} for along in _along(counter, more)]
        yield Way(Kind.PART, check.remedy, {at: [*data_at(found.job.data, at), *rows]})
    for outlet in (outlet for outlet in counter.outlets if outlet.status != "removed"):
        if root == "peninsula_end_served":
            along = counter.length_in - check.holds.right.number
            text = f"move the receptacle at {format_length(outlet.at_in)} to {format_length(along)} from the end at the wall"
            yield Way(Kind.MOVE, text, {place(outlet, "at_in"): along})
        elif root == "clear_below" and outlet.below_in is not None:
            changes = {place(outlet, "below_in"): None, place(outlet, "in_counter"): True}
            yield Way(Kind.MOVE, "move it into the top, as a listed assembly", changes)


def _along(counter: Counter, number: int) -> list[float]:
    """Places along an island, as even as can be; along a peninsula the first near its outer end."""
    even = [round(counter.length_in * (2 * n + 1) / (2 * number), 1) for n in range(number)]
    return [*even[:-1], max(counter.length_in - AT_END_IN, even[-1])] if counter.kind == "peninsula" else even


def _with(found: Survey, room: Room, row: Row) -> list[Row]:
    """The receptacles of a room and one more, on the circuit and with the protection of those that are there."""
    rows = data_at(found.job.data, place(room, "outlets"))
    like = next((other for other in rows if other.get("status") != "removed"), {})
    return [*rows, {key: like[key] for key in LIKE if key in like} | row]


def _wanted(found: Survey, subject: str, item: str) -> Iterator[tuple[Room, Row]]:
    """The rooms where the receptacle can be put in, with what has to be said of it."""
    stays = [room for room in found.job.rooms if room.status != "removed"]
    side = item.partition(" ")[0]
    load = next((load for load in found.job.loads if load.name == item), None)
    for room in stays:
        if room.name == subject and item.startswith("vehicle bay "):
            yield room, {"purpose": "vehicle-bay", "bay": int(item.split()[-1])}
        elif room.name == subject:
            yield room, {"purpose": "laundry"} if item == "laundry" else {}
        elif (
            subject == "Outdoors"
            and room.use in AT_GRADE
            and room.front_or_back in (side, *((None,) if side not in SIDES else ()))
        ):
            yield room, {"purpose": side} if side in SIDES else {}
        elif (
            subject == "Equipment"
            and load is not None
            and (room.name == load.room or (load.outdoors and room.use in AT_GRADE))
        ):
            reach = found.code["service_reach"].number
            yield (
                room,
                {"purpose": "equipment-service", "equipment": load.name, "distance_ft": reach, "load_side": False},
            )


def _at_basins(found: Survey, subject: str) -> Iterator[Way]:
    """A receptacle at one of the places that serve a bathroom's basins with the fewest."""
    worked = next((each for each in rooms(found.house) if each.room.name == subject), None)
    if worked is None or worked.basins is None:
        return
    reach = worked.sheet.results["basin_reach_in"]
    for at in worked.basins.fewest(reach, found.code["place_margin"].number):
        row = {"at_ft": round(at / IN_PER_FT.number, 4)}
        yield Way(Kind.PART, f"add a receptacle at {worked.basins.where(at)}",
                  {place(worked.room, "outlets"): _with(found, worked.room, row)})  # fmt: skip
