"""A desk: headless and live it shows the same, it follows the form, and what goes wrong is told and loses nothing."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

from calc.families import families
from calc.job import create_job, new_job
from calc.show.desk import Desk
from calc.show.display import Shown
from calc.show.live import NOT_CURRENT, View, chart_page
from calc.workplace import shipped_notebooks

JOBS = shipped_notebooks() / "jobs"
AREA = "dwelling.floor_area_ft2"


class Opened:
    """A family's notebook as a person has it open, every view in sight."""

    def __init__(self, family: str, path: Path, shown: list[Any]) -> None:
        self.desk, self.shown = Desk(family, path, live=True), shown
        for part in (self.desk.form, self.desk.sheets, self.desk.charts, self.desk.tables, self.desk.what_if):
            part()
        for each in shown:
            if hasattr(each, "_heard") and each is not self.form:
                each._heard(each, {"kind": "sight", "page": "page", "seen": True}, [])

    @property
    def form(self) -> Any:
        return next((each for each in self.shown if type(each).__name__ == "Form"), None)

    def view(self, label: str) -> View:
        return next(each for each in self.shown if isinstance(each, View) and each.label == label)

    def type(self, at: str, text: str) -> None:
        self.form._heard(self.form, {"kind": "set", "at": at, "text": text}, [])


@pytest.fixture
def shown(monkeypatch: pytest.MonkeyPatch) -> list[Any]:
    found: list[Any] = []
    for module in ("desk", "album"):
        monkeypatch.setattr(f"calc.show.{module}.display", lambda *each: found.extend(each))
    return found


@pytest.fixture
def house(tmp_path: Path) -> Path:
    shutil.copytree(JOBS / "amendments", tmp_path / "amendments")
    return Path(shutil.copy(JOBS / "fernhollow-lot-12.toml", tmp_path))


@pytest.mark.parametrize("family", ["dwelling-load", "box-fill"])
def test_headless_and_live_show_the_same(family: str, house: Path, shown: list[Any]) -> None:
    desk = Desk(family, house, live=False)
    for part in (desk.form, desk.sheets, desk.charts, desk.tables, desk.what_if):
        part()
    plain = [each.forms for each in shown if isinstance(each, Shown)]
    shown.clear()
    opened = Opened(family, house, shown)
    sheets = [forms["text/html"] for forms in plain if "application/vnd.studbay.sheet+json" in forms]
    view = opened.view("Sheet")
    assert len(view.titles) == len(sheets)
    for at, html in enumerate(sheets):
        view._asked({"kind": "turn", "at": at})
        assert view.html == html
    drawn = [forms["image/svg+xml"] for forms in plain if "image/svg+xml" in forms]
    assert drawn[0] in opened.view("Chart").html
    assert opened.view("Chart").html == chart_page(opened.desk._all_charts()[0])


def test_an_edit_is_worked_through_and_what_it_changed_is_marked(house: Path, shown: list[Any]) -> None:
    """3,240 ft2 x 3 VA/ft2 = 9,720 VA; 1,000 ft2 make 3,000 VA."""
    opened = Opened("dwelling-load", house, shown)
    before = opened.view("Chart").html
    assert "9,720" in opened.view("Sheet").html
    assert ">was " not in opened.view("Sheet").html
    opened.type(AREA, "1,000")
    assert "was 9,720" in opened.view("Sheet").html
    assert opened.view("Chart").html != before
    assert (opened.view("Sheet").banner, opened.desk.trouble) == ("", "")


def test_a_wrong_entry_leaves_the_last_good_sheet_marked(house: Path, shown: list[Any]) -> None:
    opened = Opened("dwelling-load", house, shown)
    good = opened.view("Sheet").html
    opened.type(AREA, "lots")
    assert (opened.view("Sheet").html, opened.view("Sheet").banner) == (good, NOT_CURRENT)
    opened.type(AREA, "3240")
    assert opened.view("Sheet").banner == ""


def test_the_sheet_of_the_edited_entry_comes_into_view(house: Path, shown: list[Any]) -> None:
    opened = Opened("box-fill", house, shown)
    assert opened.desk.draft is not None
    name = opened.desk.draft.data["boxes"][4]["name"]
    opened.type("boxes[5].room", "")
    assert name in opened.view("Sheet").titles[opened.view("Sheet").at]


def test_what_a_person_turns_to_stays_though_it_was_asked_for_before_the_sheets_came_into_sight(
    house: Path, shown: list[Any]
) -> None:
    """The choice may arrive before the word that the view is in sight: the entry edited last doesn't overrule it."""
    opened = Opened("box-fill", house, shown)
    view = opened.view("Sheet")
    view._heard(view, {"kind": "sight", "page": "page", "seen": False}, [])
    opened.type("boxes[5].room", "")
    view._heard(view, {"kind": "turn", "at": 0}, [])
    view._heard(view, {"kind": "sight", "page": "page", "seen": True}, [])
    assert view.at == 0


def test_a_fault_of_the_program_is_told_and_the_form_goes_on(
    house: Path, shown: list[Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    opened = Opened("dwelling-load", house, shown)
    good = opened.view("Sheet").html

    def broken(*_: object) -> None:
        raise ZeroDivisionError("so it is")

    monkeypatch.setattr(families()["dwelling-load"], "work", broken)
    opened.type(AREA, "2000")
    assert opened.view("Sheet").html == good
    assert opened.view("Sheet").banner == NOT_CURRENT
    assert "by a fault of the program: ZeroDivisionError: so it is" in opened.form.state["stands"]["said"]
    monkeypatch.undo()
    opened.type(AREA, "2001")
    assert "2,001 ft²" in opened.view("Sheet").html.replace("\u00a0", " ")
    assert opened.desk.trouble == ""


@pytest.mark.parametrize("live", [False, True])
def test_a_part_that_the_job_lacks_is_asked_for(
    tmp_path: Path, shown: list[Any], live: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "hill.toml"
    path.write_text('[code]\nedition = "2023"\n[job]\nname = "hill"\n')
    if live:
        opened = Opened("box-fill", path, shown)
        assert "boxes" in opened.form.state["stands"]["said"]
        assert opened.view("Sheet").html == ""
    else:
        desk = Desk("box-fill", path, live=False)
        desk.sheets()
        desk.charts()
        assert "boxes" in capsys.readouterr().out
        assert shown == []


def test_amendments_that_are_not_there_are_told_on_the_page(house: Path, shown: list[Any]) -> None:
    shutil.rmtree(house.parent / "amendments")
    opened = Opened("box-fill", house, shown)
    assert "marrow-creek.toml" in opened.form.state["stands"]["said"]
    assert opened.view("Sheet").html == ""


def test_after_an_edit_sheet_and_chart_are_drawn_before_the_rest(
    house: Path, shown: list[Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    opened = Opened("box-fill", house, shown)
    drawn: list[str] = []
    monkeypatch.setattr(View, "refresh", lambda view, *_: drawn.append(view.label))
    opened.type("boxes[1].marked_in3", "19")
    assert drawn == ["Sheet", "Chart", "Table", "Editions"]


def test_a_file_that_is_no_job_is_told_on_the_page(tmp_path: Path, shown: list[Any]) -> None:
    (tmp_path / "bad.toml").write_text("[code]\nedition = <b>\n")
    opened = Opened("dwelling-load", tmp_path / "bad.toml", shown)
    assert opened.form is None
    assert "This job file can't be used yet." in shown[1].forms["text/plain"]
    assert "<b>" not in shown[1].forms["text/html"]
    assert opened.view("Sheet").html == ""


def test_the_bar_counts_every_check_and_names_each_that_does_not_pass_worst_first(
    house: Path, shown: list[Any]
) -> None:
    """The verdict of a page is that of all its checks: none is cut, and what is not shown stands after what falls short."""
    opened = Opened("feeder", house, shown)
    stands = opened.form.state["stands"]
    sheets = families()["feeder"].work(opened.desk.house)
    short = sum(not check.holds.holds for sheet in sheets for check in sheet.checks)
    unknown = sum(len(sheet.unknowns) for sheet in sheets)
    passing = sum(check.holds.holds for sheet in sheets for check in sheet.checks)
    assert (short, unknown) == (3, 2)
    assert stands["state"] == "falls short"
    assert stands["said"] == f"3 fall short, 2 not shown, {passing} checks pass."
    assert [each["state"] for each in stands["open"]] == ["falls short"] * 3 + ["not shown"] * 2
    assert {each["about"]: each["at"] for each in stands["open"]}["R9 attic hole"] == "runs[9].breaker_a"


def test_circuits_that_nobody_entered_are_proposed_and_pass_nothing(tmp_path: Path, shown: list[Any]) -> None:
    """A new job's circuits are the program's own proposal: a state of its own, outside of what the job claims."""
    path = tmp_path / "new.toml"
    create_job(path, new_job("New", "one-family"))
    opened = Opened("branch-circuits", path, shown)
    said = opened.form.state["stands"]["said"]
    assert "5 proposed" in said
    assert "pass" not in said
    assert "outside the scope of the job" in said


def test_the_opening_is_folded_for_a_person_with_a_job_of_their_own(house: Path, shown: list[Any]) -> None:
    """It stands open in a packet's notebook and over the demo house; over a job of one's own the form comes first."""
    for live, path, folded in ((False, house, False), (True, None, False), (True, house, True)):
        shown.clear()
        Desk("raceway", path, live=live).opening()
        html = next(each for each in shown if isinstance(each, Shown) and "<img" in each.forms["text/html"]).forms[
            "text/html"
        ]
        assert (html.index("<details") < html.index("<img")) == folded
        assert not (folded and "<details open" in html)
