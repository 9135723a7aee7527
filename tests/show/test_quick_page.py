"""The quick page: its fields ask what the command asks, and its answer goes into a job."""

from __future__ import annotations

from pathlib import Path

import pytest

from calc import quick
from calc.job import read_job
from calc.show.quick import MAIN_FIELDS, Quick, as_typed, example_in_fields, page

HEAD = '[code]\nedition = "2023"\n[job]\nname = "House"\n'


@pytest.mark.parametrize("name", quick.questions())
def test_the_example_in_the_fields_has_the_answer_of_the_example(name: str) -> None:
    asked = quick.question(name)
    values = example_in_fields(asked)
    (typed,), (example,) = quick.ask(name, as_typed(asked, values)), quick.ask(name, asked.examples[0])
    assert (typed.line, typed.decides, typed.status) == (example.line, example.decides, example.status)
    assert len(values) <= MAIN_FIELDS


def test_a_number_alone_is_taken_in_the_unit_of_its_field(tmp_path: Path) -> None:
    widget = Quick(tmp_path)
    widget.fill("drop", {"load": "16", "voltage": "120", "length": "110", "conductor": "12"})
    (shown,) = widget.answer["answers"]
    assert shown["line"].startswith("5.66 % drop: 6.79 V")
    widget.fill("drop", {"load": "16", "voltage": "120", "length": "1", "limit": "3", "conductor": "12 AWG"})
    assert widget.answer["problem"] == ""


def test_fields_that_make_no_question_say_so_and_nothing_is_answered(tmp_path: Path) -> None:
    widget = Quick(tmp_path)
    widget.fill("drop", {"load": "<b>16"})
    assert widget.answer["answers"] == []
    assert "is not understood" in widget.answer["problem"]
    assert widget.put("house.toml", "A run") == "Answer it in one way first."


def test_two_ways_to_read_it_are_both_shown_and_neither_is_put_into_a_job(tmp_path: Path) -> None:
    (tmp_path / "house.toml").write_text(HEAD)
    widget = Quick(tmp_path)
    widget.fill("drop", {"load": "16 A", "length": "110 ft", "conductor": "12 AWG"})
    assert len(widget.answer["answers"]) == 2
    widget.put("house.toml", "A run")
    assert (tmp_path / "house.toml").read_text() == HEAD


def test_an_answer_goes_into_a_job_of_the_folder_and_nowhere_else(tmp_path: Path) -> None:
    jobs = tmp_path / "jobs"
    jobs.mkdir()
    (jobs / "house.toml").write_text(HEAD)
    (tmp_path / "other.toml").write_text(HEAD)
    widget = Quick(jobs)
    widget.choose("box")
    assert widget.put("house.toml", " Kitchen ").startswith("'Kitchen' is in house.toml now")
    assert read_job(jobs / "house.toml").boxes[0].marked_in3 == 18
    assert 'has "Kitchen" already' in widget.put("house.toml", "Kitchen")
    assert widget.put("../other.toml", "Hall").startswith("Nothing was written")
    assert (tmp_path / "other.toml").read_text() == HEAD


def test_without_a_person_each_question_stands_with_one_example(capsys: pytest.CaptureFixture[str]) -> None:
    page(live=False)
    said = capsys.readouterr().out
    for name in quick.questions():
        assert quick.one_line(name)[0] in said
    assert "falls short; 20.25" in said
