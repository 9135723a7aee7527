"""Dwelling load: how many amperes a dwelling needs, and the service that serves it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calc.codebook import Codebook, editions
from calc.families.charting import Chart
from calc.families.dwelling_load import summary
from calc.families.dwelling_load.compare import by_edition
from calc.families.dwelling_load.current import current, lighting_circuits, rating, volts
from calc.families.dwelling_load.demand import Demand
from calc.families.dwelling_load.neutral import neutral
from calc.families.dwelling_load.standard import standard
from calc.families.dwelling_load.unit import DwellingUnit, dwelling_units
from calc.families.reading import codebook_for, sheet
from calc.job import Job
from calc.work import Refused, Sheet

FAMILY = "dwelling-load"
TITLE = "Dwelling load"
PLACE = 1
SPECIAL = ("spa", "pool-pump", "hydromassage-tub", "sauna")


def needs(job: Job) -> list[str]:
    """What the job lacks for this family, in words; empty where it has all."""
    if job.dwelling is None or (job.dwelling.floor_area_ft2 is None and not job.dwelling.units):
        return ["a [dwelling] part with floor_area_ft2, or with its units"]
    return []


def work(job: Job, code: Codebook, instead: Mapping[str, float] | None = None) -> list[Sheet]:
    """One sheet for the house, or one for each kind of unit, by the standard method."""
    return [_worked(job, unit, code, instead)[0] for unit in dwelling_units(job)]


def charts(job: Job, code: Codebook, sheets: Sequence[Sheet]) -> list[Chart]:
    """Connected against demand load, and current against ratings, for each unit that is not refused."""
    worked = [_worked(job, unit, code, None) for unit in dwelling_units(job)]
    return [chart for s, demand in worked if not s.refused for chart in summary.charts(s, demand)]


def tables(job: Job, code: Codebook) -> list[dict[str, Any]]:
    """The editions side by side."""
    worked = {name: work(job, codebook_for(job, name))[0] for name in editions()}
    return [by_edition(worked)]


def front(job: Job, code: Codebook) -> dict[str, Any]:
    """Page 1 of the permit packet."""
    unit = dwelling_units(job)[0]
    s, demand = _worked(job, unit, code, None)
    return summary.front(job, code, unit, s, demand)


def _worked(job: Job, unit: DwellingUnit, code: Codebook, instead: Mapping[str, float] | None) -> tuple[Sheet, Demand]:
    s = sheet(FAMILY, "Dwelling load, standard method", unit.subject, code, instead)
    demand = Demand(s)
    try:
        if job.service and job.service.phases == 3 and unit.one_family:
            raise Refused("A three-phase service of a one-family house is not covered; have the load worked by hand.")
        system = volts(s, code, job.service.system if job.service else "120/240")
        load = standard(s, unit, code, demand, job.code.readings.cooking_mixed_columns)
        amperes = current(s, "standard", load, demand.one_leg, system)
        rating(s, job, unit, code, "standard", amperes)
        neutral(s, code, demand, system)
        lighting_circuits(s, unit, code, system)
    except Refused as refusal:
        s.refused = refusal
    _cautions(s, job, unit)
    return s, demand


def _cautions(s: Sheet, job: Job, unit: DwellingUnit) -> None:
    s.caution("caution_who_decides")
    s.caution("caution_nameplates")
    for counted in unit.loads:
        if counted.load.kind in SPECIAL:
            s.caution("caution_spa", load=counted.load.name)
    removed = [load.name for load in job.loads if load.status == "removed"]
    if removed:
        s.caution("caution_removed", loads=", ".join(removed))
    for source in job.sources:
        s.caution("caution_sources", source=source.name)
