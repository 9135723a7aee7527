"""Exams: one question of each of several families, other numbers for each learner, and the same work for all.

The work of a question is measured (``effort.py``). Each family's question is one of those that lie nearest to what is usual
for it, and whoever has the most work so far gets the least of the next family; how far the papers are apart is told.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from random import Random
from statistics import median

from calc.families import families
from calc.practice.effort import question_minutes
from calc.practice.lesson import Question, taught
from calc.practice.papers import AnswersError, Handed, Paper
from calc.practice.questions import question

LEAST_DRAWN, DRAWN_EACH = 24, 3  # questions of a family: at least so many, and so many for each learner
QUESTIONS = 4  # of an exam, where nobody says which
TO_SPARE = 1.25  # minutes given for a minute of work
AT = 1_000_000  # where the seeds of exams begin: practice has the ones below


@dataclass(frozen=True)
class Measured:
    """A question with its work in minutes."""

    question: Question
    minutes: float


def exam(
    learners: Sequence[str], *, seed: int = 1, level: int = 2, edition: str = "2023", of: Sequence[str] = ()
) -> Handed:
    """A paper for each learner, of these families or of some that the seed chooses; nothing on a paper tells the seed. ValueError for a family, a level or an
    edition that there isn't, AnswersError for a class that can't be.
    """
    if not learners:
        raise AnswersError("a class needs a name at least: 'Ann, Bo, Cy'")
    names = list(of) or sorted(Random(f"exam/{seed}").sample(list(taught()), QUESTIONS))
    pools = {name: _pool(name, seed, level, edition, len(learners)) for name in names}
    points = [round(middle) for _, middle in pools.values()]
    chosen: list[dict[str, Measured]] = [{} for _ in learners]
    for name, (drawn, _) in sorted(pools.items(), key=lambda each: -_apart(each[1][0])):
        by_work = sorted(drawn, key=lambda one: one.minutes)
        for paper, one in zip(sorted(chosen, key=lambda paper: -_work(paper)), by_work, strict=True):
            paper[name] = one  # the least to whom has the most so far
    works = [_work(paper) for paper in chosen]
    minutes = 5 * round(TO_SPARE * sum(middle for _, middle in pools.values()) / 5)
    note = (f"Work by the same measure: {min(works):.1f} to {max(works):.1f} minutes a paper, "
            f"{max(works) / min(works) - 1:.1%} apart; {minutes} minutes leave a quarter to spare. Seed {seed} draws these papers again.")  # fmt: skip
    papers = tuple(
        Paper(name, tuple(replace(one.question, title=f"Question {at}: {families()[one.question.family].TITLE}") for at, one in enumerate(map(paper.__getitem__, names), 1)))
        for name, paper in zip(learners, chosen, strict=True)
    )  # fmt: skip
    return Handed(f"Exam, level {level}, edition {edition}", papers, points=tuple(points), minutes=minutes, note=note)


def _pool(family: str, seed: int, level: int, edition: str, wanted: int) -> tuple[list[Measured], float]:
    """So many questions of a family, none twice, those nearest to what is usual for it in work; and what is usual."""
    drawn: dict[str, Measured] = {}
    most = max(LEAST_DRAWN, DRAWN_EACH * wanted)
    for at in range(AT + seed * 10_000, AT + seed * 10_000 + 2 * most):
        made = question(family, at, level, edition)
        drawn.setdefault(str({**made.job.data, "job": ""}), Measured(made, question_minutes(made)))
        if len(drawn) == most:
            break
    if len(drawn) < wanted:
        raise AnswersError(f"{families()[family].TITLE} has too few different questions for {wanted} papers")
    middle = median(one.minutes for one in drawn.values())
    return sorted(drawn.values(), key=lambda one: abs(one.minutes - middle))[:wanted], middle


def _apart(drawn: Sequence[Measured]) -> float:
    return max(one.minutes for one in drawn) - min(one.minutes for one in drawn)


def _work(paper: Mapping[str, Measured]) -> float:
    return sum(one.minutes for one in paper.values())
