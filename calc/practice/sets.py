"""Sets of questions: none twice, and the rules that matter spread over them."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

from calc.job import Job
from calc.practice.fair import Fair
from calc.practice.lesson import Again, Question
from calc.practice.marking import usable_slips
from calc.practice.questions import question

LOOKED_AT = 3  # questions for each place in the set; the one that brings up most of what the set lacks is taken


def question_set(family: str, seed: int, count: int, level: int = 2) -> list[Question]:
    """So many questions, none twice. The same seed gives the same set."""
    found: list[Question] = []
    seen: list[dict[str, Any]] = []
    reached: set[str] = set()
    at = seed * 1000
    while len(found) < count:
        looked_at: list[Question] = []
        while len(looked_at) < LOOKED_AT:
            made = question(family, at, level)
            at += 1
            if _apart_from_name(made.job) not in seen:
                seen.append(_apart_from_name(made.job))
                looked_at.append(made)
        best = max(looked_at, key=lambda made: len(slips_of(made) - reached))
        reached |= slips_of(best)
        found.append(best)
    return found


def slips_of(asked: Question) -> set[str]:
    """The slips that a question can tell."""
    fair = Fair(Again(asked))
    return {name for key in asked.asked for name in usable_slips(fair, key)}


def _apart_from_name(job: Job) -> dict[str, Any]:
    data = deepcopy(job.data)
    data["job"].pop("name", None)
    return data
