"""How a job stands: every sheet in its scope, what each comes to, and the verdict of the whole."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from typing_extensions import TypedDict

from calc.families import families
from calc.job import Job, Notice, field_info, notices, proposals
from calc.job.model import part_at
from calc.verdict.proposed import sheets_of, waiting, without_proposals
from calc.verdict.scope import Item, Scope, scope_of
from calc.wiring.house import House, remembered
from calc.wiring.reading import blank_sheet
from calc.work import FALLS_SHORT, PASSES, STATUSES, Check, Missing, Sheet, Status, worst
from calc.work.printing import leaves

BY_LADDER = ("attic", "crawl-space")
"""Places of a house to which no stair need lead."""


class ItemForm(TypedDict):
    """An item of the scope with what it comes to."""

    title: str
    status: Status
    says: str


class OpenForm(TypedDict):
    """One thing in the scope that does not pass."""

    family: str
    about: str
    status: Status
    what: str
    at: str
    """Place of the entry that is missing, or that what falls short rests on; '' where there is none."""


class NoticeForm(TypedDict):
    """An entry that looks like a slip."""

    text: str
    at: str


class VerdictForm(TypedDict):
    """How a job stands: the one verdict that every command and page gives."""

    schema_version: Literal[1]
    scope: list[str]
    stated: bool
    """Whether the job says itself what it covers."""
    status: Status
    verdict: str
    items: list[ItemForm]
    open: list[OpenForm]
    """What does not pass, worst first."""
    outside: list[str]
    """The calculations that nothing is claimed about."""
    to_confirm: list[NoticeForm]


@dataclass(frozen=True)
class Open:
    """One thing in the scope that does not pass: what it is about, what it comes to, and why."""

    family: str
    about: str
    status: Status
    what: str
    at: str = ""

    def as_json(self) -> OpenForm:
        """Its public form."""
        return {"family": self.family, "about": self.about, "status": self.status, "what": self.what, "at": self.at}


@dataclass(frozen=True)
class Standing:
    """A job with the sheets of its scope, by family, in the order of the packet."""

    job: Job
    scope: Scope
    sheets: Mapping[str, list[Sheet]]
    of_the_house: tuple[str, ...] = ()
    """Calculations of which something is in scope, and what they ask of the house as a whole is not."""

    @cached_property
    def status(self) -> Status:
        """The verdict of the whole: passes only where everything in scope is worked and passes."""
        found = [s.status for sheets in self.sheets.values() for s in sheets]
        return worst(found) if found else "not shown"

    @property
    def passes(self) -> bool:
        """Whether everything in scope is worked and passes."""
        return self.status == PASSES

    @cached_property
    def open(self) -> list[Open]:
        """What does not pass, worst first, then in the order of the sheets."""
        found = [each for family, sheets in self.sheets.items() for s in sheets for each in opened(family, s)]
        return sorted(found, key=lambda each: STATUSES.index(each.status))

    @property
    def verdict(self) -> str:
        """'House: 2 fall short, 1 not shown', 'Load calculation: passes'."""
        return f"{self.scope.title}: {self.counted}"

    @property
    def counted(self) -> str:
        """'passes', or how many fall short, are not worked and are not shown."""
        return _counted([each.status for each in self.open], self.status)

    @cached_property
    def of_each(self) -> list[tuple[Item, Status, str]]:
        """Each item of the scope with what it comes to, and that in words."""
        found = []
        for item in self.scope.items:
            mine = [(f, s) for f, sheets in self.sheets.items() for s in sheets if item.covers(f, s)]
            status: Status = worst(s.status for _, s in mine) if mine else "not shown"
            states = [each.status for f, s in mine for each in opened(f, s)]
            found.append((item, status, _counted(states, status)))
        return found

    @cached_property
    def odd(self) -> list[Notice]:
        """The entries that look like a slip and that nobody has confirmed; they decide nothing."""
        return [each for each in notices(self.job) if not each.confirmed]

    @property
    def outside(self) -> list[str]:
        """The calculations that nothing is claimed about, by title."""
        return [
            *(family.TITLE for name, family in families().items() if not self.sheets.get(name)),
            *(f"{families()[name].TITLE} that the house as a whole needs" for name in self.of_the_house),
        ]

    def as_json(self) -> VerdictForm:
        """The verdict in its public form."""
        return {
            "schema_version": 1,
            "scope": [item.title for item in self.scope.items],
            "stated": self.scope.stated,
            "status": self.status,
            "verdict": self.verdict,
            "items": [
                {"title": item.title, "status": status, "says": says} for item, status, says in self.of_each
            ],
            "open": [each.as_json() for each in self.open],
            "outside": self.outside,
            "to_confirm": [{"text": str(each), "at": each.at} for each in self.odd],
        }  # fmt: skip


def standing(house: House) -> Standing:
    """Work everything in the job's scope. JobError where the scope names something unknown."""
    scope = scope_of(house.whole_job)
    sheets = {name: in_scope(house, scope, name) for name in families()}
    return Standing(
        house.whole_job, scope, sheets, tuple(name for name in sheets if _house_left_out(house, scope, name))
    )


def _house_left_out(house: House, scope: Scope, name: str) -> bool:
    """Whether the scope takes something of a calculation, and not its sheet about the whole house."""
    if name not in scope.calculations or families()[name].needs(house.job):
        return False
    of_all = [s for s in families()[name].work(house) if s.subject == house.job.job.name]
    return any(not scope.covers(name, s) for s in of_all)


@remembered
def in_scope(house: House, scope: Scope, name: str) -> list[Sheet]:
    """The sheets of one family that the scope covers; one that is not shown where the job has no part for it."""
    family = families()[name]
    asking = [item for item in scope.items if name in item.asks]
    if name not in scope.calculations:
        return []
    missing = family.needs(house.job)
    sheets = [] if missing else [s for s in sheets_of(house, name) if scope.covers(name, s)]
    for item in asking:
        if not any(item.covers(name, s) for s in sheets):
            sheets.append(_not_shown(house, name, item, missing))
        elif lacking := [*_parts_lacking(house.job, item, name), *_rooms_lacking(house.job, item, name)]:
            sheets.append(_not_shown(house, name, item, [what for what, _ in lacking], lacking[0][1]))
    return [*sheets, *_still_open(house, scope, name, sheets)]


def _still_open(house: House, scope: Scope, name: str, sheets: list[Sheet]) -> list[Sheet]:
    """What would not pass without the proposed entries, and with them is not even asked for."""
    bare = without_proposals(house)
    if bare is None:
        return []
    there = {(s.title, s.subject) for s in sheets}
    gone = [s for s in in_scope(bare, scope, name) if s.status != PASSES and (s.title, s.subject) not in there]
    found = house.told(proposals)
    blank = [blank_sheet(name, s.title, s.subject, house.code) for s in gone]
    return [waiting(s, found) for s in blank]


def _parts_lacking(job: Job, item: Item, name: str) -> list[tuple[str, str]]:
    """(in words, place) of the parts that the item covers and the job hasn't."""
    return [
        (f"{f'[[{key}]]' if part_at(key)[1] else f'[{key}]'}, {field_info(Job, key).help}", key)
        for key in item.parts.get(name, ()) if not getattr(job, key)
    ]  # fmt: skip


def _rooms_lacking(job: Job, item: Item, name: str) -> list[tuple[str, str]]:
    """(in words, place) of the rooms that every dwelling has, and of the stairs between storeys, that nobody entered."""
    always, live = item.rooms.get(name, ()), [room for room in job.rooms if room.status != "removed"]
    there = {room.use for room in live}
    lacking = [(f"[[rooms]] of use {' or '.join(uses)}", "rooms") for uses in always if not there & set(uses)]
    storeys = {room.storey for room in live if room.storey and room.building is None and room.use not in BY_LADDER}
    if always and len(storeys) > 1 and not job.stairs:
        lacking.append(("[[stairs]] between its storeys", "stairs"))
    return lacking


def _not_shown(house: House, name: str, item: Item, missing: list[str], at: str = "") -> Sheet:
    """The place of a calculation that the scope asks for and the job has no part for."""
    title = families()[name].TITLE
    s = blank_sheet(name, title, house.job.job.name if item.about is None else item.title, house.code)
    wanted = "; ".join(missing) or f"something of {item.title} to work here"
    s.refused = Missing(f"{title}: the job covers it and has no part for it yet. It needs {wanted}.", at=at)
    return s


def opened(family: str, sheet: Sheet) -> list[Open]:
    """What of one sheet does not pass."""
    about = sheet.subject
    found = [
        Open(family, about, FALLS_SHORT, check.name, _entry_of(sheet, check))
        for check in sheet.checks
        if not check.holds.holds
    ]
    if sheet.refused is not None:
        at = sheet.refused.at if isinstance(sheet.refused, Missing) else ""
        found.append(Open(family, about, sheet.refused.status, sheet.refused.reason, at))
    return found + [Open(family, about, "not shown", f"{u.name}: {u.missing}", u.at) for u in sheet.unknowns]


def _entry_of(sheet: Sheet, check: Check) -> str:
    """Place of the entry that a check rests on first: what is provided, else what is required; '' where none is."""
    lines = {line.key: line for line in sheet.lines}
    left = [check.holds.left, check.holds.right]
    while left:
        for leaf in leaves(left.pop(0)):
            if leaf.origin == "given" and re.split(r"[.\[]", leaf.at)[0] in Job.model_fields:
                return leaf.at.partition(",")[0]
            if leaf.origin == "line" and (line := lines.pop(leaf.at, None)) is not None:
                left += [line.made] if line.made is not None else []
                left += [side for pair in line.compared for side in (pair.left, pair.right)]
                left += line.lookup.chosen_by if line.lookup is not None else ()
    return ""


def _counted(states: list[Status], status: Status) -> str:
    """How many of each state, worst first; the state alone where nothing is counted."""
    many = {state: states.count(state) for state in STATUSES}
    said = [f"{count} {'fall short' if state == FALLS_SHORT and count > 1 else 'falls short' if state == FALLS_SHORT else state}"
            for state, count in many.items() if count]  # fmt: skip
    return ", ".join(said) or status


def standing_text(stands: Standing) -> str:
    """How a job stands, for the terminal: what is covered, each calculation, each entry that is missing, the verdict."""
    covers = ", ".join(item.title for item in stands.scope.items) or "nothing: the job has no part that can be worked"
    said = "as [scope] says" if stands.scope.stated else "by what was entered; [scope] covers = [...] says it"
    out = [f"Scope: {covers} ({said})."]
    for name, sheets in stands.sheets.items():
        if sheets:
            out.append(f"{families()[name].TITLE}: {_of_sheets(name, sheets)}")
            out += [line for s in sheets for line in _open_lines(name, s)]
    out += [f"To be confirmed: {each} ({each.at})" for each in stands.odd]
    out += [_outside(name, stands.job) for name in families() if not stands.sheets.get(name)]
    return "\n".join([*out, "", f"{stands.verdict}."]) + "\n"


def _open_lines(name: str, sheet: Sheet) -> list[str]:
    """What of a sheet does not pass, a line each: its state, what it is about, what is there and needed, and the entry."""
    found = opened(name, sheet)
    texts = [check["text"] for check in sheet.as_json()["checks"] if not check["passes"]] if found else []
    says = [*(f": {text}" for text in texts), *("" for _ in found[len(texts) :])]
    return [f"   {each.status}: {each.about}: {each.what}{said}{f' ({each.at})' if each.at else ''}"
            for each, said in zip(found, says, strict=True)]  # fmt: skip


def _outside(name: str, job: Job) -> str:
    """A calculation that nothing is claimed of, and what it would take."""
    missing = families()[name].needs(job)
    return f"{families()[name].TITLE}: outside the scope" + (f"; it needs {'; '.join(missing)}" if missing else "")


def _of_sheets(name: str, sheets: list[Sheet]) -> str:
    states = [each.status for s in sheets for each in opened(name, s)]
    return _counted(states, worst(s.status for s in sheets))
