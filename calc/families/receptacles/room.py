"""The sheet of one room: each rule that its use and what is entered call for, then the totals, then the light."""

from __future__ import annotations

from dataclasses import dataclass, field

from calc.codebook import Codebook
from calc.families.receptacles import places
from calc.families.receptacles.bathrooms import Basins, bathroom
from calc.families.receptacles.counters import CounterPlan, counters
from calc.families.receptacles.lighting import room_light
from calc.families.receptacles.tally import Tally
from calc.families.receptacles.tubs import from_tub
from calc.families.receptacles.wall_spaces import WallPlan
from calc.families.receptacles.walls import foyer_walls, spaced_walls
from calc.job import Job, Room, place
from calc.job.fields import entered
from calc.wiring.house import House, remembered
from calc.wiring.reading import read
from calc.work import Missing, Sheet

FAMILY = "receptacles"
TITLE = "Receptacles and lighting"
SHEDS = ("workshop", "storage", "utility", "other")


@dataclass
class RoomWork:
    """A room with its sheet and what there is to draw of it."""

    room: Room
    sheet: Sheet
    walls: WallPlan | None = None
    counters: list[CounterPlan] = field(default_factory=list)
    basins: Basins | None = None

    @property
    def worked(self) -> bool:
        """Whether the room has anything that this family works or refuses."""
        return bool(self.sheet.lines or self.sheet.checks or self.sheet.unknowns or self.sheet.refused)


def rooms(house: House) -> list[RoomWork]:
    """Every room that stays, also those with nothing to work."""
    return [_room(house, room) for room in house.job.rooms if room.status != "removed"]


@remembered
def _room(house: House, room: Room) -> RoomWork:
    s = house.sheet(FAMILY, TITLE, room.name)
    work, tally = RoomWork(room, s), Tally()
    with s.up_to_a_refusal():
        _rules(work, house, tally)
    from_tub(s, house, room)
    tally.close(s)
    room_light(s, house, room, habitable=_habitable(room, house.code))
    _cautions(s, house.job, room)
    return work


def _habitable(room: Room, code: Codebook) -> bool:
    """Rooms with the spacing rule, and a finished basement or attic, which is a room like them."""
    return _is_shed(room) is False and (
        room.use in code.members("wall_rooms")
        or (room.use in code.members("lived_in_finished") and room.finished is True)
    )


def _is_shed(room: Room) -> bool:
    """A room of an accessory building that nobody lives in."""
    return room.building is not None and room.use in SHEDS


def _rules(work: RoomWork, house: House, tally: Tally) -> None:
    s, room = work.sheet, work.room
    if room.use in house.code.members("lived_in_finished") and room.finished is None:
        s.unknown(
            "finished",
            "whether the room is finished (finished)",
            place(room, "finished"),
            cites=[house.code.cite("lived_in_finished")],
        )
    if _habitable(room, house.code) and not room.walls and room.status != "existing":
        s.unknown("walls", "its walls (walls)", place(room, "walls"), cites=[house.code.cite("wall_rooms")])
    elif _habitable(room, house.code) and room.walls:
        work.walls = spaced_walls(s, house.code, room, tally)
        if room.use == "other" or room.use in house.code.members("lived_in_finished"):
            s.remark("note_like_rooms")
    if room.counters and room.use in house.code.members("counter_rooms"):
        work.counters = counters(s, house.code, room, house.job.code.readings.counter_end_walls == "counted", tally)
    elif room.counters:
        s.caution("caution_counters")
    elif room.use == "kitchen" and not entered(room, "counters") and room.status != "existing":
        s.unknown("counters", "its counters (counters, [] where there are none)", place(room, "counters"),
                  cites=[house.code.cite("counter_rooms")])  # fmt: skip
    if _is_shed(room):
        places.accessory(s, house, room, tally)
    elif room.use == "foyer":
        work.walls = _foyer(s, house.code, room, tally)
    elif room.use == "bathroom" and not (entered(room, "basins") and not room.basins):
        work.basins = bathroom(s, house.code, room, tally)
    elif room.use == "laundry":
        places.laundry(s, house.code, room, tally)
    elif room.use == "garage":
        places.garage(s, house, room, tally)
    elif room.use == "hall":
        places.hall(s, house.code, room, tally)
    elif room.use == "basement" and room.finished is False:
        places.unfinished_basement(s, house, room, tally)
    elif room.use in ("balcony", "deck", "porch"):
        places.balcony(s, house.code, room, tally)


def _foyer(sheet: Sheet, code: Codebook, room: Room, tally: Tally) -> WallPlan | None:
    if room.floor_area_ft2 is None:
        raise Missing("The area of the foyer is not entered (floor_area_ft2): it decides whether receptacles are needed.",
                      code.cite("foyer_area"), at=place(room, "floor_area_ft2"))  # fmt: skip
    large = read(room, "floor_area_ft2") > code["foyer_area"]
    sheet.find(
        "foyer_large",
        "needs receptacles" if large.holds else "needs none",
        [large if large.holds else large.left <= large.right],
    )
    if not large.holds:
        return None
    if not room.walls:
        raise Missing("No walls are entered: a foyer of this area has a receptacle in each wall space.",
                      code.cite("foyer_wall"), at=place(room, "walls"))  # fmt: skip
    return foyer_walls(sheet, code, room, tally)


def _cautions(sheet: Sheet, job: Job, room: Room) -> None:
    if not (sheet.lines or sheet.checks or sheet.unknowns or sheet.refused):
        return
    if room.status == "existing" or (job.dwelling is not None and job.dwelling.status == "existing"):
        sheet.caution("caution_existing")
    sheet.caution("caution_who_decides")
