"""Lighting outlets and their switches: rooms, passages, garages, entrances, attics and the like, closets, stairs."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.receptacles.tally import ones, present
from calc.families.receptacles.wall_line import WallLine, inches
from calc.job import Opening, Room, Stair, format_length, place
from calc.job.fields import Part
from calc.wiring.house import House
from calc.wiring.reading import read
from calc.work import Citation, Missing, Sheet, Value, constant, given

ONE = constant("one", 1, "")
CLOSETS = ("closet", "clothes-closet")


def room_light(sheet: Sheet, house: House, room: Room, habitable: bool) -> None:
    """What the room needs by way of light, checked as far as it is entered."""
    if habitable or room.use in house.code.members("light_rooms"):
        _switched(sheet, house.code, room, "light_rooms", room.use not in house.code.members("light_no_receptacle"))
    if room.use in house.code.members("light_passages"):
        _switched(sheet, house.code, room, "light_passages", False)
    if room.use in house.code.members("storage_light"):
        _storage(sheet, house, room, habitable)
    if room.use in CLOSETS:
        _closet(sheet, house.code, room)
    for opening in room.openings:
        unsaid = opening.kind == "slider" and opening.leads_to is None
        outside = opening.leads_to == "outdoors" and opening.kind != "garage-door" and opening.grade_access is not False
        if unsaid or outside:
            _entrance(sheet, house.code, room, opening)


def _open(sheet: Sheet, part: Part, key: str, missing: str, field: str, cites: list[Citation], item: str = "") -> None:
    """A requirement that nobody can decide until the entry is made; of an existing room none is claimed."""
    if getattr(part, "status", "new") != "existing":
        sheet.unknown(key, f"{missing} ({field})", place(part, field), item=item, cites=cites)


def _yes(name: str, holds: bool, part: Part, field: str) -> Value:
    """A yes or no of the job as 1 or 0."""
    return given(name, float(holds), "", place(part, field))


def _check(sheet: Sheet, key: str, there: Value, remedy: str, cites: list[Citation], item: str = "") -> None:
    sheet.check(key, there >= ONE, remedy=remedy, item=item, cites=cites)


def _switched(sheet: Sheet, code: Codebook, room: Room, rule: str, receptacle_may: bool) -> None:
    """A lighting outlet with a switch; a switched receptacle where one may stand in for it."""
    if room.light is None:
        _open(sheet, room, "light", "its lighting outlet, and how that is switched", "light", [code.cite(rule)])
        return
    if room.light == "other-control":
        sheet.remark("note_other_control")
    counts = room.light in ("wall-switched", "other-control") or (
        room.light == "switched-receptacle" and receptacle_may
    )
    cites = [code.cite(rule), *([code.cite("light_no_receptacle")] if room.light == "switched-receptacle" else [])]
    there = _yes(f"lighting outlets, {room.light.replace('-', ' ')}", counts, room, "light")
    sheet.check(
        "light", there >= code["light_outlet"], remedy="a lighting outlet with a switch at the wall", cites=cites
    )


def _storage(sheet: Sheet, house: House, room: Room, habitable: bool) -> None:
    """A light switched at the entry, and at the equipment, where things are kept or equipment stands."""
    cites = [house.code.cite("storage_light")]
    equipment = [load.name for load in house.job.loads if load.room == room.name and load.status != "removed"]
    uses = [*(["storage"] if room.storage else []), *equipment]
    if not uses:
        if room.storage is None and not habitable:
            _open(sheet, room, "storage_use", "whether things are kept here", "storage", cites)
        return
    sheet.find("storage_use", ", ".join(uses), cites=cites)
    if room.light is None:
        _open(sheet, room, "storage_light", "its lighting outlet, and how that is switched", "light", cites)
        return
    lit = _yes("lighting outlets", room.light in ("wall-switched", "other-control"), room, "light")
    _check(sheet, "storage_light", lit, "a lighting outlet", cites)
    if room.switch_at_entry is None:
        _open(sheet, room, "storage_switch", "whether it is switched at its usual entry", "switch_at_entry", cites)
    else:
        at_entry = _yes("switches at the usual entry", room.switch_at_entry, room, "switch_at_entry")
        _check(sheet, "storage_switch", at_entry, "a switch at the usual entry", cites)
    if equipment and room.light_at_equipment is None:
        said = f"whether a light is at {' and '.join(equipment)}"
        _open(sheet, room, "equipment_light", said, "light_at_equipment", cites)
    elif equipment:
        near = _yes("lights at the equipment", bool(room.light_at_equipment), room, "light_at_equipment")
        _check(sheet, "equipment_light", near, f"a light at {' and '.join(equipment)}", cites)


def _closet(sheet: Sheet, code: Codebook, room: Room) -> None:
    """Neither light nor receptacle is needed; what applies to those that are there."""
    lit = room.light not in (None, "none")
    wired = lit or bool(present(room.outlets))
    cites = [*([code.cite("closet_light")] if lit else []), *([code.cite("closet_outlet")] if wired else [])]
    sheet.find("closet", "neither light nor receptacle is needed", cites=cites)
    if lit:
        sheet.caution("caution_closet_light")
    if wired:
        sheet.caution("caution_closet_outlet")


def _entrance(sheet: Sheet, code: Codebook, room: Room, opening: Opening) -> None:
    """A light outside an entrance at grade."""
    line = WallLine(room)
    where = line.where(line.span(opening)[0]) if room.walls else format_length(inches(opening.at_ft))
    name = f"{opening.kind} at {where}"
    if opening.leads_to is None or opening.outdoor_light is None:
        if room.status != "existing":
            missing = (
                ("where it leads", "leads_to")
                if opening.leads_to is None
                else ("whether a light is outside it", "outdoor_light")
            )
            _open(sheet, opening, "entrance_light", *missing, [code.cite("entrance_light")], name)
        return
    there = _yes("lights outside it", opening.outdoor_light, opening, "outdoor_light")
    sheet.check(
        "entrance_light", there >= code["entrance_light"], remedy="a switched light on its outer side", item=name
    )


def stair_switches(sheet: Sheet, house: House, stair: Stair) -> None:
    """The light of a stair, and a switch at each floor and each landing with an entry where it is long enough."""
    code = house.code
    cites = [code.cite("stair_risers")]
    (long,) = sheet.sort("stair_long", [read(stair, "risers", stair.name)], code["stair_risers"])
    if stair.light is None:
        _open(sheet, stair, "stair_light", "whether a lighting outlet is there", "light", cites)
    else:
        _check(
            sheet,
            "stair_light",
            _yes("lighting outlets", stair.light, stair, "light"),
            "a lighting outlet for the stair",
            cites,
        )
    levels = [level for level in stair.landings if level.floor_level or level.entry]
    unsaid = [level for level in stair.landings if level not in levels and None in (level.floor_level, level.entry)]
    if not levels and not unsaid:
        raise Missing("The levels of the stair are not entered ([[stairs.landings]] with floor_level or entry).", *cites,
                      at=place(stair, "landings"))  # fmt: skip
    for level in unsaid if long else ():
        field = "floor_level" if level.floor_level is None else "entry"
        _open(sheet, level, "level_switch", "whether it is a floor, or a door opens onto it", field, cites, level.name)
    sheet.line("switches_needed", ones(level.name for level in levels) if long else ONE, cites=cites)
    sheet.line("switches_provided", ones(level.name for level in levels if level.switch))
    open_to = next((level for level in levels if level.switch is None), None)
    if not long:
        if open_to is not None and not any(level.switch for level in levels):
            _open(
                sheet, open_to, "stair_switch", f"whether the light is switched at the {open_to.name}", "switch", cites
            )
            return
        _check(sheet, "stair_switch", sheet.value("switches_provided"), "a switch for the stair's light", cites)
        return
    for level in levels:
        if level.switch is None:
            _open(sheet, level, "level_switch", "whether the light is switched there", "switch", cites, level.name)
            continue
        switched = _yes(f"switches, {level.name}", bool(level.switch), level, "switch")
        _check(sheet, "level_switch", switched, f"a switch at the {level.name}", cites, item=level.name)
