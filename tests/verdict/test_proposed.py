"""What rests on entries that nobody has accepted is not shown, in every place that says how a job stands."""

from functools import cache
from pathlib import Path
from typing import Any

import pytest

from calc.families import families
from calc.job import Job, accepted, changed, new_job, parse_job, proposals, read_job, save_job, withdrawn
from calc.job.places import value_at
from calc.job.proposed import Proposal
from calc.job.read import make_job
from calc.library import open_house
from calc.propose import laid_out
from calc.remedies.listed import listed
from calc.remedies.survey import survey
from calc.verdict.proposed import sheets_of, tables_of, waiting
from calc.verdict.standing import Open, Standing, standing, standing_text
from calc.wiring.house import House
from calc.work import FALLS_SHORT
from tests import houses

JOBS = Path(__file__).parents[2] / "notebooks" / "jobs"
LOT = JOBS / "fernhollow-lot-14.toml"
ONE_OF_EACH = [
    "panels[2]", "runs[1]", "runs[6]", "circuits[1]", "circuits[9]", "boxes[4]", "rooms[1].outlets[2]",
    "rooms[2].counters[1].outlets[1]", "grounding.electrodes[1]", "buildings[1].electrodes[1]",
]  # fmt: skip


@cache
def as_it_stands(path: Path = LOT) -> Standing:
    """How the lot, or another house, stands without a proposal; nobody changes it."""
    return standing(houses.at(path))


def opened(job: Job) -> list[Open]:
    """What is open in a job and isn't in the lot as it stands."""
    stood = as_it_stands().open
    return [each for each in standing(House.of(job)).open if each not in stood]


def with_proposed(*places: str, path: Path = LOT) -> Job:
    return changed(read_job(path), {f"{at}.proposed": True for at in places})


@pytest.mark.parametrize("at", ONE_OF_EACH)
def test_nothing_passes_that_rests_on_a_proposed_entry(at: str) -> None:
    job = with_proposed(at)
    found = opened(job)
    assert {each.status for each in found} == {"not shown"}
    assert all("accept it" in each.what and each.at for each in found), found
    assert standing(House.of(accepted(job))).verdict == as_it_stands().verdict


def test_the_sheets_that_do_not_rest_on_it_stand_as_they_are() -> None:
    found = opened(with_proposed("boxes[1]"))
    assert [each.about for each in found] == ["B1 family room, south wall"]


def test_a_proposed_entry_hides_no_shortfall() -> None:
    path = JOBS / "fernhollow-lot-12.toml"
    before = as_it_stands(path)
    short = {(e.family, e.about, e.what) for e in before.open if e.status == FALLS_SHORT}
    circuits = [f"circuits[{n}]" for n in range(1, len(read_job(path).circuits) + 1)]
    found = standing(House.of(with_proposed(*circuits, path=path)))
    assert short <= {(e.family, e.about, e.what) for e in found.open if e.status == FALLS_SHORT}


def test_what_would_be_missing_without_it_is_still_asked_for() -> None:
    found = opened(with_proposed("alarms[1]", "alarms[2]"))
    assert [(each.family, each.status) for each in found] == [("rough-in", "not shown")]


def test_every_way_to_look_at_a_job_says_the_same(tmp_path: Path) -> None:
    job = with_proposed("circuits[16]", "boxes[1]")
    house = House.of(job)
    open_ones = {(each.family, each.about) for each in standing(house).open}
    assert {("branch-circuits", "Family room"), ("box-fill", "B1 family room, south wall")} <= open_ones
    for family, subject in (("branch-circuits", "Family room"), ("box-fill", "B1 family room, south wall")):
        assert next(s.status for s in sheets_of(house, family) if s.subject == subject) == "not shown"
        cells = [row for t in tables_of(house, family) for row in t.rows if row[0] == subject]
        assert all("passes" not in row for row in cells)
        assert any("NOT SHOWN" in row for row in cells)
    assert {mark[2] for mark in survey(house).falling} == {about for _, about in open_ones}
    assert "accept it" in standing_text(standing(house))
    file = tmp_path / "house.toml"
    file.write_bytes(LOT.read_bytes())
    (tmp_path / "amendments").mkdir()
    (tmp_path / "amendments" / "marrow-creek.toml").write_bytes(
        (JOBS / "amendments" / "marrow-creek.toml").read_bytes()
    )
    save_job(changed(read_job(file), {"circuits[16].proposed": True}))
    assert open_house(file).sheet("branch-circuits", "Family room").status == "not shown"


def waits_for(job: Job, family: str, subject: str) -> str:
    """What the sheet about a subject says that it waits for."""
    sheet = next(s for s in sheets_of(House.of(job), family) if s.subject == subject)
    assert sheet.refused is not None
    return sheet.refused.reason.rpartition("(")[2].removesuffix(").")


def test_a_sheet_waits_for_what_it_rests_on_and_for_nothing_else() -> None:
    """Told by its subject, or by the entries that its numbers are from; of more than four the rest is counted."""
    job = with_proposed("circuits[16]", "boxes[1]")
    assert waits_for(job, "box-fill", "B1 family room, south wall") == "B1 family room, south wall"
    assert waits_for(job, "branch-circuits", "Family room") == "Family room"
    names = [circuit.name for circuit in read_job(LOT).circuits]
    on_it = with_proposed(
        *(f"circuits[{names.index(name) + 1}]" for name in ("Laundry", "Dryer", "Dining", "Disposer", "Dishwasher"))
    )
    told = waits_for(on_it, "branch-circuits", "Indoor panel")
    assert told.endswith(" and 1 more")
    assert told.count(",") == 3
    four = with_proposed(*(f"circuits[{names.index(name) + 1}]" for name in ("Laundry", "Dryer", "Dining", "Disposer")))
    assert "more" not in waits_for(four, "branch-circuits", "Indoor panel")
    aside = with_proposed("circuits[16]", "circuits[1]")
    assert "Kitchen left" in waits_for(aside, "branch-circuits", "Kitchen left")
    assert "Family room" not in waits_for(aside, "branch-circuits", "Kitchen left")


def test_a_sheet_stands_once_whether_or_not_it_waits() -> None:
    """What falls short with and without what is proposed is no second sheet beside the first."""
    job = with_proposed("boxes[1]", "circuits[1]", path=JOBS / "fernhollow-lot-12.toml")
    for family, sheets in standing(House.of(job)).sheets.items():
        assert len({(s.title, s.subject) for s in sheets}) == len(sheets), family


def test_where_no_house_is_left_without_what_is_proposed_all_of_it_waits(monkeypatch: pytest.MonkeyPatch) -> None:
    """No sheet and no row can be shown to stand by itself."""
    monkeypatch.setattr("calc.verdict.proposed._without", lambda job: None)
    house = House.of(with_proposed("boxes[1]"))
    assert {s.status for s in sheets_of(house, "box-fill")} == {"not shown"}
    assert not any("passes" in row for table in tables_of(house, "box-fill") for row in table.rows)


def test_rows_that_rest_on_nothing_proposed_still_say_that_they_pass() -> None:
    """Of two boxes the one that was accepted keeps its row."""
    rows = {row[0]: row for t in tables_of(House.of(with_proposed("boxes[1]")), "box-fill") for row in t.rows}
    assert "NOT SHOWN" in rows["B1 family room, south wall"]
    assert "passes" in rows["B2 bedroom, north wall"]


def test_an_edit_is_followed_as_in_a_house_made_anew() -> None:
    house = House.of(with_proposed("circuits[16]"))
    standing(house)
    for changes in ({"circuits[16].breaker_a": 20}, {"circuits[16].proposed": None}, {"circuits[2].proposed": True}):
        job = changed(house.whole_job, changes)
        house = house.after(job)
        assert standing(house).as_json() == standing(House.of(job)).as_json()


def test_taking_it_out_leaves_the_job_as_it_was_and_no_name_behind() -> None:
    job = with_proposed("panels[2]", "circuits[1]", "circuits[16]")
    left = withdrawn(job)
    named: list[Any] = [*(c.panel for c in left.circuits), *(o.circuit for r in left.rooms for o in r.outlets)]
    assert "Indoor panel" not in named
    assert "Family room" not in named
    assert not proposals(left)
    assert [c.name for c in left.circuits] == [c.name for c in job.circuits if not c.proposed]
    assert value_at(left.data, "rooms") != value_at(job.data, "rooms")


def test_one_is_accepted_or_taken_out_by_its_name() -> None:
    job = with_proposed("circuits[1]", "circuits[16]", "rooms[1].outlets[1]")
    assert [each.name for each in proposals(job)] == ["Kitchen left", "Family room", "Family room"]
    assert [each.at for each in proposals(accepted(job, "Kitchen left"))] == ["circuits[16]", "rooms[1].outlets[1]"]
    assert [each.name for each in proposals(withdrawn(job, "Family room"))] == ["Kitchen left"]
    with pytest.raises(KeyError, match="did you mean Family room"):
        accepted(job, "family rooms")


def test_the_fix_list_looks_for_no_other_mend_where_a_proposal_waits() -> None:
    """Neither is anything changed for it nor is time spent: what waits is listed last, with what to accept."""
    laid = laid_out(House.of(parse_job(new_job("A house", "new-house-facts").encode())))
    found = survey(House.of(laid))
    fixes = listed(found)
    waits = [fix for fix in fixes if "accept it" in fix.problem.needed]
    assert len(waits) > 50
    assert not any(fix.remedies for fix in waits)


def test_a_circuit_that_a_load_needs_and_nobody_entered_passes_nothing() -> None:
    """The sheet shows the circuit that it would take; the verdict waits for the entry, at the load's place."""
    data = {
        "code": {"edition": "2023"},
        "job": {"name": "Heater"},
        "scope": {"covers": ["branch-circuits"]},
        "panels": [{"name": "Panel", "bus_a": 200, "main_a": 200, "spaces": 30}],
        "rooms": [{"name": "Basement", "use": "basement"}],
        "loads": [
            {
                "name": "Water heater",
                "kind": "water-heater",
                "load_va": 4500,
                "volts": 240,
                "panel": "Panel",
                "room": "Basement",
                "connected_by": "hardwired",
            }
        ],
    }
    found = standing(House.of(make_job(data)))
    assert found.status == "not shown"
    opened = [each for each in found.open if each.about == "Water heater"]
    assert [(each.status, each.at) for each in opened] == [("not shown", "loads[1].circuit")]
    entered = {
        **data,
        "circuits": [
            {
                "name": "Water heater",
                "panel": "Panel",
                "poles": 2,
                "breaker_a": 30,
                "cable": "10/2 NM",
                "purpose": "individual",
            }
        ],
    }
    assert not [each for each in standing(House.of(make_job(entered))).open if each.about == "Water heater"]


@pytest.mark.parametrize(
    ("proposed", "told", "at"),
    [
        ({"boxes[1]": "B1"}, "B1", "boxes[1]"),  # by its subject
        ({"circuits[1]": "Far", "boxes[1].cables": "its cables"}, "its cables", "boxes[1].cables"),  # by its numbers
        ({"circuits[1]": "Far", "circuits[2]": "Off"}, "Far, Off", "circuits[1]"),  # by neither: all of them
        ({f"circuits[{n}]": f"C{n}" for n in range(1, 5)}, "C1, C2, C3, C4", "circuits[1]"),
        ({f"circuits[{n}]": f"C{n}" for n in range(1, 7)}, "C1, C2, C3, C4 and 2 more", "circuits[1]"),
    ],
)
def test_what_a_sheet_waits_for_is_told_by_its_subject_its_numbers_or_altogether(
    proposed: dict[str, str], told: str, at: str
) -> None:
    """Four at most are named."""
    box = {"name": "B1", "marked_in3": 22.5, "cables": ["14/2", "14/2"]}
    job = make_job({"code": {"edition": "2023"}, "job": {"name": "a"}, "boxes": [box]})
    (sheet,) = families()["box-fill"].work(House.of(job))
    made = waiting(sheet, [Proposal(place, name) for place, name in proposed.items()])
    assert made.refused is not None
    assert made.refused.reason.endswith(f"({told}).")
    assert (made.status, made.refused.at) == ("not shown", at)  # type: ignore[attr-defined]
    assert waiting(made, [Proposal("boxes[2]", "B2")]) is made
