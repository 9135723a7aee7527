"""A class: sets with different numbers for each learner, answers collected as CSV and marked in one go."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import zip_longest
from pathlib import Path
from tempfile import TemporaryDirectory

from calc.intake import NotTaken, rows_of, taken, text_of
from calc.letters import FORMULA
from calc.packet.install import install
from calc.practice.lesson import Question
from calc.practice.marking import Marked, mark
from calc.practice.printed import class_pdf
from calc.practice.sets import question_set
from calc.work.chart import Chart, Pairs
from calc.work.keys import item_of, stem_of

LEARNER = "learner"


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
        answers = read_answers(table)
        strange = [name for name in answers if name not in self.learners]
        if strange:
            raise AnswersError(
                f"{table.name}: '{strange[0]}' is not in this class; there are {', '.join(self.learners)}"
            )
        by_learner = dict(zip(self.learners, self.questions, strict=True))
        return {name: mark(by_learner[name], given) for name, given in answers.items()}


def read_answers(table: Path) -> dict[str, dict[str, str]]:
    """A table of answers: a row a learner, a column a line's key."""
    try:
        rows = rows_of(text_of(taken(table, kind="table"), "CSV"))
    except NotTaken as error:
        raise AnswersError(f"{table}: {error}") from None
    heads = [head.strip() for head in rows[0][1]] if rows else []
    if LEARNER not in heads or len(rows) < 2:
        raise AnswersError(f"{table.name}: needs a first row of headings with '{LEARNER}' and the lines' keys")
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
