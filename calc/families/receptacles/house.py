"""What the house as a whole needs: receptacles outdoors, front and back, and one for whoever services equipment."""

from __future__ import annotations

from calc.families.receptacles.places import Ask, Listed, at_least, own
from calc.families.receptacles.tally import Left, Tally, named, too_high
from calc.families.receptacles.wall_line import inches
from calc.job import Job, Load, Outlet, Room, format_length, place
from calc.job.fields import entered
from calc.job.rooms import OUTDOORS
from calc.wiring.house import House
from calc.wiring.reading import read
from calc.work import IN_PER_FT, Sheet

AT_GRADE = ("outdoors", "porch", "deck")
SIDES = ("front", "back")
NO_SIDE = "no side entered"


def outdoor_outlets(job: Job) -> list[tuple[str, str, Outlet]]:
    """Receptacles that may be the ones for a side of the house: name, side, receptacle."""
    found: list[tuple[str, str, Outlet]] = []
    for room in rooms_kept(job):
        for name, outlet in named(room):
            if outlet.purpose in SIDES or room.use in AT_GRADE:
                side = outlet.purpose if outlet.purpose in SIDES else room.front_or_back
                found.append((f"{room.name}, {name}", side or NO_SIDE, outlet))
    return found


def rooms_kept(job: Job) -> list[Room]:
    """The rooms and places that stay or come."""
    return [room for room in job.rooms if room.status != "removed"]


def has_outdoors(job: Job) -> bool:
    """Whether anything outdoors is entered."""
    return bool(outdoor_outlets(job)) or any(room.use in OUTDOORS for room in rooms_kept(job))


def outdoors(sheet: Sheet, house: House, tally: Tally) -> None:
    """Front and back of a one- or two-family dwelling; one for a unit at grade of a larger one."""
    limit = sheet.line("outlet_height_in", house.code["outdoor_height"] * IN_PER_FT)
    found = outdoor_outlets(house.job)
    places = [room for room in house.told(rooms_kept) if room.use in OUTDOORS]
    known = bool(found) or any(entered(room, "outlets") for room in places)
    outlets = Listed([(name, outlet) for name, _, outlet in found], known, place(places[0], "outlets") if places else "rooms",
                     bool(places) and all(room.status == "existing" for room in places))  # fmt: skip
    side_of = {id(outlet): side for _, side, outlet in found}

    def usable(outlet: Outlet) -> Left | None:
        return own(outlet) or too_high(outlet, limit, "grade")

    if house.job.dwelling is not None and house.job.dwelling.kind == "multifamily":
        ask = Ask("outdoor_unit", "outside of a unit at grade", "outside each unit at grade", usable)
        at_least(sheet, house.code, tally, ask, outlets)
        return
    for side in SIDES:
        if gap := _not_told(places, found, side):
            sheet.unknown("place_enough", f"the receptacles of {gap.name} (outlets)", place(gap, "outlets"),
                          item=f"{side} of the house", cites=[house.code.cite("outdoor_side")])  # fmt: skip
            continue

        def why(outlet: Outlet, side: str = side) -> Left | None:
            other = side_of[id(outlet)]
            at = place(outlet, "purpose") if other == NO_SIDE else ""
            return usable(outlet) if other == side else Left(other, at=at)

        ask = Ask("outdoor_side", f"{side} of the house", f"at the {side} of the house, within reach from grade", why)
        at_least(sheet, house.code, tally, ask, outlets)
    sheet.remark("note_porch")


def _not_told(places: list[Room], found: list[tuple[str, str, Outlet]], side: str) -> Room | None:
    """A place that may be at that side of the house and whose receptacles nobody entered, where none is entered for the side."""
    if not found or any(where in (side, NO_SIDE) and outlet.status != "removed" for _, where, outlet in found):
        return None
    return next(
        (room for room in places if room.use in AT_GRADE and not entered(room, "outlets")
         and room.front_or_back in (side, None) and room.status != "existing"), None
    )  # fmt: skip


def serviced(house: House) -> list[Load]:
    """The equipment that has a service receptacle, and the blowers that run with it."""
    kinds, loads = house.code.members("service_kinds"), [load for load in house.job.loads if load.status != "removed"]
    direct = {load.name for load in loads if load.kind in kinds}
    return [load for load in loads if load.name in direct or (load.kind == "fan" and set(load.runs_with) & direct)]


def equipment(sheet: Sheet, house: House, tally: Tally) -> None:
    """A receptacle close to each piece of heating and cooling equipment, alive when its disconnect is open."""
    serving = [
        (f"{room.name}, {name}", outlet)
        for room in house.told(rooms_kept)
        for name, outlet in named(room)
        if outlet.equipment or outlet.purpose == "equipment-service"
    ]
    outlets = Listed(serving, bool(serving), "rooms")
    for load in serviced(house):

        def why(outlet: Outlet, name: str = load.name) -> Left | None:
            if outlet.equipment is None:
                return Left("its equipment is not entered", at=place(outlet, "equipment"))
            if outlet.equipment != name:
                return Left(f"for {outlet.equipment}")
            if outlet.load_side:
                return Left("fed from behind the disconnect")
            if outlet.distance_ft is None:
                return Left("its distance is not entered", at=place(outlet, "distance_ft"))
            far = read(outlet, "distance_ft", "distance from the equipment") > house.code["service_reach"]
            return Left(f"{format_length(inches(outlet.distance_ft))} away", far) if far.holds else None

        where = f"within {house.code['service_reach'].number:g} ft of the {load.name}"
        at_least(sheet, house.code, tally, Ask("service_outlet", load.name, where, why), outlets)
    sheet.caution("caution_level")
