"""Receptacles and lighting: where they must be, room by room, and where the fewest of them can go."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calc.codebook import Codebook
from calc.families.receptacles import plan, summary
from calc.families.receptacles.house import equipment, has_outdoors, outdoors, serviced
from calc.families.receptacles.lighting import stair_switches
from calc.families.receptacles.room import FAMILY, TITLE, rooms
from calc.families.receptacles.tally import Tally
from calc.job import Job
from calc.wiring.reading import filled, sheet
from calc.work import Sheet
from calc.work.chart import Chart

__all__ = ["FAMILY", "PLACE", "TITLE", "charts", "needs", "tables", "work"]

PLACE = 8


def needs(job: Job) -> list[str]:
    """What the job lacks for this family, in words; empty where it has all."""
    return [] if job.rooms or job.stairs else ["[[rooms]] with their walls, or [[stairs]]"]


def work(job: Job, code: Codebook, overrides: Mapping[str, float | str] | None = None) -> list[Sheet]:
    """A sheet a room, then outdoors, the equipment and each stair. Subject: the room, 'Outdoors', 'Equipment', the stair."""
    return [
        *[found.sheet for found in rooms(job, code, overrides) if found.worked],
        *_outdoors(job, code, overrides),
        *_equipment(job, code, overrides),
        *_stairs(job, code, overrides),
    ]


def charts(job: Job, code: Codebook, sheets: Sequence[Sheet]) -> list[Chart]:
    """The plan of each room whose walls are entered, and the counters of each kitchen."""
    return [chart for found in rooms(job, code) for chart in plan.charts(found)]


def tables(job: Job, code: Codebook) -> list[dict[str, Any]]:
    """All rooms at a glance."""
    rest = [*_outdoors(job, code, None), *_equipment(job, code, None), *_stairs(job, code, None)]
    return [summary.table(rooms(job, code), rest, outdoors=has_outdoors(job))]


def _outdoors(job: Job, code: Codebook, overrides: Mapping[str, float | str] | None) -> list[Sheet]:
    if not has_outdoors(job):
        return []
    s, tally = sheet(FAMILY, TITLE, "Outdoors", code, overrides), Tally()
    outdoors(s, code, job, tally)
    tally.close(s)
    s.caution("caution_who_decides")
    return [s]


def _equipment(job: Job, code: Codebook, overrides: Mapping[str, float | str] | None) -> list[Sheet]:
    if not job.rooms or not serviced(job, code):
        return []
    s, tally = sheet(FAMILY, TITLE, "Equipment", code, overrides), Tally()
    equipment(s, code, job, tally)
    tally.close(s)
    s.caution("caution_who_decides")
    return [s]


def _stairs(job: Job, code: Codebook, overrides: Mapping[str, float | str] | None) -> list[Sheet]:
    return [
        filled(sheet(FAMILY, "Lighting of a stair", stair.name, code, overrides), stair_switches, code, stair)
        for stair in job.stairs
    ]
