"""A class: sets with different numbers for each learner, answers collected as CSV and marked in one go."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cached_property
from itertools import zip_longest
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from calc.job import JobError
from calc.job.grid import read_grid
from calc.letters import FORMULA
from calc.packet.install import install
from calc.practice.lesson import Again, Question, missed
from calc.practice.marking import AND, OR, Marked, mark
from calc.practice.printed import class_pdf
from calc.practice.sets import question_set
from calc.work.chart import Chart, Pairs
from calc.work.keys import item_of, stem_of

LEARNER = "learner"
SHOWN = 40  # of a heading that is no line


class AnswersError(Exception):
    """A table of answers can't be used; the message names the row and the column."""


@dataclass(frozen=True)
class ClassSet:
    """Questions of one family for learners, one each. ValueError without a learner."""

    family: str
    seed: int
    level: int
    learners: Sequence[str]

    def __post_init__(self) -> None:
        if not self.learners:
            raise ValueError("a class needs a name at least: 'Ann, Bo, Cy'")

    @cached_property
    def questions(self) -> list[Question]:
        """A question for each learner, none twice."""
        return question_set(self.family, self.seed, len(self.learners), self.level)

    @property
    def columns(self) -> list[str]:
        """Headings of the answers' table: the learner, then every line that any question asks."""
        keys = dict.fromkeys(key for question in self.questions for key in question.asked)
        return [LEARNER, *keys]

    def write(self, folder: Path) -> list[Path]:
        """Write the questions and the key as PDF, and an empty table for the answers. AnswersError for a name that
        the table can't hold."""
        for name in self.learners:
            if not name.isprintable() or name.startswith(FORMULA):
                raise AnswersError(f"a learner is called {name!r}; allowed: a name of letters and signs on one line that "
                                   f"doesn't begin with {' '.join(FORMULA).strip()}, which a spreadsheet takes for a formula")  # fmt: skip
        table = io.StringIO(newline="")
        csv.writer(table).writerows([self.columns, *([learner] for learner in self.learners)])
        made = {
            "questions.pdf": class_pdf(self.questions, self.learners, key=False),
            "key.pdf": class_pdf(self.questions, self.learners, key=True),
            "answers.csv": table.getvalue().encode("utf-8"),
        }
        folder.mkdir(parents=True, exist_ok=True)
        with TemporaryDirectory(prefix=".set-", dir=folder) as stage:  # a full disk leaves no half of a set
            for name, content in made.items():
                (Path(stage) / name).write_bytes(content)
            install(Path(stage), folder, last="answers.csv")
        return [folder / name for name in made]

    def mark(self, table: Path) -> dict[str, list[Marked]]:
        """Each learner's answers marked. AnswersError names the row or column that fits nobody."""
        answers = read_answers(table, self.questions)
        strange = [name for name in answers if name not in self.learners]
        if strange:
            raise AnswersError(
                f"{table.name}: '{strange[0]}' is not in this class; there are {', '.join(self.learners)}"
            )
        by_learner = dict(zip(self.learners, self.questions, strict=True))
        return {name: mark(by_learner[name], by_key(by_learner[name], given)) for name, given in answers.items()}


def read_answers(table: Path, questions: Sequence[Question]) -> dict[str, dict[str, str]]:
    """A table of answers, CSV or XLSX: a row a learner, a column a line by its key or its number on the paper. AnswersError
    names the heading or the cell that can't be read.
    """
    try:
        grid = read_grid(table, "answers")
    except JobError as error:
        raise AnswersError("; ".join(map(str, error.problems))) from None
    rows = grid.rows
    heads = [head.strip() for head in rows[0][1]] if rows else []
    if LEARNER not in heads or len(rows) < 2:
        raise AnswersError(
            f"{table.name}: needs a first row of headings with '{LEARNER}' and the lines' keys or numbers"
        )
    known = {name for asked in questions for key, line in _asked(asked).items() for name in (key, str(line["number"]))}
    for head in heads:
        if head and head != LEARNER and _number_or_key(head) not in known:
            near = ", ".join(get_close_matches(head, sorted(known), 3)) or ", ".join(sorted(known)[:3])
            raise AnswersError(f"{table.name}: heading '{head[:SHOWN]}' is no line that is asked; nearest: {near}")
    twice = [head for at, head in enumerate(heads) if head and head in heads[:at]]
    if twice:
        raise AnswersError(f"{table.name}: heading '{twice[0][:SHOWN]}' is there twice")
    found: dict[str, dict[str, str]] = {}
    for number, cells in rows[1:]:
        if len(cells) > len(heads):
            raise AnswersError(f"{table.name}, row {number}: has more cells than there are headings")
        row = dict(zip_longest(heads, cells, fillvalue=""))
        learner = row.pop(LEARNER)
        if learner in found:
            raise AnswersError(f"{table.name}, row {number}: '{learner}' is there twice")
        found[learner] = row
    return found


def by_key(asked: Question, row: Mapping[str, str]) -> dict[str, str]:
    """The answers of a row by the keys of one learner's question: a heading may be a key, or a number on that paper."""
    keys = {str(line["number"]): key for key, line in _asked(asked).items()}
    return {keys.get(_number_or_key(head), head): answer for head, answer in row.items() if answer.strip()}


def _asked(asked: Question) -> dict[str, dict[str, Any]]:
    shown = Again(asked).shown
    return {key: shown[key] for key in asked.asked}


def _number_or_key(head: str) -> str:
    """'7' of '7', '7.' or 'line 7'; else the heading itself."""
    numbered = re.fullmatch(r"(?:line\s*)?(\d{1,3})\.?", head, re.IGNORECASE)
    return numbered[1] if numbered else head


def to_teach(marked: Mapping[str, Sequence[Marked]], family: str) -> list[tuple[str, list[str]]]:
    """What to teach again tomorrow: what each slip missed, and who made it, the most common first."""
    words, who = missed(family), dict[str, list[str]]()
    for learner, lines in marked.items():
        for name in dict.fromkeys(name for one in lines for name in re.split(f"{OR}|{AND}", one.slip) if name):
            who.setdefault(words[name], []).append(learner)
    return sorted(who.items(), key=lambda each: -len(each[1]))


def marks_xlsx(marked: Mapping[str, Sequence[Marked]], family: str) -> bytes:
    """The marks as a workbook: a row a learner with each line, and what to teach again with who. No cell is a formula."""
    import openpyxl

    names = dict.fromkeys(one.key for lines in marked.values() for one in lines)
    sheets: dict[str, list[list[str | int]]] = {
        "Marks": [["learner", "right", "lines", *names]],
        "Teach again": [["what was missed", "how many", "who"]],
    }
    for learner, lines in marked.items():
        said = {
            one.key: one.verdict if one.verdict != "slip" else f"slip: {one.slip.replace('_', ' ')}" for one in lines
        }
        right = sum(one.verdict == "right" for one in lines)
        sheets["Marks"].append([learner, right, len(lines), *(said.get(name, "") for name in names)])
    sheets["Teach again"] += [[what, len(who), ", ".join(who)] for what, who in to_teach(marked, family)]
    book = openpyxl.Workbook()
    book.remove(book.active)
    for title, rows in sheets.items():
        sheet = book.create_sheet(title)
        for at, row in enumerate(rows, 1):
            for column, value in enumerate(row, 1):
                cell = sheet.cell(at, column)
                cell.value = value
                if isinstance(value, str):
                    cell.data_type = "s"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def wrong_lines(marked: Mapping[str, Sequence[Marked]]) -> Chart:
    """Which lines the class got wrong: for each kind of line, how many were right and how many were not."""
    import pandas as pd

    lines = [(stem_of(one.key), _of_all(one), one.verdict != "right") for each in marked.values() for one in each]
    marks = pd.DataFrame(lines, columns=["kind", "name", "wrong"])
    kinds = marks.groupby("kind", sort=False).agg(
        name=("name", "first"), asked=("wrong", "size"), wrong=("wrong", "sum")
    )
    most = kinds[kinds["wrong"] > 0].sort_values("wrong", ascending=False, kind="stable").head(16)
    rows = [(name, float(asked), float(wrong)) for name, asked, wrong in most.itertuples(index=False)]
    rows = rows or [("every line right", float(kinds["asked"].max() if len(kinds) else 0), 0.0)]
    said = "; ".join(f"{name}: {wrong:.0f} of {asked:.0f} not right" for name, asked, wrong in rows)
    return Chart("Lines that the class got wrong", said, Pairs(rows, "asked", "not right", "answers"))


def _of_all(one: Marked) -> str:
    """The name of a line for all lines of its kind: 'fewest receptacles, each' for those of every wall space."""
    item = item_of(one.key)
    return f"{one.name} and the like" if item == one.name else one.name.replace(item, "each") if item else one.name
