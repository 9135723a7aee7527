"""Published worked examples asked as practice sheets: the answers that the sources print are accepted."""

from __future__ import annotations

from collections import Counter
from functools import cache

import pytest

from calc.job import parse_job
from calc.practice import mark, question_from_job, taught
from calc.practice.lesson import called
from tests.published.harness import Example, examples, job_text, sheet_of

ASKED = tuple(taught())
MOST_OF_ONE = 12  # a published table has its cells as examples of one kind


def answers(example: Example) -> dict[str, str]:
    """The numbers and sizes as the source prints them, but those that are set aside or rounded on the way, or to fewer
    than three digits."""
    results = sheet_of(example).results
    found = {}
    for key, value in example.expect.items():
        if key in example.aside or key in example.within or isinstance(value, bool):
            continue
        text = value if isinstance(value, str) else f"{value:.{getattr(value, 'decimals', 0)}f}"
        if isinstance(value, str) or value == results.get(key) or len(text.replace(".", "").lstrip("0")) >= 3:
            found[key] = text
    return found


@cache
def sets() -> dict[str, dict[str, Example]]:
    """Whole examples of each family that has a lesson, whose job can be written as it stands; by what they are about."""
    found = [each for each in examples() if each.family in ASKED and each.seen == "full" and not each.refused]
    of_one: Counter[tuple[str, str]] = Counter()
    kept: dict[str, dict[str, Example]] = {}
    for each in found:
        of_one[each.family, each.id] += 1
        if not each.aside_all and of_one[each.family, each.id] <= MOST_OF_ONE and sheet_of(each).refused is None:
            kept.setdefault(each.family, {})[f"{each.id}/{each.subject}"] = each
    return kept


@pytest.mark.parametrize("family", [family for family in ASKED if family != "fault-current"])
def test_published_answers_are_accepted(family: str) -> None:
    """None of fault current's examples was seen in full and stands."""
    assert len(sets()[family]) >= 5
    wrong = {}
    for name, example in sets()[family].items():
        asked = question_from_job(family, parse_job(job_text(example).encode()), called(sheet_of(example)))
        given = {key: answer for key, answer in answers(example).items() if key in asked.asked}
        marked = {one.key: (one.verdict, one.given, one.expected) for one in mark(asked, given) if one.key in given}
        if {key: verdict for key, (verdict, *_) in marked.items()} != dict.fromkeys(given, "right"):
            wrong[name] = marked
    assert wrong == {}


def test_several_families_are_asked() -> None:
    assert set(sets()) == set(taught()) - {"fault-current"}
