"""Marking as a teacher would: each line on its own, the learner's numbers carried on, the slip named."""

from __future__ import annotations

from pathlib import Path

import pytest

from calc.job import parse_job
from calc.practice import mark, question, question_from_job, taught
from calc.practice.answers import read_answer, read_outcome
from calc.practice.lesson import Question

# 1,500 ft2, two small-appliance circuits, one laundry circuit, a 12 kW range and a 5.5 kW dryer: Annex D, example
# D1(a) of the 2005 edition (numbers unchanged through 2023), as given in a pocket guide to that edition.
ANNEX_D1A = b"""
[code]
edition = "2023"
[job]
name = "D1a"
[dwelling]
kind = "one-family"
floor_area_ft2 = 1500
[[loads]]
name = "Range"
kind = "range"
load_va = 12000
volts = 240
[[loads]]
name = "Dryer"
kind = "dryer"
load_va = 5500
volts = 240
"""
PRINTED = {
    "general_lighting_va": "4,500 VA", "small_appliances_va": "3,000 VA", "laundry_va": "1,500 VA",
    "general_connected_va": "9,000 VA", "general_demand_va": "5,100 VA", "cooking_demand_va": "8,000 VA",
    "dryer_demand_va": "5,500 VA", "standard_va": "18,600 VA", "standard_a": "77.5 A", "standard_whole_a": "78 A",
    "standard_least_a": "100 A", "neutral_cooking_and_dryers_va": "9,450 VA", "neutral_va": "14,550 VA",
    "general_circuits_15a": "3", "general_circuits_20a": "2",
}  # fmt: skip


@pytest.fixture
def annex() -> Question:
    return question_from_job("dwelling-load", parse_job(ANNEX_D1A))


def verdicts(asked: Question, answers: dict[str, str]) -> dict[str, tuple[str, str]]:
    return {one.key: (one.verdict, one.slip) for one in mark(asked, answers) if one.key in answers}


def test_published_answers_are_accepted(annex: Question) -> None:
    """The numbers that the source prints, line by line."""
    assert verdicts(annex, PRINTED) == dict.fromkeys(PRINTED, ("right", ""))


def test_the_sheet_itself_is_all_right(annex: Question) -> None:
    answers = {line["key"]: line["result"] for line in annex.sheet().as_json()["lines"]}
    assert {one.verdict for one in mark(annex, answers)} == {"right"}


# A teacher's marks: what a learner wrote, and how each line should be judged. (line: answer) -> (line: verdict)
HAND_MARKED = [
    ({"general_demand_va": "3,150"}, {"general_demand_va": ("slip", "all_at_35")}),
    ({"general_demand_va": "9,000 VA"}, {"general_demand_va": ("slip", "nothing_taken_off")}),
    ({"general_demand_va": "5.1 kVA"}, {"general_demand_va": ("right", "")}),
    ({"general_demand_va": "5,099.9"}, {"general_demand_va": ("right", "")}),
    ({"general_demand_va": "5,090"}, {"general_demand_va": ("wrong", "")}),
    ({"general_demand_va": "5100 A"}, {"general_demand_va": ("unreadable", "")}),
    ({"general_demand_va": "about five"}, {"general_demand_va": ("unreadable", "")}),
    ({"general_demand_va": ""}, {"general_demand_va": ("left out", "")}),
    ({"general_lighting_va": "4500"}, {"general_lighting_va": ("right", "")}),
    ({"general_lighting_va": "3000"}, {"general_lighting_va": ("wrong", "")}),
    ({"cooking_demand_va": "12,000 VA"}, {"cooking_demand_va": ("slip", "range_at_nameplate")}),
    ({"cooking_demand_va": "12 kW"}, {"cooking_demand_va": ("slip", "range_at_nameplate")}),
    ({"cooking_demand_va": "8 kW"}, {"cooking_demand_va": ("right", "")}),
    ({"cooking_demand_va": "9,600"}, {"cooking_demand_va": ("wrong", "")}),
    ({"standard_a": "155"}, {"standard_a": ("slip", "divided_by_120")}),
    ({"standard_a": "77.5 amps"}, {"standard_a": ("right", "")}),
    ({"standard_a": "77.5"}, {"standard_a": ("right", "")}),
    ({"general_circuits_15a": "4"}, {"general_circuits_15a": ("slip", "eighty_percent_15")}),
    ({"general_circuits_15a": "3 circuits"}, {"general_circuits_15a": ("right", "")}),
    ({"general_circuits_20a": "3"}, {"general_circuits_20a": ("slip", "eighty_percent_20")}),
    # a wrong area, but all that follows is worked rightly from it: one line wrong, not five
    (
        {"general_lighting_va": "4,800", "general_connected_va": "9,300", "general_demand_va": "5,205",
         "standard_va": "18,705", "standard_a": "77.9"},
        {"general_lighting_va": ("wrong", ""), "general_connected_va": ("right", ""),
         "general_demand_va": ("right", ""), "standard_va": ("right", ""), "standard_a": ("right", "")},
    ),
    # two slips in one paper, each named, each punished once
    (
        {"general_demand_va": "3,150", "cooking_demand_va": "12,000", "standard_va": "20,650", "standard_a": "86.0"},
        {"general_demand_va": ("slip", "all_at_35"), "cooking_demand_va": ("slip", "range_at_nameplate"),
         "standard_va": ("right", ""), "standard_a": ("right", "")},
    ),
    # a slip, and then a slip on the carried number
    (
        {"general_demand_va": "3,150", "standard_va": "16,650", "standard_a": "138.75"},
        {"general_demand_va": ("slip", "all_at_35"), "standard_va": ("right", ""), "standard_a": ("slip", "divided_by_120")},
    ),
    # the right total after a wrong line doesn't follow from the learner's own numbers
    (
        {"general_demand_va": "3,150", "standard_va": "18,600"},
        {"general_demand_va": ("slip", "all_at_35"), "standard_va": ("wrong", "")},
    ),
    ({"neutral_va": "14,550"}, {"neutral_va": ("right", "")}),
    ({"neutral_va": "18,600"}, {"neutral_va": ("wrong", "")}),
    ({"neutral_cooking_and_dryers_va": "9450 VA"}, {"neutral_cooking_and_dryers_va": ("right", "")}),
    ({"standard_least_a": "78 A"}, {"standard_least_a": ("wrong", "")}),
    ({"standard_whole_a": "77 A"}, {"standard_whole_a": ("wrong", "")}),
    ({"small_appliances_va": "1,500"}, {"small_appliances_va": ("slip", "one_circuit_only")}),
    ({"laundry_va": "1500"}, {"laundry_va": ("right", "")}),
]  # fmt: skip


@pytest.mark.parametrize(("answers", "expected"), HAND_MARKED)
def test_marked_as_a_teacher_would(
    annex: Question, answers: dict[str, str], expected: dict[str, tuple[str, str]]
) -> None:
    assert verdicts(annex, answers) == expected


def test_a_slip_is_told_with_its_section(annex: Question) -> None:
    (told,) = [one.told for one in mark(annex, {"general_demand_va": "3150"}) if one.key == "general_demand_va"]
    assert "The first 3,000 VA count in full" in told
    assert told.endswith("[Table 220.45]")


def test_wrong_is_never_just_wrong(annex: Question) -> None:
    (told,) = [one.told for one in mark(annex, {"general_lighting_va": "1"}) if one.key == "general_lighting_va"]
    assert "floor area x unit load [220.41]" in told


@pytest.mark.parametrize("family", taught())
def test_carried_numbers_never_break_the_sheet(family: str) -> None:
    """Absurd numbers on every line are marked too; 1,000 ohm would stand at half of a ninth decimal, which no float tells."""
    asked = question(family, 3, 3)
    absurd = ("0", "-1", "9999999", "0.0001") if family == "dwelling-load" else ("0", "0.01", "100", "4/0")
    for number in absurd:
        assert len(mark(asked, dict.fromkeys(asked.asked, number))) == len(asked.asked)


@pytest.mark.parametrize(
    ("text", "unit", "number"),
    [("7,452 VA", "VA", 7452), ("7.452 kVA", "VA", 7452), (" 252.0A ", "A", 252), ("55 %", "%", 55), ("55%", "%", 55),
     ("3 circuits", "circuit", 3), ("3", "circuit", 3), (".5", "", 0.5), ("-2", "", -2), ("15.75 in3", "in3", 15.75),
     ("15.75 cu. in.", "in3", 15.75), ("2.25 in3", "in3/conductor", 2.25), ("41.7 A", "A", 41.7), ("41.7 amps", "A", 41.7),
     ("24 ft 6 in", "in", 294), ("24' 6\"", "in", 294), ("24.5 ft", "in", 294), ("294", "in", 294), ("183 feet", "ft", 183),
     ("9.766 kA", "A", 9766), ("0.29 kft", "ft", 290), ("5 percent", "%", 5), ("3,240 sq ft", "ft2", 3240),
     ("1,000", "ft", 1000), ("6 receptacles", "", 6)],
)  # fmt: skip
def test_units_are_read(text: str, unit: str, number: float) -> None:
    written, told = read_answer(text, unit)
    assert told == ""
    assert written is not None
    assert written.number == number


@pytest.mark.parametrize(
    "text",
    ["", " ", "four", "1/0", "--2", "1e5", "1.2.3", "NaN", "inf", "7 7", "<script>alert(1)</script>", "=1+1", "12\x00",
     "9" * 400, "٣", "4 A 5", "4 horses", "'; drop table"],
)  # fmt: skip
def test_what_can_not_be_read_is_told_and_never_raises(text: str) -> None:
    for unit in ("VA", "A", "in", "in3", "circuit", ""):
        number, told = read_answer(text, unit)
        if number is None:
            assert told.endswith(".")
            assert len(told) < 130
    outcome, told = read_outcome(text)
    assert outcome is None
    assert told.endswith("'falls short'.")


@pytest.mark.parametrize(("text", "outcome"), [("Passes", "passes"), ("OK.", "passes"), ("no", "falls short"),
                                               ("It's short", None), ("falls short!", "falls short")])  # fmt: skip
def test_outcomes_are_read(text: str, outcome: str | None) -> None:
    assert read_outcome(text)[0] == outcome


def test_a_real_house_can_be_practised() -> None:
    from calc.job import read_job

    job = read_job(Path(__file__).parents[2] / "notebooks" / "jobs" / "fernhollow-lot-12.toml")
    asked = question_from_job("dwelling-load", job)
    answers = {line["key"]: line["result"] for line in asked.sheet().as_json()["lines"]}
    assert {one.verdict for one in mark(asked, answers)} == {"right"}
