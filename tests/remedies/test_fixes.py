"""The fix list: what must be on it, that each mend is proved, and what a mend may never do."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.families import families
from calc.job import Job, changed, read_job
from calc.job.edit import with_changes
from calc.remedies import fixes_sheet, fixes_text
from calc.remedies.guard import breaker_stands, breakers_grown, refusal
from calc.remedies.listed import Fix, listed, together
from calc.remedies.problem import ranking
from calc.remedies.prove import Trial
from calc.remedies.survey import Mark, Survey, survey
from calc.remedies.ways import GROWS_BREAKERS, Kind, Way, laid_over
from calc.wiring.house import House
from calc.wiring.places import in_words
from tests import houses
from tests.families.runs import LUGS_75, job, run, toml

JOBS = Path(__file__).parents[2] / "notebooks" / "jobs"
SAMPLES = Path(__file__).parents[1] / "samples"
HOUSES = ("fernhollow-lot-12", "cask-lane-27", "cask-lane-27-new-service", "tinkers-row-4")


@cache
def house(name: str) -> tuple[Survey, list[Fix]]:
    """A demo house, worked, with its fix list."""
    found = survey(houses.demo(name))
    return found, listed(found)


def worked(text: str, edition: str = "2023") -> tuple[Survey, list[Fix]]:
    made = job(text, edition)
    found = survey(House.of(made))
    return found, listed(found)


def marks(fix: Fix) -> list[Mark]:
    """The requirement of a fix and those that its mend takes along."""
    return [fix.problem.mark, *(other.mark for other in fix.along)]


def one(fixes: list[Fix], about: str, key: str = "") -> Fix:
    """The fix that holds a requirement, whichever it is listed under."""
    return next(
        fix for fix in fixes if any(m[2].startswith(about) and m[3].partition("[")[0] == key for m in marks(fix))
    )


def left_with_a_mend(found: Survey, fixes: list[Fix]) -> list[Mark]:
    """What still falls short with the first mend of each made, beside what the list says has none, and what is open."""
    left, _ = together(found, fixes)
    told = {fix.problem.mark for fix in fixes if not fix.remedies}
    return [problem.mark for problem in left if not problem.open and problem.mark not in told]


def remedies(fix: Fix) -> list[str]:
    return [proof.way.text for proof in fix.remedies]


# -- what must be on the list -------------------------------------------------------------------------------------

ON_THE_LIST = [
    ("R3 workshop", "type_fits_place", "Workshop"),
    ("Workshop", "supply_sheet", "Workshop"),
    ("R4 vehicle supply", "carries_continuous", "Outdoors"),
    ("R9 attic hole", "breaker_protects", "Attic"),
    ("Kitchen left and Kitchen right", "opposite_legs", "Kitchen"),
    ("Kitchen left and Kitchen right", "common_disconnect", "Kitchen"),
    ("Kitchen left", "own_circuit", "Kitchen"),
    ("Laundry", "nothing_else", "Laundry"),
    ("Upstairs receptacles", "other_cable_protected", "Walk-in closet"),
    ("Closet and attic lights", "ten_ampere_only", "Attic"),
    ("B2 bedroom", "volume_enough", "Bedroom"),
    ("B9 upstairs hall", "volume_enough", "Upstairs hall"),
    ("B10 bedroom", "fan_box_listed", "Bedroom"),
    ("B11 basement", "volume_enough", "Basement"),
    ("B12 family room", "volume_enough", "Family room"),
    ("Family room", "wall_reach", "Family room"),
    ("Bedroom", "wall_reach", "Bedroom"),
    ("Kitchen", "counter_reach", "Kitchen"),
    ("Kitchen", "island_ready_enough", "Kitchen"),
    ("fernhollow-lot-12", "dishwasher_receptacle_beside", "Kitchen"),
    ("Main stair", "level_switch", "Main stair"),
    ("fernhollow-lot-12", "intersystem_there", "Whole house"),
    ("Indoor panel", "working_depth", "Basement"),
]


@pytest.mark.parametrize(("about", "key", "where"), ON_THE_LIST)
def test_a_mistake_of_the_demo_house_is_on_the_list(about: str, key: str, where: str) -> None:
    """Trade notes, demo scenario, house A: what the crew got wrong."""
    fix = one(house("fernhollow-lot-12")[1], about, key)
    assert where in {room for problem in (fix.problem, *fix.along) for room in problem.where}


def test_a_circuit_of_several_rooms_is_listed_under_each_of_them() -> None:
    """A crew goes room by room; a heading names up to three rooms, then how many more there are."""
    found, fixes = house("fernhollow-lot-12")
    leg = next(n for n, fix in enumerate(fixes, 1) if fix.problem.about == "Upstairs receptacles")
    by_room = dict(fixes_sheet(found.house).by_room)
    assert all(leg in by_room[room] for room in ("Bedroom", "Upstairs hall", "Walk-in closet"))
    assert leg not in by_room["Whole house"]
    assert in_words(("Den",)) == "Den"
    assert in_words(("Den", "Hall", "Bath")) == "Den, Hall and Bath"
    assert in_words(("Den", "Hall", "Bath", "Attic")) == "Den, Hall and 2 more rooms"


def test_the_mistakes_of_the_old_house_with_its_new_service() -> None:
    """House B: four wires to the old panel, its bond out, 24 in before it, 1 AWG to the in-law panel."""
    fixes = house("cask-lane-27-new-service")[1]
    feed = one(fixes, "Old panel", "feeder_complete")
    assert remedies(feed)[0].startswith("1-1-1-3 SER Al instead of 2-2-4 SEU Al")
    in_law = remedies(one(fixes, "Feeder to the in-law panel", "breaker_protects"))
    assert in_law[0] == "a breaker of 90 A instead of 100 A", "which costs less than the wire"
    assert in_law[1].startswith("1-1-1-3 SER Al")
    assert one(fixes, "Old panel", "apart").problem.grade == 1
    assert "working width 30 in instead of 24 in" in remedies(one(fixes, "Old panel", "working_width"))[0]


def test_nothing_that_falls_short_is_left_out_and_nothing_stands_twice() -> None:
    for name in HOUSES:
        found, fixes = house(name)
        listed_marks = [mark for fix in fixes for mark in marks(fix)]
        assert sorted(listed_marks) == sorted(found.falling)


# -- worked out, not canned ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("about", "key", "expected"),
    [
        ("R3 workshop", "", ["6 AWG copper THWN-2 in PVC-80 instead of 6/3 NM"]),
        # 60 A behind 75 C lugs: NM is held to its 60 C column, so 6/2 ends at 55 A; 55 A / 125 % = 44 A
        ("R4 vehicle supply", "carries_continuous",
         ["4/3 NM instead of 6/2 NM", "6 AWG copper THWN-2 in PVC-40 instead of 6/2 NM",
          "Vehicle supply set to 44 A instead of 48 A, and locked there"]),
        # 30 A x 0.87 x 80 % = 20.9 A for six conductors, x 70 % = 18.3 A for eight
        ("R9 attic hole", "breaker_protects", ["bore more holes: at most 3 of the 4 cables through one",
                                               "10/2 NM instead of 12/2 NM with ground"]),
        ("Kitchen left and Kitchen right", "opposite_legs",
         ["move Kitchen right to space 3, beside Kitchen left, and Dining to space 5; "
          "one two-pole dual-function breaker for both"]),
        ("Kitchen left", "own_circuit", ["a circuit of its own for Microwave hood, with a dual-function breaker"]),
        ("Laundry", "nothing_else", ["move freezer from Laundry to Basement and laundry lights"]),
        ("Upstairs receptacles", "other_cable_protected", ["12 AWG for 14/2 with ground"]),
        # nine counts of 12 AWG: 9 x 2.25 in3
        ("B2 bedroom", "volume_enough", ["a box marked 20.25 in3 or more instead of 18 in3"]),
        # 31.625 in3, to the next quarter
        ("B11 basement", "volume_enough", ["a box marked 31.75 in3 or more instead of 30.3 in3"]),
        ("B9 upstairs hall", "volume_enough", ["a ring or extension marked 0.5 in3 or more on top of what is there"]),
        # (32.5 - 1) / 2 = 15.75 in3 a side
        ("B12 family room", "volume_enough", ["a box marked 32.5 in3 or more instead of 32 in3"]),
    ],
)  # fmt: skip
def test_the_mends_of_the_demo_house(about: str, key: str, expected: list[str]) -> None:
    assert remedies(one(house("fernhollow-lot-12")[1], about, key))[: len(expected)] == expected


def test_mends_come_in_the_order_of_what_is_safe() -> None:
    """Move, put in what is missing, another breaker, larger conductor, smaller load; a larger breaker with wire last."""
    for name in HOUSES:
        for fix in house(name)[1]:
            kinds = [proof.way.kind for proof in fix.remedies]
            assert kinds == sorted(set(kinds))
            assert kinds in ([Kind.LARGER_BREAKER], [k for k in kinds if k is not Kind.LARGER_BREAKER])


def test_the_list_runs_from_the_worst_and_refusals_without_a_mend_come_last() -> None:
    for name in HOUSES:
        fixes = house(name)[1]
        assert [fix.problem.grade for fix in fixes] == sorted(fix.problem.grade for fix in fixes)
        assert all((fix.problem.grade == 4) == (fix.problem.open and not fix.remedies) for fix in fixes)


# -- proved -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", HOUSES)
def test_each_mend_is_proved_by_working_the_whole_job_again(name: str) -> None:
    """Not by the code under test: every family is worked here again, before and after."""
    found, fixes = house(name)
    before = _failing(found.job)
    for fix in fixes:
        for proof in fix.remedies:
            after = _failing(changed(found.job, proof.way.changes))
            assert not after - before, f"{proof.way.text} harms {after - before}"
            gone = before - after
            assert {mark[:1] + mark[2:] for mark in marks(fix)} <= gone, proof.way.text


def _failing(of: Job) -> set[tuple[str, str, str]]:
    house = House.of(of)
    found = set()
    for name, family in families().items():
        for s in [] if family.needs(of) else family.work(house):
            found |= {(name, s.subject, check.key) for check in s.checks if not check.holds.holds}
            found |= {(name, s.subject, "")} if s.refused else set()
    return found


@pytest.mark.parametrize("name", HOUSES)
def test_all_first_mends_together_leave_nothing_that_has_a_mend(name: str) -> None:
    found, fixes = house(name)
    assert left_with_a_mend(found, fixes) == []


def test_nothing_is_taken_out_of_a_count_by_any_mend() -> None:
    """Loads, what is in boxes, rooms as built, lengths and surroundings are the same after each mend."""
    for name in HOUSES:
        found, fixes = house(name)
        for fix in fixes:
            for proof in fix.remedies:
                old, new = found.job, changed(found.job, proof.way.changes)
                allowed = proof.way.kind is Kind.LOAD
                assert [(x.name, x.count, x.status) for x in old.loads] == [
                    (x.name, x.count, x.status) for x in new.loads
                ]
                assert allowed or [x.load_va for x in old.loads] == [x.load_va for x in new.loads]
                assert [x.dwelling for x in (old,)] == [x.dwelling for x in (new,)]
                for one_box, other in zip(old.boxes, new.boxes, strict=True):
                    for field in ("devices", "fittings", "internal_clamps", "terminal_blocks", "conductors", "through",
                                  "looped", "fixture_wires", "compartments"):  # fmt: skip
                        assert getattr(one_box, field) == getattr(other, field), proof.way.text
                for before, after in zip(old.runs, new.runs, strict=True):
                    for field in ("length_ft", "calculated_a", "continuous_a", "ambient_f", "in_insulation"):
                        assert getattr(before, field) == getattr(after, field), proof.way.text
                assert sum(len(r.outlets) for r in old.rooms) <= sum(len(r.outlets) for r in new.rooms)


# -- what is no mend ----------------------------------------------------------------------------------------------

TRICKS: list[tuple[str, dict[str, Any]]] = [
    ("a load left out", {"loads[4]": None}),
    ("a load said to be smaller", {"loads[4].load_va": 4000}),
    ("a load said to be removed", {"loads[4].status": "removed"}),
    ("a ground left out of a box", {"boxes[2].cables": ["3 x 12/2 without ground"]}),
    ("a cable left out of a box", {"boxes[2].cables": ["2 x 12/2 with ground"]}),
    ("clamps said to be none", {"boxes[9].internal_clamps": "none"}),
    ("a terminal block left out", {"boxes[11].terminal_blocks": []}),
    ("a device left out of a box", {"boxes[1].devices": []}),
    ("a receptacle left out of a room", {"rooms[1].outlets": []}),
    ("an opening left out", {"rooms[1].openings[4]": None}),
    ("a wall said to be shorter", {"rooms[1].walls[4].length_ft": 12}),
    ("a wall said to be a door", {"rooms[1].openings[4].width_ft": 4.5}),
    ("a freezer forgotten", {"circuits[7].outlets": ["receptacles", "washer"]}),
    ("a room forgotten", {"circuits[7].rooms": []}),
    ("a run said to be shorter", {"runs[10].length_ft": 20}),
    ("an attic said to be cool", {"runs[9].ambient_f": 86}),
    ("insulation said to be gone", {"runs[9].in_insulation": False}),
    ("less current said to flow", {"runs[9].calculated_a": 8}),
    ("another edition", {"code.edition": "2017", "code.amendments": []}),
    ("another reading", {"code.readings.counter_end_walls": "not-counted"}),
    ("an electrode made up", {"grounding.electrodes": []}),
    ("the area forgotten", {"dwelling.floor_area_ft2": 2480}),
    ("a finding closed", {"findings[1]": None}),
]


@pytest.mark.parametrize(("what", "changes"), TRICKS, ids=[what for what, _ in TRICKS])
@pytest.mark.parametrize("kind", [Kind.MOVE, Kind.PART, Kind.CONDUCTOR, Kind.LARGER_BREAKER])
def test_what_takes_something_out_of_the_count_is_no_mend(what: str, changes: dict[str, Any], kind: Kind) -> None:
    found, _ = house("fernhollow-lot-12")
    assert refusal(found.job, changed(found.job, changes), kind)


def test_a_smaller_load_is_a_mend_only_where_that_is_what_is_offered() -> None:
    """A vehicle charger may be set lower; a dryer that the owner has stays what it is, and nothing ever grows."""
    found, _ = house("fernhollow-lot-12")
    number = next(n for n, load in enumerate(found.job.loads, 1) if load.name == "Vehicle supply")
    lower = changed(found.job, {f"loads[{number}].load_va": 9600, f"loads[{number}].setting_a": 40})
    assert not refusal(found.job, lower, Kind.LOAD)
    assert refusal(found.job, lower, Kind.MOVE)
    assert refusal(found.job, changed(found.job, {f"loads[{number}].load_va": 12000}), Kind.LOAD)


def test_what_mends_one_thing_and_breaks_another_is_no_mend() -> None:
    """A smaller breaker cures the attic hole and starves its load; a 4-wire of 14 AWG would pass nothing."""
    found, fixes = house("fernhollow-lot-12")
    mark = one(fixes, "R9 attic hole", "breaker_protects").problem.mark
    run_at = next(n for n, r in enumerate(found.job.runs, 1) if r.name == "R9 attic hole")
    circuit_at = next(n for n, c in enumerate(found.job.circuits, 1) if c.name == "Upstairs receptacles")
    starve = {f"runs[{run_at}].breaker_a": 15, f"circuits[{circuit_at}].breaker_a": 15}
    assert Trial(found, mark, Way(Kind.SMALLER_BREAKER, "", starve)).proof is None
    assert Trial(found, mark, Way(Kind.MOVE, "", {f"runs[{run_at}].cables_bundled": 2})).proof is not None
    assert Trial(found, mark, Way(Kind.MOVE, "", {"runs[99].cables_bundled": 2})).proof is None
    assert Trial(found, mark, Way(Kind.MOVE, "", {f"runs[{run_at}].cables_bundled": "two"})).proof is None


def test_a_requirement_whose_sheet_vanishes_is_not_met_and_no_other_sheet_may_vanish() -> None:
    """Two halves that are no longer said to share a neutral have no sheet: that mends nothing, alone or beside a mend."""
    found, fixes = house("fernhollow-lot-12")
    at = {each.name: n for n, each in enumerate(found.job.circuits, 1)}
    shared = ("multiwire_with", "common_disconnect", "neutral_pigtailed")
    apart = {f"circuits[{at[half]}].{key}": None for half in ("Kitchen left", "Kitchen right") for key in shared}
    legs = one(fixes, "Kitchen left and Kitchen right", "opposite_legs").problem.mark
    alone = Trial(found, legs, Way(Kind.PART, "", apart))
    assert alone.job is not None
    assert not alone.cures(frozenset({legs}))
    assert alone.proof is None
    hole = one(fixes, "R9 attic hole", "breaker_protects").problem.mark
    run_at = next(n for n, r in enumerate(found.job.runs, 1) if r.name == "R9 attic hole")
    beside = Trial(found, hole, Way(Kind.MOVE, "", {f"runs[{run_at}].cables_bundled": 2, **apart}))
    assert beside.cures(frozenset({hole}))
    assert beside.proof is None


# -- breakers -----------------------------------------------------------------------------------------------------

HEAD = '[dwelling]\nkind = "one-family"\nfloor_area_ft2 = 500\n'


def heater(cable: str, breaker: int, **keys: Any) -> tuple[Survey, list[Fix]]:
    """A storage water heater of 4,500 VA: 18.75 A, sized at 125 % for 23.4 A."""
    plain = {"name": "WH", "kind": "water-heater", "load_va": 4500, "volts": 240, "tank_gal": 50, "circuit": "WH",
             "room": "Utility"}  # fmt: skip
    text = (
        HEAD
        + toml("rooms", name="Utility", use="utility")
        + toml("panels", name="P", fed_from="utility", service_equipment=True, spaces=20)
    )
    text += toml("loads", **plain | keys)
    text += toml("circuits", name="WH", panel="P", poles=2, purpose="individual", cable=cable, breaker_a=breaker)
    found, fixes = worked(text)
    return found, [fix for fix in fixes if fix.problem.about == "WH"]


def test_a_larger_breaker_comes_only_where_the_conductor_carries_it() -> None:
    """20 A on a storage water heater: on 10 AWG a 25 A breaker mends it, on 12 AWG only with larger wire, as one mend."""
    (fix,) = heater("10/2 NM", 20)[1]
    assert remedies(fix) == ["a breaker of 25 A instead of 20 A"]
    thin = {fix.problem.mark[3]: remedies(fix) for fix in heater("12/2 NM", 20)[1]}
    assert thin == {
        "carries_continuous": ["10/2 NM instead of 12/2 NM, and with it a breaker of 25 A instead of 20 A"],
    }


SERVED: dict[str, Any] = {"fed_from": "utility", "service_equipment": True, "spaces": 20}


def circuit_and_run(cable: str, breaker: int, va: int, kind: str, **keys: Any) -> list[Fix]:
    """A load on a circuit with its run behind lugs of 75 C; what falls short of either."""
    text = HEAD + toml("panels", name="P", **SERVED)
    text += toml("loads", name="L", kind=kind, load_va=va, volts=240, circuit="C", **keys)
    text += toml("circuits", name="C", panel="P", poles=2, purpose="individual", cable=cable, breaker_a=breaker)
    text += toml("runs", name="R", role="branch", fed_from="P", feeds="C", volts=240, length_ft=40, cable=cable,
                 breaker_a=breaker, **LUGS_75)  # fmt: skip
    return [fix for fix in worked(text)[1] if fix.problem.about in ("C", "R") and not fix.problem.open]


def test_a_breaker_that_is_too_small_for_its_load_is_mended_by_the_next_one_where_the_wire_carries_it() -> None:
    """10,000 VA of heat: 52.1 A at 125 % on 50 A with 55 A of wire; its sheet says 60 A, and so does the list."""
    (fix,) = circuit_and_run("6/2 NM", 50, 10000, "space-heat")
    assert remedies(fix) == ["a breaker of 60 A instead of 50 A"]
    assert {mark[0] for mark in marks(fix)} == {"feeder", "branch-circuits"}


def test_what_is_wrong_with_a_circuit_and_its_run_is_one_entry_with_a_mend_for_both() -> None:
    """A charger of 40 A on 8/2 with 40 A: wire and breaker are too small, and one mend puts both right, or 32 A does."""
    (fix,) = circuit_and_run("8/2 NM", 40, 9600, "ev-supply")
    assert [{mark[3] for mark in proof.cured} for proof in fix.remedies] == [
        {"carries_continuous", "breaker_carries"}
    ] * len(fix.remedies)
    assert remedies(fix)[0] == "L set to 32 A instead of 40 A, and locked there"


def test_a_smaller_breaker_comes_before_new_wire_where_the_load_allows_it() -> None:
    """80 A on 3 AWG behind 110 A: 100 A protects it, at less cost than 2 AWG."""
    text = run(feeds="P", length_ft=30, calculated_a=80, size="3", breaker_a=110, **LUGS_75) + toml("panels", name="P")
    fix = one(worked(text)[1], "R", "breaker_protects")
    assert remedies(fix)[:2] == ["a breaker of 100 A instead of 110 A", "2 AWG instead of 3 AWG"]


def test_an_overfull_raceway_gets_the_size_that_its_sheet_names() -> None:
    """Nine 10 AWG THHN, 0.0211 in2 each, in 1/2 EMT of 0.122 in2 at 40 %: 0.1899 in2 want 3/4, 0.213 in2."""
    text = toml("raceways", name="W", kind="EMT", trade_size="1/2", length_ft=20) + 'holds = ["9 x 10 THHN"]\n'
    (fix,) = worked(text)[1]
    assert remedies(fix) == ["trade size 3/4 instead of 1/2"]


def test_a_device_box_is_never_given_a_ring() -> None:
    """Two 14/2 with ground and a receptacle: 14 in3 in a box of 12.5 in3; rings are made for square and octagonal ones."""
    text = toml("boxes", name="B", box="3 x 2 x 2-1/2 device", cables=["2 x 14/2 with ground"], internal_clamps="none")
    (fix,) = worked(text + 'devices = [{ kind = "receptacle", wire = 14 }]\n')[1]
    assert remedies(fix) == ["a 3 x 2 x 2-3/4 device box"]


def test_breakers_that_may_not_break_the_current_get_the_next_rating_that_is_sold() -> None:
    """12,345.6 A available on breakers of 10,000 A: 14,000 A are sold; a rating of 12,346 A is not."""
    text = '[fault]\navailable_a = 12345.6\nstated_by = "letter"\nstated_on = 2026-01-02\n' + toml(
        "panels", name="P", interrupting_a=10000, **SERVED
    )
    fix = next(fix for fix in worked(text)[1] if fix.problem.mark[3] == "interrupting_ok[P]")
    assert "interrupting rating 14,000 A instead of 10,000 A" in remedies(fix)[0]


def test_a_bus_behind_too_large_a_breaker_gets_a_smaller_one_before_another_panel() -> None:
    """A bus of 100 A behind 125 A that carries 80 A: 100 A ahead protects it; else a panel of 125 A."""
    text = toml("panels", name="M", bus_a=200, main_a=200, **SERVED) + toml("panels", name="P", bus_a=100, fed_from="M")
    text += run(fed_from="M", feeds="P", length_ft=30, calculated_a=80, size="1", breaker_a=125, **LUGS_75)
    fix = one(worked(text)[1], "P", "bus_protected")
    assert remedies(fix)[0] == "a breaker of 100 A instead of 125 A"
    assert "bus rating 125 A instead of 100 A" in remedies(fix)[1]


def test_a_panel_in_a_clothes_closet_is_worse_than_wire_to_it_that_is_too_small() -> None:
    """Nobody buys wire to a panel that has to go elsewhere first."""
    text = toml("panels", name="P", location="clothes-closet", **SERVED)
    text += run(feeds="P", length_ft=30, calculated_a=80, size="6", breaker_a=100, **LUGS_75)
    keys = [fix.problem.mark[3] for fix in worked(text)[1]]
    assert keys.index("place_allowed") < keys.index("breaker_protects")


def test_no_two_mends_name_a_new_circuit_alike() -> None:
    """Lights that leave two circuits for circuits of their own: each is named by the one that it leaves."""
    text = HEAD + toml("panels", name="P", **SERVED)
    for name in ("A", "B"):
        text += toml("circuits", name=name, panel="P", purpose="laundry", breaker_a=20, cable="12/2 NM",
                     outlets=["receptacles", "lighting"], breaker_type="dual-function")  # fmt: skip
    fixes = [fix for fix in worked(text)[1] if fix.problem.about in ("A", "B") and fix.remedies]
    added = [row["name"] for fix in fixes for at, row in fix.remedies[0].way.changes.items() if at == "circuits[+]"]
    assert sorted(added) == ["Lighting off A, own", "Lighting off B, own"]


def nameplate(breaker: int, cable: str = "10/2 NM") -> list[Fix]:
    """A heat pump of 21.0 A minimum and 35 A at most, as in the demo house."""
    text = HEAD + toml("panels", name="P", fed_from="utility", service_equipment=True, spaces=20)
    text += toml("rooms", name="Utility", use="utility")
    text += toml("loads", name="HP", kind="heat-pump", load_va=4080, volts=240, mca_a=21.0, mocp_a=35, circuit="HP",
                 room="Utility")  # fmt: skip
    text += toml("circuits", name="HP", panel="P", poles=2, purpose="individual", cable=cable, breaker_a=breaker)
    return [fix for fix in worked(text)[1] if fix.problem.about == "HP" and not fix.problem.open]


def test_the_breaker_of_equipment_is_never_larger_than_its_nameplate_says() -> None:
    """40 A on a largest breaker of 35 A comes down, however thick the wire."""
    (fix,) = nameplate(40, "6/2 NM")
    assert remedies(fix) == ["a breaker of 35 A instead of 40 A"]
    assert nameplate(35) == []


def test_a_receptacle_holds_the_breaker_down() -> None:
    """A single receptacle of 15 A alone on 20 A: 20 A receptacle, or a 15 A breaker; never another breaker up."""
    text = HEAD + toml("panels", name="P", fed_from="utility", service_equipment=True, spaces=20)
    text += toml("circuits", name="C", panel="P", purpose="individual", cable="12/2 NM", breaker_a=20, receptacle_a=15,
                 single_receptacle=True, outlets=["refrigerator"])  # fmt: skip
    fix = one(worked(text)[1], "C", "single_receptacle_rating")
    for proof in fix.remedies:
        assert proof.way.kind is not Kind.LARGER_BREAKER
        assert proof.job.circuits[0].breaker_a <= (proof.job.circuits[0].receptacle_a or 0)


@settings(max_examples=12, deadline=None)
@given(
    cable=st.sampled_from(["14/2 NM", "12/2 NM", "10/2 NM", "8/2 NM", "6/2 NM"]),
    breaker=st.sampled_from([15, 20, 25, 30, 35, 40, 45, 50, 60, 70]),
    va=st.integers(1000, 12000),
    kind=st.sampled_from(["water-heater", "ev-supply", "space-heat"]),
    bundled=st.integers(1, 6),
)
def test_no_mend_ever_puts_a_breaker_above_what_stands_behind_it(
    cable: str, breaker: int, va: int, kind: str, bundled: int
) -> None:
    """Whatever is wrong with a circuit, after each mend its run and circuit pass whole, or its breaker did not grow."""
    text = HEAD + toml("panels", name="P", fed_from="utility", service_equipment=True, spaces=20)
    text += toml("loads", name="L", kind=kind, load_va=va, volts=240, circuit="C")
    text += toml("circuits", name="C", panel="P", poles=2, purpose="individual", cable=cable, breaker_a=breaker)
    text += toml("runs", name="R", role="branch", fed_from="P", feeds="C", volts=240, length_ft=40, cable=cable,
                 breaker_a=breaker, cables_bundled=bundled, in_insulation=bundled > 1, **LUGS_75)  # fmt: skip
    found, fixes = worked(text)
    for fix in fixes:
        if asked := re.fullmatch(r"a breaker of (\d+) A", fix.problem.asked):
            both = {"circuits[1].breaker_a": int(asked[1]), "runs[1].breaker_a": int(asked[1])}
            stands = Trial(found, fix.problem.mark, Way(Kind.BREAKER_ASKED, "", both)).proof is not None
            assert not stands or any(asked[0] in text for text in remedies(fix)), (
                "what its own sheet says, and what serves"
            )
        for proof in fix.remedies:
            after = survey(found.house.with_job(proof.job))
            for name in breakers_grown(found.job, proof.job):
                assert proof.way.kind in GROWS_BREAKERS
                assert breaker_stands(after, name)
            assert sum(load.load_va or 0 for load in proof.job.loads) <= va
            assert fix.problem.mark not in after.falling
            assert not set(after.falling) - set(found.falling)


# -- compound, service, refusals ----------------------------------------------------------------------------------


def test_larger_cable_brings_larger_boxes_where_it_crowds_them() -> None:
    """12 AWG for a switch leg on a 20 A circuit, and the box that then has to hold it."""
    text = HEAD + toml("panels", name="P", fed_from="utility", service_equipment=True, spaces=20)
    text += toml("circuits", name="C", panel="P", purpose="general", cable="12/2 with ground", breaker_a=20,
                 other_cables=["14/2 with ground"], breaker_type="dual-function")  # fmt: skip
    box = toml("boxes", name="B", circuit="C", marked_in3=18, cables=["3 x 14/2 with ground"], neutral_at_switch=True)
    found, fixes = worked(text + box + 'devices = [{ kind = "switch", wire = 14 }]\n')
    fix = one(fixes, "C", "other_cable_protected")
    # three 12/2: six conductors and the grounds at 2.25 in3, the switch at two of 14 AWG
    assert remedies(fix) == ["a breaker of 15 A instead of 20 A",
                          "12 AWG for 14/2 with ground; for B a box marked 19.75 in3 or more instead of 18 in3"]  # fmt: skip
    assert found.falling.keys() == {fix.problem.mark} | {
        m for m in found.falling if m[0] != "branch-circuits" or m[2] != "C"
    }


def test_a_service_that_is_too_small_is_held_down_before_it_is_replaced() -> None:
    """House B: 123.7 A on 100 A. No setting of the charger saves it (110.9 A without), so a larger service is left."""
    fix = one(house("cask-lane-27")[1], "cask-lane-27", "service_serves")
    assert [proof.way.kind for proof in fix.remedies] == [Kind.SERVICE]
    assert remedies(fix)[0].startswith("a service of 125 A instead of 100 A")
    new = fix.remedies[0].job
    assert new.service is not None
    assert (new.service.work, new.service.load_method) == ("replaced", "optional")
    assert new.service.surge_protection == "type-2"


def test_energy_management_saves_a_service_where_the_rest_fits() -> None:
    """Without strips 102.9 A: the charger may stay, held to so many amperes; one ampere more would be too much."""
    old = read_job(JOBS / "cask-lane-27.toml")
    at = {load.name: n for n, load in enumerate(old.loads, 1)}
    light = changed(old, {f"loads[{at['Strip heat']}]": None})
    found = survey(House.of(light))
    fix = one(listed(found), "cask-lane-27", "service_serves")
    assert fix.remedies[0].way.kind is Kind.LOAD
    (system,) = fix.remedies[0].job.load_management
    more = changed(fix.remedies[0].job, {"load_management[1].setpoint_a": system.setpoint_a + 1})
    assert fix.problem.mark in survey(found.house.with_job(more)).falling


def test_a_refusal_for_want_of_a_fact_says_so_and_comes_last() -> None:
    text = HEAD + toml("panels", name="P", fed_from="utility", service_equipment=True, working_depth_in=20)
    text += toml("boxes", name="B", cables=["12/2"])
    fixes = worked(text)[1]
    fix = one(fixes, "B")
    assert (fix.problem.grade, fix.remedies) == (4, ())
    assert "marked_in3" in fix.problem.needed
    assert all(each.problem.grade == 4 for each in fixes[fixes.index(fix) :])


# -- the list itself ----------------------------------------------------------------------------------------------


def test_protection_that_is_missing_does_not_bar_the_breaker_that_a_circuit_needs() -> None:
    """14/2 on 15 A for the kitchen: 12/2 with 20 A, and one dual-function breaker for both protections."""
    text = toml("panels", name="P", spaces=12) + toml("circuits", name="Counter", panel="P", purpose="small-appliance",
                                                      positions=[1], breaker_a=15, cable="14/2")  # fmt: skip
    found, fixes = worked(text)
    both = one(fixes, "Counter", "arc_fault_provided")
    assert remedies(both)[0] == "a dual-function breaker"
    assert {mark[3] for mark in marks(both)} == {"arc_fault_provided", "ground_fault_provided"}
    assert (
        remedies(one(fixes, "Counter", "breaker_carries"))[0]
        == "12/2 NM instead of 14/2, and with it a breaker of 20 A instead of 15 A"
    )
    assert not [problem for problem in together(found, fixes)[0] if problem.about == "Counter"]


def test_travellers_get_the_cable_that_they_need_and_the_box_for_it() -> None:
    """A three-way switch needs one cable of three wires, a four-way two; 14/3 in 14 in3 crowds the box."""
    boxes = [("Three", 14, "three-way-switch", ["2 x 14/2"]), ("Four", 18, "four-way-switch", ["14/2", "14/2"])]
    text = "".join(
        toml("boxes", name=name, marked_in3=volume, cables=cables, neutral_at_switch=True)
        + f'devices = [{{ kind = "{kind}", wire = 14 }}]\n'
        for name, volume, kind, cables in boxes
    )
    found, fixes = worked(text)
    assert [remedies(fix)[0] for fix in fixes] == [
        "14/3 NM in place of one 14/2 NM; for Three a box marked 16 in3 or more instead of 14 in3",
        "14/3 NM in place of 2 14/2 NM",
    ]
    assert left_with_a_mend(found, fixes) == []


def test_a_receptacle_that_is_added_is_not_hung_as_high_as_the_one_that_does_not_count() -> None:
    text = '[[rooms]]\nname = "Kitchen"\nuse = "kitchen"\nlight = "wall-switched"\nwalls = [{ name = "all", length_ft = 1.9 }]\n[[rooms.counters]]\nname = "north"\n'
    found, fixes = worked(text + "length_in = 48\noutlets = [{ at_in = 24, above_in = 30 }]\n")
    assert remedies(fixes[0])[0] == "add a receptacle at north counter, 2 ft 0 in from its left end"
    assert left_with_a_mend(found, fixes) == []


@pytest.mark.parametrize(
    ("edition", "kind", "number"), [("2017", "island", 1), ("2020", "island", 2), ("2020", "peninsula", 2)]
)
def test_an_island_gets_as_many_as_the_edition_asks_for(edition: str, kind: str, number: int) -> None:
    """18 ft2 of top with one receptacle that doesn't count: one in 2017, two in 2020, near the outer end of a peninsula."""
    text = '[[rooms]]\nname = "Kitchen"\nuse = "kitchen"\nlight = "wall-switched"\nwalls = [{ name = "all", length_ft = 1.9 }]\n[[rooms.counters]]\n'
    text += (
        f'name = "top"\nkind = "{kind}"\nlength_in = 72\ndepth_in = 36\noutlets = [{{ at_in = 10, above_in = 30 }}]\n'
    )
    found, fixes = worked(text, edition)
    assert remedies(fixes[0])[0].startswith(f"add {number} at the top")
    assert left_with_a_mend(found, fixes) == []


def test_a_receptacle_of_a_peninsula_is_moved_to_where_the_edition_has_it() -> None:
    """2020: within 24 in of the outer end; 2026: none close below the top."""
    text = '[[rooms]]\nname = "Kitchen"\nuse = "kitchen"\nlight = "wall-switched"\nwalls = [{ name = "all", length_ft = 1.9 }]\n[[rooms.counters]]\nname = "bar"\n'
    text += 'kind = "peninsula"\nlength_in = 80\ndepth_in = 16\noutlets = [{ at_in = 20, below_in = 10 }]\n'
    for edition, said in (("2020", "move the receptacle at 1 ft 8 in to 4 ft 8 in"), ("2026", "move it into the top")):
        found, fixes = worked(text, edition)
        assert remedies(fixes[0])[0].startswith(said)
        assert fixes[0].problem.sections
        assert left_with_a_mend(found, fixes) == []


def test_a_foyer_gets_one_in_each_wall_space() -> None:
    walls = "".join(f'{{ name = "{name}", length_ft = 9 }},' for name in ("north", "east", "south", "west"))
    doors = "".join(f'{{ kind = "door", wall = "{wall}", at_ft = 3, width_ft = 3 }},' for wall in ("north", "south"))
    text = '[[rooms]]\nname = "Foyer"\nuse = "foyer"\nlight = "wall-switched"\nfloor_area_ft2 = 81\n'
    found, fixes = worked(
        f'{text}walls = [{walls}]\nopenings = [{doors}]\noutlets = [{{ wall = "east", at_ft = 4 }}]\n'
    )
    assert remedies(fixes[0])[0].startswith("add a receptacle at west wall")
    assert left_with_a_mend(found, fixes) == []


def test_mends_of_one_list_do_not_undo_each_other() -> None:
    """Two mends made for one job, one of which changes an entry and one adds to the list: both are there afterwards."""
    old = {"circuits": [{"name": "a"}, {"name": "b"}], "loads": [{"name": "x"}]}
    first = with_changes(old, {"circuits": [{"name": "a", "breaker_a": 20}, {"name": "b"}]})
    second = laid_over(old, first, {"circuits": [{"name": "a"}, {"name": "b"}, {"name": "c"}], "loads[1].circuit": "b"})
    assert with_changes(first, second) == {
        "circuits": [{"name": "a", "breaker_a": 20}, {"name": "b"}, {"name": "c"}],
        "loads": [{"name": "x", "circuit": "b"}],
    }


def test_a_place_that_lacks_a_receptacle_gets_one_that_counts_there() -> None:
    """A hall, a vehicle bay, a laundry, the back of the house and a basin: each mend is put in, and nothing is left."""
    places = [
        ("Hall", "hall", "hall_length_ft = 12", '{ status = "removed" }'),
        ("Garage", "garage", "vehicle_bays = 2", '{ bay = 1, purpose = "vehicle-bay", ground_fault = true }'),
        ("Laundry", "laundry", "", '{ purpose = "laundry", distance_ft = 9 }'),
        ("Yard", "outdoors", 'front_or_back = "back"', '{ status = "removed" }'),
        ("Street side", "outdoors", 'front_or_back = "front"', "{ height_in = 20 }"),
        ("Bath", "bathroom", "basins = [{ at_ft = 1, width_ft = 2 }]", "{ at_ft = 9 }"),
    ]
    text = '[dwelling]\nkind = "one-family"\nfloor_area_ft2 = 1500\n'
    for name, use, more, outlet in places:
        text += f'[[rooms]]\nname = "{name}"\nuse = "{use}"\nlight = "wall-switched"\n{more}\noutlets = [{outlet}]\n'
    found, fixes = worked(text)
    assert {fix.problem.where[0]: remedies(fix)[:1] for fix in fixes} == {
        "Hall": ["add a receptacle in the hall"], "Garage": ["add a receptacle in vehicle bay 2"],
        "Laundry": ["add a receptacle in the laundry, near the washer"],
        "Outdoors": ["add a receptacle at the back of the house, within reach from grade"],
        "Bath": ["add a receptacle at 6 in along the wall"],
    }  # fmt: skip
    assert left_with_a_mend(found, fixes) == []


def test_a_job_with_nothing_wrong_has_an_empty_list() -> None:
    made = job(HEAD + "[service]\nrating_a = 100\nmain_a = 100\n")
    sheet = fixes_sheet(House.of(made))
    assert sheet.groups == []
    text = fixes_text(sheet)
    assert text.startswith("Fix list, test: Load calculation: passes. Nothing is claimed here of:")
    assert "Box fill" in text
    assert "Dwelling load" not in text, "silence is no approval, but this was worked"
    assert "falls short" not in text


def test_the_text_names_room_section_what_is_there_what_is_needed_and_the_mend() -> None:
    found, _ = house("fernhollow-lot-12")
    sheet = fixes_sheet(found.house)
    text = fixes_text(sheet)
    part = text[text.index("R9 attic hole") :].split("\n\n")[0]
    for said in ("240.4(B)", "20 A (breaker)", "at most 18.3 A", "bore more holes", "(electrician)"):
        assert said in part
    assert "FIRE OR SHOCK" in text
    assert text.index("R9 attic hole") < text.index("B2 bedroom") < text.index("Main stair")
    assert ("everything in the scope passes." in sheet.closing) == (not together(found, listed(found))[0])
    every = [item.number for group in sheet.groups for item in group.items]
    assert sorted({n for _, of in sheet.by_room for n in of}) == every, "in one room or in several"
    assert sorted(n for _, of in sheet.by_trade for n in of) == every, "each for one trade"


def test_every_grade_and_trade_is_of_a_family_that_there_is() -> None:
    assert {key.partition(".")[0] for key in ranking()} - {"grades"} <= set(families())
    assert set(families()) == {key for key in ranking() if "." not in key} - {"grades"}


# -- two entries that disagree ---------------------------------------------------------------------------------------------

TIED = (
    '[dwelling]\nkind = "one-family"\nfloor_area_ft2 = 1800\n[service]\nrating_a = 200\nmain_a = 200\n'
    + toml("panels", name="Main", service_equipment=True, bus_a=200, main_a=200)
    + toml("panels", name="Shop panel", bus_a=100)
    + "".join(toml("circuits", name=f"K{n}", panel="Main", purpose="small-appliance", breaker_a=20) for n in (1, 2, 3))
)
TO_SHOP = {"name": "To shop", "fed_from": "Main", "feeds": "Shop panel", "breaker_a": 60, "neutral": True,
           "material": "copper", "insulation": "THWN-2", "wiring_method": "EMT", "size": "6", "location": "dry-throughout",
           **LUGS_75}  # fmt: skip


def test_what_the_load_counts_too_low_is_counted_higher_by_a_remedy_that_is_proved() -> None:
    """Three small-appliance circuits count as three; a feeder's stated load is no less than what hangs on it."""
    welder = toml("loads", name="Welder", kind="shop", load_va=7200, volts=240, panel="Shop panel")
    _, fixes = worked(TIED + run(**TO_SHOP, calculated_a=20) + welder)
    assert [p.way.changes for p in one(fixes, "test", "circuits_counted").remedies] == [
        {"dwelling.small_appliance_circuits": 3}
    ]
    assert [p.way.changes for p in one(fixes, "test", "stated_load").remedies] == [{"runs[1].calculated_a": 30}]


def test_where_only_a_person_can_say_which_entry_is_true_the_fix_list_asks() -> None:
    """A feeder that carries more than the service counts: a load is forgotten, or its stated load is too large."""
    saw = toml("loads", name="Saw", kind="shop", load_va=1800, volts=240, panel="Shop panel")
    found, fixes = worked(TIED + run(**TO_SHOP, calculated_a=58) + saw)
    fix = one(fixes, "test", "in_the_service")
    assert fix.remedies == ()
    said = fixes_text(fixes_sheet(House(found.job, found.code)))
    assert "To find out, and to put right in the job, which of its two entries is true: loads of" in said


def test_what_the_load_counts_may_be_said_to_be_more_and_never_less() -> None:
    found, _ = worked(TIED + run(**TO_SHOP, calculated_a=20))
    old = changed(found.job, {"dwelling.laundry_circuits": 2})
    for more in ({"runs[1].calculated_a": 30}, {"dwelling.small_appliance_circuits": 3}):
        assert not refusal(old, changed(old, more), Kind.PART)
    for less in ({"runs[1].calculated_a": 10}, {"runs[1].calculated_a": None}, {"dwelling.laundry_circuits": 1}):
        assert refusal(old, changed(old, less), Kind.PART)


# -- over all jobs ---------------------------------------------------------------------------------------------------------

LONG = ("conductors", "feeders")  # each of their many runs falls short of something


@pytest.mark.parametrize(
    "path", [path for path in sorted(SAMPLES.glob("*.toml")) if path.stem not in LONG], ids=lambda p: p.stem
)
def test_no_first_remedy_of_a_sample_contradicts_its_sheets(path: Path) -> None:
    """Made in the job, and all worked from nothing again: what it is for is met, and nothing falls short that did not before."""
    found = survey(House.of(read_job(path)))
    for fix in listed(found):
        assert_it_holds(found, fix)


@pytest.mark.parametrize("name", HOUSES)
def test_no_first_remedy_of_a_demo_house_contradicts_its_sheets(name: str) -> None:
    """A few of them, over the whole list."""
    found, fixes = house(name)
    for fix in fixes[:: max(1, len(fixes) // 6)]:
        assert_it_holds(found, fix)


def assert_it_holds(found: Survey, fix: Fix) -> None:
    """The first remedy of a fix, in a house that remembers nothing."""
    if fix.remedies:
        first = fix.remedies[0]
        after = survey(House.of(changed(found.job, first.way.changes)))
        assert not set(first.cured) & set(after.falling), first.way.text
        assert set(after.falling) <= set(found.falling), first.way.text


def test_what_all_first_remedies_together_ask_for_beside_the_list_is_told_in_the_closing_sentence(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Where two remedies stand in each other's way, what is left is mended once more: the list alone would not do."""
    found, fixes = house("fernhollow-lot-12")
    further, left = one(fixes, "R9 attic hole", "breaker_protects"), fixes[-1].problem
    for still_open, ends in (
        ([], "everything in the scope passes."),
        ([left], f"still open are {left.about}: {left.what}."),
    ):
        monkeypatch.setattr("calc.remedies.report.together", lambda *of, still_open=still_open: (still_open, [further]))
        said = fixes_sheet(found.house).closing
        assert f"this is wanted too: {further.problem.about}, {further.remedies[0].way.text}. With it {ends}" in said


def test_an_entry_that_looks_like_a_slip_is_on_the_fix_list_until_it_is_confirmed() -> None:
    """A cooktop of 740 VA: with nothing that falls short as well, and no more once somebody has said that it is so."""
    cooktop = toml("loads", name="Cooktop", kind="cooktop", load_va=740, volts=240)
    house_of = '[dwelling]\nkind = "one-family"\nfloor_area_ft2 = 1800\n[service]\nrating_a = 200\n'
    for more, asked in (("", True), ('confirmed = ["load_va"]\n', False)):
        said = fixes_text(fixes_sheet(House.of(job(house_of + cooktop + more))))
        assert ("To be confirmed: " in said) is asked, said
        assert ("Cooktop" in said) is asked


def test_no_other_service_is_tried_for_an_entry_that_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Eleven sources whose output nobody stated, in a house with heat to turn down: thousands of trials, and none could help."""
    monkeypatch.setattr("calc.remedies.listed.service_ways", lambda *of: pytest.fail("tried all the same"))
    text = '[dwelling]\nkind = "one-family"\nfloor_area_ft2 = 1000\n[service]\nrating_a = 200\n'
    text += toml("panels", name="P", bus_a=200, main_a=200, **SERVED)
    text += toml("loads", name="Range", kind="range", load_va=8000, volts=240)
    text += toml("sources", name="Roof", kind="photovoltaic", panel="P", position="anywhere")
    _, fixes = worked(text)
    assert "Sources at the bus" in [fix.problem.mark[1] for fix in fixes if fix.problem.status == "not shown"]
