"""A class: a paper with other numbers for each learner, on paper and for a phone, and the marks of what was handed in."""

from __future__ import annotations

import io
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from tempfile import TemporaryDirectory

from calc.families import families
from calc.packet.install import install
from calc.practice.effort import line_minutes
from calc.practice.handed_in import LEARNER, HandedIn, Place
from calc.practice.lesson import Again
from calc.practice.marking import Marked, mark
from calc.practice.papers import HANDED, Handed, Paper
from calc.practice.phone import phone_page
from calc.practice.printed import papers_pdf
from calc.practice.record import Answered
from calc.practice.sets import question_set
from calc.practice.tutor import answers_of, cost

PAPERS, KEY, ANSWERS = "papers.pdf", "key.pdf", "answers.xlsx"


def class_set(
    family: str, learners: Sequence[str], *, seed: int = 1, level: int = 2, edition: str = "", hints: bool = False,
    missed: Iterable[Answered] = (),
) -> Handed:  # fmt: skip
    """A question for each learner, none twice; those first that ask what ``missed`` has. ValueError for a family, level or
    edition that there isn't, AnswersError for a class that can't be.
    """
    questions = question_set(family, seed, len(learners), level, edition, missed)
    papers = tuple(Paper(name, (asked,)) for name, asked in zip(learners, questions, strict=True))
    return Handed(f"Practice set: {families()[family].TITLE}", papers, hints)


def write(handed: Handed, folder: Path) -> list[Path]:
    """Write papers and key as PDF, an empty table for the answers, a page for each phone, and the set's own file."""
    made = {
        PAPERS: papers_pdf(handed, key=False),
        KEY: papers_pdf(handed, key=True),
        ANSWERS: _blank(handed),
        **{f"{name}.html": phone_page(handed, paper, name).encode("utf-8") for paper, name in handed.file_names()},
        HANDED: handed.as_json().encode("utf-8"),
    }
    return put(folder, made, replaces="[0-9][0-9]-*.html")


def put(folder: Path, made: Mapping[str, bytes], replaces: str = "") -> list[Path]:
    """Files put into a folder, all of them or none: a full disk leaves no half of a set."""
    folder.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory(prefix=".set-", dir=folder) as stage:
        for name, content in made.items():
            (Path(stage) / name).write_bytes(content)
        install(Path(stage), folder, last=list(made)[-1], replaces=replaces)
    return [folder / name for name in made]


def _blank(handed: Handed) -> bytes:
    """An empty table for the answers: text in every cell, so that no spreadsheet makes a date of 3/4."""
    import openpyxl

    book = openpyxl.Workbook()
    heads = [LEARNER, *handed.heads()]
    for row, cells in enumerate([heads, *([name] + [""] * (len(heads) - 1) for name in handed.learners)], 1):
        for column, text in enumerate(cells, 1):
            cell = book.active.cell(row, column)
            cell.number_format = "@"
            if text:
                cell.value, cell.data_type = text, "s"
    book.active.freeze_panes = "B2"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


@dataclass(frozen=True)
class MarkedPaper:
    """A paper marked: its lines, question by question, and what it earned."""

    paper: Paper
    questions: tuple[tuple[Marked, ...], ...]
    hints: Mapping[Place, int] = field(default_factory=dict)
    points: tuple[int, ...] = ()

    @property
    def lines(self) -> list[Marked]:
        """Every line, one after the other."""
        return [one for lines in self.questions for one in lines]

    @property
    def right(self) -> int:
        """How many lines are right."""
        return sum(one.verdict == "right" for one in self.lines)

    @cached_property
    def earned(self) -> float:
        """Of an exam the points, each line by the work that it is; else a point a line. A hint takes off its cost."""
        total = 0.0
        for at, lines in enumerate(self.questions):
            again = Again(self.paper.questions[at])
            weights = {one.key: line_minutes(again, one.key) if self.points else 1.0 for one in lines}
            worth = self.points[at] if self.points else len(lines)
            total += sum(worth * weights[one.key] / sum(weights.values()) * (1 - cost(self.hints.get((at, one.key), 0))) for one in lines if one.verdict == "right")  # fmt: skip
        return round(total, 1)

    @property
    def most(self) -> int:
        """The most that it could earn."""
        return sum(self.points) if self.points else len(self.lines)

    def answered(self) -> list[Answered]:
        """What goes into this learner's record."""
        return [one for at, lines in enumerate(self.questions) for one in answers_of(
            self.paper.questions[at], lines, {key: used for (number, key), used in self.hints.items() if number == at},
            of=self.paper.learner)]  # fmt: skip


def mark_all(handed: Handed, given: Mapping[str, HandedIn]) -> dict[str, MarkedPaper]:
    """Each learner's paper marked."""
    return {name: marked_paper(handed.paper(name), one, handed.points) for name, one in given.items()}


def marked_paper(paper: Paper, given: HandedIn, points: tuple[int, ...] = ()) -> MarkedPaper:
    """One paper marked."""
    questions = tuple(
        tuple(mark(asked, {key: said for (number, key), said in given.answers.items() if number == at}))
        for at, asked in enumerate(paper.questions)
    )
    return MarkedPaper(paper, questions, given.hints, points)
