"""Panels and ties: each panel's own ratings, and whether the sheets that speak of one thing say the same of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calc.families.panels.loads import loads_beside
from calc.families.panels.ratings import panel_ratings
from calc.families.panels.service import service_ratings
from calc.families.panels.ties import tied, ties
from calc.job import Job
from calc.wiring.house import House, Subject, filled
from calc.wiring.tree import live_panels
from calc.work import Sheet
from calc.work.chart import Chart
from calc.work.table import Table

FAMILY = "panels"
TITLE = "Panels and ties"
PLACE = 10


def needs(job: Job) -> list[str]:
    """What the job lacks for this family, in words; empty where it has all."""
    return [] if live_panels(job) else ["[[panels]] with their ratings"]  # without panels nothing hangs together


def work(house: House) -> list[Sheet]:
    """The service's main and meter, what ties the sheets together, then each panel."""
    return [filled(house, FAMILY, *each) for each in subjects(house)]


def subjects(house: House) -> Iterator[Subject]:
    """What each sheet is called and is about, and what fills it: one can be worked without the others."""
    if house.job.service is not None:
        yield "Service ratings", house.job.job.name, service_ratings
    if tied(house.job):
        yield "Ties", house.job.job.name, ties
    for each in house.told(live_panels):
        yield "Panel ratings", each.name, panel_ratings, each


def charts(house: House, sheets: Sequence[Sheet]) -> list[Chart]:
    """None: these are comparisons of single ratings."""
    return []


def tables(house: House) -> list[Table]:
    """Connected and demand load of the service and of each panel, side by side."""
    return [loads_beside(house)]
