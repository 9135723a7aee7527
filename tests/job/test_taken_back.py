"""What a crew's phone sends back becomes findings of the job: whole, once, each with its source, conflicts named."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from calc.job import JobError, read_job, save_job, taken_back
from calc.job.taken_back import torque_set
from tests.hostile.texts import READABLE, UNREAD

JOB = """[code]
edition = "2023"

[job]
name = "sorrel-12"
address = "118 Sorrel Bend"

[[rooms]]
name = "Kitchen"
use = "kitchen"

[[findings]]
stage = "rough"
room = "Kitchen"
text = "Dishwasher receptacle is behind the machine."
who = "N. Halloran"
found_on = 2026-04-20
"""
BY = {"who": "I. Corrigan", "when": "2026-04-21T14:05:00"}
IN_KITCHEN = {"stage": "rough", "place": "Kitchen", "sections": ["314.16(A)"]}
RIGHT = {"kind": "right", **IN_KITCHEN, "asked": "Boxes are flush.", **BY}
WRONG = {"kind": "wrong", **IN_KITCHEN, "asked": "Grounds are joined.", "text": "Not at the island.", **BY}
TORQUE = {"kind": "reading", "place": "Indoor panel", "of": "Supply, leg 1", "quantity": "torque", "value": "250", "unit": "lb-in",
          "label": "250", "tool": "TW-3", **BY}  # fmt: skip
NOTE = {"kind": "note", "stage": "final", "place": "Outdoors", "text": "Meter seal is broken.", **BY}
CORRECTED = {"kind": "corrected", "finding": "Dishwasher receptacle is behind the machine.", **BY}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "job.toml"
    path.write_text(JOB, encoding="utf-8")
    return path


def sent(folder: Path, *entries: dict[str, Any], name: str = "back.json", **changes: Any) -> Path:
    whole = {"schema_version": 1, "what": "sent back", "job": "sorrel-12", "address": "118 Sorrel Bend", "fingerprint": "ab" * 32,
             "made": "2026-04-21T15:00:00", "entries": list(entries)} | changes  # fmt: skip
    path = folder / name
    path.write_text(json.dumps(whole), encoding="utf-8")
    return path


def take(path: Path, *entries: dict[str, Any], name: str = "back.json", **changes: Any) -> Any:
    back = taken_back(read_job(path), sent(path.parent, *entries, name=name, **changes))
    save_job(back.job)
    return back


def test_each_entry_becomes_a_finding_with_who_when_and_which_file(path: Path) -> None:
    """What was right is one finding, a reading and a correction are closed, what was not right is open."""
    back = take(path, RIGHT, {**RIGHT, "asked": "Wires are long enough."}, WRONG, TORQUE, NOTE)
    _, right, wrong, torque, note = read_job(path).findings
    assert (right.kind, right.asked, right.text, right.closed) == ("right", ("Boxes are flush.", "Wires are long enough."), "Right.", True)  # fmt: skip
    assert (wrong.kind, wrong.room, wrong.asked, wrong.text, wrong.section, wrong.closed) == (
        "seen", "Kitchen", ("Grounds are joined.",), "Not at the island.", "314.16(A)", False)  # fmt: skip
    assert (torque.text, torque.place, torque.stage) == (
        "Torque of Supply, leg 1: 250 lb-in, 250 lb-in on the label; tool TW-3", "Indoor panel", None)  # fmt: skip
    assert (note.place, note.stage, note.closed) == ("Outdoors", "final", False)
    for each in (right, wrong, torque, note):
        assert (each.who, each.found_on, each.source) == ("I. Corrigan", date(2026, 4, 21), "back.json")
    assert (back.right, len(back.added), back.conflicts) == (2, 4, [])


def test_a_torque_is_read_again_from_the_finding_that_it_became(path: Path) -> None:
    """With its terminal, the label, what it was set to, the tool, by whom and when; another reading is none."""
    take(
        path,
        TORQUE,
        {**TORQUE, "of": "Neutral", "label": None, "tool": None},
        {**TORQUE, "quantity": "voltage", "unit": "V"},
    )
    found = [torque_set(each) for each in read_job(path).findings]
    by = "I. Corrigan, 2026-04-21"
    assert found == [
        None,
        ("Supply, leg 1", ["250 lb-in", "250 lb-in", "TW-3", by]),
        ("Neutral", ["", "250 lb-in", "", by]),
        None,
    ]


def test_the_same_file_twice_adds_nothing(path: Path) -> None:
    entries = (RIGHT, {**RIGHT, "asked": "Wires are long enough."}, WRONG, TORQUE, NOTE, CORRECTED)
    take(path, *entries)
    before = path.read_bytes()
    back = take(path, *entries)
    assert (path.read_bytes(), back.added, back.closed, back.conflicts) == (before, [], 0, [])
    assert back.known == len(entries)


def test_a_later_file_of_the_phone_adds_only_what_is_new(path: Path) -> None:
    take(path, RIGHT, WRONG)
    back = take(path, RIGHT, WRONG, {**RIGHT, "asked": "Wires are long enough."}, name="later.json")
    assert [each["asked"] for each in back.added] == [["Wires are long enough."]]
    assert [each.source for each in read_job(path).findings] == [None, "back.json", "back.json", "later.json"]


def test_what_was_not_right_and_is_now_closes_the_finding(path: Path) -> None:
    take(path, WRONG)
    back = take(path, {**WRONG, "closed_by": "R. Vane", "closed_on": "2026-04-23"}, name="later.json")
    finding = read_job(path).findings[1]
    assert (finding.closed_by, finding.closed_on, back.closed, back.added) == ("R. Vane", date(2026, 4, 23), 1, [])


def test_a_finding_of_the_job_is_closed_by_who_corrected_it(path: Path) -> None:
    back = take(path, CORRECTED)
    (finding,) = read_job(path).findings
    assert (finding.closed_by, finding.closed_on, back.closed) == ("I. Corrigan", date(2026, 4, 21), 1)


@pytest.mark.parametrize(
    ("first", "then", "said"),
    [
        ([WRONG], {**WRONG, "kind": "right", "text": None, "who": "R. Vane"}, "right by R. Vane, 2026-04-21, and open as I. Corrigan"),
        ([RIGHT], {**RIGHT, "kind": "wrong", "who": "R. Vane"}, "not right by R. Vane, 2026-04-21, and right by I. Corrigan"),
        ([WRONG], {**WRONG, "text": "Not at the range."}, "sent it before in other words: both are kept"),
        ([CORRECTED], {**CORRECTED, "who": "R. Vane"}, "closed in the job already: that stays"),
        ([], {**CORRECTED, "finding": "Nothing of the kind."}, "no longer in the job"),
    ],
)  # fmt: skip
def test_a_conflict_is_named_and_what_is_open_stays_open(
    path: Path, first: list[Any], then: dict[str, Any], said: str
) -> None:
    take(path, *first)
    still = [each.text for each in read_job(path).findings if not each.closed]
    back = take(path, {key: value for key, value in then.items() if value is not None}, name="other.json")
    (conflict,) = back.conflicts
    assert said in conflict
    assert {each.text for each in read_job(path).findings if not each.closed} >= set(still)


@pytest.mark.parametrize("change", [{"job": "sorrel-14"}, {"address": "4 Elm"}])
def test_a_file_of_another_job_is_refused(path: Path, change: dict[str, str]) -> None:
    before = path.read_bytes()
    with pytest.raises(JobError, match="is of another job"):
        take(path, RIGHT, **change)
    assert path.read_bytes() == before


def test_every_wrong_entry_is_named_and_nothing_is_taken_in(path: Path) -> None:
    wrong = [{**RIGHT, "kind": "perhaps"}, {**RIGHT, "when": "yesterday"}, {**TORQUE, "value": "tight"}, {**NOTE, "stage": "roof"},
             {**RIGHT, "colour": "red"}, {**RIGHT, "who": ""}]  # fmt: skip
    with pytest.raises(JobError) as told:
        take(path, RIGHT, *wrong)
    said = str(told.value)
    for number, what in ((2, "kind"), (3, "when"), (4, "value"), (5, "stage"), (6, "colour"), (7, "who")):
        assert f"entries[{number}]: {what}" in said
    assert len(told.value.problems) == len(wrong)
    with pytest.raises(JobError, match=r"entries\[2\] is note and lacks text"):
        take(path, RIGHT, {key: value for key, value in NOTE.items() if key != "text"})
    assert len(read_job(path).findings) == 1


@pytest.mark.parametrize(
    "raw",
    [
        b"",
        b"{",
        b"[" * 100_000,
        b'{"what": "sent back", "made": NaN}',
        b"[1]",
        b'{"what": 1}',
        b"\xff\x00",
        b"9" * 5000,
    ],
)
def test_a_file_that_is_none_is_refused_in_one_line(path: Path, raw: bytes) -> None:
    back = path.parent / "back.json"
    back.write_bytes(raw)
    with pytest.raises(JobError) as told:
        taken_back(read_job(path), back)
    assert len(told.value.problems) == 1


def test_hostile_texts_are_kept_as_text_or_refused(path: Path) -> None:
    """Whatever a name may be comes back as it was typed; what no text may be is refused with its entry's number."""
    entries = [{**NOTE, "text": text, "place": text[:80].strip()} for text in READABLE]
    take(path, *entries)
    kept = [each for each in read_job(path).findings if each.text != "Dishwasher receptacle is behind the machine."]
    assert [each.text for each in kept] == [text.strip() for text in READABLE]
    before = path.read_bytes()
    for text in UNREAD:
        who = text if len(text) > 300 or not text.startswith("x") else "x" * 301
        with pytest.raises(JobError, match=r"entries\[1\]: who"):
            take(path, {**NOTE, "who": who}, name="bad.json")
    assert path.read_bytes() == before
