"""Receptacles kept away from tubs and showers."""

from __future__ import annotations

from calc.families.receptacles.tally import named
from calc.job import Outlet, Room, place
from calc.wiring.conditions import MET
from calc.wiring.house import House
from calc.wiring.reading import read
from calc.work import Sheet, given


def from_tub(sheet: Sheet, house: House, room: Room) -> None:
    """Check each new receptacle whose distance is entered; in a bathroom say where that is left to be seen."""
    new = [(name, outlet) for name, outlet in named(room) if outlet.status == "new"]
    for name, outlet in new:
        if outlet.tub_ft is not None:
            _one(sheet, house, name, outlet)
    if room.use == "bathroom" and any(outlet.tub_ft is None for _, outlet in new):
        sheet.caution("caution_tub")


def _one(sheet: Sheet, house: House, name: str, outlet: Outlet) -> None:
    """By the distance, where the edition has one and the bathroom room for it; else that it is not above the tub."""
    code = house.code
    if code.has("receptacle_tub_zone") and not outlet.farthest_wall:
        away = read(outlet, "tub_ft", "from the tub or shower")
        sheet.check("clear_of_tub", away >= code["receptacle_tub_zone"], item=name,
                remedy="move it away from the tub or shower, or in a room too small for that onto the farthest wall opposite")  # fmt: skip
        return
    if outlet.farthest_wall and code.has("receptacle_tub_zone"):
        cites = [code.cite("receptacle_tub_zone")]
        sheet.find("farthest_wall", "the bathroom is too small for that distance", item=name, cites=cites)
    clear = given("clear of the tub or shower", float(bool(outlet.tub_ft)), "condition", place(outlet, "tub_ft"))
    sheet.check("clear_of_tub", clear >= MET, item=name, cites=[code.cite("receptacle_tub_over")],
            remedy="move it out from over the tub or shower")  # fmt: skip
