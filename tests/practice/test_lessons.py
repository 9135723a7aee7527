"""Every lesson over a thousand seeds: it can be solved, its slips are reached, and no two of them look alike."""

from __future__ import annotations

from collections import Counter

import pytest

from calc.practice import question, question_set, taught
from calc.practice.fair import Fair
from calc.practice.lesson import Again, Question, missed
from calc.practice.marking import every_slip, fits, is_larger, usable_slips
from calc.practice.sets import slips_of

SEEDS = 100


def questions(family: str) -> list[Question]:
    return [question(family, seed, 1 + seed % 3) for seed in range(SEEDS)]


@pytest.mark.parametrize("family", taught())
def test_a_thousand_questions(family: str) -> None:
    """Solvable, nothing refused; each declared slip comes up, by a rule that its edition has; none is right by luck or like another."""
    seen: Counter[str] = Counter()
    rules = {slip.name: slip.rule for slip in taught()[family].SLIPS}
    for asked in questions(family):
        fair = Fair(Again(asked))
        again = fair.again
        assert asked.asked, asked.title
        assert again.sheet.refused is None, asked.title
        for key in asked.asked:
            for name, wrong in usable_slips(fair, key).items():
                seen[name] += 1
                assert not rules[name] or asked.code.has(rules[name]), (asked.title, name)
                assert isinstance(wrong, str) or not fits(fair, key, wrong), (asked.title, name)
            if key in again.texts:
                seen.update(name for name, size in every_slip(again, key).items() if is_larger(again, key, str(size)))
    assert set(seen) == {slip.name for slip in taught()[family].SLIPS}, "a slip that no seed reaches"
    rare = {name: count for name, count in seen.items() if count < 1}
    assert not rare, f"slips that hardly come up: {rare}"


@pytest.mark.parametrize("family", taught())
def test_each_slip_has_its_words_and_its_rule(family: str) -> None:
    slips = taught()[family].SLIPS
    assert {slip.name for slip in slips} == set(missed(family))
    for slip in slips:
        assert missed(family)[slip.name].startswith("You ")


@pytest.mark.parametrize("family", taught())
def test_a_set_repeats_no_question_and_brings_up_the_rules(family: str) -> None:
    made = question_set(family, 5, 12)
    data = [{**asked.job.data, "job": None} for asked in made]
    assert all(a != b for at, a in enumerate(data) for b in data[:at])
    reached = set().union(*map(slips_of, made))
    assert len(reached) >= 0.6 * len(missed(family))


@pytest.mark.parametrize("family", taught())
def test_the_same_seed_gives_the_same_sheet(family: str) -> None:
    assert question(family, 42, 3).sheet().as_json() == question(family, 42, 3).sheet().as_json()


def test_a_seed_keeps_its_sheet_for_ever() -> None:
    """Worked sheets are printed and kept: seed 7 must go on giving this house, on any machine."""
    asked = question("dwelling-load", 7, 2)
    assert asked.job.dwelling is not None
    assert asked.job.dwelling.floor_area_ft2 == 1300
    assert asked.job.load("Range").load_va == 13_600
    assert asked.code.edition == "2020"
    room = question("receptacles", 7, 2).job.rooms[0]
    assert [wall.length_ft for wall in room.walls] == [16, 13.5, 16, 13.5]
    cooking = question("branch-circuits", 7, 2).job
    assert [(load.name, load.load_va, load.count) for load in cooking.loads] == [
        ("Cooktop", 6000, 1),
        ("Ovens", 4600, 2),
    ]
