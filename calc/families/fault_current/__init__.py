"""Fault current: what the utility can drive into a short circuit, at each point, against what must break it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calc.codebook import Codebook
from calc.families.fault_current import pictures
from calc.families.fault_current.along import along
from calc.families.fault_current.ratings import by_angles, judge, not_known, nowhere, panels_at
from calc.families.fault_current.source import Point, source, voltages
from calc.families.feeder.installed import installed
from calc.job import Fault, Job, Run
from calc.wiring.reading import sheet
from calc.wiring.tree import from_the_source, upstream
from calc.work import Refused, Sheet
from calc.work.chart import Chart

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


def work(job: Job, code: Codebook, overrides: Mapping[str, float | str] | None = None) -> list[Sheet]:
    """A sheet for the source and one for the end of each run, from the source on.

    Where the source's X/R is not known, a rating that is met by plain numbers alone is not shown to serve.
    """
    fault = job.fault
    assert fault is not None
    found = _points(job, code, fault, overrides)
    if fault.x_over_r is None:
        ratios = [code[rule] for rule in ("x_over_r_least", "x_over_r_most")]
        angled = [_points(job, code, fault.model_copy(update={"x_over_r": ratio.number}), None) for ratio in ratios]
        for s, *others in zip(found, *angled, strict=True):
            by_angles(s, code, fault, ratios, others)
    return found


def _points(job: Job, code: Codebook, fault: Fault, overrides: Mapping[str, float | str] | None) -> list[Sheet]:
    above = upstream(job)
    first = _source(job, code, fault, overrides)
    done: dict[str, Worked] = {}
    for name in from_the_source(above):
        run, up = job.run(name), above[name]
        if _worth_a_sheet(run):
            done[name] = _run(job, code, run, first if up is None else done[up.name], overrides)
    return [first[0], *(s for s, _ in done.values())]


def charts(job: Job, code: Codebook, sheets: Sequence[Sheet]) -> list[Chart]:
    """What is available at each point with equipment, against its ratings."""
    return pictures.charts(job, sheets)


def tables(job: Job, code: Codebook) -> list[dict[str, Any]]:
    """Each point with what is available there and what is rated for it."""
    return [pictures.points(job, work(job, code))]


def _worth_a_sheet(run: Run) -> bool:
    """A branch circuit without a length has no equipment of its own to judge: the panel's sheet covers its breaker."""
    return run.role != "branch" or run.length_ft is not None


def _source(job: Job, code: Codebook, fault: Fault, overrides: Mapping[str, float | str] | None) -> Worked:
    stated = fault.transformer_kva is None
    s = sheet(FAMILY, TITLE, "Utility's statement" if stated else "Transformer", code, overrides)
    point = Point({}, {})
    try:
        point = source(s, code, fault, _system(job), job.code.readings)
        judge(s, job, code, point, panels_at(job, None))
        not_known(s, code, nowhere(job))
    except Refused as refusal:
        s.refused = refusal
    _cautions(s)
    return s, point


def _run(job: Job, code: Codebook, run: Run, up: Worked, overrides: Mapping[str, float | str] | None) -> Worked:
    s = sheet(FAMILY, TITLE, run.name, code, overrides)
    point = Point({}, {})
    try:
        if up[0].refused is not None:
            raise up[0].refused.under(f"Upstream, by the sheet of {up[0].subject}: ")
        begin = up[1].carried(up[0])
        voltages(s, code, _system(job))
        if _in_the_statement(job, run):
            s.remark("note_in_the_statement", run=run.name)
            point = begin.unchanged(s)
        else:
            point = along(s, code, run, installed(job, code, run), begin)
        judge(s, job, code, point, panels_at(job, run))
    except Refused as refusal:
        s.refused = refusal
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
    return job.service.system if job.service else "120/240"


def _cautions(s: Sheet) -> None:
    for key in ("caution_source_changes", "caution_not_covered", "caution_marking"):
        s.caution(key)
