"""What a crew is handed: the fix list, check lists to tick, a record to fill in. As objects, each with its public form."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from calc.work import Status
from calc.work.plain import Public

Numbers = tuple[str, Sequence[int]]
"""A room or a trade, and the numbers of the fixes that are its."""


@dataclass(frozen=True)
class Item:
    """One thing that does not pass, with the smallest safe change that puts it right."""

    number: int
    grade: int
    """1 for the worst."""
    where: str
    about: str
    what: str
    """What is asked."""
    family: str
    check: str
    """Key of the check on its sheet."""
    status: Status
    there: str
    needed: str
    """What is needed; of what is not shown or not worked, the entry that is missing or the reason."""
    sections: Sequence[str]
    remedy: str
    """'' where no change is proved."""
    others: Sequence[str]
    """Other remedies that do as much."""
    asked: str
    """What to do where no change is proved."""
    trade: str
    along: Sequence[str]
    """What the remedy puts right besides."""
    changes: Mapping[str, Any]
    """The remedy as entries of the job file, by their places."""


@dataclass(frozen=True)
class Grade:
    """Fixes that are equally bad."""

    name: str
    items: Sequence[Item]


@dataclass(frozen=True)
class FixList(Public):
    """What in a job's scope does not pass, worst first."""

    title: str
    subject: str
    edition: str
    status: Status
    verdict: str
    intro: str
    closing: str
    """What the job comes to with the first remedy of each made."""
    to_confirm: Sequence[str]
    """Entries that look like a slip."""
    groups: Sequence[Grade]
    by_room: Sequence[Numbers]
    by_trade: Sequence[Numbers]
    schema_version: Literal[2] = field(default=2, init=False)
    part: Literal["fixes"] = field(default="fixes", init=False)


@dataclass(frozen=True)
class Question:
    """One thing to look at and tick, or one that was found before."""

    text: str
    about: str = ""
    standing: str = ""
    """Who asks for it: the code, the inspector, good practice."""
    sections: Sequence[str] = ()
    mark: str = ""
    """How sure the rule is, where that is to be said."""
    details: Sequence[tuple[str, str]] = ()
    """Labels with their texts: who found it and when, who mended it."""
    done: bool = False
    where: str = ""
    """The place of a finding; a question has that of its group."""


@dataclass(frozen=True)
class Questions:
    """The questions of one place, or the findings of one kind."""

    name: str
    items: Sequence[Question]


@dataclass(frozen=True)
class Checklist(Public):
    """A walk sheet of one inspection stage, or what was found on earlier walks."""

    part: Literal["stage", "findings"]
    title: str
    subject: str
    intro: str
    groups: Sequence[Questions]
    stage: str = ""
    schema_version: Literal[2] = field(default=2, init=False)


@dataclass(frozen=True)
class Rows:
    """The rows of one panel."""

    name: str
    rows: Sequence[Sequence[str]]
    where: str = ""
    """The place that the panel stands at."""


@dataclass(frozen=True)
class Record(Public):
    """A record to fill in by hand, or what stands in each space of the panels, to read."""

    title: str
    subject: str
    intro: str
    columns: Sequence[str]
    groups: Sequence[Rows]
    part: Literal["record", "panels"] = "record"
    schema_version: Literal[2] = field(default=2, init=False)
