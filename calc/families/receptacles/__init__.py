"""Receptacles and lighting: where they must be, room by room, and where the fewest of them can go."""

from __future__ import annotations

from collections.abc import Sequence

from calc.families.receptacles import plan, summary
from calc.families.receptacles.house import equipment, has_outdoors, outdoors, serviced
from calc.families.receptacles.lighting import stair_switches
from calc.families.receptacles.room import FAMILY, TITLE, rooms
from calc.families.receptacles.tally import Tally
from calc.job import Job
from calc.wiring.house import House, filled
from calc.work import Sheet
from calc.work.chart import Chart
from calc.work.table import Table

__all__ = ["FAMILY", "PLACE", "TITLE", "charts", "needs", "tables", "work"]

PLACE = 8


def needs(job: Job) -> list[str]:
    """What the job lacks for this family, in words; empty where it has all."""
    return [] if job.rooms or job.stairs else ["[[rooms]] with their walls, or [[stairs]]"]


def work(house: House) -> list[Sheet]:
    """A sheet a room, then outdoors, the equipment and each stair. Subject: the room, 'Outdoors', 'Equipment', the stair."""
    return [
        *[found.sheet for found in rooms(house) if found.worked],
        *_outdoors(house),
        *_equipment(house),
        *_stairs(house),
    ]


def charts(house: House, sheets: Sequence[Sheet]) -> list[Chart]:
    """The plan of each room whose walls are entered, and the counters of each kitchen."""
    return [chart for found in rooms(house) for chart in plan.charts(found)]


def tables(house: House) -> list[Table]:
    """All rooms at a glance."""
    rest = [*_outdoors(house), *_equipment(house), *_stairs(house)]
    return [summary.table(rooms(house), rest, outdoors=house.told(has_outdoors))]


def _outdoors(house: House) -> list[Sheet]:
    if not house.told(has_outdoors):
        return []
    s, tally = house.sheet(FAMILY, TITLE, "Outdoors"), Tally()
    outdoors(s, house, tally)
    tally.close(s)
    s.caution("caution_who_decides")
    return [s]


def _equipment(house: House) -> list[Sheet]:
    if not house.job.rooms or not serviced(house):
        return []
    s, tally = house.sheet(FAMILY, TITLE, "Equipment"), Tally()
    equipment(s, house, tally)
    tally.close(s)
    s.caution("caution_who_decides")
    return [s]


def _stairs(house: House) -> list[Sheet]:
    return [
        filled(house, FAMILY, "Lighting of a stair", stair.name, stair_switches, stair) for stair in house.job.stairs
    ]
