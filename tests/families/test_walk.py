"""What a person is asked to look at: drawn from the job, under its edition, each line saying who asks for it."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from calc.codebook import editions
from calc.job import Job, changed, read_job
from calc.remedies import walk
from calc.remedies.asked import SUBJECTS
from calc.remedies.walk import STAGES, STANDINGS, looks, questions
from calc.wiring.house import House
from tests.families.runs import job, toml

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "notebooks" / "jobs" / "fernhollow-lot-12.toml"
HEAD = '[dwelling]\nkind = "one-family"\n'


def texts(of: Job, edition: str | None = None, **wanted: str) -> list[str]:
    """What is asked, of those with the stage, key or place wanted."""
    return [look.text for look in looks(House.of(of, edition)) if all(getattr(look, k) == v for k, v in wanted.items())]


@pytest.fixture(scope="module")
def demo() -> Job:
    return read_job(DEMO)


@pytest.mark.parametrize("edition", editions())
def test_each_question_is_whole_and_says_who_asks(demo: Job, edition: str) -> None:
    for look in looks(House.of(demo, edition)):
        assert not re.search(r"[{}]|None", look.text), look.text
        assert look.text.endswith(".")
        assert look.stage in STAGES
        assert look.standing in {"Code", *STANDINGS.values()}
        assert bool(look.sections) == (look.standing == "Code"), look.key


def test_the_walk_follows_the_job_s_own_rooms_panels_and_equipment(demo: Job) -> None:
    found = list(looks(House.of(demo)))
    text = " ".join(look.text for look in found)
    for name in (*(p.name for p in demo.panels), *(load.name for load in demo.loads), *(b.name for b in demo.boxes)):
        assert name in text, name
    assert {room.name for room in demo.rooms if room.use == "bathroom"} <= {look.where for look in found}
    assert "36 in deep, 30 in wide and 78 in high" in text
    assert "taped: 31 x 34 x 84 in" in text
    assert "R1 service: soil over it, measured to the finished grade: 18 in or more" in text


def test_stages_come_in_the_order_of_the_inspections(demo: Job) -> None:
    titles = [sheet.title for sheet in walk(House.of(demo))]
    assert titles == [*(f"Walk sheet: {title}" for title in STAGES.values()), "Torque record", "Findings so far"]


def test_a_section_and_a_number_come_from_the_edition(demo: Job) -> None:
    """The same question under two editions: adjustment table and outdoor disconnect have moved."""
    by_edition = {e: {look.key: look for look in looks(House.of(demo, e))} for e in ("2017", "2023", "2026")}
    assert "release_outdoor" not in by_edition["2017"]
    assert by_edition["2023"]["release_outdoor"].sections == ("230.85",)
    assert by_edition["2026"]["release_outdoor"].sections == ("230.70(A)(1)",)
    assert by_edition["2017"]["rough_bundles"].sections != by_edition["2023"]["rough_bundles"].sections
    assert by_edition["2026"]["rough_edge"].mark == "unconfirmed"


def test_a_value_from_memory_says_so(demo: Job) -> None:
    marked = {look.key for look in looks(House.of(demo)) if look.mark == "from memory"}
    assert {"rough_sheath", "trench_ribbon", "final_cover"} <= marked
    sheet = next(s for s in walk(House.of(demo)) if s.part == "stage" and s.stage == "rough")
    items = [item for group in sheet.groups for item in group.items]
    assert any(item.mark == "from memory" for item in items)


def test_alarms_are_a_matter_of_the_building_code() -> None:
    """IRC R314 and R315: each bedroom, outside of them, each storey; carbon monoxide by fuel or garage."""
    rooms = [("Bed 1", "bedroom", "second"), ("Bed 2", "bedroom", "second"), ("Hall", "hall", "second"),
             ("Living", "living", "first"), ("Cellar", "basement", "basement")]  # fmt: skip
    text = HEAD + "fuel_burning = true\n" + "".join(toml("rooms", name=n, use=u, storey=s) for n, u, s in rooms)
    text += toml("alarms", room="Bed 1", kind="smoke")
    found = [look for look in looks(House.of(job(text))) if look.key.startswith("rough_smoke")]
    assert {look.standing for look in found} == {"Building code"}
    said = {look.where: look.text for look in found if look.where != "Whole house"}
    assert set(said) == {"Bed 1", "Bed 2", "Hall"}
    assert "it is in the job" in said["Bed 1"]
    assert "none in the job" in said["Bed 2"]
    whole = [look.text for look in found if look.where == "Whole house"]
    assert [("first" in t, "basement" in t) for t in whole] == [(True, False), (False, True)]
    assert texts(job(text), key="rough_carbon_monoxide")
    assert not texts(job(text.replace("true", "false")), key="rough_carbon_monoxide")


def test_each_storey_with_bedrooms_is_asked_about_an_alarm_outside_of_them() -> None:
    """IRC R314.3: outside each sleeping area, not outside the first one alone."""
    rooms = [("Bed 1", "bedroom", "first"), ("Lower hall", "hall", "first"), ("Bed 2", "bedroom", "second")]
    text = HEAD + "".join(toml("rooms", name=n, use=u, storey=s) for n, u, s in rooms)
    outside = [look for look in looks(House.of(job(text))) if "outside the bedrooms of" in look.text]
    assert [look.where for look in outside] == ["Lower hall", "Whole house"]
    assert "second storey" in outside[1].text
    assert "names no hall there" in outside[1].text


FAULT = '[service]\nsystem = "120/240"\n[fault]\navailable_a = 12689\nstated_by = "Ferrow"\nstated_on = 2026-01-01\n'


def test_the_rating_that_breakers_are_stamped_with_is_the_one_that_can_flow_there() -> None:
    """12,689 A can flow: breakers stated at 10,000 A are not printed as what is to be found, but as falling short."""
    panel = toml("panels", name="Main", fed_from="utility", interrupting_a=10_000)
    (said,) = texts(job(HEAD + FAULT + panel), key="release_rating")
    assert said.startswith("Main: every breaker is stamped 14,000 A or more.")
    assert "Falls short as entered" in said
    assert "needed at least 12,689 A" in said
    (silent,) = texts(job(HEAD + FAULT + toml("panels", name="Main", fed_from="utility")), key="release_rating")
    assert silent == "Main: every breaker is stamped 14,000 A or more."
    (unworked,) = texts(job(HEAD + panel), key="release_rating")
    assert "ask the utility" in unworked
    assert "10,000" not in unworked


def test_no_question_prints_as_right_what_a_sheet_says_is_short() -> None:
    """Each question that repeats an entry of the job says so where a check of that entry falls short."""
    meter = toml("panels", name="M", service_equipment=True, fed_from="utility")
    small = toml("panels", name="P", fed_from="M", working_depth_in=31, neutral_bonded=True)
    other = toml("panels", name="Q", fed_from="M", working_depth_in=40, neutral_bonded=False)
    made = job(HEAD + meter + small + other)
    space = {text.partition(":")[0]: text for text in texts(made, key="release_space")}
    assert "Falls short as entered: depth of the working space: 31 in" in space["P"]
    assert "Falls short" not in space["Q"]
    assert "Falls short" in next(text for text in texts(made, key="release_apart") if text.startswith("P"))
    box = toml("boxes", name="B", marked_in3=8, cables=["12/2", "12/2", "12/2"], count=2)
    assert all("Falls short" in text for text in texts(job(HEAD + box), key="rough_box"))


def test_what_the_job_states_already_is_not_asked() -> None:
    """A switch box whose neutral is stated is a check on a sheet, not a question."""
    box = toml("boxes", name="B", marked_in3=20, cables=["14/2"], neutral_at_switch=True)
    devices = 'devices = [{ kind = "switch", wire = 14 }]\n'
    assert not texts(job(HEAD + box + devices), key="rough_neutral")
    assert texts(job(HEAD + box.replace("neutral_at_switch = true\n", "") + devices), key="rough_neutral")


def test_a_new_house_and_an_old_one_are_asked_different_things() -> None:
    new, old = job(HEAD + 'status = "new"\n'), job(HEAD + 'status = "existing"\n')
    assert texts(new, key="footing_unknown")
    assert not texts(old, key="footing_unknown")
    assert texts(old, key="rough_old_wiring")
    assert not texts(new, key="rough_old_wiring")


def test_the_torque_record_has_the_terminals_of_each_panel(demo: Job) -> None:
    record = next(s for s in walk(House.of(demo)) if s.part == "record")
    rows = {group.name: group.rows for group in record.groups}
    assert set(rows) == {panel.name for panel in demo.panels}
    assert ["R4 vehicle supply, breaker", "6/2 NM"] in [row[:2] for row in rows["Meter-main"]]
    assert rows["Meter-main"][0][:2] == ["Supply, leg 1", "2 x 4/0 AWG XHHW-2 aluminum"]
    assert all(cell == "" for of in rows.values() for row in of for cell in row[2:])


def test_a_torque_that_was_sent_back_stands_in_the_record_of_its_terminal(demo: Job) -> None:
    """By the label, set to, tool, by whom and when; of the panel that it was read in alone, the last of several."""
    read = {"kind": "reading", "place": "Meter-main", "who": "I. Corrigan", "found_on": date(2026, 4, 21)}
    texts = (
        "Torque of Neutral: 240 lb-in",
        "Torque of Neutral: 250 lb-in, 250 lb-in on the label; tool TW-3",
        "Voltage: 121 V",
    )
    record = next(
        s
        for s in walk(House.of(changed(demo, {"findings": [{**read, "text": text} for text in texts]})))
        if s.part == "record"
    )
    filled = [[group.name, *row] for group in record.groups for row in group.rows if any(row[2:])]
    assert filled == [["Meter-main", "Neutral", "", "250 lb-in", "250 lb-in", "TW-3", "I. Corrigan, 2026-04-21"]]


def test_findings_are_printed_open_ones_first(demo: Job) -> None:
    sheet = next(s for s in walk(House.of(demo)) if s.part == "findings")
    assert [group.name for group in sheet.groups] == ["Open", "Closed"]
    (open_one,), (closed,) = (group.items for group in sheet.groups)
    assert (open_one.about, open_one.sections) == ("Rough-in, Kitchen", ("422.16(B)(2)",))
    assert closed.details == [("Found", "footing inspection, 2026-02-02"), ("Corrected", "I. Corrigan, 2026-02-02")]
    assert not any(s.part == "findings" for s in walk(House.of(job(HEAD))))


def test_a_question_is_done_where_all_that_was_answered_to_it_is_right(demo: Job) -> None:
    """An answer counts at its own stage and place, and for the question as it is asked now; one that is open keeps it open."""
    look = next(look for look in looks(House.of(demo)) if look.stage == "rough" and look.where == "Kitchen")
    right = {"kind": "right", "stage": "rough", "room": "Kitchen", "text": "Right.", "asked": [look.text], "who": "I. Corrigan",
             "found_on": date(2026, 4, 21)}  # fmt: skip
    wrong = {**right, "kind": "seen", "text": "Only half of it.", "who": "R. Vane"}

    def asked(*findings: dict[str, Any]) -> Any:
        sheets = walk(House.of(changed(demo, {"findings": list(findings)})))
        rough = next(s for s in sheets if s.part == "stage" and s.stage == "rough")
        return next(q for g in rough.groups if g.name == "Kitchen" for q in g.items if q.text == look.text)

    assert (asked().done, asked().details) == (False, [])
    assert (asked(right).done, asked(right).details) == (True, [("Right", "I. Corrigan, 2026-04-21")])
    assert (asked(right, wrong).done, asked(right, wrong).details[1]) == (
        False,
        ("Found", "Only half of it, R. Vane, 2026-04-21"),
    )
    assert asked(right, {**wrong, "closed_on": date(2026, 4, 23)}).done
    for other in ({"stage": "final"}, {"room": "Foyer"}, {"asked": ["Something else."]}):
        assert not asked({**right, **other}).done


def test_what_was_right_and_no_more_said_is_not_listed_among_the_findings(demo: Job) -> None:
    """It stands at its question; a reading, a correction and a remark are listed."""
    by = {"text": "Right.", "who": "I. Corrigan"}
    kinds = [{"kind": "right", **by}, {"kind": "reading", **by, "text": "Torque: 250 lb-in"}, {"kind": "corrected", **by, "text": "Corrected."},
             {"kind": "right", **by, "text": "Right, and neat."}]  # fmt: skip
    sheet = next(s for s in walk(House.of(changed(demo, {"findings": kinds}))) if s.part == "findings")
    assert [(g.name, [q.text for q in g.items]) for g in sheet.groups] == [
        ("Said to be corrected", ["Corrected."]), ("Readings", ["Torque: 250 lb-in"]), ("Noted", ["Right, and neat."]),
    ]  # fmt: skip
    assert not any(s.part == "findings" for s in walk(House.of(changed(demo, {"findings": kinds[:1]}))))


def test_every_question_and_every_subject_is_used_by_some_job() -> None:
    asked: set[str] = set()
    for folder in ("notebooks/jobs", "tests/samples"):
        for path in sorted((ROOT / folder).glob("*.toml")):
            read: Any = read_job(path)
            asked |= {look.key for look in looks(House.of(read))}
    assert set(questions()) - asked == set()
    assert {entry["each"] for entry in questions().values()} == set(SUBJECTS)


def test_the_questions_hold_no_number_or_section_of_the_code() -> None:
    """Those come from the codebook. What stands in the text of a question is words."""
    for key, entry in questions().items():
        assert not re.search(r"\d", entry["text"]), key
        assert ("rule" in entry) != ("standing" in entry), key
