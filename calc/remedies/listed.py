"""The fix list: each problem with the smallest safe change that mends it, proved by working the job again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from itertools import chain

from calc.job import Job, JobError, changed
from calc.remedies.boxes import box_ways, traveller_ways
from calc.remedies.circuits import circuit_ways
from calc.remedies.conductors import raceway_ways, run_ways
from calc.remedies.earth import earth_ways
from calc.remedies.outlets import outlet_ways
from calc.remedies.panels import panel_ways
from calc.remedies.places import place_ways
from calc.remedies.problem import Problem, problems
from calc.remedies.prove import Proved, Trial
from calc.remedies.service import service_ways
from calc.remedies.stated import stated_ways
from calc.remedies.survey import Mark, Survey, survey
from calc.remedies.ways import Kind, Way, laid_over
from calc.verdict.proposed import Waiting
from calc.work import Check, Missing, Unknown

MOST_WAYS = 3
UNSETTLED = 4
ROUNDS = 3
PROTECTED = ("arc_fault_provided", "ground_fault_provided")  # one breaker does both
OF_ONE_CIRCUIT = ("branch-circuits", "feeder")
SIZED = ("carries_load", "carries_continuous", "breaker_protects", "breaker_carries")  # on both sheets of a circuit
OF_RUNS = ("feeder", "voltage-drop", "raceway", "fault-current")


@dataclass(frozen=True)
class Fix:
    """A problem with its mends, the safest and smallest first; and the problems that the first mend takes along."""

    problem: Problem
    remedies: tuple[Proved, ...]
    along: tuple[Problem, ...] = ()


def listed(found: Survey) -> list[Fix]:
    """Everything in a job's scope that does not pass, worst first.

    A problem that the mend of a worse one takes along is listed with that one. What is open and has no mend lacks a
    fact: it comes last, with what to find out.
    """
    open_problems = problems(found)
    by_mark = {problem.mark: problem for problem in open_problems}
    fixes: list[Fix] = []
    taken: set[Mark] = set()
    for problem in open_problems:
        if problem.mark in taken:
            continue
        remedies = remedies_of(found, problem)
        along = [by_mark[mark] for mark in remedies[0].cured[1:] if mark not in taken] if remedies else []
        taken |= {problem.mark, *(other.mark for other in along)}
        unsettled = problem.open and not remedies
        fixes.append(Fix(replace(problem, grade=UNSETTLED) if unsettled else problem, tuple(remedies), tuple(along)))
    return sorted(fixes, key=lambda fix: fix.problem.grade)


def together(found: Survey, fixes: Sequence[Fix]) -> tuple[list[Problem], list[Fix]]:
    """What is still open when the first mend of every fix is made, all of them in one job; and the fixes added for that.

    Where two of them stand in each other's way, what is left is mended once more: such a mend is not on the list, and
    has to be told.
    """
    more: list[Fix] = []
    for turn in range(ROUNDS):
        more += [fix for fix in fixes if turn and fix.remedies]
        job = found.job
        for fix in fixes:
            if fix.remedies:
                with suppress(JobError):
                    job = changed(job, laid_over(found.job.data, job.data, fix.remedies[0].way.changes))
        found = survey(found.house.with_job(job))
        left = problems(found)
        fixes = [Fix(problem, tuple(remedies_of(found, problem)[:1])) for problem in left]
        if not any(fix.remedies for fix in fixes):
            break
    return left, more


def remedies_of(found: Survey, problem: Problem) -> list[Proved]:
    """Proved mends in the order of what is safe: the first of each kind that does as much as the first of all.

    A way that mends all that falls short of one circuit, on its own sheet and on that of its run, comes before those
    that each mend a part and would have to be put together by the reader.
    """
    by_kind = [
        (kind, [Trial(found, problem.mark, way) for way in ways]) for kind, ways in _by_kind(_ways(found, problem))
    ]
    whole = _of_one_circuit(found, problem.mark)
    result = _in_order(found, problem.mark, by_kind, whole) if len(whole) > 1 else []
    return result or _in_order(found, problem.mark, by_kind, frozenset())


def _in_order(
    found: Survey, mark: Mark, by_kind: Sequence[tuple[Kind, Sequence[Trial]]], must: frozenset[Mark]
) -> list[Proved]:
    result: list[Proved] = []
    for kind, trials in by_kind:
        if kind is Kind.LARGER_BREAKER and result:
            break
        first = _first(found, mark, trials, frozenset(result[0].cured) | must if result else must)
        if first is not None:
            result.append(first)
        if len(result) == MOST_WAYS:
            break
    return result


def _of_one_circuit(found: Survey, mark: Mark) -> frozenset[Mark]:
    """What of a circuit and of its run isn't sized right, where the requirement is one of these."""
    if mark[0] not in OF_ONE_CIRCUIT or mark[3] not in SIZED:
        return frozenset()
    run = next((run for run in found.job.runs if run.role == "branch" and mark[2] in (run.name, run.feeds)), None)
    loads = {load.circuit for load in found.job.loads if run is not None and load.name == run.feeds}
    names = {mark[2]} | ({run.name, run.feeds} | loads if run is not None else set())
    return frozenset(
        other for other, (_, check) in found.falling.items()
        if other[0] in OF_ONE_CIRCUIT and other[2] in names and isinstance(check, Check) and other[3] in SIZED
    )  # fmt: skip


def _first(found: Survey, mark: Mark, trials: Sequence[Trial], must: frozenset[Mark]) -> Proved | None:
    """The first way that is proved and mends what it must; better one that mends all that the same sheet lacks."""
    beside = frozenset(
        other for other, (_, check) in found.falling.items()
        if other[:3] == mark[:3] and not isinstance(check, Unknown)
    )  # fmt: skip
    kin = frozenset(other for other in beside if other[3] in PROTECTED) if mark[3] in PROTECTED else must
    for also in dict.fromkeys((beside | must, kin | must, must)):
        own = frozenset(other for other in also if other[0] == mark[0])
        for trial in trials:
            if trial.cures(own) and (done := trial.proof) is not None and own | must <= set(done.cured):
                return done
    return None


def _by_kind(ways: Iterable[Way]) -> list[tuple[Kind, list[Way]]]:
    sorted_ways: dict[Kind, list[Way]] = {kind: [] for kind in Kind}
    for way in ways:
        if way.changes not in [other.changes for other in sorted_ways[way.kind]]:
            sorted_ways[way.kind].append(way)
    return [(kind, found) for kind, found in sorted_ways.items() if found]


def _ways(found: Survey, problem: Problem) -> Iterator[Way]:
    """Whatever might mend it; most of it will not be proved."""
    job, code = found.job, found.code
    family, _, subject, key = problem.mark
    s, check = found.falling[problem.mark]
    if isinstance(check, Unknown):
        return  # an entry is missing: a person has to look, no change to the house helps
    if isinstance(s.refused, Waiting) and check is None:
        return  # it is for a person to accept what is proposed, not to change something else
    if check is not None:
        yield from stated_ways(found.house, s, check)
    if family == "box-fill":
        name = subject.rpartition(", side ")[0] or subject
        yield from chain.from_iterable(box_ways(code, box, s) for box in job.boxes if box.name in (name, subject))
    if family == "rough-in" and key.startswith("travellers["):
        yield from chain.from_iterable(traveller_ways(box) for box in job.boxes if key == f"travellers[{box.name}]")
    if family == "receptacles":
        yield from outlet_ways(found, subject)
        if check is not None:
            yield from place_ways(found, subject, key, check)
    if family == "branch-circuits":
        yield from circuit_ways(found, problem.mark, check)
    if family == "dwelling-load" and not isinstance(s.refused, Missing):  # no other service enters what is missing
        yield from service_ways(found.house)
    if family == "panels":
        yield from panel_ways(found.house, subject, key)
    if family == "raceway":
        yield from raceway_ways(job, s)
    if family == "grounding":
        yield from earth_ways(found.house, subject, key)
    for run in job.runs:
        if run.status != "removed" and _concerns(job, run.name, run.feeds, family, subject):
            yield from run_ways(found, run)


def _concerns(job: Job, run: str, feeds: str | None, family: str, subject: str) -> bool:
    """Whether a change of the run may mend a sheet about the subject: the run itself, the panel or building it feeds."""
    if family in OF_RUNS and subject == run:
        return True
    panel = next((panel for panel in job.panels if panel.name == feeds), None)
    return (
        panel is not None and family in ("rough-in", "grounding", "panels") and subject in (panel.name, panel.building)
    )
