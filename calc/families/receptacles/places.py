"""Places with a count of their own: laundries, garages, basements, halls, balconies, accessory buildings."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from calc.codebook import Codebook
from calc.families.receptacles.tally import TAKEN_OUT, Left, Tally, named, ones, said_of, too_high
from calc.families.receptacles.wall_line import inches, taped
from calc.job import Outlet, Room, format_length, place
from calc.job.fields import entered
from calc.wiring.house import House
from calc.wiring.reading import read
from calc.work import IN_PER_FT, Missing, Sheet, Value, constant, given, when

NONE = constant("none", 0, "")
Named = Sequence[tuple[str, Outlet]]


@dataclass(frozen=True)
class Listed:
    """The receptacles entered for a place, each with its name; whether any entry says which there are, and where."""

    named: Named
    entered: bool
    at: str
    stays: bool = False


def listed(room: Room) -> Listed:
    """The receptacles of a room."""
    return Listed(named(room), entered(room, "outlets"), place(room, "outlets"), room.status == "existing")


@dataclass(frozen=True)
class Ask:
    """A place that a rule asks receptacles for: what it is, where that is in words, and which ones don't count there."""

    rule: str
    what: str
    where: str
    why: Callable[[Outlet], Left | None]
    needed: Value | None = None


def at_least(sheet: Sheet, code: Codebook, tally: Tally, ask: Ask, there: Listed) -> None:
    """A count of receptacles against the rule's; where none is entered, what is to come, which is not known to be met."""
    cites = [code.cite(ask.rule)]
    need = sheet.line("place_needed", code[ask.rule] if ask.needed is None else ask.needed, item=ask.what, cites=cites)
    tally.needed.append(need)
    if not there.entered:
        said = f"{need.number:g} {ask.where}" if need.number else "none"
        sheet.find("place_proposed", said, item=ask.what, cites=cites)
        if need.number and not there.stays:
            sheet.unknown("place_enough", f"a receptacle {ask.where} (outlets)", there.at, item=ask.what, cites=cites)
        return
    tally.asked = True
    names = [name for name, _ in there.named]
    left = [TAKEN_OUT if outlet.status == "removed" else ask.why(outlet) for _, outlet in there.named]
    shown = [w.shown for w in left if w is not None and w.shown is not None]
    sheet.find("place_counted", said_of(names, left), shown, item=ask.what, cites=cites)
    counting = ones(name for name, w in zip(names, left, strict=True) if w is None)
    provided = sheet.line("place_provided", counting, item=ask.what)
    tally.provided.append(provided)
    open_to = [w for w in left if w is not None and w.at]
    if provided.number < need.number <= provided.number + len(open_to):
        sheet.unknown(
            "place_enough", f"what would make one count: {open_to[0].why}", open_to[0].at, item=ask.what, cites=cites
        )
        return
    sheet.check("place_enough", provided >= need, remedy=f"add a receptacle {ask.where}", item=ask.what, cites=cites)


def own(outlet: Outlet) -> Left | None:
    """A receptacle for one appliance stands for nothing else."""
    return Left("for one appliance") if outlet.dedicated else None


def laundry(sheet: Sheet, code: Codebook, room: Room, tally: Tally) -> None:
    """At least one receptacle for the laundry equipment, near the washer."""

    def why(outlet: Outlet) -> Left | None:
        if outlet.purpose == "laundry":
            if outlet.distance_ft is None:
                return None
            away = read(outlet, "distance_ft", "distance from the appliance")
            far = away > code["appliance_reach"]
            return Left(f"{format_length(inches(outlet.distance_ft))} from the appliance", far) if far.holds else None
        return own(outlet)

    at_least(sheet, code, tally, Ask("laundry_outlet", "laundry", "in the laundry, near the washer", why), listed(room))
    sheet.caution("caution_appliance", reach=f"{code['appliance_reach'].number:g}")


def garage(sheet: Sheet, house: House, room: Room, tally: Tally) -> None:
    """One receptacle in each vehicle bay, not too high."""
    if not _covered(sheet, house, room):
        return
    if room.vehicle_bays is None:
        raise Missing("The number of vehicle bays is not entered (vehicle_bays): each bay has a receptacle.",
                      house.code.cite("garage_bay"), at=place(room, "vehicle_bays"))  # fmt: skip
    limit = sheet.line("outlet_height_in", house.code["garage_height"] * IN_PER_FT)
    for bay in range(1, room.vehicle_bays + 1):

        def why(outlet: Outlet, bay: int = bay) -> Left | None:
            if outlet.bay is None and room.vehicle_bays != 1:
                return Left("its bay is not entered", at=place(outlet, "bay"))
            if outlet.bay not in (None, bay):
                return Left("in another bay")
            return _general(house.code, outlet) or too_high(outlet, limit, "the floor")

        at_least(
            sheet,
            house.code,
            tally,
            Ask("garage_bay", f"vehicle bay {bay}", f"in vehicle bay {bay}", why),
            listed(room),
        )
    if room.attached is False:
        sheet.remark("note_detached")


def unfinished_basement(sheet: Sheet, house: House, room: Room, tally: Tally) -> None:
    """At least one receptacle besides those for certain equipment."""
    if _covered(sheet, house, room):
        ask = Ask("basement_outlet", "unfinished basement", "in the unfinished part", lambda o: _general(house.code, o))
        at_least(sheet, house.code, tally, ask, listed(room))


def accessory(sheet: Sheet, house: House, room: Room, tally: Tally) -> None:
    """At least one receptacle in an accessory building with power."""
    if _covered(sheet, house, room):
        ask = Ask("accessory_outlet", f"{room.building}", f"in the {room.building}", lambda o: _general(house.code, o))
        at_least(sheet, house.code, tally, ask, listed(room))
        sheet.remark("note_detached")


def _covered(sheet: Sheet, house: House, room: Room) -> bool:
    """Whether the rule holds for this kind of dwelling; one-family where the job doesn't say."""
    kind = house.job.dwelling.kind if house.job.dwelling else "one-family"
    covered = kind in house.code.members("garage_dwellings")
    cites = [house.code.cite("garage_dwellings")]
    if any(outlet.purpose == "security" for outlet in room.outlets):
        cites.append(house.code.cite("security_outlet"))
    sheet.find("dwelling_kind", kind if covered else f"{kind}, for which this edition has no such rule", cites=cites)
    return covered


def _general(code: Codebook, outlet: Outlet) -> Left | None:
    """Why a receptacle isn't one for general use: it serves one appliance, or, by edition, a security system alone."""
    if outlet.purpose == "security" and code.method("security_outlet") == "left out":
        return Left("for a security system alone")
    return own(outlet)


def hall(sheet: Sheet, code: Codebook, room: Room, tally: Tally) -> None:
    """At least one receptacle in a hall that is long enough."""
    if room.hall_length_ft is None:
        raise Missing("The length of the hall is not entered (hall_length_ft): it decides whether a receptacle is needed.",
                      code.cite("hall_length"), at=place(room, "hall_length_ft"))  # fmt: skip
    length = taped(room, "hall_length_ft", "length of the hall")
    limit = sheet.line("hall_limit_in", code["hall_length"] * IN_PER_FT)
    needed = when(length >= limit, code["hall_outlet"], NONE)
    at_least(sheet, code, tally, Ask("hall_outlet", "hall", "in the hall", own, needed), listed(room))


def balcony(sheet: Sheet, code: Codebook, room: Room, tally: Tally) -> None:
    """At least one receptacle on a balcony, deck or porch that one steps onto from inside, not too high."""
    if room.reached_from_inside is None:
        sheet.remark("note_reached")
    reached = given(
        "stepped onto from inside", float(room.reached_from_inside is not False), "", place(room, "reached_from_inside")
    )
    limit = sheet.line("outlet_height_in", code["outdoor_height"] * IN_PER_FT)

    def why(outlet: Outlet) -> Left | None:
        return own(outlet) or too_high(outlet, limit, "the surface")

    ask = Ask("balcony_outlet", room.use, f"on the {room.use}", why, code["balcony_outlet"] * reached)
    at_least(sheet, code, tally, ask, listed(room))
