"""Disconnects of equipment, as far as the job states whether one is in sight."""

from __future__ import annotations

from calc.families.rough_in.stated import yes
from calc.job import Load, place
from calc.wiring.house import House
from calc.work import Sheet


def with_disconnect(house: House) -> list[Load]:
    """New equipment that has a disconnect in sight, or a breaker that can be locked open instead."""
    kinds = house.code.members("equipment_disconnect") | house.code.members("appliance_disconnect")
    return [load for load in house.job.loads if load.status == "new" and load.kind in kinds]


def disconnects(sheet: Sheet, house: House) -> None:
    """Whether each has its disconnect."""
    for load in with_disconnect(house):
        always = load.kind in house.code.members("equipment_disconnect")
        if always and load.disconnect_in_sight is None:
            sheet.unknown("in_sight", "whether a disconnect is in sight: look", place(load, "disconnect_in_sight"), load.name,
                      [house.code.cite("equipment_disconnect")])  # fmt: skip
        elif always:
            there = yes(load, "disconnect_in_sight", f"disconnects in sight of {load.name}", "disconnect")
            sheet.check(
                "in_sight",
                there >= house.code["equipment_disconnect"],
                remedy=sheet.words.text("in_sight", "remedy"),
                item=load.name,
            )
        else:
            locked = "its breaker, with a fitting to lock it open"
            how = {True: "in sight", False: locked, None: f"in sight, or {locked}"}[load.disconnect_in_sight]
            sheet.find("appliance_disconnect", how, item=load.name, cites=[house.code.cite("appliance_disconnect")])
