"""What hangs where in a house: the tree of panels and runs, circuits with their loads, and the places of things."""

from __future__ import annotations

from typing import Any

import pytest

from calc.job import Job
from calc.job.read import make_job
from calc.wiring.circuits import branches, panel_of
from calc.wiring.house import House
from calc.wiring.places import HOUSE, OUTDOORS, in_words, names_of, one_place, place_of, places
from calc.wiring.tree import (
    above,
    below,
    building_of,
    feeding,
    from_the_source,
    grounds,
    groups_below,
    live_runs,
    service_runs,
    spliced_to,
    supply_of,
    upstream,
    whole_dwelling,
)

RUN = {"role": "feeder", "volts": 240, "material": "copper", "insulation": "THHN", "calculated_a": 10}


def job_of(**tables: Any) -> Job:
    runs = [{**RUN, **run} for run in tables.pop("runs", [])]
    return make_job({"code": {"edition": "2023"}, "job": {"name": "test"}, "runs": runs, **tables})


def run(name: str, start: str, end: str | None = None, **keys: Any) -> dict[str, Any]:
    return {"name": name, "fed_from": start, **({"feeds": end} if end else {}), **keys}


TREE = job_of(
    panels=[{"name": "A", "fed_from": "utility"}, {"name": "B"}, {"name": "C", "fed_from": "B"}, {"name": "D"},
            {"name": "Gone", "fed_from": "A", "status": "removed"}, {"name": "Far"}],
    runs=[run("ab", "A", "B"), run("splice", "A"), run("on", "splice", "D"), run("old", "A", "Far", status="removed"),
          run("util", "utility", role="utility"), run("serv", "util", "A", role="service")],
)  # fmt: skip


def test_below_a_panel_is_what_it_feeds_by_runs_splices_and_bars() -> None:
    """A feeds B by a run, D through a splice, and C hangs on B; what is taken out or fed by an old run does not."""
    assert below(TREE, "A") == {"A", "B", "C", "D"}
    assert below(TREE, "B") == {"B", "C"}
    assert below(TREE, "Far") == {"Far"}


def test_what_is_fed_by_name_is_below_only_where_it_is_a_panel() -> None:
    """A run to a load or a circuit feeds no panel."""
    job = job_of(
        panels=[{"name": "A"}],
        circuits=[{"name": "C", "purpose": "individual"}],
        runs=[run("ac", "A", "C", role="branch")],
    )
    assert below(job, "A") == {"A"}


def test_the_runs_that_count_and_what_feeds_them() -> None:
    """Neither what is removed nor the utility's own; the service is one of them, and a splice is told from a panel."""
    assert [each.name for each in live_runs(TREE)] == ["ab", "splice", "on", "serv"]
    assert [each.name for each in service_runs(TREE)] == ["serv"]
    assert feeding(TREE, "B") == TREE.run("ab")
    assert feeding(TREE, "Far") is None
    assert [spliced_to(TREE, TREE.run(name)) for name in ("ab", "on")] == [False, True]
    assert [panel.name for panel in above(TREE, TREE.run("on"))] == ["A"]


def test_upstream_goes_through_panels_and_bars_to_the_source() -> None:
    """Of each run the one before it; sorted, each stands after what feeds it."""
    job = job_of(
        panels=[{"name": "A", "fed_from": "utility"}, {"name": "B"}, {"name": "C", "fed_from": "B"}],
        runs=[
            run("c-on", "C"),
            run("ab", "A", "B"),
            run("serv", "utility", "A", role="service"),
            run("gone", "A", "C", status="removed"),
        ],
    )
    found = upstream(job)
    assert {name: up and up.name for name, up in found.items()} == {"c-on": "ab", "ab": "serv", "serv": None}
    assert from_the_source(found) == ["serv", "ab", "c-on"]
    assert supply_of(job, job.run("ab")) == job.run("serv")


def test_a_building_is_that_of_the_panel() -> None:
    """By name; a panel of the house and one that isn't there stand in none."""
    job = job_of(
        buildings=[{"name": "Barn", "kind": "workshop"}, {"name": "Flat", "kind": "accessory-dwelling"}],
        panels=[{"name": "In flat", "building": "Flat"}, {"name": "Own"}],
    )
    assert [each and each.name for each in (building_of(job, n) for n in ("In flat", "Own", "None", None))] == [
        "Flat",
        None,
        None,
        None,
    ]


@pytest.mark.parametrize(
    ("keys", "number"),
    [
        ({}, 1),
        ({"equipment_ground": "raceway", "wiring_method": "EMT"}, 1),
        ({"equipment_ground": "none"}, 0),
        ({"cable": "6/2 NM"}, 1),
        ({"cable": "6/2 NM without ground"}, 0),
        ({"cable": "3 x 6 THHN + 10 bare"}, 1),
        ({"cable": "3 x 6 THHN"}, 0),
    ],
)
def test_a_run_has_a_ground_unless_its_cable_has_none_or_the_job_says_so(keys: dict[str, Any], number: int) -> None:
    """A covered or a bare one, or the raceway."""
    plain = {"name": "R", "fed_from": "utility", "role": "feeder", "volts": 240, "calculated_a": 10}
    wires = {} if "cable" in keys else {"material": "copper", "insulation": "THHN"}
    job = make_job({"code": {"edition": "2023"}, "job": {"name": "t"}, "runs": [{**plain, **wires, **keys}]})
    assert grounds(job.runs[0]) == number


def test_groups_of_units_hang_below_what_feeds_their_panels() -> None:
    """Below the group panel both, below one unit's panel none, below a panel beside them none."""
    units = [
        {"name": "Flats", "count": 3, "floor_area_ft2": 900},
        {"name": "Studios", "count": 1, "floor_area_ft2": 500},
    ]
    job = job_of(
        dwelling={"kind": "multifamily", "units": units},
        panels=[{"name": "G", "fed_from": "utility"}, {"name": "Beside"}, {"name": "F", "unit_group": "Flats", "fed_from": "G"},
                {"name": "S", "unit_group": "Studios", "fed_from": "G"}, {"name": "H", "fed_from": "Beside", "unit_group": "Studios", "status": "removed"}],
    )  # fmt: skip
    assert [group.name for group in groups_below(job, "G")] == ["Flats", "Studios"]
    assert groups_below(job, "F") == groups_below(job, "Beside") == []


@pytest.mark.parametrize(("status", "whole"), [("new", True), ("removed", False)])
def test_a_circuit_that_stays_shows_that_a_panel_supplies_something(status: str, whole: bool) -> None:
    """An empty panel shows nothing."""
    job = job_of(
        dwelling={"kind": "one-family"},
        panels=[{"name": "M", "fed_from": "utility"}, {"name": "P"}],
        runs=[run("f", "M", "P")],
        circuits=[{"name": "C", "panel": "P", "purpose": "general", "status": status}],
    )
    assert whole_dwelling(job, job.runs[0]).holds is whole


# ---- circuits


def branch(circuit: dict[str, Any], **tables: Any) -> Any:
    job = job_of(circuits=[{"name": "C", "purpose": "individual", **circuit}], **tables)
    return next(b for b in branches(House.of(job)) if b.name == "C")


def load(name: str = "L", **keys: Any) -> dict[str, Any]:
    return {"name": name, "kind": "shop", "load_va": 900, "volts": 120, "circuit": "C", **keys}


@pytest.mark.parametrize(
    ("circuit", "loads", "shared"),
    [
        ({}, [load()], False),
        ({}, [load(count=2)], True),
        ({}, [load(), load("M")], True),
        ({"outlets": ["lighting"]}, [load()], True),
        ({"outlets": ["clock"]}, [load()], False),
        ({"outlets": ["lighting", "receptacles"]}, [], True),
        ({"outlets": ["lighting"]}, [], False),
    ],
)
def test_a_circuit_is_shared_by_more_than_one_thing(
    circuit: dict[str, Any], loads: list[dict[str, Any]], shared: bool
) -> None:
    """Two loads, two of a load, a load beside outlets; a clock is none."""
    assert branch(circuit, loads=loads).shared is shared


@pytest.mark.parametrize(
    ("circuit", "loads", "unsaid"),
    [
        ({}, [], True),
        ({"load_va": 900}, [], False),
        ({"outlets": ["lighting"]}, [], False),
        ({}, [load()], False),
        ({"purpose": "general"}, [], False),
    ],
)
def test_an_individual_circuit_of_which_nothing_is_said(
    circuit: dict[str, Any], loads: list[dict[str, Any]], unsaid: bool
) -> None:
    """A load, outlets or volt-amperes say something; a general circuit needs nothing said."""
    assert branch(circuit, loads=loads).load_unsaid is unsaid


@pytest.mark.parametrize(
    ("circuit", "loads", "stated"),
    [
        ({"rooms": ["Den"]}, [], True),
        ({}, [load(room="Den")], True),
        ({}, [load(room="Den"), load("M")], False),
        ({}, [load()], False),
        ({}, [], False),
        ({"outlets": ["lighting"]}, [load(room="Den")], False),
        ({"purpose": "general"}, [load(room="Den")], False),
        ({"purpose": "outdoor"}, [load(room="Den")], False),
    ],
)
def test_rooms_are_stated_by_the_circuit_or_by_all_that_is_on_it(
    circuit: dict[str, Any], loads: list[dict[str, Any]], stated: bool
) -> None:
    """Not where outlets, or a load without a room, may be anywhere."""
    assert branch(circuit, loads=loads, rooms=[{"name": "Den", "use": "den"}]).rooms_stated is stated


@pytest.mark.parametrize(
    ("circuit", "loads", "has"),
    [
        ({"outlets": ["receptacles"]}, [], True),
        ({"outlets": ["washer"]}, [], True),
        ({"outlets": ["lighting"]}, [], False),
        ({"receptacle_a": 20}, [], True),
        ({"single_receptacle": True}, [], True),
        ({}, [load(connected_by="cord")], True),
        ({}, [load(connected_by="hardwired")], False),
        ({"purpose": "laundry"}, [], True),
        ({"purpose": "general"}, [], True),
        ({"purpose": "general", "outlets": ["lighting"]}, [], False),
        ({"purpose": "lighting"}, [], False),
        ({"purpose": "outdoor"}, [], True),
    ],
)
def test_cords_are_plugged_in_as_said_or_as_the_purpose_has_it(
    circuit: dict[str, Any], loads: list[dict[str, Any]], has: bool
) -> None:
    """Outlets, a rated receptacle, a cord, or a purpose that is receptacles."""
    assert branch(circuit, loads=loads).has_receptacles is has


def test_the_run_of_a_circuit_is_a_live_branch_to_it_or_to_its_load() -> None:
    """Not a feeder, nor one that is taken out, nor one to another circuit."""
    for keys, mine in (({}, True), ({"feeds": "L"}, True), ({"status": "removed"}, False), ({"feeds": "D"}, False)):
        made = run("r", "utility", **{"role": "branch", "feeds": "C", "volts": 120, **keys})
        job = job_of(circuits=[{"name": n, "purpose": "individual"} for n in ("C", "D")], loads=[load()], runs=[made])
        found = {b.name: b.run for b in branches(House.of(job))}
        assert (found["C"] is not None) is mine


@pytest.mark.parametrize(
    ("keys", "planned"),
    [
        ({"volts": 240}, True),
        ({"volts": 120}, False),
        ({"volts": 120, "individual_circuit": True}, True),
        ({"volts": 120, "kind": "ev-supply"}, True),
        ({"volts": 120, "kind": "heat-pump", "mca_a": 10}, True),
        ({"volts": 240, "count": 2}, False),
        ({"volts": 240, "status": "existing"}, False),
        ({"volts": 240, "circuit": "C"}, False),
        ({"volts": 240, "kind": "spa"}, True),
        ({"volts": 240, "kind": "shop"}, False),
    ],
)
def test_a_new_load_that_cannot_share_asks_for_a_circuit(keys: dict[str, Any], planned: bool) -> None:
    """Between the legs, with a nameplate circuit or a rule of its own; not several alike, nor what is there already."""
    base = {"name": "L", "kind": "disposer", "load_va": 900, **keys}
    job = job_of(
        loads=[base], circuits=[{"name": "C", "purpose": "individual", "poles": 2 if base["volts"] == 240 else 1}]
    )
    assert any(b.planned for b in branches(House.of(job))) is planned


def test_a_circuit_starts_from_the_panel_named_else_the_only_one_it_can() -> None:
    """The only one with spaces, or the only one; where several could be, none."""
    two = job_of(panels=[{"name": "A", "spaces": 20}, {"name": "B"}, {"name": "X", "spaces": 9, "status": "removed"}])
    assert [panel_of(two, named) for named in (["B"], [None, "B"], [None], ["X"])] == ["B", "B", "A", "A"]
    both = job_of(panels=[{"name": "A", "spaces": 20}, {"name": "B", "spaces": 2}])
    assert panel_of(both, [None]) is None
    assert panel_of(job_of(panels=[{"name": "A"}]), []) == "A"


# ---- places


def test_everything_has_a_place_and_a_rooms_name_comes_first() -> None:
    """Rooms are their own, boxes theirs or the house, panels their building, room or corner, runs that of what they feed."""
    job = job_of(
        rooms=[{"name": "Den", "use": "den"}, {"name": "Loft", "use": "attic"}],
        buildings=[{"name": "Barn", "kind": "workshop"}],
        panels=[{"name": "P", "room": "Den"}, {"name": "B", "building": "Barn"}, {"name": "O", "location": "outdoors"},
                {"name": "N"}, {"name": "G", "location": "garage"}],
        boxes=[{"name": "b1", "room": "Den"}, {"name": "b2"}],
        loads=[load("L1", room="Den", circuit=None), load("L2", outdoors=True, circuit="C1"), load("L3", circuit=None)],
        circuits=[{"name": "C1", "purpose": "individual"}, {"name": "C2", "purpose": "general", "rooms": ["Den", "Loft"]},
                  {"name": "C3", "purpose": "general"}],
        runs=[run("r1", "N", "P"), run("r2", "N", "G", location="attic"), run("r3", "N")],
    )  # fmt: skip
    found = places(job)
    assert {name: found[name] for name in ("Den", "P", "B", "O", "N", "G", "b1", "b2")} == {
        "Den": ("Den",), "P": ("Den",), "B": ("Barn",), "O": (OUTDOORS,), "N": (HOUSE,), "G": ("Garage",),
        "b1": ("Den",), "b2": (HOUSE,),
    }  # fmt: skip
    assert {name: found[name] for name in ("L1", "L2", "L3", "C1", "C2", "C3", "r1", "r2", "r3", OUTDOORS)} == {
        "L1": ("Den",), "L2": (OUTDOORS,), "L3": (HOUSE,), "C1": (OUTDOORS,), "C2": ("Den", "Loft"), "C3": (HOUSE,),
        "r1": ("Den",), "r2": ("Loft",), "r3": (HOUSE,), OUTDOORS: (OUTDOORS,),
    }  # fmt: skip


def test_a_check_is_placed_by_its_item_then_by_its_sheet() -> None:
    """'B2, side 1' is box B2's, 'L and R' that of either half, and what nobody placed is about the house."""
    found = {"B2": ("Den",), "L": ("Hall",), "Den": ("Den",), "x": ("Loft",)}
    assert place_of(found, "x, 3 ft", "B2, side 1") == ("Loft",)
    assert place_of(found, "", "B2, side 1") == ("Den",)
    assert place_of(found, "nothing", "L and R") == ("Hall",)
    assert place_of(found, "", "nowhere") == (HOUSE,)
    assert names_of("B2, side 1")[:2] == ("B2, side 1", "B2")


@pytest.mark.parametrize(
    ("where", "words"),
    [
        (("A",), "A"),
        (("A", "B"), "A and B"),
        (("A", "B", "C"), "A, B and C"),
        (("A", "B", "C", "D"), "A, B and 2 more rooms"),
        (("A", "B", "C", "D", "E"), "A, B and 3 more rooms"),
    ],
)
def test_places_in_words_name_three_at_most(where: tuple[str, ...], words: str) -> None:
    """And of more the number that is left."""
    assert in_words(where) == words
    assert one_place(where) == ("A" if len(where) == 1 else HOUSE)
