"""The tutor: a record that is never lost, what comes next and when, fading, hints, drills, and a learner who forgets."""

from __future__ import annotations

import json
import os
import re
from datetime import UTC, datetime, timedelta
from multiprocessing import get_context
from pathlib import Path

import pytest
from click.testing import CliRunner

from calc.cli import main
from calc.practice import mark, mastery, question, taught, tutor
from calc.practice.asking import asked_lines
from calc.practice.effort import line_minutes
from calc.practice.lesson import Again
from calc.practice.record import Answered, RecordError, add_to_record, read_record
from calc.work.keys import stem_of
from tests.practice import simulated

NOW = datetime(2026, 3, 1, 9, tzinfo=UTC)


def one(skill: str, right: bool, day: float, question: str = "q", **more: object) -> Answered:
    return Answered(f"box-fill/{question}/1", skill, right, when=(NOW + timedelta(days=day)).isoformat(), **more)  # type: ignore[arg-type]


def test_a_record_keeps_what_another_tab_wrote(tmp_path: Path) -> None:
    """Two tabs merge, the version before is kept, the file is whole."""
    path = tmp_path / "ann.jsonl"
    first = add_to_record(path, [one("box-fill/grounds_in3", True, 0)])
    before = path.read_bytes()
    add_to_record(path, [one("box-fill/clamps_in3", False, 1)])  # a second tab that never read the first one's answers
    assert {each.skill for each in read_record(path)} == {"box-fill/grounds_in3", "box-fill/clamps_in3"}
    assert path.with_name("ann.jsonl.previous").read_bytes() == before
    assert add_to_record(path, first) == read_record(path)  # the same answers twice are there once
    assert not list(tmp_path.glob(".ann.jsonl-*"))


@pytest.mark.parametrize(
    "line", ["{", "[]", "{}", "null", json.dumps({"question": "q", "skill": "s", "right": "yes"}), "[" * 5000]
)
def test_a_spoiled_record_is_told_and_left(tmp_path: Path, line: str) -> None:
    path = tmp_path / "ann.jsonl"
    add_to_record(path, [one("box-fill/grounds_in3", True, 0)])
    path.write_text(path.read_text() + line + "\n")
    spoiled = path.read_bytes()
    with pytest.raises(RecordError, match="line 2"):
        add_to_record(path, [one("box-fill/clamps_in3", True, 1)])
    assert path.read_bytes() == spoiled


def test_nothing_is_lost_where_several_write_at_once(tmp_path: Path) -> None:
    """Four processes, as four tabs have, each with answers of its own: all are there, each once, in a file that is whole."""
    path, fork = tmp_path / "ann.jsonl", get_context("fork")

    def answer(tab: int) -> None:
        for number in range(10):
            add_to_record(path, [one(f"box-fill/{tab}-{number}", True, 0)])

    tabs = [fork.Process(target=answer, args=(tab,)) for tab in range(4)]
    for tab in tabs:
        tab.start()
    for tab in tabs:
        tab.join(60)
    assert sorted(each.skill for each in read_record(path)) == sorted(f"box-fill/{tab}-{n}" for tab in range(4) for n in range(10))  # fmt: skip
    assert len(read_record(path.with_name("ann.jsonl.previous"))) == 39


@pytest.mark.parametrize("fails", ["fsync", "replace"])
def test_a_record_stands_where_it_can_t_be_written(tmp_path: Path, fails: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """A full disk: the record and what was before it stay as they are, and it is told."""
    path = tmp_path / "ann.jsonl"
    for day in (0, 1):
        add_to_record(path, [one("box-fill/grounds_in3", True, day)])
    before = {name: name.read_bytes() for name in tmp_path.iterdir()}

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, fails, full)
    with pytest.raises(OSError, match="No space"):
        add_to_record(path, [one("box-fill/grounds_in3", True, 2)])
    assert {name: name.read_bytes() for name in tmp_path.iterdir()} == before


def test_a_missed_rule_comes_back_soon_and_a_known_one_later_each_time() -> None:
    """The spell grows with each success; a miss, or a hint, shortens it."""

    def due(*answers: tuple[bool, float, int]) -> timedelta:
        record = [one("s", right, day, hints=hints) for right, day, hints in answers]
        return tutor.cards(record)["s"].due - record[-1].at

    known = [due((True, 0, 0)), due((True, 0, 0), (True, 3, 0)), due((True, 0, 0), (True, 3, 0), (True, 14, 0))]
    assert known == sorted(known)
    assert known[2] > 3 * known[0]
    assert due((True, 0, 0), (False, 3, 0)) < known[0]
    assert due((True, 0, 0), (True, 3, 1)) < known[1]


def test_a_family_begins_with_an_example_and_fades() -> None:
    """A worked example in full, then a third of the lines, then two thirds, then whole."""
    record: list[Answered] = []
    shares = []
    for number in range(4):
        now = NOW + timedelta(minutes=5 * number)
        chosen = tutor.next_question(record, now, "voltage-drop")
        shares.append(len(chosen.asked) / len(chosen.question.asked))
        made = tutor.read_example(chosen) if not chosen.asked else [
            Answered(chosen.name, tutor.skill("voltage-drop", key), True) for key in chosen.asked]  # fmt: skip
        record += [
            Answered(each.question, each.skill, each.right, when=now.isoformat(), id=f"{number}{each.skill}")
            for each in made
        ]
    assert shares[0] == 0
    assert shares == sorted(shares)
    assert shares[3] == 1


def test_what_was_missed_is_asked_again_when_it_is_due() -> None:
    """Families are mixed once they are begun; the question holds the line that is due; the level follows."""
    record = [one(f"{family}/{line}", True, day / 10, f"{day}") for day in range(3) for family, line in
              (("box-fill", "required_in3"), ("grounding", "electrodes_count"))]  # fmt: skip
    record += [one("box-fill/grounds_in3", False, 0.5, "9")]
    chosen = tutor.next_question(record, NOW + timedelta(days=1.5))
    assert "grounds_in3" in {stem_of(key) for key in chosen.asked}
    again = tutor.next_question(record, NOW + timedelta(days=1.5))
    assert (again.name, again.asked) == (chosen.name, chosen.asked)
    good = [one("box-fill/required_in3", True, 0, "1") for _ in range(12)]
    bad = [Answered("box-fill/1/3", "box-fill/required_in3", False) for _ in range(12)]
    assert (tutor.level_of([], "box-fill"), tutor.level_of(good, "box-fill"), tutor.level_of(bad, "box-fill")) == (
        1,
        2,
        2,
    )


def test_who_misses_much_gets_to_the_other_families_too() -> None:
    """What is due comes first, but not for ever: after four questions of it the next family is begun."""
    record = [one("box-fill/required_in3", False, day, f"{day}") for day in range(6)]
    now = NOW + timedelta(days=7)
    assert tutor.next_question(record, now).question.family == "box-fill"
    record.append(one("box-fill/required_in3", False, 6, "6"))
    chosen = tutor.next_question(record, now)
    assert (chosen.question.family, chosen.asked) == ("branch-circuits", ())


def test_hints_tell_more_and_more_and_cost() -> None:
    """Which rule, what goes in, half worked; never the answer of a worked line."""
    chosen = tutor.drill("box-fill", "required_in3", 3)
    (key,) = chosen.asked
    rule, goes_in, half = tutor.hints(chosen.question, key)
    line = Again(chosen.question).shown[key]
    assert rule.startswith((*line["sections"], "No section: "))
    assert line["formula"] in goes_in
    assert line["numbers"] in half
    assert not half.endswith(line["result"])
    marked = [each for each in mark(chosen.question, {key: line["result"]}) if each.key == key]
    assert [1 - tutor.cost(used) for used in range(4)] == [1, 0.75, 0.5, 0.25]
    assert tutor.answered(chosen, marked, {key: 2})[0].hints == 2


def test_nothing_after_a_drilled_line_gives_it_away() -> None:
    """What comes before is told, what comes after is not there."""
    chosen = tutor.drill("box-fill", "grounds_in3", 4)
    lines = asked_lines(chosen.question, chosen.asked)
    assert [line.asked for line in lines] == [False] * (len(lines) - 1) + [True]
    assert all(line.told for line in lines)


def test_what_is_mastered_is_told_by_rule() -> None:
    """Two lines of one rule are one; a slip counts for the rule that it missed; what was missed is said, in words."""
    held = {"rule": "box_conductors"}
    record = [one("box-fill/conductors_in3", True, day, **held) for day in (0, 3, 14)]
    record += [
        one("box-fill/free_in3", True, 14, **held),
        one("grounding/electrodes_count", False, 14, rule="electrode_rods", slip="x"),
    ]
    now = NOW + timedelta(days=15)
    weak, strong = mastery.rules(record, now)
    assert (weak.stands, weak.right, weak.missed) == (mastery.TO_PRACTISE, 0, 1)
    assert (strong.stands, strong.right, strong.missed) == (mastery.HELD, 4, 0)
    chart = mastery.mastery_html(record, now)
    assert "Box fill: 1 of 1 rules held" in chart
    assert "Grounding and bonding: 0 of 1 rules held" in chart
    assert re.findall(r"width:(\d+)%.*?(\d+)%, (held|to practise)", chart)[0] == (
        f"{strong.chance:.0%}"[:-1],
        f"{strong.chance:.0%}"[:-1],
        "held",
    )
    assert weak.chance < strong.chance
    assert mastery.HELD not in {each.stands for each in mastery.rules(record, now + timedelta(days=400))}
    assert "Nothing practised yet" in mastery.mastery_text([], NOW)


def test_a_slip_is_recorded_with_the_rule_that_it_missed() -> None:
    """Not with the rule of the line it shows at; its words are told with it."""
    chosen = tutor.whole(question("dwelling-load", 4, 2))
    connected = Again(chosen.question).shown["general_connected_va"]["result"]
    marked = mark(chosen.question, {"general_demand_va": connected})
    (answer,) = tutor.answered(chosen, marked)
    assert (answer.right, answer.slip) == (False, "nothing_taken_off")
    (rule,) = mastery.rules([answer], datetime.now(UTC))
    assert rule.name.startswith("Table 220.4")
    assert "demand steps" in rule.slip
    assert rule.stands == mastery.TO_PRACTISE  # a minute after it was told


def test_a_record_of_before_rules_were_kept_is_read(tmp_path: Path) -> None:
    """A line without its rule is still an answer; one with a wrong kind of value is not."""
    path = tmp_path / "ann.jsonl"
    said = {"question": "box-fill/1/1", "skill": "box-fill/grounds_in3", "right": True, "slip": "", "hints": 0,
            "when": NOW.isoformat(), "id": "a"}  # fmt: skip
    path.write_text(json.dumps(said) + "\n")
    assert read_record(path)[0].rule == ""
    path.write_text(json.dumps({**said, "hints": "2"}) + "\n")
    with pytest.raises(RecordError, match="line 1"):
        read_record(path)


def test_the_file_before_is_kept_where_nothing_is_new(tmp_path: Path) -> None:
    path = tmp_path / "ann.jsonl"
    first = add_to_record(path, [one("box-fill/grounds_in3", True, 0)])
    before = path.read_bytes()
    add_to_record(path, [one("box-fill/clamps_in3", False, 1)])
    add_to_record(path, first)
    assert path.with_name("ann.jsonl.previous").read_bytes() == before


def test_the_tutor_teaches_more_than_chance() -> None:
    """A learner who forgets, 300 questions: more is left a week later than of random questions."""
    assert simulated.mean(simulated.by_tutor, 2)[0] > simulated.mean(simulated.at_random, 2)[0] + 0.05


def test_the_command_keeps_a_record(tmp_path: Path) -> None:
    """Example, faded question, answers marked and recorded, what is mastered."""
    path, run = tmp_path / "ann.jsonl", CliRunner()
    example = run.invoke(main, ["practice", "tutor", "grounding", "--record", str(path)])
    assert "a worked example" in example.output
    faded = run.invoke(main, ["practice", "tutor", "grounding", "--record", str(path)])
    assert "lines are left to you" in faded.output
    chosen = tutor.next_question(read_record(path), datetime.now(UTC), "grounding")
    assert "which rule 25%, what goes in 50%, half worked 75%" in faded.output
    ask = ["practice", "tutor", "grounding", "--record", str(path), "--hint", chosen.asked[0]]
    hinted = [run.invoke(main, ask).output for _ in range(4)]
    assert ["What goes in" in said for said in hinted] == [False, True, True, True]
    assert ["Half worked" in said for said in hinted] == [False, False, True, True]
    assert [said.splitlines()[-1] for said in hinted] == [
        "The next: what goes in (50% off).", "The next: half worked (75% off).", *["No more hints."] * 2]  # fmt: skip
    assert run.invoke(main, [*ask[:-1], "1"]).exit_code == 2  # a line that is told
    table = tmp_path / "answers.csv"
    table.write_text(f"learner,{chosen.asked[0]}\nAnn,{Again(chosen.question).shown[chosen.asked[0]]['result']}\n")
    marked = run.invoke(main, ["practice", "tutor", "grounding", "--record", str(path), "--answers", str(table)])
    assert "1 of" in marked.output
    assert "less what hints cost, 0.25" in marked.output
    assert [(each.right, each.hints) for each in tutor.lines_of(read_record(path))] == [(True, 3)]
    assert "one line, two minutes" in run.invoke(main, ["practice", "tutor", "--record", str(path), "--drill"]).output
    assert "rules held" in run.invoke(main, ["practice", "tutor", "--record", str(path), "--mastery"]).output
    path.write_text("{")
    told = run.invoke(main, ["practice", "tutor", "grounding", "--record", str(path)])
    assert told.exit_code == 2


def test_a_drill_is_one_line_of_what_is_weakest() -> None:
    """All before it told, two minutes at most; where nothing is known yet, the first line of a family."""
    missed = one("box-fill/grounds_in3", False, 0, "3")
    record = [one("box-fill/required_in3", True, 0, "2"), missed]
    chosen = tutor.next_drill(record, NOW + timedelta(days=2))
    assert [stem_of(key) for key in chosen.asked] == ["grounds_in3"]
    assert len(tutor.next_drill([], NOW, "raceway").asked) == 1


@pytest.mark.parametrize("family", taught())
def test_no_line_takes_more_than_two_minutes(family: str) -> None:
    """By the measure that exams are made even with."""
    for level in (1, 2, 3):
        again = Again(question(family, 11, level))
        assert max(line_minutes(again, key) for key in again.question.asked) <= 2


def test_a_hint_changes_neither_the_next_question_nor_the_level() -> None:
    """It is in the record for the question that it was read in, and for no other."""
    record = [one("box-fill/required_in3", True, 0, "2")]
    chosen = tutor.next_question(record, NOW, "box-fill")
    key = chosen.asked[0]
    record += [tutor.hint_read(chosen, key, used) for used in (2, 1)]
    assert tutor.next_question(record, NOW, "box-fill").name == chosen.name
    assert tutor.hints_read(record, chosen) == {key: 2}
    assert tutor.hints_read(record, tutor.drill("box-fill", "required_in3", 1)) == {}
    assert set(tutor.cards(record)) == {"box-fill/required_in3"}
