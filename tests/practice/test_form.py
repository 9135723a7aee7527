"""The practice page: a field a line, and what is told at each when it is marked."""

from __future__ import annotations

from pathlib import Path

import pytest

from calc.families import families
from calc.job import read_job
from calc.practice import question, question_from_job
from calc.practice.asking import givens
from calc.practice.form import Picker, Practice
from calc.practice.lesson import Again
from calc.practice.record import read_record
from calc.practice.tutor import lines_of

DEMO = Path(__file__).parents[2] / "notebooks" / "jobs" / "fernhollow-lot-12.toml"


@pytest.fixture
def page() -> Practice:
    made = Practice("box-fill", 2, 1, live=True)
    made.take(made.question)
    return made


def test_a_question_is_made_when_it_comes_into_sight() -> None:
    """An exercise far below a form keeps the form waiting with none of its fields."""
    practice = Practice("box-fill", 1, 1, live=True)
    practice.show()
    assert not practice.fields
    (place,) = practice._page.children
    place._heard(place, {"kind": "sight", "page": "a", "seen": True}, [])
    assert list(practice.fields) == practice.question.asked
    assert place not in practice._page.children


def test_each_asked_line_has_a_field_with_its_name(page: Practice) -> None:
    assert list(page.fields) == page.question.asked
    assert all(field.description for field in page.fields.values())


def test_marks_are_told_at_the_lines(page: Practice) -> None:
    results = {line["key"]: line["result"] for line in page.question.sheet().as_json()["lines"]}
    key, other, *_ = page.fields
    page.fields[key].value = results[key]
    page.fields[other].value = "0.5"
    page.mark()
    assert page.told[key].value.endswith("Right.")
    assert len(page.told[other].value) > 20
    assert {page.told[left].value for left in list(page.fields)[2:]} == {""}


def test_what_is_typed_is_shown_as_text(page: Practice) -> None:
    key = next(iter(page.fields))
    page.fields[key].value = "<b>7</b>"
    page.mark()
    assert "<b>" not in page.told[key].value


def test_a_real_sheet_is_taken_with_its_results_hidden(page: Practice) -> None:
    page.from_job(DEMO, "box-fill", "B7 garage, in EMT")
    assert page.question.sheet().subject == "B7 garage, in EMT"
    assert all(field.value == "" for field in page.fields.values())


@pytest.mark.parametrize("family", list(families()))
def test_a_sheet_of_each_family_of_a_real_house_can_be_practised(page: Practice, family: str) -> None:
    """Without a subject the last sheet that isn't refused; its own results are all right."""
    page.from_job(DEMO, family)
    shown = Again(page.question).shown
    for key, field in page.fields.items():
        field.value = shown[key]["result"]
    assert page.question.family == family
    assert {one.verdict for one in page.mark()} == {"right"}


def test_a_sheet_that_there_is_not_is_told(page: Practice, capsys: pytest.CaptureFixture[str]) -> None:
    page.from_job(DEMO, "box-fill", "B99")
    assert "no sheet 'B99'; there are Box fill: B1 family room" in capsys.readouterr().out


def test_what_is_given_is_said_in_words() -> None:
    """A part inside another is told whole, and nothing as the file writes it."""
    asked = question_from_job("box-fill", read_job(DEMO), "B12 family room, television, side power")
    told = dict(givens(asked))
    assert told["side television"] == "low voltage"
    assert told["side power"] == "cables 2 x 12/2 with ground, receptacle wire 12"
    everything = [text for name in families()
                  for pair in givens(question_from_job(name, read_job(DEMO))) for text in pair]  # fmt: skip
    assert not [text for text in everything if "_" in text or text.strip() == ""]


def test_a_missing_job_is_told(page: Practice, capsys: pytest.CaptureFixture[str]) -> None:
    page.from_job(DEMO.with_name("nowhere.toml"), "box-fill")
    assert page.question.title.startswith("Practice 1")
    assert "nowhere.toml" in capsys.readouterr().out


def test_the_voltage_of_a_load_is_told_once() -> None:
    """The neutral's lines ask which loads have 120 V; a circuit's sheet tells it among the entries already."""
    house = dict(givens(question("dwelling-load", 3, 2)))
    assert house["Dishwasher"].endswith("VA, at 120 V")
    assert house["Range"].endswith("VA, at 240 V")
    heated = next(
        asked
        for seed in range(40)
        if (asked := question("branch-circuits", seed, 2)).job.data.get("loads", [{}])[0].get("name") == "Strips"
    )
    circuit = givens(heated)
    assert len([text for _, text in circuit if text.endswith("240 V")]) == 2  # strips and blower


def test_the_page_teaches_from_a_record(page: Practice, tmp_path: Path) -> None:
    """An example first, then lines left to do; hints cost; each answer is recorded once; the chart follows."""
    page.learn(tmp_path / "ann.jsonl")
    page.next()
    assert page.fields == {}
    assert "<pre>" in page._page.children[-1].value
    page.next()
    key = next(iter(page.fields))
    page.hint(key)
    page.hint(key)
    assert "What goes in: " in page._hints[key].value
    assert page.hint_buttons[key].description == "Hint 3: half worked (75% off)"
    page.fields[key].value = Again(page.question).shown[key]["result"]
    page.mark()
    page.mark()
    assert page._summed.value.startswith("1 of ")
    assert "less what hints cost, 0.5" in page._summed.value
    (answer,) = lines_of(read_record(tmp_path / "ann.jsonl"))
    assert (answer.right, answer.hints) == (True, 2)
    assert "What you would get right tomorrow" in page._mastered.value
    assert "held" in page._mastered.value


def test_a_hint_that_was_paid_for_stands_after_the_page_is_opened_again(page: Practice, tmp_path: Path) -> None:
    """Another tab has it too, and its price."""
    page.learn(tmp_path / "ann.jsonl")
    page.next()
    page.next()
    key = next(iter(page.fields))
    page.hint(key)
    other = Practice("box-fill", 2, 1, live=True)
    other.learn(tmp_path / "ann.jsonl")
    other.next()
    assert (other.question.ref, other.hinted) == (page.question.ref, {key: 1})
    assert other._hints[key].value == page._hints[key].value
    other.next(drill=True)
    assert len(other.fields) == 1


def test_an_answer_that_can_t_be_recorded_is_marked_and_told(page: Practice, tmp_path: Path) -> None:
    """A record that was spoiled meanwhile stays as it is; the answer goes in once it is mended."""
    record = tmp_path / "ann.jsonl"
    page.learn(record)
    page.next()
    page.next()
    whole = record.read_text()
    key = list(page.fields)[-1]
    page.fields[key].value = "0.5"
    record.write_text("{")
    page.mark()
    assert page.told[key].value
    assert "Not recorded" in page._mastered.value
    assert record.read_text() == "{"
    record.write_text(whole)
    page.mark()
    assert [each.right for each in lines_of(read_record(record))] == [False]


def test_a_real_sheet_is_picked_from_lists(page: Practice) -> None:
    """House, calculation and sheet; a house that can't be read is told, and the question stays."""
    picker = Picker(DEMO.parent, page)
    assert picker.family.options == ()
    picker.house.set_state(
        {"index": [value for _, value in picker.house.options].index(str(DEMO))}
    )  # as the browser does
    assert page.question.family == picker.family.value == picker.family.options[0][1]
    assert page.question.title.endswith("fernhollow-lot-12")
    assert "Box fill" in [title for title, _ in picker.family.options]
    picker.family.value = "box-fill"
    picker.subject.value = next(name for name in picker.subject.options if "B7 garage" in name)
    assert page.question.sheet().subject == "B7 garage, in EMT"
    assert page.fields
    for family in ("grounding", "voltage-drop"):
        picker.family.value = family
        assert (page.question.family, bool(page.fields)) == (family, True)


def test_a_house_that_can_t_be_read_is_told_in_the_picker(page: Practice, tmp_path: Path) -> None:
    (tmp_path / "bad.toml").write_text("[job]\nname = 7\n")
    picker, before = Picker(tmp_path, page), page.question
    picker.house.value = str(tmp_path / "bad.toml")
    assert "name" in picker._said.value
    assert page.question is before


def test_a_spoiled_record_is_told_on_the_page(page: Practice, tmp_path: Path) -> None:
    (tmp_path / "ann.jsonl").write_text("{")
    page.learn(tmp_path / "ann.jsonl")
    page.next()
    assert "line 1" in page._mastered.value
    assert (tmp_path / "ann.jsonl").read_text() == "{"


@pytest.mark.parametrize(
    ("family", "short"), [("panels", {"bus_protected"}), ("rough-in", {"working_width"})], ids=["panels", "rough-in"]
)
def test_a_family_without_a_lesson_has_the_small_job_of_the_reference_to_practise(family: str, short: set[str]) -> None:
    """All that its checks compare is given, one of them falls short, and each is marked by itself with its reason."""
    practice = Practice(family, 1, 1, live=True)
    practice.take(practice.question)
    given = dict(givens(practice.question))
    checks = {check.key: check for check in practice.question.sheet().checks}
    assert {check.holds.left.name for check in checks.values() if check.holds.left.origin == "given"} <= set(given)
    for key in checks:
        practice.fields[key].value = "passes"
    marked = {one.key: one for one in practice.mark() if one.key in checks}
    assert {key for key, one in marked.items() if one.verdict != "right"} == short
    assert all("required [" in one.told for key, one in marked.items() if key in short)
