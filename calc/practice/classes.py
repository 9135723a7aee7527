"""A class: sets with different numbers for each learner, answers collected as CSV and marked in one go."""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from calc.families.charting import Chart
from calc.letters import FORMULA
from calc.practice.lesson import Question, stem
from calc.practice.marking import Marked, mark
from calc.practice.printed import class_pdf
from calc.practice.sets import question_set

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
        folder.mkdir(parents=True, exist_ok=True)
        questions = self.questions
        paths = [folder / "questions.pdf", folder / "key.pdf", folder / "answers.csv"]
        paths[0].write_bytes(class_pdf(questions, self.learners, key=False))
        paths[1].write_bytes(class_pdf(questions, self.learners, key=True))
        with paths[2].open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file)
            writer.writerow(self.columns)
            writer.writerows([learner] for learner in self.learners)
        return paths

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
        with table.open(encoding="utf-8-sig", newline="") as file:
            rows = list(csv.DictReader(file))
    except OSError as error:
        raise AnswersError(f"{table}: can't be read: {error.strerror}") from None
    except (UnicodeDecodeError, csv.Error) as error:
        raise AnswersError(f"{table.name}: not a CSV table in UTF-8: {error}") from None
    if not rows or LEARNER not in rows[0]:
        raise AnswersError(f"{table.name}: needs a first row of headings with '{LEARNER}' and the lines' keys")
    found: dict[str, dict[str, str]] = {}
    for number, row in enumerate(rows, 2):
        if None in row:
            raise AnswersError(f"{table.name}, row {number}: has more cells than there are headings")
        if row[LEARNER] in found:
            raise AnswersError(f"{table.name}, row {number}: '{row[LEARNER]}' is there twice")
        found[row[LEARNER]] = {key: value or "" for key, value in row.items() if key != LEARNER}
    return found


def wrong_lines(marked: Mapping[str, Sequence[Marked]]) -> Chart:
    """Which lines the class got wrong: for each kind of line, how many were right and how many were not."""
    asked: Counter[str] = Counter()
    wrong: Counter[str] = Counter()
    names: dict[str, str] = {}
    for one in (one for lines in marked.values() for one in lines):
        kind = stem(one.key)
        names.setdefault(kind, _of_all(one))
        asked[kind] += 1
        wrong[kind] += one.verdict != "right"
    rows = [[names[kind], float(asked[kind]), float(count)] for kind, count in wrong.most_common(16) if count]
    rows = rows or [["every line right", float(max(asked.values(), default=0)), 0.0]]
    said = "; ".join(f"{name}: {wrong:.0f} of {asked:.0f} not right" for name, asked, wrong in rows)
    data = {"rows": rows, "before": "asked", "after": "not right", "unit": "answers"}
    return Chart("pairs", "Lines that the class got wrong", said, data)


def _of_all(one: Marked) -> str:
    """The name of a line for all lines of its kind: 'fewest receptacles, each' for those of every wall space."""
    item = one.key.partition("[")[2].removesuffix("]")
    return f"{one.name} and the like" if item == one.name else one.name.replace(item, "each") if item else one.name
