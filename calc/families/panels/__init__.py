"""Panels and ties: each panel's own ratings, and whether the sheets that speak of one thing say the same of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from calc.codebook import Codebook
from calc.families.panels.loads import loads_beside
from calc.families.panels.ratings import panel_ratings
from calc.families.panels.service import service_ratings
from calc.families.panels.ties import tied, ties
from calc.job import Job
from calc.job.fields import Part
from calc.wiring.reading import filled, sheet
from calc.wiring.tree import live_panels
from calc.work import Sheet
from calc.work.chart import Chart

FAMILY = "panels"
TITLE = "Panels and ties"
PLACE = 10


def needs(job: Job) -> list[str]:
    """What the job lacks for this family, in words; empty where it has all."""
    return [] if live_panels(job) else ["[[panels]] with their ratings"]  # without panels nothing hangs together


def work(job: Job, code: Codebook, overrides: Mapping[str, float | str] | None = None) -> list[Sheet]:
    """The service's main and meter, what ties the sheets together, then each panel."""
    made: list[Sheet] = []

    def add(title: str, subject: str, fill: Callable[..., None], *of: Part) -> None:
        made.append(filled(sheet(FAMILY, title, subject, code, overrides), fill, job, code, *of))

    if job.service is not None:
        add("Service ratings", job.job.name, service_ratings)
    if tied(job):
        add("Ties", job.job.name, ties)
    for each in live_panels(job):
        add("Panel ratings", each.name, panel_ratings, each)
    return made


def charts(job: Job, code: Codebook, sheets: Sequence[Sheet]) -> list[Chart]:
    """None: these are comparisons of single ratings."""
    return []


def tables(job: Job, code: Codebook) -> list[dict[str, Any]]:
    """Connected and demand load of the service and of each panel, side by side."""
    return [loads_beside(job, code)]
