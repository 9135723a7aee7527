"""A family worked again with one entry of the job changed, or under another edition, beside how it stands now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

from calc.codebook import CodebookError, editions
from calc.families import Family
from calc.job import Job, JobError, changed
from calc.job.fields import FieldFacts, field_info
from calc.job.forms import Group
from calc.job.model import field_at, part_at
from calc.job.places import value_at
from calc.job.texts import as_text, from_text, is_list
from calc.show.entries import spread
from calc.verdict.proposed import sheets_of
from calc.wiring.house import House
from calc.work import FALLS_SHORT, NOT_SHOWN, PASSES, Sheet, loud
from calc.work.forms import GivenForm
from calc.work.table import Table, columns, figures

MOST_ROWS = 60


@dataclass(frozen=True)
class Given:
    """An entry of the job that can be tried with another value: a number in its range, or one of its choices."""

    at: str
    name: str
    title: str
    unit: str
    value: Any
    choices: tuple[str, ...] = ()
    low: float = 0
    high: float = 0
    step: float = 1

    def as_json(self) -> dict[str, Any]:
        """For the page."""
        return {**asdict(self), "value": as_text(self.value)}


def givens(job: Job, sheet: Sheet, groups: Sequence[Group]) -> list[Given]:
    """What the sheet rests on: its numbers from the job file, then the choices of its entry and of the job."""
    numbers = [_number(given) for given in sheet.as_json()["givens"]]
    return [given for given in numbers if given is not None] + _choices(job, sheet, groups)


def _facts(at: str) -> FieldFacts | None:
    try:
        return field_info(*field_at(at))
    except KeyError:  # carried from another sheet
        return None


def _number(given: GivenForm) -> Given | None:
    facts, now = _facts(given["at"]), float(given["value"])
    if facts is None or is_list(facts) or facts.choices:
        return None
    low = max(now / 2 if now else 0, facts.least if facts.least is not None else 0)
    high = min(now * 2 if now else 10, facts.most if facts.most is not None else now * 2)
    step = 1.0 if facts.kind == "whole number" or high - low > 50 else 0.1 if high - low > 1 else 0.01
    title = f"{given['name']}, now {given['text']}"
    return Given(given["at"], given["name"], title, facts.unit, now, (), low, high, step)


def _choices(job: Job, sheet: Sheet, groups: Sequence[Group]) -> list[Given]:
    found = [_choice(job, "code.edition", "")]
    for at, names in spread(groups):
        if at in ("code", "job") or "." in at:
            continue
        if part_at(at)[1]:
            entries = enumerate(value_at(job.data, at) or [], 1)
            fronts = [(f"{at}[{n}]", sheet.subject) for n, e in entries if e.get("name") == sheet.subject]
        else:
            fronts = [(at, "")] if value_at(job.data, at) else []
        found += [_choice(job, f"{front}.{name}", of) for front, of in fronts for name in names]
    return [given for given in found if given is not None]


def _choice(job: Job, at: str, of: str) -> Given | None:
    facts, value = _facts(at), value_at(job.data, at)
    if facts is None or not facts.choices or is_list(facts):
        return None
    now = facts.default if value is None else value
    name = facts.title.lower() + (f" of {of}" if of else "")
    title = f"{name}, now {as_text(now) or 'not given'}"
    return Given(at, name, title, "", now, tuple(str(choice) for choice in facts.choices))


def tried(house: House, family: Family, now: Sequence[Sheet], at: str, text: str) -> Table:
    """A row for each line and check that would say something else, now and then."""
    notes: list[str] = []
    rows: list[list[str]] = []
    try:
        changes = {at: from_text(text, *field_at(at))}
        if at == "code.edition" and text != house.job.code.edition:
            changes["code.amendments"] = None  # written for the adopted edition alone
        other = changed(house.whole_job, changes)
        then = [] if family.needs(other) else sheets_of(house.after(other), family.FAMILY)
        rows = _differences(now, then)
    except (JobError, CodebookError) as error:
        notes = [p.read + (f"; allowed: {p.allowed}" if p.allowed else "") for p in error.problems] if isinstance(
            error, JobError) else [str(error)]  # fmt: skip
    if len(rows) > MOST_ROWS:
        notes.append(f"and {len(rows) - MOST_ROWS} more")
    intro = "" if rows or notes else "Nothing would change."
    headings = columns("Sheet", "Line", "Now", "Then", right=(2, 3))
    if len({row[0] for row in rows}) < 2:
        headings, rows = headings[1:], [row[1:] for row in rows]
    return Table(title="Worked again", intro=intro, columns=headings, rows=rows[:MOST_ROWS], notes=notes)


def _differences(now: Sequence[Sheet], then: Sequence[Sheet]) -> list[list[str]]:
    before = {(sheet.title, sheet.subject): sheet for sheet in now}
    rows = []
    for sheet in then:
        said, new = _said(before.get((sheet.title, sheet.subject))), _said(sheet)
        for key, (name, _) in {**said, **new}.items():
            old, now_says = said.get(key, ("", "-"))[1], new.get(key, ("", "-"))[1]
            if old != now_says:
                rows.append([f"{sheet.title}, {sheet.subject}", name, old, now_says])
    return rows


def _said(sheet: Sheet | None) -> dict[str, tuple[str, str]]:
    """Name and result of each line and check, and why a sheet is refused."""
    if sheet is None:
        return {}
    data = sheet.as_json()
    said = {line["key"]: (line["name"], str(line["result"])) for line in data["lines"]}
    said |= {c["key"]: (c["name"], loud(PASSES if c["passes"] else FALLS_SHORT)) for c in data["checks"]}
    said |= {u["key"]: (u["name"], f"{loud(NOT_SHOWN)}: {u['missing']}") for u in data["not_shown"]}
    if data["refused"]:
        said["refused"] = (data["status"], data["refused"]["reason"])
    return said


def by_edition(job: Job, family: Family, sheet: Sheet) -> Table:
    """One sheet under each edition: the lines that are not the same under all."""
    said: dict[str, dict[str, tuple[str, str]]] = {}
    for edition in editions():
        found = sheets_of(House.of(job, edition), family.FAMILY)
        same = (s for s in found if (s.title, s.subject) == (sheet.title, sheet.subject))
        said[edition] = _said(next(same, None))
    names = {key: name for lines in said.values() for key, (name, _) in lines.items()}
    rows = [[name, *(lines.get(key, ("", "-"))[1] for lines in said.values())] for key, name in names.items()]
    rows = [row for row in rows if len(set(row[1:])) > 1]
    return Table(
        title=f"{sheet.title} by edition",
        intro=f"{sheet.subject}. The adopted edition decides; local amendments are in force only there."
        if rows
        else f"{sheet.subject}. No line differs between the editions.",
        columns=figures("Line", *said),
        rows=rows,
    )
