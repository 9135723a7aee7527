"""Everything in a job that falls short or is refused, over all families."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from calc.codebook import Codebook
from calc.families import families
from calc.families.once import once
from calc.job import Job
from calc.work import Check, Sheet

Mark = tuple[str, str, str, str]
"""What tells a requirement apart: family, title and subject of its sheet, key of its check; no key for a refusal."""

OWN = "fixes"


def worked(job: Job, code: Codebook, family: str) -> list[Sheet]:
    """The sheets of one family; none where the job has no such part."""
    it = families()[family]
    return [] if it.needs(job) else it.work(job, code)


@dataclass(frozen=True)
class Survey:
    """A job with all its sheets."""

    job: Job
    code: Codebook
    sheets: Mapping[str, list[Sheet]]

    @cached_property
    def falling(self) -> dict[Mark, tuple[Sheet, Check | None]]:
        """Each requirement that is not met, and each refusal (without a check), in the order of the sheets."""
        return {
            mark: found for family, sheets in self.sheets.items() for mark, found in falling(family, sheets).items()
        }

    @cached_property
    def named(self) -> set[tuple[str, str, str]]:
        """Family, title and subject of every sheet."""
        return {(family, s.title, s.subject) for family, sheets in self.sheets.items() for s in sheets}


@once
def survey(job: Job, code: Codebook) -> Survey:
    """Work the whole job."""
    return Survey(job, code, {name: worked(job, code, name) for name in families() if name != OWN})


def falling(family: str, sheets: list[Sheet]) -> dict[Mark, tuple[Sheet, Check | None]]:
    """What is not met on the sheets of one family."""
    found: dict[Mark, tuple[Sheet, Check | None]] = {}
    for s in sheets:
        if s.refused is not None:
            found[family, s.title, s.subject, ""] = (s, None)
        for check in s.checks:
            if not check.holds.holds:
                found[family, s.title, s.subject, check.key] = (s, check)
    return found
