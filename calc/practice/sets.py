"""Sets of questions: none twice, and the rules that matter spread over them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from copy import deepcopy
from typing import Any

from calc.job import Job
from calc.practice.fair import Fair
from calc.practice.lesson import Again, Question
from calc.practice.marking import AND, OR, usable_slips
from calc.practice.questions import question
from calc.practice.record import Answered
from calc.practice.tutor import skill

LOOKED_AT = 3  # questions for each place in the set; the one that brings up most of what the set lacks is taken


def question_set(
    family: str, seed: int, count: int, level: int = 2, edition: str = "", missed: Iterable[Answered] = ()
) -> list[Question]:
    """So many questions, none twice. The same seed gives the same set. What ``missed`` has wrong is asked the most: lines
    that were missed, and questions in which the slips that were made show.
    """
    weak = _weak(missed)
    found: list[Question] = []
    seen: list[dict[str, Any]] = []
    reached: set[str] = set()
    at = seed * 1000
    looked_at_each = LOOKED_AT * (2 if weak else 1)
    while len(found) < count:
        looked_at: list[Question] = []
        while len(looked_at) < looked_at_each:
            made = question(family, at, level, edition)
            at += 1
            if _apart_from_name(made.job) not in seen:
                seen.append(_apart_from_name(made.job))
                looked_at.append(made)
        shown = {id(made): slips_of(made) for made in looked_at}
        best = max(looked_at, key=lambda made: (_asks(weak, made, shown[id(made)]), len(shown[id(made)] - reached)))
        reached |= shown[id(best)]
        found.append(best)
    return found


def _weak(missed: Iterable[Answered]) -> Counter[str]:
    """How often each line was missed, and each slip made."""
    wrong = [one for one in missed if not one.right]
    slips = [name for one in wrong for part in one.slip.split(OR) for name in part.split(AND) if name]
    return Counter([*(one.skill for one in wrong), *slips])


def _asks(weak: Counter[str], made: Question, slips: set[str]) -> int:
    """How much of what was missed a question asks: a thing once, however many lines of it there are."""
    return sum(weak[each] for each in {*(skill(made.family, key) for key in made.asked), *slips})


def slips_of(asked: Question) -> set[str]:
    """The slips that a question can tell."""
    fair = Fair(Again(asked))
    return {name for key in asked.asked for name in usable_slips(fair, key)}


def _apart_from_name(job: Job) -> dict[str, Any]:
    data = deepcopy(job.data)
    data["job"].pop("name", None)
    return data
