"""Panels and ties: each panel's own ratings, and whether the sheets that speak of one thing say the same of it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from calc.families.panels.loads import loads_beside
from calc.families.panels.ratings import panel_ratings
from calc.families.panels.service import service_ratings
from calc.families.panels.ties import tied, ties
from calc.job import Job
from calc.job.fields import Part
from calc.wiring.house import House, filled
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
    made: list[Sheet] = []

    def add(title: str, subject: str, fill: Callable[..., None], *of: Part) -> None:
        made.append(filled(house, FAMILY, title, subject, fill, *of))

    if house.job.service is not None:
        add("Service ratings", house.job.job.name, service_ratings)
    if tied(house.job):
        add("Ties", house.job.job.name, ties)
    for each in house.told(live_panels):
        add("Panel ratings", each.name, panel_ratings, each)
    return made


def charts(house: House, sheets: Sequence[Sheet]) -> list[Chart]:
    """None: these are comparisons of single ratings."""
    return []


def tables(house: House) -> list[Table]:
    """Connected and demand load of the service and of each panel, side by side."""
    return [loads_beside(house)]
