"""Questions: a job drawn from a seed, worked by its family, with the lines that a learner is asked for."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, cached_property
from importlib import import_module
from pathlib import Path
from random import Random
from typing import Any

import tomli

from calc.codebook import Codebook, CodebookError
from calc.families import families
from calc.job import Circuit, Job, changed
from calc.practice.slips import NOWHERE, Answer, Slip
from calc.wiring.house import House
from calc.wiring.reading import codebook_for
from calc.work import Sheet, Value
from calc.work.forms import SheetForm
from calc.work.keys import stem_of
from calc.work.sheet import Line

LESSONS = Path(__file__).parent / "lessons"
_PARTS = {"branch-circuits": ("circuits",), "receptacles": ("rooms", "stairs")}
"""Lists of the job that hold what a family's sheets are about, where these aren't runs, boxes or raceways."""
PASSES, FALLS_SHORT = "passes", "falls short"
SIZE = re.compile(
    r"\s*#?\s*(\d+(?:-\d+/\d+|/\d+)?)\s*(?:AWG|kcmil|in|\")?\s*(?:cu|al|copper|aluminum)?\s*", re.IGNORECASE
)


@dataclass(frozen=True)
class Lesson:
    """What is taught of a family: a module that draws jobs, and a file that says the rest."""

    family: str
    draw: Callable[[Random, int], dict[str, Any]]
    """The data of an invented job; ``practise`` in it names the sheet to practise, where it isn't the last one."""
    slips: tuple[Slip, ...] = ()
    sizes: tuple[str, ...] = ()
    """Lines answered with a size, '4/0' or '1-1/4', not a number."""
    checks: tuple[str, ...] = ()
    """Checks answered with 'passes' or 'falls short'."""
    beside: tuple[str, ...] = ()
    """Lines that are neither asked nor told: they show what another method gives, or give away what is asked."""
    told: tuple[str, ...] = ()
    """Lines that are told, not asked: what the code has one answer to, and what no book says."""
    told_to: Mapping[str, str] = field(default_factory=dict)
    """Lines that are told only up to these words."""
    or_larger: tuple[str, ...] = ()
    """Sizes whose rule says 'at least'."""
    round_down: tuple[str, ...] = ()
    """Lines that are a most, so that rounding up is wrong."""
    given: Mapping[str, str] = field(default_factory=dict)
    """What is so where a field of the part is not entered, by the field."""
    stated: tuple[str, ...] = ()
    """Rules whose numbers are given, beside those of no section: advice that nobody need know by heart."""


@cache
def taught() -> dict[str, Lesson]:
    """Every family that can be practised, by name."""
    return {path.stem: _lesson(path) for path in sorted(LESSONS.glob("*.toml"))}


def _lesson(path: Path) -> Lesson:
    module = import_module(f"calc.practice.lessons.{path.stem.replace('-', '_')}")
    said = tomli.loads(path.read_text(encoding="utf-8"))
    lines: dict[str, Any] = {
        key: value if isinstance(value, dict) else tuple(value) for key, value in said.get("lines", {}).items()
    }
    slips = [
        Slip(name, tuple([each["line"]] if isinstance(each["line"], str) else each["line"]), each.get("rule", ""), each["missed"], each,
             getattr(module, each["by"]) if "by" in each else None)
        for name, each in said["slips"].items()
    ]  # fmt: skip
    return Lesson(path.stem, module.draw, slips=tuple(slips), **lines)


def missed(family: str) -> dict[str, str]:
    """What each slip of a family missed, in words."""
    return {slip.name: slip.missed for slip in taught()[family].slips}


@dataclass(frozen=True)
class Question:
    """A job to be worked on one sheet, which ``subject`` names."""

    family: str
    title: str
    job: Job
    code: Codebook
    subject: str = ""
    slips: Sequence[Slip] = ()
    ref: str = ""
    """What it goes by: family, seed, level, and the edition where it was asked for; '' of a real job."""

    def sheet(self, overrides: Mapping[str, Answer] | None = None, job: Job | None = None) -> Sheet:
        """The sheet worked, with lines replaced or for another job."""
        if not overrides and job is None:
            return self._worked
        house = self.house if job is None else self.house.with_job(job)
        return self._of(house.with_lines(self.family, overrides or {}, self._worked.subject))

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
        """Keys of the lines that a learner works, in order: those with a number or a size; then of the checks, all of them
        where no lesson says which.
        """
        return asked_of(self.family, self.sheet())


def asked_of(family: str, sheet: Sheet) -> list[str]:
    """The same of a sheet of a family."""
    lesson = taught().get(family)
    sizes, left, checks = (
        (lesson.sizes, {*lesson.beside, *lesson.told}, lesson.checks)
        if lesson
        else ((), set(), {stem_of(c.key) for c in sheet.checks})
    )
    lines = [
        line.key
        for line in sheet.lines
        if (isinstance(line.value, Value) and stem_of(line.key) not in left)
        or (stem_of(line.key) in sizes and SIZE.fullmatch(_text(line)))
    ]
    return lines + [check.key for check in sheet.checks if stem_of(check.key) in checks]


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
    def public(self) -> SheetForm:
        """The sheet in its public form."""
        return self.sheet.as_json()

    @cached_property
    def shown(self) -> dict[str, dict[str, Any]]:
        """The lines as they are printed, by key, with the checks after them in the same form."""
        lines: list[dict[str, Any]] = [{**line} for line in self.public["lines"]]
        return {line["key"]: line for line in [*lines, *checks_as_lines(self.public)]}

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

    def rule_of(self, key: str, slip: str = "") -> str:
        """The name of the rule that a slip misses, or that a line or check rests on; '' where it is arithmetic alone."""
        missed = next((each.rule for each in self.question.slips if each.name == slip), "")
        steps = {each.key: each.cites for each in self.sheet.lines} | {
            each.key: each.cites for each in self.sheet.checks
        }
        cites = steps.get(key, ())
        by_section = sorted(cites, key=lambda cite: not cite.section)
        return missed if knows(self.code, missed) else by_section[0].rule if by_section else ""

    def rule(self, name: str) -> float:
        """The number of a rule, as a plain number."""
        return self.code[name].number

    def figure(self, slip: str) -> float:
        """The number that a slip brings in from elsewhere: it stands with the slip's words."""
        return float(next(each for each in self.question.slips if each.name == slip).said["figure"])

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


def knows(code: Codebook, rule: str) -> bool:
    """Whether an edition has a rule of this name; a record may name one that no edition has."""
    try:
        return bool(rule) and code.has(rule)
    except CodebookError:
        return False


def rule_label(family: str, rule: str, code: Codebook) -> str:
    """A rule as a learner finds it, '314.16(B)(5) conductors of one size'; where there is none, that it is arithmetic."""
    if not knows(code, rule):
        return f"arithmetic: {families()[family].TITLE}"
    cite = code.cite(rule)
    return f"{cite.section} {cite.name}".strip()


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
