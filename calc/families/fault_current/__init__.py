"""Fault current: what the utility can drive into a short circuit, at each point, against what must break it."""

from __future__ import annotations

from collections.abc import Sequence

from calc.families.fault_current import pictures
from calc.families.fault_current.along import along
from calc.families.fault_current.ratings import by_angles, judge, not_known, nowhere, panels_at
from calc.families.fault_current.source import Point, source, voltages
from calc.families.feeder.installed import installed
from calc.job import Fault, Job, Run, place
from calc.wiring.house import House, remembered
from calc.wiring.tree import from_the_source, supply_of, upstream
from calc.work import Missing, Sheet
from calc.work.chart import Chart
from calc.work.table import Table

FAMILY = "fault-current"
TITLE = "Fault current"
PLACE = 4
Worked = tuple[Sheet, Point]


def needs(job: Job) -> list[str]:
    """What the job lacks for this family, in words; empty where it has all."""
    fault = job.fault
    if fault is None or (fault.transformer_kva is None and fault.available_a is None):
        return ["a [fault] part with the utility's transformer, or with the current that the utility stated"]
    return []


@remembered
def work(house: House) -> list[Sheet]:
    """A sheet for the source and one for the end of each run, from the source on.

    Where the source's X/R is not known, a rating that is met by plain numbers alone is not shown to serve.
    """
    fault = house.job.fault
    assert fault is not None
    found = _points(house, fault)
    if fault.x_over_r is None:
        ratios = [house.code[rule] for rule in ("x_over_r_least", "x_over_r_most")]
        angled = [_points(house, fault.model_copy(update={"x_over_r": ratio.number})) for ratio in ratios]
        found = [s.copied() for s in found]
        for s, *others in zip(found, *angled, strict=True):
            by_angles(s, house.code, fault, ratios, others)
    return found


def _points(house: House, fault: Fault) -> list[Sheet]:
    ordered = [house.job.run(name) for name in from_the_source(house.told(upstream))]
    return [_source(house, fault)[0], *(_run(house, fault, run)[0] for run in ordered if _worth_a_sheet(run))]


def charts(house: House, sheets: Sequence[Sheet]) -> list[Chart]:
    """What is available at each point with equipment, against its ratings."""
    return pictures.charts(house.job, sheets)


def tables(house: House) -> list[Table]:
    """Each point with what is available there and what is rated for it."""
    return [pictures.points(house.job, work(house))]


def _worth_a_sheet(run: Run) -> bool:
    """A branch circuit without a length has no equipment of its own to judge: the panel's sheet covers its breaker."""
    return run.role != "branch" or run.length_ft is not None


@remembered
def _source(house: House, fault: Fault) -> Worked:
    stated = fault.transformer_kva is None
    s = house.sheet(FAMILY, TITLE, "Utility's statement" if stated else "Transformer")
    point = Point({}, {})
    with s.up_to_a_refusal():
        point = source(s, house.code, fault, _system(house.job), house.job.code.readings)
        judge(s, house, point, house.told(panels_at, None))
        not_known(s, house.code, house.told(nowhere))
    _cautions(s)
    return s, point


@remembered
def _run(house: House, fault: Fault, run: Run) -> Worked:
    above = house.told(supply_of, run)
    up = _source(house, fault) if above is None else _run(house, fault, above)
    s = house.sheet(FAMILY, TITLE, run.name)
    point = Point({}, {})
    with s.up_to_a_refusal():
        if up[0].refused is not None:
            raise up[0].refused.under(f"Upstream, by the sheet of {up[0].subject}: ")
        if run.fed_from is None:
            raise Missing(f"{run.name} doesn't say where it begins.", at=place(run, "fed_from"))
        begin = up[1].carried(up[0])
        voltages(s, house.code, _system(house.job))
        if _in_the_statement(house.job, run):
            s.remark("note_in_the_statement", run=run.name)
            point = begin.unchanged(s)
        else:
            point = along(s, house.code, run, installed(house, run), begin)
        judge(s, house, point, house.told(panels_at, run))
    _cautions(s)
    return s, point


def _in_the_statement(job: Job, run: Run) -> bool:
    """The utility's own conductors lie before the service that its statement speaks of."""
    fault = job.fault
    return (
        run.role == "utility"
        and fault is not None
        and fault.available_a is not None
        and fault.available_at == "service"
    )


def _system(job: Job) -> str:
    if job.service is not None:
        return job.service.system
    return "208Y/120" if any(run.volts == 208 or run.phases == 3 for run in job.runs) else "120/240"


def _cautions(sheet: Sheet) -> None:
    for key in ("caution_source_changes", "caution_not_covered", "caution_marking"):
        sheet.caution(key)
