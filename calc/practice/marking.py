"""Marking: each line on its own, with the learner's earlier numbers carried forward."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from calc.job import JobError
from calc.practice.answers import read_answer, read_outcome, read_size
from calc.practice.lesson import SIZE, Again, Answer, Question, missed, stem
from calc.work import Refused, WorkError

Verdict = Literal["right", "slip", "wrong", "unreadable", "left out"]


@dataclass(frozen=True)
class Marked:
    """One line marked: what the learner gave, what follows from the numbers before it, and what to tell."""

    key: str
    name: str
    given: str
    expected: str
    verdict: Verdict
    told: str
    number: int = 0  # of the line on the sheet
    slip: str = ""


def mark(question: Question, answers: Mapping[str, str]) -> list[Marked]:
    """Every asked line marked. A wrong number or size is carried on, so that one slip isn't punished twice."""
    carried: dict[str, Answer] = {}
    marked = []
    for key in question.asked:
        one, number = _mark_line(question, key, answers.get(key, ""), carried)
        marked.append(one)
        if one.verdict in ("slip", "wrong") and number is not None:
            carried[key] = _size(number) if isinstance(number, str) else number
    return marked


def _mark_line(
    question: Question, key: str, answer: str, carried: Mapping[str, Answer]
) -> tuple[Marked, Answer | None]:
    again = _worked(question, carried)
    line = again.shown.get(key)
    if line is None:  # the learner's own numbers led down a road that has no such line
        return Marked(key, key, answer, "", "left out", "With your numbers this line doesn't come up."), None
    name, expected, unit, at = line["name"], line["result"], line["unit"], line["number"]
    if not answer.strip():
        return Marked(key, name, "", expected, "left out", f"Left out. It is {_how(line)}.", at), None
    number, trouble = _read(again, key, answer, unit)
    if number is None:
        return Marked(key, name, answer, expected, "unreadable", trouble, at), None
    if agrees(number, right(again, key), expected) or _rounded(answer, right(again, key)):
        return Marked(key, name, answer, expected, "right", "Right.", at), number
    for slip, wrong in usable_slips(again, key).items():
        if agrees(number, wrong, expected) or _rounded(answer, wrong):
            told = f"{missed(question.family)[slip]} {_cite(question, key, slip)}"
            return Marked(key, name, answer, expected, "slip", told.strip(), at, slip), number
    told = f"This doesn't follow from the lines before it. It is {_how(line)}. {line['reason']}"
    return Marked(key, name, answer, expected, "wrong", told, at), number


def _worked(question: Question, carried: Mapping[str, Answer]) -> Again:
    """The sheet with the learner's numbers; without them where they lead nowhere."""
    try:
        again = Again(question, carried)
        return again if again.sheet.refused is None else Again(question)
    except (Refused, WorkError, ZeroDivisionError, ValueError, LookupError):
        return Again(question)


def _read(again: Again, key: str, answer: str, unit: str) -> tuple[Answer | None, str]:
    if key in again.outcomes:
        return read_outcome(answer)
    return read_size(answer) if key in again.texts else read_answer(answer, unit)


def right(again: Again, key: str) -> Answer:
    """The right answer of a line: its number at full precision, or its size."""
    return again.texts[key] if key in again.texts else again.numbers[key]


def usable_slips(again: Again, key: str) -> dict[str, Answer]:
    """Slips of a line with the wrong number of each: none that happens to be right, no two that give one number."""
    line = again.shown[key]
    printed, answer = line["result"], right(again, key)
    found: dict[str, Answer] = {}
    for slip in again.question.slips:
        if slip.key != stem(key):
            continue
        try:
            wrong = slip.wrong(again, key)
        except (KeyError, JobError, Refused, WorkError):
            continue  # it needs a line, a row or a job that isn't there
        if wrong is not None and not agrees(wrong, answer, printed):
            found[slip.name] = wrong
    numbers = list(found.values())
    return {
        name: number for name, number in found.items()
        if sum(agrees(number, other, printed) for other in numbers) == 1
    }  # fmt: skip


def agrees(given: Answer, value: Answer, printed: str) -> bool:
    """Whether an answer is the value: a size by its number alone; a number to the digits that the sheet prints."""
    if isinstance(given, str) or isinstance(value, str):
        return _size(str(given)) == _size(str(value))
    decimals = len(printed.split(" ")[0].partition(".")[2])
    return abs(given - value) <= 0.5 * 10**-decimals + 1e-9 or round(value, decimals) == round(given, decimals)


def _rounded(answer: str, value: Answer) -> bool:
    """Whether an answer, in the line's own unit, is the value rounded to three digits or more."""
    found = re.fullmatch(r"\s*([\d,]+)(?:\.(\d+))?\D*", answer)
    if found is None or isinstance(value, str):
        return False
    whole, part = found[1].replace(",", ""), found[2] or ""
    digits = (whole + part).lstrip("0")
    return len(digits) >= 3 and abs(float(f"{whole}.{part or 0}") - value) <= 0.5 * 10 ** -len(part) + 1e-9


def _size(text: str) -> str:
    found = SIZE.fullmatch(text)
    return found[1] if found else text


def _how(line: dict[str, object]) -> str:
    cited = f" [{', '.join(line['sections'])}]" if line["sections"] else ""  # type: ignore[arg-type]
    return f"{line['formula'] or line['name']}{cited}"


def _cite(question: Question, key: str, name: str) -> str:
    rule = next(slip.rule for slip in question.slips if slip.name == name and slip.key == stem(key))
    section = question.code.cite(rule).section if rule and question.code.has(rule) else ""
    return f"[{section}]" if section else ""
