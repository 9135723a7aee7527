"""What a question of the walk can be asked of, and the job as the questions take it.

A subject gives (place, words) pairs: where to look, and what the question's text is filled with.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from calc.codebook import Codebook
from calc.families.fixes.survey import worked
from calc.families.places import one_place, places
from calc.job import Job

Asked = Iterator[tuple[str, dict[str, str]]]


@dataclass(frozen=True)
class House:
    """The job with what the questions take from its sheets."""

    job: Job
    code: Codebook

    @cached_property
    def where(self) -> dict[str, str]:
        """Place of everything that has a name."""
        return {name: one_place(rooms) for name, rooms in places(self.job).items()}

    def results(self, family: str) -> list[tuple[str, dict[str, Any]]]:
        """(subject, results) of each sheet of a family."""
        return [(s.subject, s.results) for s in worked(self.job, self.code, family)]

    def stands(self, part: Any) -> bool:
        """Whether it stays or comes."""
        return bool(getattr(part, "status", "new") != "removed")


SUBJECTS: dict[str, Callable[[House], Asked]] = {}


def subject(name: str) -> Callable[[Callable[[House], Asked]], Callable[[House], Asked]]:
    """Register what a question can be asked of."""

    def keep(ask: Callable[[House], Asked]) -> Callable[[House], Asked]:
        SUBJECTS[name] = ask
        return ask

    return keep
