"""The answer: a small job made of what was asked, worked by its family, and the lines of its sheet that are the answer."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from importlib import import_module
from typing import Any

from calc.job import SIZES, Job, JobError, parse_size
from calc.job.edit import with_changes
from calc.job.places import value_at
from calc.job.read import make_job
from calc.quick.question import Entry
from calc.quick.reading import NotUnderstood, Reading
from calc.wiring.house import House
from calc.work import FALLS_SHORT, NOT_SHOWN, PASSES, Sheet, Status, worst

NAME = "Quick question"
_BLANK = re.compile(r"\{(\w+)\}")


@dataclass(frozen=True)
class Answer:
    """What a question came to: one line with its number, the sections that it rests on, and what decides; then what was
    taken as given and what was not checked. `sheet` and `job` are what it was read off and what was worked."""

    reading: Reading
    line: str
    sections: tuple[str, ...]
    decides: str
    taken: tuple[str, ...]
    unchecked: tuple[str, ...]
    status: Status
    sheet: Sheet
    job: Job
    edition: str

    def as_json(self) -> dict[str, Any]:
        """The answer for machines, with its sheet."""
        return {
            "question": self.reading.question.name,
            "read": {one.entry.name: one.text for one in self.reading.said},
            "answer": self.line,
            "sections": list(self.sections),
            "decides": self.decides,
            "taken": list(self.taken),
            "unchecked": list(self.unchecked),
            "status": self.status,
            "edition": self.edition,
            "sheet": self.sheet.as_json(),
        }


def answered(reading: Reading, edition: str) -> Answer:
    """Work the question. NotUnderstood where what was said can't be so."""
    data = job_data(reading, edition)
    house = House.of(_job(reading, data))
    sheet = _worked(house, reading)
    for at, said in reading.form.found:
        found = _found(sheet, said)
        if found is not None:
            data = with_changes(data, {at: found})
            house = House.of(_job(reading, data))
            sheet = _worked(house, reading)
    return _told(reading, house, sheet)


def job_data(reading: Reading, edition: str) -> dict[str, Any]:
    """The data of the small job that a question makes."""
    data: dict[str, Any] = {"code": {"edition": edition}, "job": {"name": NAME}, **reading.question.template}
    kinds = {one.kind for one in reading.said}
    changes: dict[str, Any] = {}
    for entry in reading.question.entries:
        said = [one for one in reading.said if one.entry is entry]
        if not said and _defaults(entry, reading, kinds):
            changes |= _put(entry, entry.place, entry.default)
        for one in said:
            changes |= _put(
                entry,
                entry.at.get(one.kind, entry.at.get("size" if one.kind == "bare size" else "", entry.place)),
                one.value,
            )
    return with_changes(data, changes | dict(reading.form.trial))


def _put(entry: Entry, at: str, value: Any) -> dict[str, Any]:
    if isinstance(value, Mapping):
        return dict(value)
    return {at: [value] if entry.many else value}


def _defaults(entry: Entry, reading: Reading, kinds: set[str]) -> bool:
    return entry.default is not None and not (
        set(entry.unless) & kinds or any(reading.has(name) for name in entry.unless)
    )


def _job(reading: Reading, data: dict[str, Any]) -> Job:
    try:
        return make_job(data, reading.question.name)
    except JobError as error:
        said = "; ".join(dict.fromkeys(
            ": ".join(p for p in (_entry_at(reading, problem.at), "; ".join(
                part for part in (problem.read, problem.allowed and f"allowed: {problem.allowed}", problem.hint) if part)) if p)
            for problem in error.problems))  # fmt: skip
        raise NotUnderstood(said, str(reading), reading.question.example) from None


def _entry_at(reading: Reading, at: str) -> str:
    return next((entry.name for entry in reading.question.entries if at in entry.at.values()), at)


def _worked(house: House, reading: Reading) -> Sheet:
    family = import_module(f"calc.families.{reading.question.family.replace('-', '_')}")
    if missing := family.needs(house.job):
        raise NotUnderstood(
            f"{reading.question.name} needs {'; '.join(missing)}", str(reading), reading.question.example
        )
    sheets: list[Sheet] = family.work(house)
    subject = reading.question.subject
    return next((sheet for sheet in sheets if sheet.subject == subject), sheets[-1])


def _found(sheet: Sheet, said: str) -> Any:
    """What a line of the sheet found, as an entry of the job: 'whole KEY' a number rounded down, 'size KEY KEY' the larger."""
    how, *keys = said.split()
    known = {line.key: line for line in sheet.lines}
    if how == "size":
        texts = [_result(sheet, key) for key in keys]
        sizes = [parse_size(text.partition(" ")[0]) for text in texts if re.match(r"\S+ (?:AWG|kcmil)", text)]
        return max(sizes, key=SIZES.index, default=None)
    if keys[0] not in known:
        return None
    if how == "whole":
        return math.floor(float(sheet[keys[0]]))
    return _result(sheet, keys[0])


def _result(sheet: Sheet, key: str) -> str:
    return str(next((line["result"] for line in sheet.as_json()["lines"] if line["key"].partition("[")[0] == key), ""))


def _told(reading: Reading, house: House, sheet: Sheet) -> Answer:
    from calc.quick import deciding

    form, made = reading.form, sheet.as_json()
    status = _status(reading, sheet)
    shown = _shown(reading, house)
    results: dict[str, Mapping[str, Any]] = {line["key"].partition("[")[0]: line for line in reversed(made["lines"])}
    keys = [key for text in (form.text, form.decides) for key in _BLANK.findall(text)]
    absent = [key for key in keys if key not in results and key not in shown]
    if sheet.refused is not None and absent:
        line, sections = f"{sheet.status}: {sheet.refused.reason}", [c.section for c in sheet.refused.cites]
        decides = ""
    else:

        def filled(text: str) -> str:
            return _BLANK.sub(lambda m: shown.get(m[1]) or str(results.get(m[1], {}).get("result", "")), text)

        line = filled(form.text)
        decides = filled(form.decides) or (getattr(deciding, form.by)(reading, house, sheet) if form.by else "")
        sections = _sections(made["lines"], {key for key in keys if key in results})
    for check in made["checks"]:
        if not check["passes"] and _counts(reading, check["key"]):
            line += f"; falls short: {check['name']}, {check['text']}" + (
                f"; to correct it: {check['remedy']}" if check["remedy"] else ""
            )
            sections += check["sections"]
    return Answer(
        reading, line, tuple(dict.fromkeys(sections)), decides, tuple(_taken(reading, sheet)), reading.question.unchecked, status, sheet,
        house.whole_job, house.code.edition,
    )  # fmt: skip


def _shown(reading: Reading, house: House) -> dict[str, str]:
    """What was said, by entry; of what was found, the value that it has in the job."""
    shown = {one.entry.name: one.shown for one in reading.said}
    for at, _ in reading.form.found:
        entry = next((e for e in reading.question.entries if at in e.at.values()), None)
        if entry is not None:
            shown[entry.name] = (
                f"{value_at(house.whole_job, at):g} {entry.unit}" if entry.unit else str(value_at(house.whole_job, at))
            )
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
    only = reading.question.checks
    return not only or check.partition("[")[0] in only


def _status(reading: Reading, sheet: Sheet) -> Status:
    """The state of what was asked: of the sheet, or of the checks that the question is about."""
    if reading.form.short and _result(sheet, reading.form.short[0]) == reading.form.short[1]:
        return FALLS_SHORT
    if not reading.question.checks:
        return sheet.status
    checks: list[Status] = [
        PASSES if check.holds.holds else FALLS_SHORT for check in sheet.checks if _counts(reading, check.key)
    ]
    unknown: list[Status] = [NOT_SHOWN for one in sheet.unknowns if _counts(reading, one.key)]
    refused: list[Status] = [sheet.refused.status] if sheet.refused is not None else []
    return worst([*checks, *unknown, *refused] or [PASSES])


def _taken(reading: Reading, sheet: Sheet) -> list[str]:
    kinds = {one.kind for one in reading.said}
    entries = [
        e for e in reading.question.entries if not reading.has(e.name) and e.taken and _defaults(e, reading, kinds)
    ]
    return [entry.taken for entry in entries]
