"""What learners are handed: a paper each, of one question or several, and the small file by which it is marked later."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from anyascii import anyascii

from calc.intake import NotTaken, taken, text_of
from calc.letters import FORMULA
from calc.practice.lesson import Again, Question
from calc.practice.questions import question_of

HANDED = "set.json"
KIND = "file of a class set"
_HEAD = re.compile(r"(?:q(?:uestion)?\s*(\d{1,2})[\s,.:]+)?(?:line\s*)?(.+?)\.?", re.IGNORECASE)


class AnswersError(Exception):
    """A set, or answers to it, can't be used; the message names each file, row, column and heading. Nothing is marked."""


@dataclass(frozen=True)
class Paper:
    """One learner's paper."""

    learner: str
    questions: tuple[Question, ...]

    @cached_property
    def lines(self) -> dict[tuple[int, str], int]:
        """The number on the paper of each line that is asked, by its question and its key."""
        numbered = [{key: each["number"] for key, each in Again(asked).shown.items()} for asked in self.questions]
        return {(at, key): numbered[at][key] for at, asked in enumerate(self.questions) for key in asked.asked}

    @cached_property
    def heads(self) -> dict[tuple[int, str], str]:
        """What each line that is asked is called among answers: 'line 7', or 'Q2 line 7' where there are several questions."""
        several = len(self.questions) > 1
        return {where: f"Q{where[0] + 1} line {number}" if several else f"line {number}"
                for where, number in self.lines.items()}  # fmt: skip

    def place(self, head: str) -> tuple[int, str] | None:
        """The line that a heading means, by number or key; None where this paper has no such line."""
        found = _HEAD.fullmatch(head.strip())
        if found is None or (found[1] is None and len(self.questions) > 1):
            return None
        at, said = int(found[1] or 1) - 1, found[2].strip()
        return next((where for where, number in self.lines.items() if where[0] == at and said in (where[1], str(number))), None)  # fmt: skip


@dataclass(frozen=True)
class Handed:
    """A class set or an exam. AnswersError without a learner, or for a name that no table can hold."""

    title: str
    papers: tuple[Paper, ...]
    hints: bool = False
    points: tuple[int, ...] = ()
    """Of an exam, what each question is worth."""
    minutes: int = 0
    """Of an exam, how long it is to take."""
    note: str = ""
    """What its key tells the teacher."""

    def __post_init__(self) -> None:
        if not self.papers:
            raise AnswersError("a class needs a name at least: 'Ann, Bo, Cy'")
        for name in self.learners:
            if not name.isprintable() or name.startswith(FORMULA):
                raise AnswersError(f"a learner is called {name!r}; allowed: a name of letters and signs on one line that "
                                   f"doesn't begin with {' '.join(FORMULA).strip()}, which a spreadsheet takes for a formula")  # fmt: skip

    @property
    def learners(self) -> list[str]:
        """Who is handed a paper."""
        return [paper.learner for paper in self.papers]

    @property
    def families(self) -> list[str]:
        """What is practised."""
        return list(dict.fromkeys(asked.family for paper in self.papers for asked in paper.questions))

    def paper(self, learner: str) -> Paper:
        """The paper of a learner."""
        return next(paper for paper in self.papers if paper.learner == learner)

    def heads(self) -> list[str]:
        """Every heading that answers may have, as the papers number their lines."""
        places = {(at, number): paper.heads[at, key] for paper in self.papers for (at, key), number in paper.lines.items()}  # fmt: skip
        return [places[at] for at in sorted(places)]

    @cached_property
    def id(self) -> str:
        """What a set is told from others by."""
        return hashlib.sha256(json.dumps(self._said(), sort_keys=True).encode()).hexdigest()[:12]

    def as_json(self) -> str:
        """The set as its file has it."""
        return json.dumps({"schema_version": 1, "what": "class set", **self._said()}, indent=1, ensure_ascii=False)

    def file_names(self) -> Iterator[tuple[Paper, str]]:
        """Each paper with a name for its file, in letters that any machine takes."""
        for number, paper in enumerate(self.papers, 1):
            plain = re.sub(r"[^a-z0-9]+", "-", anyascii(paper.learner).lower()).strip("-")[:40]
            yield paper, f"{number:02}-{plain}".rstrip("-")

    def _said(self) -> dict[str, Any]:
        return {
            "title": self.title, "hints": self.hints, "points": list(self.points), "minutes": self.minutes, "note": self.note,
            "learners": [{"name": paper.learner, "questions": [asked.ref for asked in paper.questions]} for paper in self.papers],
        }  # fmt: skip


def read_handed(folder: Path) -> Handed:
    """The set that was written into a folder. AnswersError where there is none, or its file was changed."""
    path = folder / HANDED if folder.is_dir() else folder
    try:
        said = json.loads(text_of(taken(path, kind=KIND), KIND))
        if said["what"] != "class set" or said["schema_version"] != 1:
            raise ValueError
        papers = tuple(
            Paper(str(each["name"]), tuple(map(question_of, each["questions"]))) for each in said["learners"]
        )
        return Handed(
            str(said["title"]),
            papers,
            bool(said["hints"]),
            tuple(map(int, said["points"])),
            int(said["minutes"]),
            str(said["note"]),
        )
    except NotTaken as error:
        raise AnswersError(f"{path}: {error}; a set is a folder that 'studbay practice class' or 'exam' made") from None
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise AnswersError(f"{path}: is no {KIND}, or was changed") from None


def names_of(said: str) -> list[str]:
    """Learners of a command: names with commas between them, or a text file with one a line."""
    path = Path(said)
    if path.suffix.lower() == ".txt":
        try:
            names: Sequence[str] = text_of(taken(path, kind="list of names")).splitlines()
        except NotTaken as error:
            raise AnswersError(f"{path}: {error}") from None
    else:
        names = said.split(",")
    return list(dict.fromkeys(name.strip() for name in names if name.strip()))
