"""Rough-in: what the job states about the service, panels, buildings, equipment and switches, against the code.

What only an eye can judge is not here: it stands on the walk sheets.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calc.families.rough_in.buildings import building
from calc.families.rough_in.equipment import disconnects, with_disconnect
from calc.families.rough_in.panels import panel
from calc.families.rough_in.service import dwelling_service
from calc.families.rough_in.switches import switch_boxes, switches
from calc.job import Job
from calc.wiring.house import House, Subject, filled
from calc.wiring.tree import live_panels
from calc.work import Sheet
from calc.work.chart import Chart
from calc.work.table import Table

FAMILY = "rough-in"
TITLE = "Rough-in"
PLACE = 11


def needs(job: Job) -> list[str]:
    """What the job lacks for this family, in words; empty where it has all."""
    if job.service or live_panels(job) or job.buildings or switch_boxes(job):
        return []
    return ["a [service] part, [[panels]], [[buildings]], or switch boxes"]


def work(house: House) -> list[Sheet]:
    """The service, each panel, each other building, disconnects of equipment, switch boxes."""
    return [filled(house, FAMILY, *each) for each in subjects(house)]


def subjects(house: House) -> Iterator[Subject]:
    """What each sheet is called and is about, and what fills it: one can be worked without the others."""
    if house.job.service is not None:
        yield "Outdoor disconnect", house.job.job.name, dwelling_service
    for each in house.told(live_panels):
        yield "Panel", each.name, panel, each
    for one in house.job.buildings:
        if one.status != "removed":
            yield "Separate building", one.name, building, one
    if with_disconnect(house):
        yield "Disconnects of equipment", house.job.job.name, disconnects
    if house.told(switch_boxes):
        yield "Switches", house.job.job.name, switches


def charts(house: House, sheets: Sequence[Sheet]) -> list[Chart]:
    """None: these are questions of yes and no."""
    return []


def tables(house: House) -> list[Table]:
    """None beside the sheets."""
    return []
