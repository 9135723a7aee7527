"""What sheets are about: the chapters of an annex, and in each the subjects with their sheets."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

import tomli

Json = dict[str, Any]

_CODED = re.compile(r"([A-Z]{1,3}-?\d+[a-z]?)[,:]? +(\S.*)")
"""A subject that begins with its own short name, as 'R4 vehicle supply' does."""


@dataclass(frozen=True)
class Chapter:
    """Sheets of one kind of subject: its title, what one subject is called, and those that go by their name alone."""

    title: str
    noun: str = ""
    bare: tuple[str, ...] = ()
    sheets: tuple[str, ...] = ()

    def takes(self, sheet: Json) -> bool:
        """Whether a sheet belongs here."""
        return any(each in (sheet["family"], f"{sheet['family']}: {kind_of(sheet)}") for each in self.sheets)

    def heading(self, subject: str, sheets: list[Json], job: str) -> str:
        """What stands over a subject: 'Run R4: vehicle supply'; over a sheet about the whole job, its title."""
        coded = _CODED.fullmatch(subject)
        if not subject or subject == job:
            return str(sheets[0]["title"])
        if subject in self.bare:
            return subject
        if not self.noun:
            return f"{sheets[0]['title']}: {subject}"
        return f"{self.noun} {coded[1]}: {coded[2]}" if coded else f"{self.noun}: {subject}"


@dataclass
class Subject:
    """Something that sheets are about, with the places of its sheets in the order shown."""

    name: str
    sheets: list[int] = field(default_factory=list)


@cache
def _file() -> Json:
    with (Path(__file__).parent / "subjects.toml").open("rb") as file:
        return tomli.load(file)


def said_as(title: str) -> list[str]:
    """Under which titles the permit set says all that a table of a notebook says."""
    return list(_file()["said_as"].get(title, ()))


@cache
def _chapters() -> tuple[Chapter, ...]:
    rows = _file()["chapter"]
    return tuple(
        Chapter(row["title"], row.get("noun", ""), tuple(row.get("bare", ())), tuple(row["sheets"])) for row in rows
    )


def kind_of(sheet: Json) -> str:
    """A sheet's title without the manner: 'Conductors' of 'Conductors, branch'. Sheets of one kind are worked alike."""
    return str(sheet["title"]).partition(",")[0]


def chapter_of(sheet: Json) -> Chapter:
    """The chapter that a sheet belongs to."""
    found = next((chapter for chapter in _chapters() if chapter.takes(sheet)), None)
    return found or Chapter(kind_of(sheet))


def by_subject(sheets: Iterable[Json], job: str) -> list[tuple[Chapter, list[Subject]]]:
    """Chapters in their order, each with its subjects as they first come up; a sheet about the whole job stands alone."""
    order = {chapter.title: place for place, chapter in enumerate(_chapters())}
    found: dict[Chapter, dict[tuple[str, str], Subject]] = {}
    for place, sheet in enumerate(sheets):
        chapter, name = chapter_of(sheet), sheet["subject"]
        alone = "" if chapter.noun and name not in ("", job) else sheet["title"]
        found.setdefault(chapter, {}).setdefault((name, alone), Subject(name)).sheets.append(place)
    return [(chapter, list(found[chapter].values()))
            for chapter in sorted(found, key=lambda chapter: order.get(chapter.title, len(order)))]  # fmt: skip
