"""Switch boxes: a neutral for a control, and the cables that travellers run in."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.rough_in.stated import yes
from calc.job import Box, Compartment, Contents, Device, Job, Room, place
from calc.wiring.house import House
from calc.work import Sheet, given

SWITCHES = ("switch", "three-way-switch", "four-way-switch", "dimmer", "fan-control")
LET_OFF = {
    "raceway": "a raceway: one can be pulled in",
    "reachable": "a cable can be brought to the box later without opening a finished wall",
    "seen-from-another": "another switch of the same light has one, and the whole floor is seen from there",
    "automatic": "the light is controlled by itself",
    "receptacle": "it switches a receptacle",
}
MULTIPLE = ("four-way-switch", "three-way-switch")  # the one that needs more cables first


def switch_boxes(job: Job) -> list[Box]:
    """New boxes with a switch in them."""
    return [box for box in job.boxes if box.status == "new" and any(device.kind in SWITCHES for device in devices(box))]


def sides(box: Box) -> tuple[Contents, ...]:
    """The box, or each side of a divided one."""
    return box.compartments or (box,)


def devices(box: Box) -> list[Device]:
    """All devices of a box, whichever side they are on."""
    return [device for side in sides(box) for device in side.devices]


def switches(sheet: Sheet, house: House) -> None:
    """Each switch box."""
    for box in house.told(switch_boxes):
        if any(device.kind in house.code.members("switch_neutral") for device in devices(box)):
            _neutral(sheet, house, box)
        for side in sides(box):
            _travellers(sheet, house.code, box, side)


def _neutral(sheet: Sheet, house: House, box: Box) -> None:
    """A neutral for a control, in the rooms that the rule is for, unless the job says what lets the box off."""
    cites = [house.code.cite("switch_neutral"), house.code.cite("switch_neutral_rooms")]
    room = next((room for room in house.job.rooms if room.name == box.room), None)
    asked = None if room is None else _asked(house.code, room)
    raceway = box.neutral_at_switch is False and not any(side.cables for side in sides(box))
    why = box.neutral_let_off or ("raceway" if raceway else "")
    if box.neutral_at_switch:
        asked, why = True, ""
    if room is not None and asked is False:
        sheet.find("neutral_let_off", f"none is asked for: {room.use.replace('-', ' ')}", item=box.name, cites=cites)
    elif why:
        sheet.find("neutral_let_off", LET_OFF[why], item=box.name, cites=[house.code.cite("switch_neutral_let_off")])
    elif box.neutral_at_switch is None:
        at = place(box, "neutral_at_switch")
        sheet.unknown("neutral", "whether a neutral is there (neutral_at_switch)", at, item=box.name, cites=cites)
    elif asked is None:
        at = place(box, "room") if room is None else place(room, "finished")
        said = "the room that it is in (room)" if room is None else f"whether the {room.name} is finished (finished)"
        sheet.unknown("neutral", said, at, item=box.name, cites=cites)
    else:
        there = yes(box, "neutral_at_switch", f"neutrals in {box.name}", "neutral")
        sheet.check(
            "neutral",
            there >= house.code["switch_neutral"],
            remedy=sheet.words.text("neutral", "remedy"),
            item=box.name,
            cites=cites,
        )


def _asked(code: Codebook, room: Room) -> bool | None:
    """Whether switches of the room have a neutral; None where it depends on its finish, which nobody stated."""
    if room.use in code.members("lived_in_finished"):
        return room.finished
    return room.use in code.members("switch_neutral_rooms")


def _travellers(sheet: Sheet, code: Codebook, box: Box, side: Contents) -> None:
    """Cables of three wires or more, where switches are wired by cable."""
    kind = next((kind for kind in MULTIPLE if any(device.kind == kind for device in side.devices)), None)
    if kind is None or not side.cables:
        return
    item = f"{box.name}, side {side.name}" if isinstance(side, Compartment) else box.name
    three = sum(cable.count for cable in side.cables if len(cable.wires) >= 3)
    has = given(f"cables of three wires in {item}", three, "", place(side, "cables"))
    least = sheet.line("cables_least", code.row("traveller_cables", switch=kind)["least_cables"], item=item)
    sheet.check("travellers", has >= least, remedy=sheet.words.text("travellers", "remedy"), item=item,
            cites=[code.cite("conductors_together")])  # fmt: skip
