"""The form without its page: what it does with what a page sends, and what it tells."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from calc.codebook import editions, open_codebook
from calc.job import field_info, parse_conductors, parse_size, read_job
from calc.job.draft import Draft
from calc.job.forms import shown_for
from calc.job.model import part_at
from calc.show.entries import everything
from calc.show.form import Form
from calc.show.stands import Stands, told
from calc.show.suggested import suggestions

TEXT = """[code]
edition = "2023"
[job]
name = "hill"
[dwelling]
kind = "one-family"
floor_area_ft2 = 1500
[[loads]]
name = "Range"
kind = "range"
load_va = 12_000
volts = 240
[[boxes]]
name = "Porch"
marked_in3 = 18
[[boxes]]
name = "Hall"
marked_in3 = 18
devices = [{ kind = "switch", wire = 14 }]
"""
FORM = (
    ("dwelling", ("kind", "floor_area_ft2")),
    ("loads", ("name", "kind", "load_va", "volts", "count")),
    ("boxes", ("name", "marked_in3", "devices")),
)
AREA = "dwelling.floor_area_ft2"


class Page:
    """A form with what a page would do to it."""

    def __init__(self, path: Path) -> None:
        self.edited: list[str] = []
        self.path = path
        self.form = Form(Draft(path), FORM, self._changed, told("as opened"))

    def _changed(self, at: str) -> Stands:
        self.edited.append(at)
        return told(f"edit {len(self.edited)}")

    def send(self, kind: str, **more: Any) -> None:
        self.form._heard(self.form, {"kind": kind, **more}, [])

    def set(self, at: str, text: str, **more: Any) -> None:
        self.send("set", at=at, text=text, **more)

    def __getitem__(self, name: str) -> Any:
        return self.form.state[name]


@pytest.fixture
def page(tmp_path: Path) -> Page:
    path = tmp_path / "hill.toml"
    path.write_text(TEXT)
    return Page(path)


def test_a_form_opens_saying_whose_it_is(page: Page) -> None:
    assert (page["job"], page["dirty"], page["save"], page["stands"]["said"]) == ("hill", False, False, "as opened")


def test_an_edit_is_taken_in_and_answered(page: Page) -> None:
    before = page.form.answers
    page.set(AREA, "2,000")
    assert page.form.draft.data["dwelling"]["floor_area_ft2"] == 2000
    assert page.form.values[AREA] == "2000"
    assert (page["dirty"], page["save"], page["stands"]["said"]) == (True, True, "edit 1")
    assert page.edited == [AREA]
    assert page.form.answers == before + 1


def test_a_wrong_entry_is_told_beside_its_field_and_the_rest_works(page: Page) -> None:
    page.set(AREA, "many")
    assert page.form.problems == {AREA: 'is "many"; allowed: a number, 50 to 30,000 ft²'}
    assert page.form.values[AREA] == "many"
    assert (page["wrong"], page["save"], page["undo"]) == (1, False, True)
    page.set("loads[1].load_va", "9000")
    assert page.form.values["loads[1].load_va"] == "9000"
    page.set(AREA, "1700")
    assert page.form.problems == {}
    assert page["save"]


def test_a_problem_of_what_the_form_does_not_show_is_told_in_words(page: Page) -> None:
    page.form.draft.change({"panels": [{"name": "Main", "bus_a": 3}]})
    page.send("undo")
    page.send("redo")
    assert page.form.problems == {}
    assert any("panels[1].bus_a" in text for text in page["elsewhere"])


def test_typing_the_same_again_is_no_edit(page: Page) -> None:
    page.set(AREA, " 1500 ")
    assert page.edited == []
    assert not page["dirty"]


def test_undo_says_what_it_took_back(page: Page) -> None:
    page.set(AREA, "1700")
    page.send("undo")
    assert page["said"] == "Took back: Floor area is now 1500."
    page.send("redo")
    assert page["said"] == "Did again: Floor area is now 1700."


def test_keystrokes_of_one_visit_are_taken_back_together(page: Page) -> None:
    for text in ("17", "170", "1700"):
        page.set(AREA, text, visit=4)
    page.send("undo")
    assert page.form.values[AREA] == "1500"


def test_rows_are_added_copied_moved_and_removed(page: Page) -> None:
    page.send("add", at="loads", index=1)
    assert page.form.values["loads[2].name"] == "Load 1"
    assert page["wrong"] > 0
    page.send("remove", at="loads", index=1)
    page.send("copy", at="loads", index=0)
    assert [row["name"] for row in page.form.draft.rows("loads")] == ["Range", "Range 2"]
    page.send("copy", at="loads", index=0)
    assert [row["name"] for row in page.form.draft.rows("loads")] == ["Range", "Range 3", "Range 2"]
    page.send("move", at="loads", index=2, to=0)
    assert [row["name"] for row in page.form.draft.rows("loads")] == ["Range 2", "Range", "Range 3"]
    assert page.form.draft.current


def test_rows_inside_an_entry(page: Page) -> None:
    page.send("add", at="boxes[1].devices", index=0)
    page.set("boxes[1].devices[1].kind", "receptacle")
    page.set("boxes[1].devices[1].wire", "12")
    assert page.form.draft.job.boxes[0].devices[0].kind == "receptacle"
    page.send("copy", at="boxes[2].devices", index=0)
    assert page.form.values["boxes[2].devices#"] == "2"


def test_rows_are_pasted(page: Page) -> None:
    page.send("paste", at="loads", text="Fan\tfan\t80\t120\nHeater\tspace-heat\t1500\t240")
    assert [load.name for load in page.form.draft.job.loads] == ["Range", "Fan", "Heater"]
    page.send("undo")
    assert page.form.values["loads#"] == "1"


def test_a_paste_that_no_house_has_is_told(page: Page) -> None:
    page.send("paste", at="loads", text="Fan\n" * 3000)
    assert "3,000 rows were not pasted" in page["said"]
    assert page.form.values["loads#"] == "1"


def test_saving(page: Page) -> None:
    page.set(AREA, "1700")
    page.send("save")
    assert (page["said"], page["dirty"]) == ("Saved.", False)
    assert read_job(page.path).dwelling.floor_area_ft2 == 1700  # type: ignore[union-attr]


def test_saving_with_a_wrong_entry_says_why_not(page: Page) -> None:
    page.set(AREA, "many")
    page.send("save")
    assert "Not saved" in page["said"]
    assert page.path.read_text() == TEXT


@pytest.mark.parametrize(("answer", "area"), [("theirs", 1600), ("keep_both", 1600), ("mine", 1700)])
def test_a_conflict_offers_three_ways_out(page: Page, answer: str, area: int) -> None:
    page.set(AREA, "1700")
    page.path.write_text(TEXT.replace("1500", "1600"))
    page.send("save")
    assert [kind for kind, _ in page["choices"]] == ["mine", "theirs", "keep_both"]
    assert page["conflicts"] == [[AREA, "Floor area", "1700", "1600"]]
    assert page["dirty"]
    page.send(answer)
    assert page["choices"] == []
    page.send("save")
    assert not page["dirty"]
    assert read_job(page.path).dwelling.floor_area_ft2 == area  # type: ignore[union-attr]


def test_a_file_that_is_gone_can_be_saved_under_another_name(page: Page) -> None:
    page.set(AREA, "1700")
    page.path.unlink()
    page.send("save")
    assert "does not exist" in page["said"]
    assert [kind for kind, _ in page["choices"]] == ["keep_both"]
    page.send("keep_both")
    assert page["job"] == "hill-2"
    assert page["file"].endswith("hill-2.toml")


def test_looking_is_quiet_where_nothing_changed(page: Page) -> None:
    page.set(AREA, "1700")
    page.path.write_text(TEXT.replace("1500", "1600"))
    page.send("save")
    page.send("look")
    assert len(page["choices"]) == 3, "a look must not take the choices away"


def test_looking_follows_another_form_that_saved(page: Page) -> None:
    page.path.write_text(TEXT.replace("1500", "1600"))
    page.send("look")
    assert page.form.values[AREA] == "1600"
    assert page["said"] == "Someone else saved this job: Floor area is now 1600."


def test_unsaved_entries_are_taken_up_and_told(page: Page) -> None:
    page.set(AREA, "1700")
    again = Page(page.path)
    assert again["said"].startswith("Took up unsaved entries")
    assert again.form.values[AREA] == "1700"
    page.path.write_text(TEXT.replace("1500", "1600"))
    assert len(Page(page.path)["choices"]) == 3


@pytest.mark.parametrize(
    "message",
    [
        {"kind": "set", "at": "nowhere.at_all", "text": "x"}, {"kind": "set", "at": "loads[7].name", "text": "x"},
        {"kind": "set", "at": "__class__.x", "text": "x"}, {"kind": "set", "at": "dwelling", "text": "x"},
        {"kind": "set", "at": "dwelling.model_config", "text": "x"}, {"kind": "remove", "at": "loads", "index": 9},
        {"kind": "add", "at": "panels", "index": 0}, {"kind": "__init__"}, {"kind": "move", "at": "loads", "index": 0, "to": "x"},
    ],
)  # fmt: skip
def test_a_page_that_asks_for_what_is_not_there_changes_nothing(page: Page, message: dict[str, Any]) -> None:
    before, answers = page.form.draft.data, page.form.answers
    page.form._heard(page.form, message, [])
    assert page.form.draft.data == before
    assert page.form.answers == answers + 1


def test_what_another_kind_does_not_use_is_taken_out_and_told(page: Page) -> None:
    """A kind that is changed leaves nothing behind that nobody sees; Undo brings it back with the kind."""
    page.set("loads[1].kind", "furnace")
    page.form.draft.change({"loads[1].fuel_burning": True})
    page.set("loads[1].kind", "heat-pump")
    assert page["said"] == "Took out what heat pump does not use: Burns fuel, yes."
    assert "fuel_burning" not in page.form.draft.data["loads"][0]
    page.send("undo")
    assert page.form.draft.data["loads"][0]["fuel_burning"] is True


def test_what_was_changed_is_discarded_in_a_step_that_can_be_taken_back(page: Page) -> None:
    page.set(AREA, "1700")
    page.set("boxes[1].marked_in3", "20")
    page.send("discard")
    assert (page.form.values[AREA], page["dirty"]) == ("1500", False)
    assert page["said"].startswith("Back to what was saved: ")
    page.send("undo")
    assert (page.form.values[AREA], page.form.values["boxes[1].marked_in3"]) == ("1700", "20")


def test_each_suggestion_is_taken_as_it_stands() -> None:
    """A cable or a size that is offered can be read, and a box that is offered is in the table of every edition."""
    offered = suggestions()
    assert {parse_conductors(text).text for text in offered["cables"]}
    assert [parse_size(text) for text in offered["sizes"]] == offered["sizes"]
    for edition in editions():
        assert offered["boxes"] == [row["box"] for row in open_codebook(edition).rows("box_volumes")]


def test_what_means_something_for_some_kinds_alone_names_kinds_that_there_are() -> None:
    for at, names in everything():
        for name in names:
            for key, kinds in shown_for(at, name).items():
                assert set(kinds) <= set(field_info(part_at(at)[0], key).choices)
