"""What a question shows: what is given, and its lines without their results."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from calc.job import Part, field_info, place
from calc.practice.lesson import SIZE, Question

LEFT_OUT = ("name", "fed_from", "feeds", "room", "panel", "circuit")  # they name, they decide no number


@dataclass(frozen=True)
class AskedLine:
    """A line of the question: ``asked`` if a number or a size is to be written, else what it says, ``told``."""

    key: str
    number: int
    name: str
    unit: str
    asked: bool
    told: str


def asked_lines(question: Question) -> list[AskedLine]:
    """The lines in order. One that needs no work is told, one that follows from the work is left out."""
    asked = set(question.asked)
    return [
        AskedLine(
            line["key"], line["number"], line["name"], line["unit"], line["key"] in asked, str(line["result"])
        )
        for line in question.sheet().as_json()["lines"]
        if line["key"] in asked or _needs_no_work(line)
    ]  # fmt: skip


def _needs_no_work(line: Mapping[str, Any]) -> bool:
    """A statement of the job; a size among them would give an answer away, and the given ones are among the givens."""
    return not line["numbers"] and line["lookup"] is None and not SIZE.fullmatch(str(line["result"]))


def givens(question: Question) -> list[tuple[str, str]]:
    """What the learner starts from: what the job says in words, and the numbers that the sheet uses."""
    sheet = question.sheet().as_json()
    formulas = [line["formula"] for line in sheet["lines"] if line["key"] in question.asked]
    shown = [
        given
        for given in sheet["givens"]
        if ", line " not in given["at"] or any(given["name"] in formula for formula in formulas)
    ]
    numbers = [
        (given["name"], given["text"]) for given in shown if not given["name"].endswith("(count)") or given["value"] > 1
    ]
    return [*_in_words(question, {given["at"] for given in shown}), *numbers]


def _in_words(question: Question, used: set[str]) -> Iterator[tuple[str, str]]:
    """The fields of the part that the sheet is about, but the numbers that stand on the sheet anyway."""
    part = question.part
    if part is None:
        return
    for field in (name for name in type(part).model_fields if name in part.model_fields_set):
        value = getattr(part, field)
        if field not in LEFT_OUT and place(part, field) not in used and value is not None:
            facts = field_info(part, field)
            yield facts.title.lower(), f"{_said(value)} {facts.unit}".strip()


def _said(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list | tuple):
        return "; ".join(_said(one) for one in value)
    if isinstance(value, Part):
        stated = {name: getattr(value, name) for name in type(value).model_fields if name in value.model_fields_set}
        return ", ".join(f"{name.removesuffix('_in3')} {_said(each)}" for name, each in stated.items())
    return str(getattr(value, "text", value))
