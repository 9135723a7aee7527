"""Every lesson over a thousand seeds: it can be solved, its slips are reached, and no two of them look alike."""

from __future__ import annotations

import pytest

from calc.codebook.files import editions
from calc.practice import question, question_set, taught
from calc.practice.lesson import missed
from calc.practice.sets import slips_of
from tests.practice.seeds import counted

SEEDS = range(24, 60)  # a lesson; the thousand that `make practice` works begin at 0


@pytest.mark.parametrize("family", taught())
def test_questions_are_solvable_and_marked_fairly(family: str) -> None:
    """From the print alone; honest rounding never wrong, slips never right, no line always alike; four editions. In a thousand
    seeds, ``make practice``, every slip comes up.
    """
    counts = counted(family, SEEDS)
    assert counts.faults == []
    assert counts.always_alike == set()
    assert set(counts.editions) == set(editions())
    assert len(counts.unreached) <= len(taught()[family].slips) / 3


@pytest.mark.parametrize("family", taught())
def test_there_are_fifteen_slips_a_lesson(family: str) -> None:
    assert len(taught()[family].slips) >= 15


@pytest.mark.parametrize("family", taught())
def test_each_slip_has_its_words_and_its_rule(family: str) -> None:
    slips = taught()[family].slips
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
    assert asked.job.dwelling.floor_area_ft2 == 2040
    assert asked.job.load("Range").load_va == 13_600
    assert asked.code.edition == "2017"
    room = question("receptacles", 7, 2).job.rooms[0]
    assert [wall.length_ft for wall in room.walls] == [16, 13.5, 16, 13.5]
    charger = question("branch-circuits", 7, 2).job
    assert [(load.name, load.load_va) for load in charger.loads] == [("Charger", 7680)]
