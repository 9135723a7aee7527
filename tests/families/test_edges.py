"""Where one more or one less decides: small rules of several families, each at its edge."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from calc.families import families
from calc.families.branch_circuits.schedule import last_space
from calc.families.dwelling_load.methods import worked as dwelling_worked
from calc.families.dwelling_load.service_change import _becomes_subpanel
from calc.families.dwelling_load.unit import dwelling_units
from calc.job import Job, read_job
from calc.job.read import make_job
from calc.wiring.conditions import made_for
from calc.wiring.house import House
from calc.wiring.places import OUTDOORS, one_place, places
from calc.wiring.tree import live_runs
from calc.wiring.wires import has_neutral, wires
from tests.families.runs import failing, job, run, toml, worked

EMPTY = job("")
NEW_HOUSE = Path(__file__).parents[2] / "notebooks" / "jobs" / "fernhollow-lot-12.toml"


@pytest.mark.parametrize("family", families())
def test_a_job_of_nothing_lacks_something_for_each_calculation(family: str) -> None:
    """None is worked, or passes, for want of anything to work on."""
    assert families()[family].needs(EMPTY)


@pytest.mark.parametrize(
    ("spaces", "taken", "last"), [(30, (1,), 30), (None, (1, 7), 8), (None, (1, 8), 8), (None, (), 2)]
)
def test_a_panels_schedule_ends_with_a_whole_row(spaces: int | None, taken: tuple[int, ...], last: int) -> None:
    work: Any = SimpleNamespace(
        panel=SimpleNamespace(spaces=spaces), layout=SimpleNamespace(taken=dict.fromkeys(taken))
    )
    assert last_space(work) == last


@pytest.mark.parametrize(
    ("head", "volts", "wye"),
    [
        ("", 208, True),
        ("", 120, False),
        ('[service]\nsystem = "208Y/120"\n', 120, True),
        ("[service]\nrating_a = 200\n", 240, False),
    ],
)
def test_a_neutral_of_two_legs_of_a_wye_carries_current(head: str, volts: int, wye: bool) -> None:
    """Told by the run's own voltage, or at 120 V by the service: 310.15(E)(2)."""
    made = job(head + run(volts=volts, neutral=True, calculated_a=20))
    assert wires(made, made.runs[0]).wye == wye


def test_the_code_speaks_of_no_run_that_goes_and_of_none_of_the_utility() -> None:
    keyed: list[dict[str, Any]] = [{"name": "A", "status": "removed"}, {"name": "B", "role": "utility"}, {"name": "C"}]
    made = job("".join(run(calculated_a=20, **keys) for keys in keyed))
    assert [each.name for each in live_runs(made)] == ["C"]


@pytest.mark.parametrize(("kind", "place", "may"), [("NM", "dry", True), ("NM", "wet", False), ("UF", "wet", True)])
def test_a_cable_may_lie_where_its_table_has_it(kind: str, place: str, may: bool) -> None:
    made = job(run(cable=f"12/2 {kind}", calculated_a=20))
    assert made_for(House.of(made).code, wires(made, made.runs[0]), place) == may


def test_a_place_is_one_room_or_the_house() -> None:
    assert one_place(("Hall",)) == "Hall"
    assert one_place(("Hall", "Bath")) == one_place(()) != "Hall"


def panels(*said: tuple[bool, str]) -> Job:
    return job(
        "".join(
            toml("panels", name=f"P{n}", service_equipment=main, status=status) for n, (main, status) in enumerate(said)
        )
    )


@pytest.mark.parametrize(
    ("said", "becomes"),
    [
        ([(True, "new"), (False, "existing")], True),
        ([(True, "existing"), (False, "existing")], False),
        ([(True, "new"), (False, "new")], False),
        ([(False, "new"), (False, "existing")], False),
        ([(True, "new"), (True, "existing")], False),
    ],
)
def test_an_existing_panel_becomes_a_subpanel_only_behind_a_new_service_disconnect(
    said: list[tuple[bool, str]], becomes: bool
) -> None:
    """250.24, 408.40: its neutral and ground come apart then, and only then."""
    assert _becomes_subpanel(panels(*said)) == becomes


PANEL = toml("panels", name="P", spaces=40, bus_a=200)
CIRCUIT = {"name": "C", "panel": "P", "purpose": "individual", "load_va": 1200, "breaker_a": 20, "poles": 2}


@pytest.mark.parametrize(
    ("cable", "leg", "breaker_a", "most"),
    [("12/2", "14/2", 15, 15), ("6/3 NM", "8/3 NM", 40, 40), ("6/3 NM", "10/3 NM", 30, 30)],
)
def test_a_smaller_cable_of_a_circuit_is_protected_by_its_own_limit(
    cable: str, leg: str, breaker_a: int, most: int
) -> None:
    """240.4(D) for 14, 12 and 10 AWG; larger ones by the next standard rating (240.4(B)): 8 AWG at 60 C carries 40 A."""
    for breaker, short in ((breaker_a, False), (breaker_a + 10, True)):
        s = worked(PANEL + toml("circuits", **CIRCUIT | {"cable": cable, "other_cables": [leg], "breaker_a": breaker}),
                   family="branch-circuits", subject="C")  # fmt: skip
        assert s.results[f"other_cable_breaker_a[{leg}]"] == most
        assert (f"other_cable_protected[{leg}]" in failing(s)) == short


def test_the_drop_of_a_run_is_told_and_of_the_way_to_it_where_there_is_more_of_it() -> None:
    """A branch circuit always has both; a feeder at the head of its tree has its own alone."""
    long = {"size": "6", "calculated_a": 40, "length_ft": 145}
    head = run(**long | {"feeds": "P"}) + toml("panels", name="P") + run(**long | {"name": "S", "fed_from": "P"})
    own = worked(head, family="voltage-drop", subject="R")
    behind = worked(head, family="voltage-drop", subject="S")
    assert ("own_advice" in own.results, "total_advice" in own.results) == (True, False)
    assert ("own_advice" in behind.results, "total_advice" in behind.results) == (True, True)
    branch = worked(run(name="B", role="branch", volts=120, neutral=None, size="12", calculated_a=10, length_ft=30),
                    family="voltage-drop", subject="B")  # fmt: skip
    assert "total_advice" in branch.results


@pytest.mark.parametrize(
    ("feeds", "kind", "neutral"), [("C", "range", True), ("range", "range", True), ("C", "water-heater", False)]
)
def test_a_branch_at_240_v_has_a_neutral_where_what_it_feeds_uses_one(feeds: str, kind: str, neutral: bool) -> None:
    """Told by the load that it feeds, or by those on the circuit that it is of."""
    loads = toml("loads", name=kind, kind=kind, load_va=8000, volts=240, circuit="C")
    made = job(PANEL + toml("circuits", **CIRCUIT | {"purpose": "individual", "breaker_a": 40}) + loads
               + run(role="branch", fed_from="P", feeds=feeds, neutral=None))  # fmt: skip
    assert has_neutral(made, made.runs[0]) == neutral


def test_the_smallest_raceway_is_shown_by_itself_and_by_the_next_smaller_one_alone() -> None:
    text = toml("raceways", name="R", kind="EMT", holds=["9 x 6 THHN"])
    (line,) = [line for line in worked(text, family="raceway").lines if line.key == "smallest_trade_size"]
    assert [pair.sign for pair in line.compared] == [">=", "<"]


def test_page_1_names_each_load_how_many_there_are_of_it_and_what_its_group_comes_to() -> None:
    """One load stands by its name alone, several alike with their number, and a group's demand under them."""
    rows = [row[0] for row in families()["dwelling-load"].front(House.of(read_job(NEW_HOUSE))).table.rows]  # type: ignore[attr-defined]
    assert {
        "Water heater",
        "Bath fans, 3 x 80",
        "Wall ovens, 2 x 4,800",
        "Dryer: 4,600 counts as the least, 5,000 VA",
        "Heating or cooling",
    } <= set(rows)
    assert rows.index("Wall ovens, 2 x 4,800") < rows.index("Cooking after demand") < rows.index("Heat pump")


def test_the_outdoors_is_a_place_of_its_own() -> None:
    assert places(EMPTY)[OUTDOORS] == (OUTDOORS,)


@pytest.mark.parametrize(
    ("room", "dwelling", "told"), [("existing", "new", True), ("new", "existing", True), ("new", "new", False)]
)
def test_of_what_was_there_before_it_is_said_that_old_rules_may_hold(room: str, dwelling: str, told: bool) -> None:
    text = f'[dwelling]\nkind = "one-family"\nfloor_area_ft2 = 900\nstatus = "{dwelling}"\n'
    s = worked(
        text + toml("rooms", name="Hall", use="hall", hall_length_ft=12, status=room),
        family="receptacles",
        subject="Hall",
    )
    assert (s.words.text("caution_existing", "text") in s.cautions) == told


@pytest.mark.parametrize(("zones", "cited"), [(3, False), (4, True)])
def test_four_heaters_with_controls_of_their_own_rest_on_their_own_rule(zones: int, cited: bool) -> None:
    """220.83(B): from four on they count at a lower share; the rule is cited where it holds."""
    made = make_job({
        "code": {"edition": "2023"}, "job": {"name": "x"},
        "dwelling": {"kind": "one-family", "status": "existing", "floor_area_ft2": 1000},
        "service": {"rating_a": 100, "work": "kept", "load_method": "existing"},
        "loads": [{"name": "Heaters", "kind": "space-heat", "load_va": 8000, "volts": 240, "status": "new", "heat_zones": zones}],
    })  # fmt: skip
    sheet = dwelling_worked(House.of(made), dwelling_units(made)[0], "existing").sheet
    assert ("existing_zone_heaters" in {cite.rule for line in sheet.lines for cite in line.cites}) == cited
