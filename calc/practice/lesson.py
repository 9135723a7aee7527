"""Questions: a job drawn from a seed, worked by its family, with the lines that a learner is asked for."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, cached_property
from importlib import import_module
from pathlib import Path
from random import Random
from typing import Any, Protocol

from calc.codebook import Codebook
from calc.families import families
from calc.job import Circuit, Job, JobError, changed
from calc.wiring.house import House
from calc.wiring.reading import codebook_for
from calc.work import Refused, Sheet, Value, WorkError
from calc.work.sheet import Line

LESSONS = Path(__file__).parent / "lessons"
_PARTS = {"branch-circuits": ("circuits",), "receptacles": ("rooms", "stairs")}
"""Lists of the job that hold what a family's sheets are about, where these aren't runs, boxes or raceways."""
NOWHERE = (Refused, WorkError, JobError, ArithmeticError, ValueError, LookupError)
"""What working a sheet with a learner's numbers may end in."""
Answer = float | str  # a size, such as '4/0 AWG', and the outcome of a check are text
PASSES, FALLS_SHORT = "passes", "falls short"
SIZE = re.compile(
    r"\s*#?\s*(\d+(?:-\d+/\d+|/\d+)?)\s*(?:AWG|kcmil|in|\")?\s*(?:cu|al|copper|aluminum)?\s*", re.IGNORECASE
)


@dataclass(frozen=True)
class Slip:
    """A mistake that people make: at which line or check it shows, and the wrong answer that it gives there.

    ``name`` is the entry of the lesson's words file that says which rule was missed; ``rule`` is that rule, whose
    section the learner is told. ``wrong`` is asked with the family worked up to the line; None, or a line that
    isn't there, where the slip has nothing to act on.
    """

    name: str
    key: str
    rule: str
    wrong: Callable[[Again, str], Answer | None]


class Lesson(Protocol):
    """The face of a lesson module.

    ``SIZES`` are the lines answered with a size, '4/0' or '1-1/4', not a number; ``CHECKS`` the checks answered with
    'passes' or 'falls short'; ``BESIDE`` the lines that are neither asked nor told: those that only show what another
    method gives, or give away what is asked; ``TOLD_TO`` those that are told only up to these words; ``OR_LARGER`` the
    sizes whose rule says 'at least'; ``ROUND_DOWN`` the lines that are a most, so that rounding up is wrong.
    """

    FAMILY: str
    BESIDE: Sequence[str]
    SIZES: Sequence[str]
    CHECKS: Sequence[str]
    TOLD_TO: Mapping[str, str]
    OR_LARGER: Sequence[str]
    ROUND_DOWN: Sequence[str]
    SLIPS: Sequence[Slip]

    def draw(self, random: Random, level: int) -> dict[str, Any]:
        """The data of an invented job; ``practise`` in it names the sheet to practise, where it isn't the last one.
        Equal random numbers give an equal job.
        """


@cache
def taught() -> dict[str, Lesson]:
    """Every family that can be practised, by name."""
    names = sorted(path.stem for path in LESSONS.glob("*.toml"))
    return {name: _module(name) for name in names}


def _module(name: str) -> Any:
    return import_module(f"calc.practice.lessons.{name.replace('-', '_')}")


@cache
def _entries(family: str) -> dict[str, dict[str, Any]]:
    return tomllib.loads((LESSONS / f"{family}.toml").read_text(encoding="utf-8"))


def missed(family: str) -> dict[str, str]:
    """What each slip of a family missed, in words."""
    return {name: entry["missed"] for name, entry in _entries(family).items()}


@dataclass(frozen=True)
class Question:
    """A job to be worked on one sheet, which ``subject`` names."""

    family: str
    title: str
    job: Job
    code: Codebook
    subject: str = ""
    slips: Sequence[Slip] = ()

    def sheet(self, overrides: Mapping[str, Answer] | None = None, job: Job | None = None) -> Sheet:
        """The sheet worked, with lines replaced or for another job."""
        if not overrides and job is None:
            return self._worked
        house = self.house if job is None else self.house.with_job(job)
        return self._of(house.with_lines(self.family, overrides or {}))

    @cached_property
    def house(self) -> House:
        """The house of the question."""
        return House(self.job, self.code)

    @property
    def part(self) -> Any:
        """The part of the job that the sheet is about, such as a run or a room; None for a sheet about the whole."""
        subject, places = self.sheet().subject, _PARTS.get(self.family, ("runs", "boxes", "raceways"))
        parts = [part for place in places for part in getattr(self.job, place)]
        named = [part for part in parts if subject.startswith(part.name)]
        return max(named, key=lambda part: len(part.name), default=None)

    @property
    def parts(self) -> list[Any]:
        """The same with what belongs to it: the loads on a circuit, the other half of a multiwire circuit."""
        part, subject = self.part, self.sheet().subject
        if not isinstance(part, Circuit):
            return [] if part is None else [part]
        circuits = [each for each in self.job.circuits if each.name in (part.name, *subject.split(" and "))]
        return [each for circuit in circuits for each in (circuit, *self.job.loads_on(circuit.name))]

    def _of(self, house: House) -> Sheet:
        sheets = families()[self.family].work(house)
        return [sheet for sheet in sheets if is_called(sheet, self.subject)][-1]

    @cached_property
    def _worked(self) -> Sheet:
        return self._of(self.house)

    @cached_property
    def asked(self) -> list[str]:
        """Keys of the lines that a learner works, in order: those with a number or a size; then of the checks."""
        lesson, sheet = taught().get(self.family), self.sheet()
        sizes, beside, checks = (lesson.SIZES, lesson.BESIDE, lesson.CHECKS) if lesson else ((), (), ())
        lines = [
            line.key
            for line in sheet.lines
            if (isinstance(line.value, Value) and stem(line.key) not in beside)
            or (stem(line.key) in sizes and SIZE.fullmatch(_text(line)))
        ]
        return lines + [check.key for check in sheet.checks if stem(check.key) in checks]


@dataclass
class Again:
    """The family worked again, for finding what a slip gives: with the learner's own numbers carried so far."""

    question: Question
    overrides: Mapping[str, Answer] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.sheet = self.question.sheet(self.overrides)
        lines = self.sheet.lines
        self.numbers: dict[str, float] = {
            line.key: line.value.number for line in lines if isinstance(line.value, Value)
        }
        self.texts: dict[str, str] = {line.key: _text(line) for line in lines if not isinstance(line.value, Value)}
        self.outcomes = {check.key: _outcome(check.holds.holds) for check in self.sheet.checks}
        self.texts |= self.outcomes

    @cached_property
    def public(self) -> dict[str, Any]:
        """The sheet in its public form."""
        return self.sheet.as_json()

    @cached_property
    def shown(self) -> dict[str, dict[str, Any]]:
        """The lines as they are printed, by key, with the checks after them in the same form."""
        return {line["key"]: line for line in [*self.public["lines"], *checks_as_lines(self.public)]}

    @property
    def job(self) -> Job:
        """The job of the question."""
        return self.question.job

    @property
    def part(self) -> Any:
        """The run, box or raceway that the sheet is about."""
        return self.question.part

    @property
    def code(self) -> Codebook:
        """The code of the question."""
        return self.question.code

    def rule(self, name: str) -> float:
        """The number of a rule, as a plain number."""
        return self.code[name].number

    def figure(self, slip: str) -> float:
        """The number that a slip brings in from elsewhere: it stands with the slip's words."""
        return float(_entries(self.question.family)[slip]["figure"])

    def replaced(self, key: str, overrides: Mapping[str, Answer]) -> Answer | None:
        """A line's answer with other lines replaced."""
        return _answer(self.question.sheet({**self.overrides, **overrides}), key)

    def tried(self, key: str, overrides: Mapping[str, Answer]) -> Answer | None:
        """The same; None where such lines lead nowhere."""
        try:
            return self.replaced(key, overrides)
        except NOWHERE:
            return None

    def of_job(self, key: str, changes: Mapping[str, Any]) -> Answer | None:
        """A line's answer for a changed job."""
        return _answer(self.question.sheet(self.overrides, changed(self.job, changes)), key)

    def of_edition(self, key: str, edition: str) -> Answer | None:
        """A line's answer by another edition of the code; None where that is the question's own."""
        if edition == self.code.edition:
            return None
        other = Question(self.question.family, "", self.job, codebook_for(self.job, edition), self.question.subject)
        return _answer(other.sheet(), key)


def called(sheet: Sheet) -> str:
    """A sheet's title and what it is about, which together tell it from the others of its family."""
    return ": ".join(dict.fromkeys((sheet.title, sheet.subject)))


def is_called(sheet: Sheet, name: str) -> bool:
    """Whether a sheet goes by this name: what it is about, its title, or both; every sheet does where none is given."""
    return name in ("", sheet.subject, sheet.title, called(sheet))


def _answer(sheet: Sheet, key: str) -> Answer | None:
    line = next((line for line in sheet.lines if line.key == key), None)
    if line is None:
        check = next((check for check in sheet.checks if check.key == key), None)
        return None if check is None else _outcome(check.holds.holds)
    return line.value.number if isinstance(line.value, Value) else _text(line)


def checks_as_lines(sheet: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The checks of a sheet's public form as lines with the outcome as their result, numbered on."""
    first = len(sheet["lines"]) + 1
    return [
        {**check, "number": number, "unit": "", "result": _outcome(check["passes"]), "formula": check["text"]}
        for number, check in enumerate(sheet["checks"], first)
    ]


def _outcome(passes: bool) -> str:
    return PASSES if passes else FALLS_SHORT


def _text(line: Line) -> str:
    """What a line says that has no number: looked up, or found."""
    return line.found or str(line.value)


def stem(key: str) -> str:
    """A line's key without its item."""
    return key.partition("[")[0]
