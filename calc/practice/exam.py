"""Exams: one question of each of several families, other numbers for each learner, and the same work for all.

The work of a question is measured (``effort.py``). Each family's question is one of those that lie nearest to what is usual
for it, and whoever has the most work so far gets the least of the next family; how far the papers are apart is told.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import count
from random import Random
from statistics import median

from calc.families import families
from calc.practice.effort import question_minutes
from calc.practice.lesson import Question, taught
from calc.practice.papers import AnswersError, Handed, Paper
from calc.practice.questions import question

USUAL = 24  # questions whose median is what is usual
NEAR = 0.12  # how far a question may lie from it, as a share of it
QUESTIONS = 4  # of an exam, where nobody says which
TO_SPARE = 1.25  # minutes given for a minute of work
MOST_DRAWN = 400  # for one family; after them the nearest are taken
AT = 1_000_000  # where the seeds of exams begin: practice has the ones below


@dataclass(frozen=True)
class Measured:
    """A question with its work in minutes."""

    question: Question
    minutes: float


def exam(
    learners: Sequence[str], *, seed: int = 1, level: int = 2, edition: str = "2023", of: Sequence[str] = ()
) -> Handed:
    """A paper for each learner, of these families or of some that the seed chooses. ValueError for a family, a level or an
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
            f"{max(works) / min(works) - 1:.1%} apart; {minutes} minutes leave a quarter to spare.")  # fmt: skip
    papers = tuple(
        Paper(name, tuple(replace(one.question, title=f"Question {at}: {families()[one.question.family].TITLE}") for at, one in enumerate(map(paper.__getitem__, names), 1)))
        for name, paper in zip(learners, chosen, strict=True)
    )  # fmt: skip
    return Handed(
        f"Exam {seed}, level {level}, edition {edition}", papers, points=tuple(points), minutes=minutes, note=note
    )


def _pool(family: str, seed: int, level: int, edition: str, wanted: int) -> tuple[list[Measured], float]:
    """So many questions of a family that are about as much work as is usual for it, none twice; and what is usual."""
    drawn: list[Measured] = []
    near: list[Measured] = []
    seen: set[str] = set()
    middle = 0.0
    for at in count(AT + seed * 10_000):
        made = question(family, at, level, edition)
        said = str({**made.job.data, "job": ""})
        if said not in seen:
            seen.add(said)
            drawn.append(Measured(made, question_minutes(made)))
        if len(drawn) == USUAL:
            middle = median(one.minutes for one in drawn)
        near = [one for one in drawn if abs(one.minutes - middle) <= NEAR * middle] if middle else []
        if len(near) >= wanted or at - AT - seed * 10_000 >= MOST_DRAWN + wanted:
            break
    if len(near) < wanted:
        near = sorted(drawn, key=lambda one: abs(one.minutes - middle))[:wanted]
    if len(near) < wanted:
        raise AnswersError(f"{families()[family].TITLE} has too few different questions for {wanted} papers")
    return near[:wanted], middle


def _apart(drawn: Sequence[Measured]) -> float:
    return max(one.minutes for one in drawn) - min(one.minutes for one in drawn)


def _work(paper: Mapping[str, Measured]) -> float:
    return sum(one.minutes for one in paper.values())
