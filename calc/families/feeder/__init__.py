"""Feeder: conductors, breaker, neutral and equipment ground of each service, feeder and branch run."""

from __future__ import annotations

from collections.abc import Sequence

from calc.families.feeder.picture import ladder_charts
from calc.families.feeder.runs import FAMILY, load_by_tree, run_sheet, worked
from calc.job import Job
from calc.wiring.house import House
from calc.wiring.tree import live_runs
from calc.work import Sheet
from calc.work.chart import Chart
from calc.work.table import Table

__all__ = ["FAMILY", "PLACE", "TITLE", "charts", "load_by_tree", "needs", "run_sheet", "tables", "work"]

TITLE = "Conductors"
PLACE = 2


def needs(job: Job) -> list[str]:
    """What the job lacks for this family, in words; empty where it has all."""
    return [] if live_runs(job) else ["one or more [[runs]] of role service, feeder or branch"]


def work(house: House) -> list[Sheet]:
    """One sheet for each run, in the order of the job; subject is the run's name."""
    return [run_sheet(house, run) for run in house.told(live_runs)]


def charts(house: House, sheets: Sequence[Sheet]) -> list[Chart]:
    """The ampacity of each run that is not refused, all in one."""
    worked_out = ((run, *worked(house, run)) for run in house.told(live_runs))
    found = [(run, sizing, of) for run, _, sizing, of in worked_out if sizing and of]
    return ladder_charts(found)


def tables(house: House) -> list[Table]:
    """None: the sizes beside one another are with their voltage drop."""
    return []
