"""A job being edited: right and wrong entries, undo, saving against other hands, and what outlives the kernel."""

from __future__ import annotations

import os
import shutil
import socket
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.job import JobError, SaveConflict, read_job
from calc.job.draft import MOST_STEPS, Draft, drafts_of
from calc.job.merge import Conflict

TEXT = """# the house on the hill
[code]
edition = "2023"

[job]
name = "hill"

[dwelling]
kind = "one-family"
floor_area_ft2 = 1500  # outside dimensions

[fault]
transformer_kva = 25
impedance_pct = 1.6

[[loads]]
name = "Range"
kind = "range"
load_va = 12_000
volts = 240

[[loads]]
name = "Dryer"
kind = "dryer"
load_va = 5000
volts = 240
"""
AREA = "dwelling.floor_area_ft2"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    made = tmp_path / "hill.toml"
    made.write_text(TEXT)
    return made


def draft_file(path: Path) -> Path:
    return next(iter(drafts_of(path)), path.with_name(f".{path.name}.none.draft"))


@pytest.fixture
def others(monkeypatch: pytest.MonkeyPatch) -> Callable[[Path], Draft]:
    """A draft of another form that is open at the same time, by another process of this machine."""

    def opened(path: Path) -> Draft:
        draft = Draft(path)
        keep = draft._keep

        def kept() -> None:
            with monkeypatch.context() as other:
                other.setattr("calc.job.draft._me", lambda: f"{socket.gethostname()} {os.getppid()}")
                keep()

        draft._keep = kept  # type: ignore[method-assign]
        return draft

    return opened


def other_hand(path: Path, old: str = "1500", new: str = "1600") -> None:
    path.write_text(path.read_text().replace(old, new))


def test_a_fresh_draft_has_nothing_to_save_or_undo(path: Path) -> None:
    draft = Draft(path)
    assert (draft.dirty, draft.current, draft.can_undo, draft.can_redo) == (False, True, False, False)
    assert not draft_file(path).exists()


def test_an_edit_makes_a_new_job_and_leaves_the_file(path: Path) -> None:
    draft = Draft(path)
    draft.change({AREA: 2000})
    assert draft.job.dwelling is not None
    assert draft.job.dwelling.floor_area_ft2 == 2000
    assert draft.dirty
    assert path.read_text() == TEXT


def test_the_last_good_job_stands_while_an_entry_is_wrong(path: Path) -> None:
    draft = Draft(path)
    draft.change({AREA: 2000})
    draft.change({AREA: "lots"})
    assert not draft.current
    assert draft.job.dwelling is not None
    assert draft.job.dwelling.floor_area_ft2 == 2000
    assert draft.problems[AREA] == 'is "lots"; allowed: a number, 50 to 30,000 ft2'
    draft.change({AREA: 2100})
    assert draft.current


def test_every_wrong_entry_is_told_at_its_place(path: Path) -> None:
    draft = Draft(path)
    draft.change({AREA: 1, "loads[2].volts": 17, "loads[1].kind": None})
    assert set(draft.problems) == {AREA, "loads[2].volts", "loads[1].kind"}
    assert draft.problems["loads[1].kind"] == "needed: choose one; kind of load: it decides how the load counts"


@pytest.mark.parametrize(
    ("changes", "at", "said"),
    [
        ({"loads[1].load_va": None}, "loads[1].load_va", "give Nameplate load or Nameplate current"),
        ({"loads[1].kind": "other"}, "loads[1].fastened", 'needed; a load of kind "other" needs it: choose one'),
        ({"loads[1].nameplate_a": 9}, "loads[1].nameplate_a", "only one of Nameplate load, Nameplate current"),
        ({"loads[1].setting_locked": True}, "loads[1].setting_a", "needed beside Setting locked"),
        ({"boxes": [{"name": "A", "devices": [{"kind": "switch", "wire": "13 AWG"}]}]}, "boxes[1].devices[1].wire", "no 13 AWG is made: take 14 or 12"),
        ({"rooms": [{"name": "A", "use": "bedroom", "walls": [{"name": "north", "length_ft": "wide"}]}]}, "rooms[1].walls[1].length_ft", '"12\' 6""'),
        ({"panels": [{"name": "P", "fed_from": "utility", "building": "Shop"}]}, "panels[1].building", "leave it out, or enter one first"),
    ],
)  # fmt: skip
def test_what_is_said_at_a_form_speaks_by_its_labels(path: Path, changes: dict[str, Any], at: str, said: str) -> None:
    draft = Draft(path)
    draft.change(changes)
    assert said in draft.problems[at]
    assert "_" not in draft.problems[at]


@pytest.mark.parametrize(
    ("at", "value"), [("loads[1].continuous", "true"), ("loads[1].runs_with", "Dryer"), ("code.edition", 2023)]
)
def test_what_is_said_at_a_form_speaks_of_no_quotes_or_brackets(path: Path, at: str, value: Any) -> None:
    draft = Draft(path)
    draft.change({at: value})
    assert not any(word in draft.problems[at] for word in ("quotes", "brackets"))


def test_a_wrong_entry_can_not_be_saved(path: Path) -> None:
    draft = Draft(path)
    draft.change({AREA: 1})
    for saving in (draft.save, draft.keep_both):
        with pytest.raises(JobError):
            saving()
    assert path.read_text() == TEXT


def test_undo_and_redo_walk_the_same_steps(path: Path) -> None:
    draft = Draft(path)
    states = [draft.data]
    for area in (1600, "wrong", 1800):
        draft.change({AREA: area})
        states.append(draft.data)
    for state in reversed(states[:-1]):
        draft.undo()
        assert draft.data == state
    assert not draft.can_undo
    assert not draft.dirty
    for state in states[1:]:
        draft.redo()
        assert draft.data == state
    assert not draft.can_redo


def test_an_edit_after_undo_forgets_what_could_be_redone(path: Path) -> None:
    draft = Draft(path)
    draft.change({AREA: 1600})
    draft.undo()
    draft.change({AREA: 1700})
    assert not draft.can_redo


def test_undo_reaches_back_so_far_and_no_further(path: Path) -> None:
    draft = Draft(path)
    for area in range(1000, 1000 + MOST_STEPS + 20):
        draft.change({AREA: area})
    steps = 0
    while draft.can_undo:
        draft.undo()
        steps += 1
    assert steps == MOST_STEPS


def test_keystrokes_of_one_visit_are_one_step(path: Path) -> None:
    draft = Draft(path)
    for area in (1, 16, 160, 1600):
        draft.change({AREA: area}, joining=(AREA, 1))
    draft.change({AREA: 1700}, joining=(AREA, 2))
    draft.undo()
    assert draft.data["dwelling"]["floor_area_ft2"] == 1600
    draft.undo()
    assert draft.data["dwelling"]["floor_area_ft2"] == 1500
    assert not draft.can_undo


def test_keystrokes_after_undo_are_a_step_of_their_own(path: Path) -> None:
    draft = Draft(path)
    draft.change({AREA: 1600}, joining=(AREA, 1))
    draft.undo()
    draft.change({AREA: 1700}, joining=(AREA, 1))
    draft.undo()
    assert draft.data["dwelling"]["floor_area_ft2"] == 1500


def test_saying_the_same_is_no_step(path: Path) -> None:
    draft = Draft(path)
    draft.change({AREA: 1500})
    assert not draft.can_undo


def test_a_list_is_put_whole_and_a_place_inside_an_entry_too(path: Path) -> None:
    draft = Draft(path)
    draft.put_list("loads", list(reversed(draft.rows("loads"))))
    assert [load.name for load in draft.job.loads] == ["Dryer", "Range"]
    draft.put_list("boxes", [{"name": "Porch", "marked_in3": 18}])
    draft.put_list("boxes[1].devices", [{"kind": "switch", "wire": "14"}])
    assert draft.job.boxes[0].devices[0].kind == "switch"
    draft.put_list("boxes[1].devices", [])
    assert "devices" not in draft.data["boxes"][0]
    draft.put_list("loads", [])
    assert "loads" not in draft.data


def test_rows_are_copies(path: Path) -> None:
    draft = Draft(path)
    draft.rows("loads")[0]["name"] = "elsewhere"
    assert draft.data["loads"][0]["name"] == "Range"
    assert draft.rows("boxes") == []


def test_clearing_all_that_an_optional_part_says_removes_it(path: Path) -> None:
    draft = Draft(path)
    draft.change({"fault.transformer_kva": None})
    assert not draft.current
    draft.change({"fault.impedance_pct": None})
    assert "fault" not in draft.data
    assert draft.job.fault is None
    draft.change({"fault.transformer_kva": 50, "fault.impedance_pct": 1.6})
    assert draft.job.fault is not None


def test_clearing_takes_away_no_part_that_a_job_needs(path: Path) -> None:
    draft = Draft(path)
    draft.change({"job.name": None})
    assert draft.data["job"] == {}
    assert "job.name" in draft.problems


def test_saving_keeps_comments_and_the_version_before(path: Path) -> None:
    draft = Draft(path)
    draft.change({AREA: 1600})
    draft.save()
    assert path.read_text() == TEXT.replace("1500", "1600")
    assert path.with_name("hill.toml.previous").read_text() == TEXT
    assert not draft.dirty
    assert draft.can_undo


def test_undo_after_saving_is_something_to_save(path: Path) -> None:
    draft = Draft(path)
    draft.change({AREA: 1600})
    draft.save()
    draft.undo()
    assert draft.dirty
    draft.save()
    assert read_job(path).dwelling.floor_area_ft2 == 1500  # type: ignore[union-attr]


def test_what_another_hand_saved_elsewhere_is_in_what_is_saved(path: Path) -> None:
    """Two people, two places: both entries are in the file, and neither was asked."""
    draft = Draft(path)
    draft.change({"loads[1].load_va": 9000})
    other_hand(path)
    draft.save()
    job = read_job(path)
    assert (job.loads[0].load_va, job.dwelling.floor_area_ft2) == (9000, 1600)  # type: ignore[union-attr]
    assert not draft.dirty


@pytest.mark.parametrize(("mine", "area"), [(True, 1700), (False, 1600)])
def test_one_place_with_two_values_is_for_a_person_to_decide(path: Path, mine: bool, area: int) -> None:
    draft = Draft(path)
    draft.change({AREA: 1700, "loads[1].load_va": 9000})
    other_hand(path)
    with pytest.raises(SaveConflict):
        draft.save()
    assert "1600" in path.read_text()
    assert draft.conflicts == [Conflict(AREA, 1700, 1600)]
    with pytest.raises(SaveConflict):
        draft.save()
    draft.decide(mine, AREA)
    draft.save()
    job = read_job(path)
    assert (job.loads[0].load_va, job.dwelling.floor_area_ft2) == (9000, area)  # type: ignore[union-attr]


def test_who_changes_a_place_in_conflict_has_decided_it(path: Path) -> None:
    draft = Draft(path)
    draft.change({AREA: 1700})
    other_hand(path)
    draft.look()
    assert draft.conflicts
    draft.change({AREA: 1650})
    assert draft.conflicts == []
    draft.save()
    assert read_job(path).dwelling.floor_area_ft2 == 1650  # type: ignore[union-attr]


def test_undo_takes_back_nothing_that_another_hand_saved(path: Path) -> None:
    draft = Draft(path)
    draft.change({"loads[1].load_va": 9000})
    other_hand(path)
    draft.look()
    draft.undo()
    assert not draft.dirty
    assert draft.job.dwelling.floor_area_ft2 == 1600  # type: ignore[union-attr]
    assert draft.job.loads[0].load_va == 12_000


def test_the_draft_of_another_tab_is_left_alone_and_both_save(path: Path, others: Callable[[Path], Draft]) -> None:
    """A page that is opened beside another takes nothing from it; what each enters is in the file in the end."""
    one = others(path)
    one.change({AREA: 1700})
    two = Draft(path)
    assert not two.restored
    two.change({"loads[1].load_va": 9000})
    two.save()
    assert len(drafts_of(path)) == 1, "saving one took nothing away from the other"
    assert one.look()
    assert (one.job.loads[0].load_va, one.job.dwelling.floor_area_ft2) == (9000, 1700)  # type: ignore[union-attr]
    one.save()
    assert drafts_of(path) == []
    job = read_job(path)
    assert (job.loads[0].load_va, job.dwelling.floor_area_ft2) == (9000, 1700)  # type: ignore[union-attr]


def test_a_draft_of_another_machine_is_never_taken(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with monkeypatch.context() as elsewhere:
        elsewhere.setattr("calc.job.draft._me", lambda: "another-machine 1")
        Draft(path).change({AREA: 1700})
    assert not Draft(path).restored
    assert len(drafts_of(path)) == 1


def test_conflict_keeping_both_gives_a_file_and_a_job_of_another_name(path: Path) -> None:
    """Reports are kept in a folder of the job's name: two jobs of one name would overwrite each other's packet."""
    draft = Draft(path)
    draft.change({"loads[1].load_va": 9000})
    other_hand(path)
    theirs = path.read_text()
    beside = draft.keep_both()
    assert path.read_text() == theirs
    assert (beside.name, draft.path) == ("hill-2.toml", beside)
    job = read_job(beside)
    assert (job.job.name, job.loads[0].load_va, job.dwelling.floor_area_ft2) == ("hill-2", 9000, 1500)  # type: ignore[union-attr]
    assert "# the house on the hill" in beside.read_text()
    assert sorted(p.name for p in path.parent.iterdir()) == ["hill-2.toml", "hill.toml"]
    draft.change({AREA: 1700})
    assert draft.keep_both().name == "hill-2-2.toml"


def test_keeping_both_where_the_file_is_gone(path: Path) -> None:
    draft = Draft(path)
    draft.change({AREA: 1700})
    path.unlink()
    with pytest.raises(JobError, match="does not exist"):
        draft.save()
    assert read_job(draft.keep_both()).dwelling.floor_area_ft2 == 1700  # type: ignore[union-attr]


def test_looking_follows_the_file_and_loses_nothing(path: Path) -> None:
    draft = Draft(path)
    assert not draft.look()
    other_hand(path)
    assert draft.look()
    assert draft.job.dwelling.floor_area_ft2 == 1600  # type: ignore[union-attr]
    draft.change({AREA: 1700})
    other_hand(path, "12_000", "13_000")
    assert draft.look()
    assert draft.dirty
    assert (draft.job.loads[0].load_va, draft.data["dwelling"]["floor_area_ft2"]) == (13_000, 1700)


def test_looking_finds_that_another_form_saved_the_same(path: Path) -> None:
    one, two = Draft(path), Draft(path)
    for draft in (one, two):
        draft.change({AREA: 1700})
    one.save()
    assert two.look()
    assert not two.dirty


def test_looking_at_a_broken_or_missing_file_changes_nothing(path: Path) -> None:
    draft = Draft(path)
    path.write_text("[code")
    assert not draft.look()
    path.unlink()
    assert not draft.look()
    assert draft.current


def test_unsaved_entries_outlive_the_kernel(path: Path) -> None:
    draft = Draft(path)
    draft.change({AREA: 1700, "job.date": "2026-03-01"})
    again = Draft(path)
    assert (again.restored, again.data) == (True, draft.data)
    again.undo()
    assert not again.dirty
    assert not draft_file(path).exists()


def test_wrong_entries_outlive_the_kernel_too(path: Path) -> None:
    Draft(path).change({AREA: "lots"})
    again = Draft(path)
    assert again.restored
    assert AREA in again.problems


def test_dates_outlive_the_kernel_as_dates(path: Path) -> None:
    other_hand(path, 'name = "hill"', 'name = "hill"\ndate = 2026-03-02')
    Draft(path).change({AREA: 1700})
    again = Draft(path)
    assert again.current
    again.save()
    assert "date = 2026-03-02" in path.read_text()


def test_saving_leaves_no_draft(path: Path) -> None:
    draft = Draft(path)
    draft.change({AREA: 1700})
    assert draft_file(path).exists()
    draft.save()
    assert not draft_file(path).exists()
    assert not Draft(path).restored


def test_a_draft_that_the_file_overtook_is_put_together_with_it(path: Path) -> None:
    Draft(path).change({"loads[1].load_va": 9000, AREA: 1700})
    other_hand(path)
    again = Draft(path)
    assert again.restored
    assert again.data["loads"][0]["load_va"] == 9000
    assert again.conflicts == [Conflict(AREA, 1700, 1600)]


@pytest.mark.parametrize(
    "left",
    [
        "",
        "{",
        "[]",
        '{"data": 3, "base": {}, "owner": "x"}',
        '{"owner": "x"}',
        '{"data": {"job": 3}, "base": {"job": []}, "owner": "x"}',
        "\x00\xff",
    ],
)
def test_a_draft_that_can_not_be_read_is_left_out(path: Path, left: str) -> None:
    path.with_name(f".{path.name}.1a2b.draft").write_text(left, encoding="latin-1")
    assert not Draft(path).restored


def test_a_folder_that_can_not_be_written_costs_only_the_draft(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object, **__: object) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_text", full)
    draft = Draft(path)
    draft.change({AREA: 1700})
    assert draft.dirty
    assert draft.current


def test_a_value_that_json_does_not_know_does_not_stop_an_edit(path: Path) -> None:
    draft = Draft(path)
    draft.change({"loads[1].runs_with": [__import__("datetime").time(7, 30)]})
    assert not draft.current
    assert Draft(path).restored


@pytest.mark.parametrize(
    "at", ["", "nowhere]", "loads[9].name", "loads[0].name", "job.name[+]", "job[+].name", "job.name.more"]
)
def test_a_place_that_is_not_there(path: Path, at: str) -> None:
    draft = Draft(path)
    with pytest.raises(KeyError):
        draft.change({at: 1})
    assert not draft.can_undo


ENTRIES = st.sampled_from([1600, 1700, "wrong", None, 12])
ACTS = st.lists(
    st.one_of(st.tuples(st.just("set"), ENTRIES), st.sampled_from([("undo", None), ("redo", None)])), max_size=12
)


@settings(max_examples=60, deadline=None)
@given(ACTS)
def test_undoing_everything_gives_the_file_back(tmp_path_factory: pytest.TempPathFactory, acts: list[Any]) -> None:
    path = tmp_path_factory.mktemp("jobs") / "hill.toml"
    path.write_text(TEXT)
    draft = Draft(path)
    for kind, value in acts:
        if kind == "set":
            draft.change({AREA: value})
        else:
            getattr(draft, kind)()
        again = shutil.copytree(path.parent, tmp_path_factory.mktemp("again"), dirs_exist_ok=True) / path.name
        assert Draft(again).data == draft.data, "what a new kernel takes up is what the form says"
    while draft.can_undo:
        draft.undo()
    assert not draft.dirty
    assert draft.current


def test_an_entry_that_is_changed_is_no_longer_confirmed(path: Path) -> None:
    """Whoever confirmed it saw another value; what else was confirmed of the table stays so, and undo brings it back."""
    draft = Draft(path)
    draft.change({"loads[1].confirmed": ["load_va", "volts"]})
    draft.change({"loads[1].load_va": 1200})
    assert draft.data["loads"][0]["confirmed"] == ["volts"]
    draft.change({"loads[1].volts": 208})
    assert "confirmed" not in draft.data["loads"][0]
    draft.undo()
    draft.undo()
    assert draft.job.loads[0].confirmed == ("load_va", "volts")
