"""The answer: a small job made of what was asked, worked by its family, and the lines of its sheet that are the answer."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from importlib import import_module
from pathlib import Path
from typing import Any, NamedTuple

from typing_extensions import TypedDict

from calc.job import SIZES, Job, JobError, parse_size
from calc.job.edit import changed, with_changes
from calc.job.places import steps, value_at
from calc.job.plausible import notices
from calc.job.read import make_job
from calc.quick import deciding, preparing
from calc.quick.question import Entry
from calc.quick.reading import NotUnderstood, Reading, Said
from calc.wiring.house import House
from calc.work import FALLS_SHORT, NOT_SHOWN, PASSES, Sheet, Status, worst
from calc.work.forms import SheetForm

NAME = "Quick question"
_BLANK = re.compile(r"\{(?:(each|check|required|least):)?([\w|]+(?:\[[^\]]*\])?)\}")


class AnswerForm(TypedDict):
    """One answer of ``studbay quick --json``, which gives a list of them: one for each way in which a question can be read."""

    question: str
    read: dict[str, str]
    """What was typed, by the entry that it was taken for."""
    answer: str
    sections: list[str]
    decides: str
    """What decides the answer, or what the next size would change; '' where nothing is to be said."""
    taken: list[str]
    """What was taken as given, since it was not said."""
    notes: list[str]
    unchecked: list[str]
    """What was not looked at."""
    beside: list[str]
    """What falls short beside what was asked; the status counts it."""
    status: Status
    edition: str
    sheet: SheetForm
    """The sheet that the answer was read off."""


class Adopted(NamedTuple):
    """The code that a question is answered under: the [code] part of a job and where that job lies, or an edition alone."""

    code: dict[str, Any]
    path: Path | None = None


@dataclass(frozen=True)
class Answer:
    """What a question came to: one line with its number, the sections that it rests on, and what decides; then what was
    taken as given and what was not checked. `asked` is the state of what was asked; `beside` falls short besides. `sheet` and
    `job` are what it was read off and what was worked; `read_as` says the reading where there was another."""

    reading: Reading
    line: str
    sections: tuple[str, ...]
    decides: str
    taken: tuple[str, ...]
    notes: tuple[str, ...]
    unchecked: tuple[str, ...]
    beside: tuple[str, ...]
    asked: Status
    sheet: Sheet
    job: Job
    edition: str
    read_as: str = ""

    @property
    def status(self) -> Status:
        """The state of what was asked, and of what falls short beside it."""
        return worst([self.asked, FALLS_SHORT]) if self.beside else self.asked

    def as_json(self) -> AnswerForm:
        """The answer for machines, with its sheet."""
        return {
            "question": self.reading.question.name,
            "read": {one.entry.name: one.shown for one in self.reading.said},
            "answer": self.line,
            "sections": list(self.sections),
            "decides": self.decides,
            "taken": list(self.taken),
            "notes": list(self.notes),
            "unchecked": list(self.unchecked),
            "beside": list(self.beside),
            "status": self.status,
            "edition": self.edition,
            "sheet": self.sheet.as_json(),
        }


def small_job(reading: Reading, under: Adopted) -> Job:
    """The small job that a question makes. NotUnderstood where what was said can't be so."""
    return _job(reading, job_data(reading, under), under)


def answered(reading: Reading, under: Adopted) -> Answer:
    """Work the question; where a default can't serve, with what is taken instead. NotUnderstood where what was said can't be so."""
    for entry in reading.question.entries:
        if entry.instead and _left_out(entry, reading):
            told = None if _speaks_of(reading, entry.instead_of) else _answered(reading, under)
            if told is None or told.sheet.refused is not None:
                said = Said(entry, "word", entry.instead, entry.instead)
                other = _answered(replace(reading, said=(*reading.said, said)), under)
                if told is None or other.sheet.refused is None:
                    return replace(other, taken=(entry.instead_taken, *other.taken), reading=reading)
            return told
    return _answered(reading, under)


def _stands(reading: Reading, at: str) -> bool:
    """Whether what stands at a place was said, and is no list that what is found is counted in."""
    return any(at == one.entry.place and not (one.entry.many or one.entry.listed) for one in reading.said)


def _speaks_of(reading: Reading, words: Sequence[str]) -> bool:
    """Whether one of some values was said."""
    return any(one.value in words for one in reading.said if isinstance(one.value, str))


def _answered(reading: Reading, under: Adopted) -> Answer:
    data = job_data(reading, under)
    house = House.of(_job(reading, data, under))
    sheet = _worked(house, reading)
    for at, said in reading.form.found:
        if steps(at)[0] not in data or _stands(reading, at):  # in a table made only where it is told of, or told itself
            continue
        found = _found(sheet, said, value_at(data, at))
        if found is not None:
            data = with_changes(data, found if isinstance(found, dict) else {at: found})
            house = House.of(_job(reading, data, under))
            sheet = _worked(house, reading)
    return _told(reading, house, sheet)


def job_data(reading: Reading, under: Adopted) -> dict[str, Any]:
    """The data of the small job that a question makes."""
    data: dict[str, Any] = {"code": under.code, "job": {"name": NAME}, **reading.question.template}
    changes: dict[str, Any] = {}
    for entry in reading.question.entries:
        said = [one for one in reading.said if one.entry is entry]
        if entry.default is not None and _left_out(entry, reading):
            _put(changes, entry, entry.place, entry.default)
        for one in said:
            _put(
                changes,
                entry,
                entry.at.get(one.kind.removeprefix("bare "), entry.place),
                one.value,
                one.count,
            )
    data = with_changes(data, changes | dict(reading.form.trial))
    prepare = reading.question.prepared
    return getattr(preparing, prepare)(data) if prepare else data


def _put(changes: dict[str, Any], entry: Entry, at: str, value: Any, count: int = 1) -> None:
    """Add what an entry says to the changes of a job: a value, several values of a table, or one more in a list."""
    if entry.table:
        at, _, key = at.rpartition("[1].")
        value = {**dict(entry.table), key: value}
    if entry.many or entry.listed or entry.table:
        counted = {"count": count} if count > 1 and isinstance(value, Mapping) else {}
        changes[at] = [*changes.get(at, ()), {**value, **counted} if isinstance(value, Mapping) else value]
    elif isinstance(value, Mapping):
        changes |= value
    else:
        changes[at] = value


def _left_out(entry: Entry, reading: Reading) -> bool:
    """Whether an entry was not said, nor anything that stands in its place."""
    said = {one.kind for one in reading.said} | {one.entry.name for one in reading.said}
    return entry.name not in said and not said & set(entry.unless)


def _job(reading: Reading, data: dict[str, Any], under: Adopted) -> Job:
    try:
        job = make_job(data, reading.question.name)
    except JobError as error:
        said = "; ".join(dict.fromkeys(
            ": ".join(p for p in (_entry_at(reading, problem.at), "; ".join(
                part for part in (problem.read, problem.allowed and f"allowed: {problem.allowed}", problem.hint) if part)) if p)
            for problem in error.problems))  # fmt: skip
        raise NotUnderstood(said, str(reading), reading.question.example) from None
    job._path = under.path
    return job


def _entry_at(reading: Reading, at: str) -> str:
    return next((entry.name for entry in reading.question.entries if at in entry.at.values()), at)


def _worked(house: House, reading: Reading) -> Sheet:
    family = _family(reading.question.family)
    if missing := family.needs(house.job):
        raise NotUnderstood(
            f"{reading.question.name} needs {'; '.join(missing)}", str(reading), reading.question.example
        )
    sheets: list[Sheet] = family.work(house)
    about = [sheet for sheet in sheets if sheet.subject == reading.question.subject] or sheets[-1:]
    if not about:
        raise NotUnderstood(f"no sheet of {family.TITLE.lower()} comes of this", str(reading), reading.question.example)
    keys = {one for _, key in _BLANK.findall(reading.form.text) for one in key.split("|")}
    return next((sheet for sheet in about if keys & {line.key for line in sheet.lines}), about[0])


def _family(name: str) -> Any:
    return import_module(f"calc.families.{name.replace('-', '_')}")


def _found(sheet: Sheet, said: str, before: Any) -> Any:
    """What a line of the sheet found, as an entry of the job; None where it found none.

    'whole KEY' is a number rounded down, 'value KEY' a number, 'size KEY KEY' the larger of sizes, 'text KEY' a name, 'box KEY' a standard box with
    its gangs, 'count KEY' as many of the conductors that stand there, 'more KEY' as many besides them.
    """
    how, *keys = said.split()
    known = {line.key.partition("[")[0] for line in sheet.lines}
    if how == "size":
        texts = [_result(sheet, key) for key in keys]
        sizes = [parse_size(text.partition(" ")[0]) for text in texts if re.match(r"\S+ (?:AWG|kcmil)", text)]
        return max(sizes, key=SIZES.index, default=None)
    if keys[0] not in known:
        return None
    result = _result(sheet, keys[0])
    if how == "whole":
        return math.floor(_number(sheet, keys[0]))
    if how == "value":
        return _number(sheet, keys[0])
    if how in ("count", "more"):
        number = math.floor(_number(sheet, keys[0])) + (how == "more")
        return [f"{number} x {one.partition(' x ')[2]}" for one in before]
    if how == "box":
        name, _, gangs = result.partition(", ")
        return (
            None
            if result.startswith("none")
            else {"boxes[1].box": name} | ({"boxes[1].gangs": int(gangs.split()[0])} if gangs else {})
        )
    return None if result.startswith("none") else result


def _number(sheet: Sheet, key: str) -> float:
    return float(str(next(line["value"] for line in sheet.as_json()["lines"] if line["key"].partition("[")[0] == key)))


def _result(sheet: Sheet, key: str) -> str:
    return str(next((line["result"] for line in sheet.as_json()["lines"] if line["key"].partition("[")[0] == key), ""))


def _told(reading: Reading, house: House, sheet: Sheet) -> Answer:
    form, made = reading.form, sheet.as_json()
    status = _status(reading, sheet)
    blanks = _Blanks(reading, house, made)
    if sheet.refused is not None and any(blanks.lacks(text) for text in (form.text, form.decides)):
        line, sections, decides = (
            f"{sheet.status}: {sheet.refused.reason}",
            [c.section for c in sheet.refused.cites],
            "",
        )
    else:
        line, decides = blanks.filled(form.text), blanks.filled(form.decides)
        decides = decides or (getattr(deciding, form.by)(reading, house, sheet) if form.by else "")
        if not line:
            short = "; ".join(
                [f"{check['name']}: {check['text']}" for check in made["checks"] if not check["passes"]]
                + [f"{unknown.name}: to be entered: {unknown.missing}" for unknown in sheet.unknowns]
            )
            said = f"no answer to {reading.question.name} comes of this"
            raise NotUnderstood(f"{said}: {short}" if short else said, str(reading), reading.question.example)
        sections = blanks.sections(form.rests) or _sections(
            made["lines"], blanks.keys(form.text) | blanks.keys(form.decides)
        )
    for check in made["checks"]:
        if not check["passes"] and _counts(reading, check["key"]):
            said = "" if check["key"] in form.tells else f"; {check['name']}: {check['text']}"
            line += said + (f"; to correct it: {check['remedy']}" if check["remedy"] else "")
            sections += check["sections"]
    for unknown in sheet.unknowns:
        if _counts(reading, unknown.key):
            line += f"; not shown: {unknown.name}; to be entered: {unknown.missing}"
    return Answer(
        reading, line, tuple(dict.fromkeys(sections)), decides, tuple(_taken(reading)),
        (*odd_entries(reading, house.whole_job), *_notes(reading, sheet)),
        reading.question.unchecked, (*_beside(reading, made), *_broken(reading, house)), status, sheet, house.whole_job, house.code.edition,
    )  # fmt: skip


def _beside(reading: Reading, made: Mapping[str, Any]) -> list[str]:
    """What falls short on the sheet and was not asked: a size alone must not read as if all were in order.

    What stands in the job on trial alone, to learn what is required, falls short of nothing.
    """
    if reading.form.tried or reading.form.alone:
        return []
    return [
        f"{check['name']}: {check['text']}"
        for check in made["checks"]
        if not check["passes"]
        and not _counts(reading, check["key"])
        and check["key"].partition("[")[0] not in reading.question.passed_over
    ]


def _broken(reading: Reading, house: House) -> list[str]:
    """The checks of another family that the answer breaks, however well what was not said serves."""
    must = reading.question.must
    if must is None:
        return []
    said = {at: value for at, value in must.best.items() if value_at(house.whole_job.data, at) is None}
    (sheet,) = _family(must.family).work(House.of(changed(house.whole_job, said)))
    checks = [check for check in sheet.as_json()["checks"] if check["key"].partition("[")[0] in must.checks]
    return [f"{check['name']}: {check['text']}" for check in checks if not check["passes"]]


def odd_entries(reading: Reading, job: Job) -> list[str]:
    """What was said and looks like a slip."""
    places = {place for one in reading.said for place in one.entry.at.values()}
    return [f"may be a slip: {each.read}: {each.odd}" for each in notices(job) if each.at in places]


class _Blanks:
    """What fills the blanks of an answer: entries as they were said, and lines and checks of the sheet.

    `{key}` is a line's result, `{each:key}` those of all lines of a key with what they are about, `{check:key}` what a check
    says, `{required:key}` what it asks for, `{least:key}` a line's result that never prints as less than it is.
    """

    def __init__(self, reading: Reading, house: House, made: Mapping[str, Any]) -> None:
        self._shown = _shown(reading, house)
        self._lines = {line["key"]: line for line in made["lines"]}
        self._first = {line["key"].partition("[")[0]: line for line in reversed(made["lines"])} | self._lines
        self._checks = {check["key"]: check for check in made["checks"]}

    def lacks(self, text: str) -> bool:
        """Whether something that the text names is not there."""
        return any(self._fill(blank) is None for blank in _BLANK.finditer(text))

    def filled(self, text: str) -> str:
        """The text with its blanks filled; '' where one can't be."""
        return "" if self.lacks(text) else _BLANK.sub(lambda blank: str(self._fill(blank)), text)

    def keys(self, text: str) -> set[str]:
        """The lines that the text names."""
        return {one for how, key in _BLANK.findall(text) if how in ("", "each", "least") for one in key.split("|")}

    def sections(self, keys: Sequence[str]) -> list[str]:
        """The sections of lines and checks by key."""
        every = [*self._lines.values(), *self._checks.values()]
        found = [one["sections"] for key in keys for one in every if one["key"].partition("[")[0] == key]
        return [section for sections in found for section in sections]

    def _fill(self, blank: re.Match[str]) -> str | None:
        how, key = blank[1], blank[2]
        if how == "each":
            items = [
                (line["result"], k.partition("[")[2].rstrip("]"))
                for k, line in self._lines.items()
                if k.startswith(f"{key}[")
            ]
            return ", ".join(f"{result} to the {item}" for result, item in items) or None
        if how == "check":
            return self._checks[key]["text"] if key in self._checks else None
        if how == "required":
            side = self._checks.get(key, {}).get("required")
            return f"{side['value']:g} {side['unit']}" if side else None
        if how == "least":
            line = self._first.get(key)
            return line and _rounded_up(line)
        said = [
            self._shown.get(one) or (str(self._first[one]["result"]) if one in self._first else None)
            for one in key.split("|")
        ]
        return next((one for one in said if one), None)


def _rounded_up(line: Mapping[str, Any]) -> str:
    """The result of a line, with its last digit one higher where it was rounded down."""
    number, _, unit = line["result"].partition(" ")
    printed = Decimal(number.replace(",", ""))
    if printed < Decimal(repr(line["value"])):
        printed += Decimal(1).scaleb(int(printed.as_tuple().exponent))
    return f"{printed:,} {unit}".strip()


def _shown(reading: Reading, house: House) -> dict[str, str]:
    """What was said or taken for it, by entry; of what was found, the value that it has in the job."""
    shown = {e.name: e.default for e in reading.question.entries if isinstance(e.default, str)}
    shown |= {one.entry.name: one.shown for one in reading.said}
    for at, _ in reading.form.found:
        entry = next((e for e in reading.question.entries if at in e.at.values()), None)
        if entry is not None:
            value = value_at(house.whole_job.data, at)
            said = ", ".join(value) if isinstance(value, list) else str(value)
            shown[entry.name] = f"{said} {entry.unit}".strip()
    return shown


def _sections(lines: Sequence[Mapping[str, Any]], keys: set[str]) -> list[str]:
    """The sections of these lines, and of all that they were worked from."""
    found: list[str] = []
    for line in reversed(lines):
        if line["key"] in keys or line["key"].partition("[")[0] in keys:
            keys |= set(line["uses"])
            found = [*line["sections"], *found]
    return list(dict.fromkeys(found))


def _counts(reading: Reading, check: str) -> bool:
    """Whether a check of the sheet is about what was asked."""
    name = check.partition("[")[0]
    only = reading.question.checks if reading.form.checks is None else reading.form.checks
    if name in reading.question.passed_over:
        return False
    return name in only if only or reading.form.checks is not None else True


def _status(reading: Reading, sheet: Sheet) -> Status:
    """The state of what was asked: of the sheet, or of the checks that the question is about."""
    if reading.form.short and _result(sheet, reading.form.short[0]) == reading.form.short[1]:
        return FALLS_SHORT
    if not (reading.question.checks or reading.question.passed_over) and reading.form.checks is None:
        return sheet.status
    checks: list[Status] = [
        PASSES if check.holds.holds else FALLS_SHORT for check in sheet.checks if _counts(reading, check.key)
    ]
    unknown: list[Status] = [NOT_SHOWN for one in sheet.unknowns if _counts(reading, one.key)]
    refused: list[Status] = [sheet.refused.status] if sheet.refused is not None else []
    return worst([*checks, *unknown, *refused] or [PASSES])


def _taken(reading: Reading) -> list[str]:
    """What was taken as given: the defaults that stand, and a value that goes by another name on nameplates."""
    named = [f"{one.text} as {one.value} {one.entry.unit}" for one in reading.said
             if one.kind == "word" and one.entry.unit == "V" and str(one.value) not in one.text]  # fmt: skip
    return [
        *reading.form.taken,
        *named,
        *(
            entry.taken
            for entry in reading.question.entries
            if entry.taken
            and _left_out(entry, reading)
            and (not entry.taken_beside or any(map(reading.has, entry.taken_beside)))
        ),
    ]


def _notes(reading: Reading, sheet: Sheet) -> list[str]:
    """The notes of the sheet beside its numbers, those left out that say no more than the answer does."""
    texts = [sheet.words.entries.get(key, {}).get("text", "") for key in reading.question.quiet]
    quiet = tuple(text.partition("{")[0] for text in texts if text)
    notes = [
        f"{note['kind']}: {note['text']}" if note["kind"] != "choice" else note["text"]
        for note in sheet.as_json()["notes"]
    ]
    return [text for text in notes if not text.startswith(("rule of thumb", *quiet))]
