"""A mend is proved by working the job again with it: its requirement is met, and nothing that was right goes wrong."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from calc.families import families
from calc.job import Job, JobError, changed
from calc.remedies import guard
from calc.remedies.boxes import box_ways
from calc.remedies.survey import Mark, Survey, alone, falling, scoped
from calc.remedies.ways import GROWS_BREAKERS, Kind, Way
from calc.wiring.house import House
from calc.work import Sheet

CROWDED = ("box-fill", "volume_enough")


@dataclass(frozen=True)
class Proved:
    """A way with the job worked again: ``cured`` are all requirements that it mends, its own first."""

    way: Way
    job: Job
    cured: tuple[Mark, ...]


class Trial:
    """A way tried on a requirement. Its steps, the quick ones first, are worked when they are asked for, and once."""

    def __init__(self, before: Survey, mark: Mark, way: Way) -> None:
        self.before, self.mark, self.way = before, mark, way

    def cures(self, marks: frozenset[Mark]) -> bool:
        """Whether the requirement is met, and these of the same family with it: known before all else is worked."""
        if self._glance is not None and marks & set(falling(self.mark[0], [self._glance])):
            return False
        return self._own is not None and not marks & set(falling(self.mark[0], self._own))

    @cached_property
    def job(self) -> Job | None:
        """The job with the way gone; None where that is no job, or no mend at all."""
        try:
            job = changed(self.before.job, self.way.changes)
        except (JobError, KeyError):
            return None
        return None if guard.refusal(self.before.job, job, self.way.kind) else job

    @cached_property
    def house(self) -> House:
        """The house with the way gone: only what the change can touch is worked again."""
        assert self.job is not None
        return self.before.house.with_job(self.job)

    @cached_property
    def _own(self) -> list[Sheet] | None:
        """The sheets of the requirement's own family where it is met, else None.

        A new service is sized by another method than an old one is tested by, so its sheets are others; they all pass.
        """
        family, title, subject, _ = self.mark
        if self.job is None or families()[family].needs(self.job):
            return None
        if self._glance is not None and self.mark in falling(family, [self._glance]):
            return None
        sheets = scoped(self.house, family)
        still = falling(family, sheets)
        if self.way.kind is Kind.SERVICE and not still:
            return sheets
        if self.mark in still or (family, title, subject, "") in still:
            return None
        return sheets if any((s.title, s.subject) == (title, subject) for s in sheets) else None

    @cached_property
    def _glance(self) -> Sheet | None:
        """The one sheet of the requirement, where it can be worked without the others of its family: most ways fail on it."""
        return None if self.job is None else alone(self.house, self.mark)

    @cached_property
    def proof(self) -> Proved | None:
        """The proof, or None where the way doesn't mend it, or harms something."""
        before, mark, way = self.before, self.mark, self.way
        if self.job is None or self._own is None:
            return None
        sheets = {mark[0]: self._own}
        new: set[Mark] = set()
        for family in (mark[0], *(name for name in before.sheets if name != mark[0])):
            sheets.setdefault(family, scoped(self.house, family))
            new |= set(falling(family, sheets[family])) - set(before.falling)
            if any((each[0], each[3]) != CROWDED for each in new):
                return None
        after = Survey(self.house, {name: sheets[name] for name in before.sheets})
        if new:
            wider = _with_boxes(after, way, new)
            return Trial(before, mark, wider).proof if wider is not None else None
        gone = {name for name in before.named - after.named if way.kind is not Kind.SERVICE or name[0] != mark[0]}
        grown = guard.breakers_grown(before.job, self.job)
        if gone or (grown and way.kind not in GROWS_BREAKERS):
            return None
        if way.kind is not Kind.SERVICE and not all(guard.breaker_stands(after, name) for name in grown):
            return None
        others = [other for other in before.falling if other not in after.falling and other != mark]
        return Proved(way, self.job, (mark, *others))


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
        first = next(iter(box_ways(after.code, box, s)), None) if box is not None else None
        if box is None or first is None or set(first.changes) & set(wider.changes):
            return None
        wider = replace(
            wider, text=f"{wider.text}; for {box.name} {first.text}", changes={**wider.changes, **first.changes}
        )
    return wider
