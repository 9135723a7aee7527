"""Dwelling load: how many amperes a dwelling needs, and the service that serves it."""

from __future__ import annotations

from collections.abc import Sequence

from calc.codebook import editions
from calc.families.dwelling_load import summary
from calc.families.dwelling_load.busbar import buses
from calc.families.dwelling_load.compare import by_edition, by_method
from calc.families.dwelling_load.methods import FAMILY, TITLES, Worked, worked
from calc.families.dwelling_load.record_pictures import record_charts
from calc.families.dwelling_load.service_change import service_change
from calc.families.dwelling_load.sweep import sweeps
from calc.families.dwelling_load.unit import DwellingUnit, dwelling_units
from calc.job import Job
from calc.wiring.house import House, remembered
from calc.wiring.reading import codebook_for
from calc.work import Sheet
from calc.work.chart import Chart
from calc.work.summary import Summary
from calc.work.table import Table

__all__ = [
    "FAMILY", "PLACE", "TITLE", "charts", "compared", "front", "needs", "sweeps", "tables", "work",
]  # fmt: skip

TITLE = "Dwelling load"
PLACE = 1
SPECIAL = ("spa", "pool-pump", "hydromassage-tub", "sauna")


def needs(job: Job) -> list[str]:
    """What the job lacks for this family, in words; empty where it has all."""
    if job.dwelling is None or (job.dwelling.floor_area_ft2 is None and not job.dwelling.units):
        return ["a [dwelling] part with its floor area, or with its units"]
    return []


def work(house: House) -> list[Sheet]:
    """The sheet by the job's load method first; after the optional method the standard one, for the neutral.

    Of a building the whole comes first, then the feeder of one of each group of units, by the standard method and, where
    the job takes it, by the optional one; last, buses with a source.
    """
    return [
        *(found.sheet for found in _all(house)),
        *buses(house),
    ]


def charts(house: House, sheets: Sequence[Sheet]) -> list[Chart]:
    """Connected against demand load, and current against ratings, of the deciding sheet, unless it is refused."""
    found = _all(house)[0]
    if found.sheet.refused:
        return []
    return [*summary.charts(found), *(record_charts(house, found.sheet.subject) if found.method == "measured" else [])]


def tables(house: House) -> list[Table]:
    """The methods side by side, and the editions side by side."""
    return compared(house.whole_job, editions())


def compared(job: Job, names: Sequence[str]) -> list[Table]:
    """Methods under each edition named, each result of the deciding method, and what a service change brings."""
    unit = dwelling_units(job)[0]
    books = {name: codebook_for(job, name) for name in names}
    by_name = {
        name: {method: worked(House(job, book), unit, method) for method in TITLES} for name, book in books.items()
    }
    return [by_method(job, by_name), by_edition(by_name), *service_change(job, books)]


def front(house: House) -> Summary:
    """Page 1 of the permit packet."""
    found = _all(house)
    whole = found[0]
    of_all = (f.sheet for f in found if f.sheet.subject == whole.sheet.subject)  # not the neutral of a unit's feeder
    neutral = next((s for s in of_all if s.title == TITLES["standard"]), None)
    return summary.front(house, house.told(dwelling_units)[0], whole, neutral)


@remembered
def _all(house: House) -> list[Worked]:
    main, *units = house.told(dwelling_units)
    found = [worked(house, main, method) for method in house.told(_methods)]
    for each in found[1:]:
        each.sheet.caution("caution_for_neutral")
    for each in found:
        _cautions(each.sheet, house)
    return [*found, *(each for number, _ in enumerate(units, 1) for each in _of_unit(house, number))]


@remembered
def _of_unit(house: House, number: int) -> list[Worked]:
    """The feeder of a unit by the standard method; by the optional one too where the job takes that and it can be worked."""
    unit = _unit(house, number)
    found = [worked(house, unit, "standard")]
    if "optional" in house.told(_methods) and not (optional := worked(house, unit, "optional")).sheet.refused:
        found.append(optional)
    for each in found:
        each.sheet.caution("caution_unit_feeder")
        _cautions(each.sheet, house)
    return found


@remembered
def _unit(house: House, number: int) -> DwellingUnit:
    return house.told(dwelling_units)[number]


def _methods(job: Job) -> tuple[str, ...]:
    """The method that decides; after the optional one the standard one too, which has the neutral."""
    named = job.service.load_method if job.service else "standard"
    return (named, "standard") if named == "optional" else (named,)


def _cautions(sheet: Sheet, house: House) -> None:
    sheet.caution("caution_who_decides")
    sheet.caution("caution_nameplates")
    for name in house.told(_special):
        sheet.caution("caution_spa", load=name)
    if removed := house.told(_removed):
        sheet.caution("caution_removed", loads=", ".join(removed))
    for name in house.told(_sources):
        sheet.caution("caution_sources", source=name)


def _special(job: Job) -> list[str]:
    return [load.name for load in job.loads if load.kind in SPECIAL and load.status != "removed"]


def _removed(job: Job) -> list[str]:
    return [load.name for load in job.loads if load.status == "removed"]


def _sources(job: Job) -> list[str]:
    return [source.name for source in job.sources if source.status != "removed"]
