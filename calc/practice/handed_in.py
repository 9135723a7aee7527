"""What learners hand in: tables, CSV or XLSX, and the files that their phones send; all of it can be used, or none is.

A table has a row a learner and a column a line, headed by its number on the paper or its key; a row without an answer was not
handed in. A phone's file is one such row, with the hints that were looked at.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from itertools import zip_longest
from pathlib import Path
from typing import Any

from calc.intake import NotTaken, taken, text_of
from calc.job import JobError
from calc.job.grid import letters, read_grid
from calc.practice.papers import AnswersError, Handed, Paper
from calc.practice.tutor import COSTS

LEARNER = "learner"
SENT = "practice answers"
KIND = "file that a learner's phone sent"
SHOWN = 40  # of a heading that is no line
Place = tuple[int, str]
"""A line of a paper: which question, and the line's key."""


@dataclass
class HandedIn:
    """What one learner handed in."""

    learner: str
    answers: dict[Place, str] = field(default_factory=dict)
    hints: dict[Place, int] = field(default_factory=dict)


@dataclass(frozen=True)
class _Row:
    """A learner's answers as a file has them, by heading; ``where`` names a heading's cell."""

    learner: str
    said: Mapping[str, str]
    at: str
    cells: Mapping[str, str]
    hints: Mapping[str, int] = field(default_factory=dict)
    set_id: str = ""


def handed_in(handed: Handed, files: Sequence[Path]) -> dict[str, HandedIn]:
    """Each learner's answers, out of files of any kind. AnswersError names everything in them that fits nobody."""
    troubles: list[str] = []
    rows = [row for file in files for row in _rows(file, handed.papers, troubles)]
    found: dict[str, HandedIn] = {}
    seen: dict[str, str] = {}
    for row in rows:
        if row.set_id not in ("", handed.id):
            troubles.append(f"{row.at}: was made for another set than this one, '{handed.title}'")
        elif row.learner not in handed.learners:
            troubles.append(
                f"{row.at}: '{row.learner[:SHOWN]}' is not in this class; there are {', '.join(handed.learners)}"
            )
        elif row.learner in seen:
            troubles.append(
                f"{row.at}: '{row.learner}' is there twice, in {seen[row.learner]} too; leave one of them out"
            )
        else:
            seen[row.learner] = row.at
            found[row.learner] = _placed(row, handed.paper(row.learner), troubles)
    _none(troubles)
    return found


def of_paper(paper: Paper, file: Path) -> dict[str, HandedIn]:
    """The answers to one paper, of whoever is in the file. AnswersError as above."""
    troubles: list[str] = []
    found: dict[str, HandedIn] = {}
    for row in _rows(file, (paper,), troubles):
        if row.set_id:
            troubles.append(
                f"{row.at}: was sent for a class's set; 'studbay practice mark FOLDER {file.name}' marks it"
            )
        if row.learner in found:
            troubles.append(f"{row.at}: '{row.learner}' is there twice")
        found[row.learner] = _placed(row, paper, troubles)
    _none(troubles)
    return found


def _none(troubles: Sequence[str]) -> None:
    if troubles:
        raise AnswersError("\n".join([*dict.fromkeys(troubles), "Nothing was marked."]))


def _placed(row: _Row, paper: Paper, troubles: list[str]) -> HandedIn:
    """A row by the lines of this learner's own paper."""
    made = HandedIn(row.learner)
    for head, answer in row.said.items():
        where = paper.place(head)
        if where is None:
            troubles.append(f"{row.cells[head]}: the paper of '{row.learner}' asks no {head[:SHOWN]!r}")
        elif where in made.answers:
            troubles.append(f"{row.cells[head]}: answers {paper.heads[where]} a second time")
        else:
            made.answers[where] = answer
    for head, used in row.hints.items():
        if where := paper.place(head):
            made.hints[where] = used
    return made


def _rows(file: Path, papers: Sequence[Paper], troubles: list[str]) -> Iterator[_Row]:
    try:
        yield from [_sent(file)] if file.suffix.lower() in (".json", ".txt") else _tabled(file, papers, troubles)
    except JobError as error:
        troubles += map(str, error.problems)
    except AnswersError as error:
        troubles.append(str(error))


def _tabled(file: Path, papers: Sequence[Paper], troubles: list[str]) -> Iterator[_Row]:
    rows = read_grid(file, "answers").rows
    heads = [head.strip() for head in rows[0][1]] if rows else []
    if LEARNER not in heads or len(rows) < 2:
        raise AnswersError(
            f"{file.name}: needs a first row of headings with '{LEARNER}' and the lines' numbers or keys"
        )
    known = list(dict.fromkeys(name for paper in papers for (_, key), head in paper.heads.items() for name in (head, key)))  # fmt: skip
    for at, head in enumerate(heads, 1):
        if head and head in heads[: at - 1]:
            troubles.append(f"{file.name}, column {letters(at)}: heading '{head[:SHOWN]}' is there twice")
        elif head not in ("", LEARNER) and not any(paper.place(head) for paper in papers):
            near = ", ".join(get_close_matches(head, known, 3) or known[:3])
            troubles.append(f"{file.name}, column {letters(at)}: heading '{head[:SHOWN]}' is no line that is asked; nearest: {near}")  # fmt: skip
    if troubles:
        return
    empty = True
    for number, cells in rows[1:]:
        where = f"{file.name}, row {number}"
        if len(cells) > len(heads):
            troubles.append(f"{where}: has more cells than there are headings")
            continue
        filled = [(at, head, cell) for at, (head, cell) in enumerate(zip_longest(heads, cells, fillvalue=""), 1)]
        said = {head: cell for _, head, cell in filled if head not in ("", LEARNER) and cell.strip()}
        learner = next(cell for _, head, cell in filled if head == LEARNER).strip()
        stray = [at for at, head, cell in filled if not head and cell.strip()]
        if stray:
            troubles.append(f"{where}, column {letters(stray[0])}: has an answer and no heading")
        if said:
            empty = False
            yield _Row(learner, said, where, {head: f"{where}, column {letters(at)}" for at, head, _ in filled})
    if empty and not troubles:
        troubles.append(f"{file.name}: holds no answer")


def _sent(file: Path) -> _Row:
    """What a phone sent."""
    try:
        said = json.loads(text_of(taken(file, kind=KIND)))
        right = isinstance(said, dict) and said.get("what") == SENT and said.get("schema_version") == 1
    except NotTaken as error:
        raise AnswersError(f"{file.name}: {error}") from None
    except (ValueError, RecursionError):
        right = False
    if not right:
        raise AnswersError(f"{file.name}: is no {KIND}; the page's button 'Send back' makes one")
    for name in (LEARNER, "set"):
        if not isinstance(said.get(name), str):
            raise AnswersError(f"{file.name}, {name}: is missing or no text")
    answers = _checked(file, said, "answers", lambda value: isinstance(value, str), "text")
    most = len(COSTS)
    hints = _checked(
        file, said, "hints", lambda value: type(value) is int and 0 <= value <= most, f"a number up to {most}"
    )
    filled = {head: text for head, text in answers.items() if text.strip()}
    return _Row(said[LEARNER].strip(), filled, file.name, {head: f"{file.name}, {head[:SHOWN]}" for head in filled}, hints, said["set"])  # fmt: skip


def _checked(file: Path, said: Mapping[str, Any], name: str, good: Any, allowed: str) -> dict[str, Any]:
    part = said.get(name, {})
    wrong = [head for head, value in part.items() if not good(value)] if isinstance(part, dict) else [""]
    if wrong:
        raise AnswersError(f"{file.name}, {name} {wrong[0][:SHOWN]!r}: is not {allowed}")
    return dict(part)
