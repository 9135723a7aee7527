"""A mend is proved by working the job again with it: its requirement is met, and nothing that was right goes wrong."""

from __future__ import annotations

from dataclasses import dataclass, replace

from calc.families import families
from calc.families.fixes import guard
from calc.families.fixes.boxes import box_ways
from calc.families.fixes.survey import Mark, Survey, falling, worked
from calc.families.fixes.ways import Kind, Way
from calc.job import Job, JobError, changed
from calc.work import Sheet

CROWDED = ("box-fill", "volume_enough")


@dataclass(frozen=True)
class Proved:
    """A way with the job worked again: ``cured`` are all requirements that it mends, its own first."""

    way: Way
    job: Job
    cured: tuple[Mark, ...]


def proved(before: Survey, mark: Mark, way: Way, also: frozenset[Mark] = frozenset()) -> Proved | None:
    """The proof, or None where the way doesn't mend it, harms something, or is no mend at all.

    ``also`` are other requirements of the same family that it has to mend.
    """
    job = _changed(before, way)
    if job is None or (own := _met(before, mark, job, way.kind)) is None:
        return None
    if also & set(falling(mark[0], own)):
        return None
    sheets = {mark[0]: own}
    new: set[Mark] = set()
    for family in (mark[0], *(name for name in before.sheets if name != mark[0])):
        sheets.setdefault(family, worked(job, before.code, family))
        new |= set(falling(family, sheets[family])) - set(before.falling)
        if any((each[0], each[3]) != CROWDED for each in new):
            return None
    after = Survey(job, before.code, {name: sheets[name] for name in before.sheets})
    if new:
        wider = _with_boxes(after, way, new)
        return proved(before, mark, wider, also) if wider is not None else None
    gone = {name for name in before.named - after.named if way.kind is not Kind.SERVICE or name[0] != mark[0]}
    grown = guard.breakers_grown(before.job, job)
    if gone or (grown and way.kind not in (Kind.LARGER_BREAKER, Kind.SERVICE)):
        return None
    if not all(guard.breaker_stands(after, name) for name in grown):
        return None
    others = [other for other in before.falling if other not in after.falling and other != mark]
    return Proved(way, job, (mark, *others))


def _changed(before: Survey, way: Way) -> Job | None:
    try:
        job = changed(before.job, way.changes)
    except (JobError, KeyError):
        return None
    return None if guard.refusal(before.job, job, way.kind) else job


def _met(before: Survey, mark: Mark, job: Job, kind: Kind) -> list[Sheet] | None:
    """The sheets of its own family where the requirement is met, else None: a quick look before all else is worked.

    A new service is sized by another method than an old one is tested by, so its sheets are others; they all pass.
    """
    family, title, subject, _ = mark
    if families()[family].needs(job):
        return None
    sheets = worked(job, before.code, family)
    still = falling(family, sheets)
    if kind is Kind.SERVICE and not still:
        return sheets
    if mark in still or (family, title, subject, "") in still:
        return None
    return sheets if any((s.title, s.subject) == (title, subject) for s in sheets) else None


def _with_boxes(after: Survey, way: Way, new: set[Mark]) -> Way | None:
    """Larger cables may crowd boxes: the same way with boxes that hold them. None where something else went wrong."""
    wider = way
    for mark in sorted(new):
        s, _ = after.falling[mark]
        box = next(
            (
                box
                for box in after.job.boxes
                if mark[2] in (box.name, *(f"{box.name}, side {c.name}" for c in box.compartments))
            ),
            None,
        )
        first = next(iter(box_ways(box, s)), None) if box is not None else None
        if box is None or first is None or set(first.changes) & set(wider.changes):
            return None
        wider = replace(
            wider, text=f"{wider.text}; for {box.name} {first.text}", changes={**wider.changes, **first.changes}
        )
    return wider
