"""What a question of the walk can be asked of, and the job as the questions take it.

A subject gives (place, words) pairs: where to look, and what the question's text is filled with.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from calc.codebook import Codebook
from calc.job import Job
from calc.remedies.survey import worked
from calc.wiring.house import House
from calc.wiring.places import one_place, places
from calc.work import Check, Sheet
from calc.work.keys import item_of, stem_of

Asked = Iterator[tuple[str, dict[str, str]]]


@dataclass(frozen=True)
class Walked:
    """The job with what the questions take from its sheets."""

    house: House
    _worked: dict[str, list[Sheet]] = field(default_factory=dict)

    @property
    def job(self) -> Job:
        """The job that is walked."""
        return self.house.job

    @property
    def code(self) -> Codebook:
        """The code that it is walked by."""
        return self.house.code

    @cached_property
    def where(self) -> dict[str, str]:
        """Place of everything that has a name."""
        return {name: one_place(rooms) for name, rooms in places(self.job).items()}

    def sheets(self, family: str) -> list[Sheet]:
        """The sheets of a family, worked once."""
        if family not in self._worked:
            self._worked[family] = worked(self.house, family)
        return self._worked[family]

    def results(self, family: str) -> list[tuple[str, dict[str, Any]]]:
        """(subject, results) of each sheet of a family."""
        return [(s.subject, s.results) for s in self.sheets(family)]

    def short(self, family: str, keys: list[str], about: str) -> list[tuple[Sheet, Check]]:
        """The checks of these keys that fall short on a family's sheets about something, or about it by their item."""
        return [
            (s, check)
            for s in self.sheets(family)
            for check in s.checks
            if not check.holds.holds
            and stem_of(check.key) in keys
            and (not about or about.lower() in (s.subject.lower(), item_of(check.key).lower()))
        ]

    def stands(self, part: Any) -> bool:
        """Whether it stays or comes."""
        return bool(getattr(part, "status", "new") != "removed")


SUBJECTS: dict[str, Callable[[Walked], Asked]] = {}


def subject(name: str) -> Callable[[Callable[[Walked], Asked]], Callable[[Walked], Asked]]:
    """Register what a question can be asked of."""

    def keep(ask: Callable[[Walked], Asked]) -> Callable[[Walked], Asked]:
        SUBJECTS[name] = ask
        return ask

    return keep
