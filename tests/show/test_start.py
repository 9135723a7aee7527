"""The start page and what it tells of a job, without its page; headless it is one plain table."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from calc.families import families
from calc.job import read_job
from calc.show.chosen import chosen_job
from calc.show.glance import OUTSIDE, glance, glance_table, spoken
from calc.show.notebooks import notebooks_of
from calc.show.start import Start
from calc.workplace import shipped_notebooks

JOBS = shipped_notebooks() / "jobs"


def states(job: Path) -> dict[str, tuple[str, str]]:
    return {title: (state, says) for title, state, says in glance_table(job).rows}


def test_a_glance_says_what_each_calculation_says() -> None:
    """The house as a first day left it: each state is that of the sheets themselves."""
    job = read_job(JOBS / "fernhollow-lot-12.toml")
    found = states(JOBS / "fernhollow-lot-12.toml")
    assert found[families()["branch-circuits"].TITLE][0] == "FALLS SHORT"
    assert found[families()["feeder"].TITLE][0] == "FALLS SHORT"
    assert found[families()["dwelling-load"].TITLE][0] == "passes"
    assert found[families()["voltage-drop"].TITLE][1].startswith("R10 far bedroom: not met: drop within")
    assert "Kitchen left: Kitchen left" not in found[families()["branch-circuits"].TITLE][1]
    assert len(found) == len(families())
    assert job.job.name in glance_table(JOBS / "fernhollow-lot-12.toml").intro


def test_a_part_that_is_not_there_is_asked_for_by_its_title(tmp_path: Path) -> None:
    path = tmp_path / "hill.toml"
    path.write_text('[code]\nedition = "2023"\n[job]\nname = "hill"\n')
    found = states(path)
    assert found[families()["box-fill"].TITLE] == (OUTSIDE, "needs boxes, each with a name and what is in it")
    assert not [says for _, says in found.values() if "[" in says]


def test_no_brackets_and_no_stops_in_a_row() -> None:
    said = spoken(["The levels are not entered ([[stairs.landings]] with entry).", "[[no.such]] is no part"])
    assert said == "The levels are not entered (levels with entry); [[no.such]] is no part"


def test_a_file_that_is_no_job_says_why(tmp_path: Path) -> None:
    (tmp_path / "bad.toml").write_text("[code]\nedition = 2023\n")
    table = glance_table(tmp_path / "bad.toml")
    assert (table.title, table.rows) == ("This job file can't be used yet", [])
    assert "edition" in table.intro


def test_one_calculation_at_fault_hides_no_other(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(job: Any, code: Any) -> None:
        raise ZeroDivisionError("nothing")

    monkeypatch.setattr(families()["box-fill"], "work", broken)
    found = states(JOBS / "fernhollow-lot-12.toml")
    assert found["Box fill"][0] == "NOT WORKED"
    assert "fault of the program" in found["Box fill"][1]
    assert found["Dwelling load"][0] == "passes"


def test_a_glance_leads_to_every_notebook_once(tmp_path: Path) -> None:
    shutil.copy(JOBS / "fernhollow-lot-14.toml", tmp_path)
    seen = glance(tmp_path / "fernhollow-lot-14.toml", shipped_notebooks())
    led_to = [file for row in seen["rows"] for file, _ in row["notebooks"]] + [file for file, _ in seen["others"]]
    there = {path.name for path in shipped_notebooks().glob("*.ipynb")} - {"00-start-here.ipynb"}
    assert sorted(led_to) == sorted(there)
    assert "unsaved" not in seen["intro"]
    (tmp_path / ".fernhollow-lot-14.toml.1a2b.draft").write_text("{}")
    assert "unsaved" in glance(tmp_path / "fernhollow-lot-14.toml", shipped_notebooks())["intro"]


def test_only_notebooks_of_ours_are_told_of(tmp_path: Path) -> None:
    ours = {
        "metadata": {"studbay": {"family": "feeder", "packet": True}},
        "cells": [{"source": ["# The feeder\n", "x"]}],
    }
    (tmp_path / "1.ipynb").write_text(json.dumps(ours))
    ours["metadata"] = {}
    (tmp_path / "2.ipynb").write_text(json.dumps(ours))
    (tmp_path / "3.ipynb").write_text("no notebook")
    (tmp_path / "4.ipynb").write_bytes(b"\xff")
    assert notebooks_of(tmp_path) == [("1.ipynb", "feeder", "The feeder", True)]


@pytest.fixture
def start(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Start:
    """The start page in a folder with one job, as a person has it open."""
    (tmp_path / "jobs").mkdir()
    shutil.copy(JOBS / "fernhollow-lot-14.toml", tmp_path / "jobs")
    monkeypatch.chdir(tmp_path)
    start = Start(Path("jobs") / "fernhollow-lot-14.toml", live=True)
    for part in (start.job, start.glance, start.packet, start.spreadsheets):
        part()
    return start


def told(start: Start, part: str) -> dict[str, Any]:
    return dict(start._parts[part].data)


def test_a_job_made_on_the_page_is_chosen_and_remembered(start: Start) -> None:
    said = start._choose({"kind": "make", "name": " Alder Row 5 ", "starter": "one-family"}, [])
    assert said["chosen"] == "alder-row-5.toml"
    assert read_job("jobs/alder-row-5.toml").job.name == "Alder Row 5"
    assert "Alder Row 5" in told(start, "glance")["intro"]
    assert chosen_job(None, person=True) == Path("jobs/alder-row-5.toml")
    assert chosen_job(None, person=False) != Path("jobs/alder-row-5.toml"), "a headless run follows nobody"


@pytest.mark.parametrize("name", ["", "../up", "a/b", "x" * 81, "CON", "\x1b[31mred"])
def test_a_name_that_can_t_be_is_explained_and_makes_nothing(start: Start, name: str) -> None:
    said = start._choose({"kind": "make", "name": name, "starter": "one-family"}, [])
    assert "allowed" in said["said"]
    assert said["chosen"] == "fernhollow-lot-14.toml"
    assert [path.name for path in Path().rglob("*.toml")] == ["fernhollow-lot-14.toml"]


def test_only_jobs_of_the_folder_can_be_chosen(start: Start) -> None:
    Path("secret.toml").write_text("")
    said = start._choose({"kind": "choose", "file": "../secret.toml"}, [])
    assert "not known here" in said["said"]
    assert said["chosen"] == "fernhollow-lot-14.toml"


def test_lists_go_out_to_a_spreadsheet_and_come_back(start: Start, monkeypatch: pytest.MonkeyPatch) -> None:
    given: list[tuple[str, bytes]] = []
    monkeypatch.setattr(start._parts["spreadsheets"], "hand_over", lambda name, kind, raw: given.append((name, raw)))
    start._exchange({"kind": "out", "key": "boxes", "ending": ".csv"}, [])
    ((name, raw),) = given
    assert name == "fernhollow-lot-14-boxes.csv"
    first = read_job("jobs/fernhollow-lot-14.toml").boxes[0].name
    said = start._exchange(
        {"kind": "in", "key": "boxes", "name": name, "add": False}, [raw.replace(first.encode(), b"Den")]
    )
    assert "entries are in the job now" in said["said"]
    assert read_job("jobs/fernhollow-lot-14.toml").boxes[0].name == "Den"
    before = Path("jobs/fernhollow-lot-14.toml").read_bytes()
    for wrong, bytes_ in (("boxes.pdf", raw), ("boxes.xlsx", b"no workbook"), ("boxes.csv", b"name\n=1+1\n")):
        said = start._exchange({"kind": "in", "key": "boxes", "name": wrong, "add": False}, [bytes_])
        assert said["said"]
        assert "are in the job now" not in said["said"]
    assert Path("jobs/fernhollow-lot-14.toml").read_bytes() == before


def test_a_packet_that_is_not_there_is_not_opened(start: Start) -> None:
    assert told(start, "packet")["made"] is False
    assert start._print({"kind": "open"}, [])["said"] == "There is no packet of this job yet."


def test_headless_it_shows_the_verdict_and_nothing_else(monkeypatch: pytest.MonkeyPatch) -> None:
    shown: list[Any] = []
    monkeypatch.setattr("calc.show.start.display", shown.append)
    start = Start(JOBS / "fernhollow-lot-14.toml", live=False)
    for part in (start.job, start.glance, start.packet, start.spreadsheets):
        part()
    assert [set(each.forms) for each in shown] == [{"application/vnd.studbay.verdict+json", "text/html", "text/plain"}]


def test_a_job_is_laid_out_and_accepted_on_the_page(start: Start) -> None:
    start._choose({"kind": "make", "name": "Facts", "starter": "new-house-facts"}, [])
    assert start._choose({"kind": "accept", "name": ""}, [])["proposed"] == []
    said = start._choose({"kind": "propose"}, [])
    assert "entries are proposed" in said["said"]
    assert said["proposed"][0][0] == ""
    assert ("Laundry", "Laundry (2)") in said["proposed"]
    assert "passes" not in {row["state"] for row in told(start, "glance")["rows"] if row["title"] == "Box fill"}
    assert "2 entries accepted" in start._choose({"kind": "accept", "name": "Laundry"}, [])["said"]
    assert "left to accept" in start._choose({"kind": "withdraw", "name": "Dryer"}, [])["said"]
    assert "nothing of the name" in start._choose({"kind": "accept", "name": "<b>"}, [])["said"]
    assert start._choose({"kind": "accept", "name": ""}, [])["proposed"] == []
    assert "proposed" not in Path("jobs/facts.toml").read_text().replace("studbay propose", "")


def test_the_whole_house_goes_out_and_in_as_one_workbook(start: Start, monkeypatch: pytest.MonkeyPatch) -> None:
    handed: list[tuple[str, bytes]] = []
    monkeypatch.setattr(start._parts["spreadsheets"], "hand_over", lambda name, kind, raw: handed.append((name, raw)))
    start._exchange({"kind": "out", "key": "house", "ending": ".xlsx"}, [])
    ((name, raw),) = handed
    assert name == "fernhollow-lot-14-house.xlsx"
    said = start._exchange({"kind": "in", "key": "house", "name": name, "add": ""}, [raw])
    assert "is in the job now" in said["said"]
    assert "is no workbook" in start._exchange({"kind": "out", "key": "house", "ending": ".csv"}, [])["said"]
