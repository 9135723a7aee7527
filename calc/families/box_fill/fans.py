"""Boxes that a ceiling fan hangs from, or could hang from one day."""

from __future__ import annotations

from collections.abc import Iterator

from calc.codebook import Codebook
from calc.job import Box, Room, place
from calc.wiring.house import House
from calc.work import Sheet, constant, given

ONE = constant("boxes that must be fit for a fan", 1, "")
Condition = tuple[bool | None, str, str]
"""Whether it holds (None: not known), the entry that says so in words, and its place."""


def fan_box(sheet: Sheet, house: House, box: Box) -> None:
    """Whether a box that holds a ceiling fan, or that one could be hung from, is fit for it."""
    if box.supports == "fan":
        _listed(sheet, house.code, box)
    elif box.status == "new" and (box.supports == "luminaire" or box.mounted == "ceiling"):
        _ready(sheet, house, box)


def _listed(sheet: Sheet, code: Codebook, box: Box) -> None:
    cites = [code.cite("fan_box")]
    if box.fan_rated is None:
        sheet.unknown(
            "fan_box_listed",
            "whether the box is listed to hold a fan (fan_rated)",
            place(box, "fan_rated"),
            cites=cites,
        )
        return
    rated = given("boxes listed to hold a fan", int(box.fan_rated), "", place(box, "fan_rated"))
    sheet.check("fan_box_listed", rated >= ONE, remedy="a box listed and marked to hold a ceiling fan", cites=cites)


def _ready(sheet: Sheet, house: House, box: Box) -> None:
    """A ceiling box without a fan: fit for one, where the edition asks that it be."""
    conditions = list(_conditions(house, box))
    if any(holds is False for holds, _, _ in conditions):
        return
    cites = [house.code.cite("fan_ceiling")]
    framing = house.code.has("fan_framing")
    fit = bool(box.fan_rated or (framing and box.fan_framing))
    conditions.append((box.fan_rated, "whether the box is listed to hold a fan (fan_rated)", place(box, "fan_rated")))
    if framing:
        said = "whether framing that can hold a fan is reached through the box (fan_framing)"
        conditions.append((box.fan_framing, said, place(box, "fan_framing")))
    unknown = next(((said, at) for holds, said, at in conditions if holds is None), None)
    if unknown and not fit:
        sheet.unknown("fan_box_ready", *unknown, cites=cites)
        return
    there = given("boxes fit for a fan", int(fit), "", place(box, "fan_rated" if box.fan_rated else "fan_framing"))
    remedy = "a box listed to hold a ceiling fan" + (", or one with framing for it straight above" if framing else "")
    sheet.check(
        "fan_box_ready",
        there >= ONE,
        remedy=remedy,
        cites=[*cites, *([house.code.cite("fan_framing")] if framing else [])],
    )


def _conditions(house: House, box: Box) -> Iterator[Condition]:
    """What must all hold for the edition to ask for such a box."""
    yield box.mounted and box.mounted == "ceiling", "whether the box is in a ceiling (mounted)", place(box, "mounted")
    if house.code.method("fan_ceiling") == "spare conductor":
        said = "whether a spare conductor with a switch of its own comes to it (fan_conductors)"
        yield box.fan_conductors, said, place(box, "fan_conductors")
    else:
        room = next((room for room in house.job.rooms if room.name == box.room), None)
        yield _lived_in(house.code, box, room)
    said = "whether a fan could hang there (fan_could_hang)"
    yield box.fan_could_hang, said, place(box, "fan_could_hang")


def _lived_in(code: Codebook, box: Box, room: Room | None) -> Condition:
    if room is None:
        return None, "the room that it is in (room)", place(box, "room")
    if room.use in code.members("lived_in_finished"):
        return room.finished, f"whether the {room.name} is finished (finished)", place(room, "finished")
    return room.use in code.members("fan_ceiling"), "", place(room, "use")
