"""What a question shows: what is given, and its lines without their results."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from calc.job import CounterOutlet, Outlet, Part, field_info, place
from calc.job.fields import keys_of
from calc.practice.lesson import FALLS_SHORT, PASSES, SIZE, Question, called, checks_as_lines, taught
from calc.work.keys import stem_of
from calc.work.printing import leaves, quantity
from calc.work.units import COUNTS

READ_BY = {
    "system": "system",
    "wiring": "wires that carry current",
    "stranding": "build of the conductors",
    "location": "location",
    "conduit": "conduit of the reactance",
}
"""Keys of tables that no entry says, by what a learner calls them."""
WALLS = "walked clockwise; a place is measured from where its wall begins"
_WORD = re.compile(r"[a-z-]+")  # a choice of the job file, such as 'water-heater'
CHOICE = f"{PASSES} or {FALLS_SHORT}?"
HOW = (
    "Work each line, with the code's tables at hand. A line may use those above it; a number left out stands for a step "
    "that follows from the work, such as the size that serves."
)
LEFT_OUT = (
    "name",
    "fed_from",
    "feeds",
    "room",
    "panel",
    "circuit",
    "light",
    "storey",
    "ground_fault",
    "tamper_resistant",
)  # they name, they decide no number


@dataclass(frozen=True)
class AskedLine:
    """A line of the question: ``asked`` if a number or a size is to be written, else what it says, ``told``."""

    key: str
    number: int
    name: str
    unit: str
    asked: bool
    told: str


def about(question: Question) -> str:
    """What is worked, on what, by which edition."""
    sheet = question.sheet()
    return f"{called(sheet)}, edition {sheet.edition}"


def asked_lines(question: Question, left: Collection[str] | None = None) -> list[AskedLine]:
    """The lines in order. One that needs no work is told, one that follows from the work is left out; with ``left`` only
    those lines are asked, those before them are told, and nothing comes after.
    """
    asked, sheet = set(question.asked), question.sheet().as_json()
    lesson = taught().get(question.family)
    beside, told = (lesson.beside, lesson.told) if lesson else ((), ())
    lines = [
        line for line in sheet["lines"]
        if line["key"] in asked or stem_of(line["key"]) in told or (_needs_no_work(line) and stem_of(line["key"]) not in beside)
    ]  # fmt: skip
    checks = [check for check in checks_as_lines(sheet) if check["key"] in asked]
    shown = [*lines, *checks]
    if left:  # what comes after would give it away
        shown = shown[: max(at for at, line in enumerate(shown, 1) if line["key"] in left)]
    return [
        AskedLine(
            line["key"], line["number"], line["name"], CHOICE if line in checks else line["unit"],
            line["key"] in (asked if left is None else left),
            _told(str(line["result"]), stem_of(line["key"]), lesson.told_to if lesson else {}),
        )
        for line in shown
    ]  # fmt: skip


def _told(result: str, key: str, told_to: Mapping[str, str]) -> str:
    """What a line says, but for what comes after the words where the lesson cuts it."""
    head, cut, _ = result.partition(told_to[key]) if key in told_to else (result, "", "")
    return f"{head}{cut}where?" if cut else head


def _needs_no_work(line: Mapping[str, Any]) -> bool:
    """A statement of the job; a size among them would give an answer away, and the given ones are among the givens."""
    return not line["numbers"] and line["lookup"] is None and not SIZE.fullmatch(str(line["result"]))


def givens(question: Question) -> list[tuple[str, str]]:
    """What the learner starts from: what the job says in words, and the numbers that the sheet uses."""
    worked = question.sheet()
    if question.family in taught():
        worked = replace(worked, checks=[])  # what a check alone compares is for the learner to find
    sheet = worked.as_json()
    formulas = [line["formula"] for line in sheet["lines"] if line["key"] in question.asked]
    shown = [
        given
        for given in sheet["givens"]
        if ", line " not in given["at"] or any(given["name"] in formula for formula in formulas)
    ]
    worded = list(_in_words(question, {given["at"] for given in shown}))
    told = tuple(at for at, _, _ in worded)
    numbers = [
        (given["name"], given["text"] + _volts(question, given["at"], [*told, *(each["at"] for each in shown)]))
        for given in shown
        if not given["at"].startswith(told) and (not given["name"].endswith("(count)") or given["value"] > 1)
    ]
    return [*((name, text) for _, name, text in worded if text), *numbers, *_besides(question)]


def _besides(question: Question) -> Iterator[tuple[str, str]]:
    """What no code book and no entry says, but the lines need: by what a table is read, numbers that are advice or common
    practice, what is taken where nothing is entered.
    """
    lesson, sheet = taught().get(question.family), question.sheet()
    lines = [line for line in sheet.lines if line.key in question.asked]
    found: dict[str, str] = {}
    for line in lines:
        if line.lookup is not None:
            found |= {
                name: str(dict(line.lookup.row)[key]) for key, name in READ_BY.items() if key in dict(line.lookup.row)
            }
            if line.cites and not any(cite.section for cite in line.cites):
                column = line.lookup.column
                cells = [row[column] for row in question.code.rows(line.cites[0].rule) if row[column]]
                found[f"{line.cites[0].name}"] = ", ".join(f"{float(cell):,.10g}" for cell in cells)
        for leaf in leaves(line.made) if line.made is not None else ():
            named = [cite for cite in leaf.cites if not cite.section or (lesson and cite.rule in lesson.stated)]
            if leaf.origin == "rule" and named:
                found[leaf.name] = quantity(leaf.number, leaf.unit)
    if lesson and question.part is not None:
        found |= {field: text for field, text in lesson.given.items() if getattr(question.part, field, "") is None}
    yield from found.items()


def _volts(question: Question, at: str, shown: Sequence[str]) -> str:
    """The voltage beside the volt-amperes of a load, where it is not told elsewhere: the neutral's lines ask for it."""
    load = next((load for load in question.job.loads if place(load, "load_va") == at), None)
    if load is None or any(each.startswith(place(load, "volts")) for each in shown):
        return ""
    return f", at {load.volts} V"


def _in_words(question: Question, used: set[str]) -> Iterator[tuple[str, str, str]]:
    """The fields of the parts that the sheet is about, but the numbers that stand on the sheet anyway: where each
    stands, its name and what it says. A part inside, such as a wall, is told whole.
    """
    parts = question.parts
    for part in parts:
        before = f"{part.name}, " if len(parts) > 1 else ""
        for field in (name for name in keys_of(type(part)) if name in part.model_fields_set):
            value, at = getattr(part, field), place(part, field)
            if field in LEFT_OUT or at in used or value is None:
                continue
            if field == "walls" and value:
                yield f"{at} ", "walls", WALLS
            if _of_parts(value):
                for number, inside in enumerate(value, 1):
                    yield f"{at}[{number}].", *_part_said(inside)
            else:
                yield f"{at} ", before + _title(part, field), _said_with_unit(part, field)


def _of_parts(value: Any) -> bool:
    return isinstance(value, tuple) and bool(value) and isinstance(value[0], Part)


def _part_said(part: Part) -> tuple[str, str]:
    """A part inside another, as 'north wall: length 18 ft': what it is called, and what is stated of it."""
    kind = "receptacle" if isinstance(part, Outlet | CounterOutlet) else type(part).__name__.lower()
    name = str(getattr(part, "name", "") or getattr(part, "kind", "") or kind).replace("-", " ")
    stated = [field for field in keys_of(type(part)) if field in part.model_fields_set and field not in LEFT_OUT]
    said = [_clause(part, field) for field in stated if str(getattr(part, field)).replace("-", " ") != name]
    calls = name if kind in (name, "device", "opening", "break") or kind in name else f"{kind} {name}"
    return ("side " + name if kind == "compartment" else calls), ", ".join(clause for clause in said if clause)


def _clause(part: Part, field: str) -> str:
    value, title = getattr(part, field), _title(part, field)
    if value is True:
        return title
    if value in (None, ()):
        return ""
    if _of_parts(value):
        return "; ".join(" ".join(_part_said(inside)).strip() for inside in value)
    called = "" if title == type(part).__name__.lower() else f"{title} "  # a barrier's material is entered as 'Barrier'
    return called + _said_with_unit(part, field)


def _title(part: Part, field: str) -> str:
    return field_info(part, field).title.lower()


def _said_with_unit(part: Part, field: str) -> str:
    value, unit = getattr(part, field), field_info(part, field).unit
    if unit and _title(part, field).startswith(unit):
        return _said(value)  # 'poles: 2'
    return f"{_said(value)} {unit}{'s' if unit in COUNTS and value != 1 else ''}".strip()


def _said(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list | tuple):
        return "; ".join(_said(one) for one in value)
    if isinstance(value, float):
        return f"{value:,.10g}"
    text = str(getattr(value, "text", value))
    return text.replace("-", " ") if _WORD.fullmatch(text) else text
