"""Dwelling load where one entry turns a result: what is held apart, what is managed, which zones count, page 1 and the room."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from calc.families import dwelling_load
from calc.families.dwelling_load.choices import limits
from calc.families.dwelling_load.meter_file import _run_on, meter_file
from calc.families.dwelling_load.methods import worked
from calc.families.dwelling_load.summary import _rounding
from calc.families.dwelling_load.unit import dwelling_units
from calc.families.dwelling_load.whatif import Tried
from calc.job import Job
from calc.job.read import make_job
from calc.wiring.house import House
from calc.work import Missing, Sheet
from tests.families.test_dwelling_load_boundaries import load, results

OLD = {"kind": "one-family", "status": "existing", "floor_area_ft2": 1000}


def house(*loads: dict[str, Any], edition: str = "2023", dwelling: dict[str, Any] = OLD, **tables: Any) -> Job:
    """A house of 1,000 ft2 (general load 3,000 + 3,000 + 1,500 VA) with these loads."""
    named = [{"name": f"{one['kind']} {number}", **one} for number, one in enumerate(loads, 1)]
    return make_job(
        {"code": {"edition": edition}, "job": {"name": "x"}, "dwelling": dwelling, "loads": named, **tables}
    )


def by(job: Job, method: str) -> Sheet:
    found = worked(House.of(job), dwelling_units(job)[0], method).sheet
    found.as_json()  # replayed
    return found


# ---- heating and cooling


def test_of_three_that_two_locks_tie_together_the_outer_two_run_together() -> None:
    """Each of 3,000 and 2,000 VA is locked out by the one of 4,000, not by the other: 5,000 VA can run."""
    heaters = [
        load("space-heat", 3000, name="One", locked_out_by=["Middle"]),
        load("space-heat", 4000, name="Middle"),
        load("space-heat", 2000, name="Two", locked_out_by=["Middle"]),
    ]
    assert results(*heaters)["climate_va"] == 5000
    alone = [{key: value for key, value in one.items() if key != "locked_out_by"} for one in heaters]
    assert results(*alone)["climate_va"] == 9000


@pytest.mark.parametrize(
    ("loads", "climate"),
    [
        ([load("heat-pump", 4000), load("supplemental-heat", 10_000)], 4000 + 6500),
        ([load("supplemental-heat", 10_000)], 6500),
        ([load("heat-pump", 4000), load("space-heat", 10_000, heat_zones=4)], 4000 + 4000),
        ([load("heat-pump", 4000), load("space-heat", 10_000, heat_zones=3)], 4000 + 6500),
        (
            [load("heat-pump", 4000), load("supplemental-heat", 10_000), load("space-heat", 5000, heat_zones=4)],
            4000 + 6500 + 2000,
        ),
        ([load("supplemental-heat", 10_000, heat_zones=4)], 4000),
    ],
)
def test_heat_beside_a_pump_is_supplemental_only_where_it_is_called_so(
    loads: list[dict[str, Any]], climate: float
) -> None:
    """220.82(C): supplemental heat of a pump 65 %, other electric heat 65 %, and 40 % from four controls on."""
    found = by(house(*loads, dwelling={**OLD, "status": "new"}, service={"load_method": "optional"}), "optional")
    assert found.results["climate_va"] == climate


# ---- management


@pytest.mark.parametrize(
    ("edition", "scope", "credited"),
    [("2020", "loads", True), ("2020", "service", False), ("2023", "loads", True), ("2023", "service", True)],
)
def test_before_2023_no_system_holds_a_whole_service(edition: str, scope: str, credited: bool) -> None:
    """625.42: only vehicle supply is managed; 220.70 and 750.30 come with 2023."""
    system = {"name": "M", "kind": "vehicle-supply" if edition == "2020" else "energy-management", "listed": True,
              "access_restricted": True, "setpoint_a": 20, "scope": scope, "controls": ["Car"]}  # fmt: skip
    car = load("ev-supply", 9600, name="Car")
    held, free = (
        by(house(car, edition=edition, **tables), "standard") for tables in ({"load_management": [system]}, {})
    )
    assert (held.results["standard_whole_a"] < free.results["standard_whole_a"]) is credited
    assert any("no credit" in text for _, text in held.remarks) is not credited


# ---- existing dwellings


@pytest.mark.parametrize("method", ["existing", "measured"])
@pytest.mark.parametrize(
    ("service", "at"),
    [
        ({"work": "kept"}, "service.rating_a"),
        ({"work": "replaced", "rating_a": 200}, "service.replaces_a"),
        (None, "service.rating_a"),
    ],
)
def test_without_the_rating_of_what_is_there_nothing_is_tested(
    method: str, service: dict[str, Any] | None, at: str
) -> None:
    """220.83, 220.87: not shown, and the entry that would tell is named."""
    found = by(house(**({} if service is None else {"service": service})), method)
    assert isinstance(found.refused, Missing)
    assert (found.status, found.refused.at) == ("not shown", at)


def test_a_record_in_columns_of_its_own_names_is_read_by_them_alone(tmp_path: Path) -> None:
    """The row that has all the names told is the header; a file that has none of them can't be used."""
    file = tmp_path / "record.csv"
    file.write_text("Meter 7\nRead At,Use\n2025-01-01 00:00,1.5\n2025-01-01 00:15,2.5\n")
    found = meter_file(file, {"time": "Read At", "kw": "Use"})
    assert (found.values, found.unit) == ([1.5, 2.5], "kw")
    with pytest.raises(Missing, match="none of its rows names begun, use"):
        meter_file(file, {"time": "Begun", "kw": "Use"})


# ---- page 1, charts, cautions


def test_the_deciding_method_is_drawn() -> None:
    """By the optional method its own total, though the standard sheet follows for the neutral."""
    made = House.of(house(dwelling={**OLD, "status": "new"}, service={"load_method": "optional", "rating_a": 200}))
    sheets = dwelling_load.work(made)
    (first, second) = sheets[:2]
    drawn = dwelling_load.charts(made, sheets)
    assert f"{first.results['optional_a']:,.1f} A" in drawn[1].alt
    assert f"{second.results['standard_a']:,.1f} A" not in drawn[1].alt


@pytest.mark.parametrize(
    ("kind", "status", "said"),
    [("spa", "new", True), ("sauna", "new", True), ("spa", "removed", False), ("water-heater", "new", False)],
)
def test_what_has_an_article_of_its_own_is_told(kind: str, status: str, said: bool) -> None:
    made = House.of(house(load(kind, 3000, name="It", status=status)))
    (s, *_) = dwelling_load.work(made)
    assert (s.words.text("caution_spa", "text", load="It") in s.cautions) is said


@pytest.mark.parametrize(
    ("demands", "total", "said"),
    [([0.4, 0.4, 0.4], 1.2, True), ([1.0, 2.0], 3.0, False), ([10.0, 20.0], 17.0, False), ([0.5, 0.5], 1.0, True)],
)
def test_printed_rows_that_do_not_add_up_to_the_printed_total_say_so(
    demands: list[float], total: float, said: bool
) -> None:
    """By a volt-ampere a row at most: whole VA hide that; a total that is a smaller of two is none of theirs."""
    assert bool(_rounding(demands, [{"value": total}])) is said


def test_page_1_lists_what_is_in_a_group_besides_its_named_loads_once() -> None:
    """Rows over a total add up to it, whatever has no volt-amperes of its own."""
    made = House.of(house(load("range", 12_000), load("water-heater", 4500), dwelling={**OLD, "status": "new"}))
    rows = dwelling_load.front(made).table.rows
    assert not any(row[0].startswith("Further loads") for row in rows)
    assert rows[-1][-1] == f"{dwelling_load.work(made)[0].results['standard_va']:,.0f}"


# ---- the owner's limits


@pytest.mark.parametrize(
    ("serves", "unsound", "fits"),
    [(True, (), True), (False, (), False), (True, ("a gap",), False), (False, ("a",), False)],
)
def test_a_house_fits_where_its_service_serves_by_a_sound_record(
    serves: bool, unsound: tuple[str, ...], fits: bool
) -> None:
    tried = Tried((90.0,), serves, unsound)
    assert tried.fits is fits
    assert tried.text == ("the record can't be used" if unsound else "90 A: fits" if serves else "90 A: too much")


def test_spaces_are_told_of_the_panels_that_the_new_load_concerns() -> None:
    """The service panel, and the one that it goes to; of existing circuits alone, a tandem by half a space."""
    panels = [
        {"name": "Main", "service_equipment": True, "spaces": 20, "status": "existing", "bus_a": 100},
        {"name": "Sub", "spaces": 12, "status": "existing", "fed_from": "Main"},
        {"name": "Shed", "spaces": 8, "status": "existing", "fed_from": "Main"},
    ]
    circuits = [
        {"name": "a", "panel": "Sub", "purpose": "general", "status": "existing"},
        {"name": "b", "panel": "Sub", "purpose": "individual", "poles": 2, "status": "existing"},
        {"name": "c", "panel": "Sub", "purpose": "general", "status": "new"},
        {"name": "d", "panel": "Main", "purpose": "general", "status": "existing"},
    ]
    car = load("ev-supply", 7200, name="Car", panel="Sub", status="new")
    said = list(limits(House.of(house(car, panels=panels, circuits=circuits))))
    assert any(text.startswith("Main: 20 spaces, 1 taken") for text in said)
    assert any(text.startswith("Sub: 12 spaces, 3 taken") for text in said)
    assert not any(text.startswith("Shed") for text in said)
    assert any("rated 100 A" in text for text in said)


def test_a_group_of_thirty_is_still_tried_and_one_more_counts_in_full() -> None:
    """Twenty-nine heaters of 1,000 VA that one of 500 locks out: 29,000 VA can run. With one more, all of 30,500 count."""
    for number, counted in ((29, 29_000), (30, 30_500)):
        heaters = [load("space-heat", 1000, name=f"H{n}", locked_out_by=["Boss"]) for n in range(number)]
        assert results(load("space-heat", 500, name="Boss"), *heaters)["climate_va"] == counted


def test_two_systems_that_hold_the_whole_service_count_by_the_lower_setting() -> None:
    """60 A and 80 A at 125 % of 240 V: 18,000 VA reach the service of a house that would make more."""
    systems = [
        {"name": name, "kind": "energy-management", "listed": True, "access_restricted": True, "setpoint_a": setting,
         "scope": "service", "controls": ["space-heat 1"]} for name, setting in (("One", 80), ("Two", 60))
    ]  # fmt: skip
    found = by(house(load("space-heat", 40_000), load_management=systems), "standard").results
    assert found["managed_service_va[standard]"] == 24_000
    assert found["managed_service_va[standard, Two]"] == 18_000
    assert found["standard_whole_a"] == 75


FLATS = {"kind": "multifamily", "units": [{"name": "Flats", "count": 3, "floor_area_ft2": 800}]}


@pytest.mark.parametrize(("fuel_burning", "counted"), [(True, 700), (False, 5000)])
def test_a_gas_dryer_of_the_building_counts_what_it_draws(fuel_burning: bool, counted: float) -> None:
    """The 5,000 VA are the least of an electric one (220.54)."""
    dryer = load("dryer", 700, 120 if fuel_burning else 240, serves="house", fuel_burning=fuel_burning)
    assert by(house(dryer, dwelling=FLATS), "standard").results["house_va"] == counted


@pytest.mark.parametrize(("count", "share"), [(2, "units_as_if_count"), (3, None)])
def test_three_units_have_a_share_of_their_own_and_two_that_of_three(count: int, share: str | None) -> None:
    """220.84 begins with three; 220.85 compares two with three identical ones."""
    kind = "two-family" if count == 2 else "multifamily"
    dwelling = {"kind": kind, "units": [{"name": "Flats", "count": count, "floor_area_ft2": 800}]}
    found = by(
        house(
            load("range", 12_000), load("air-conditioner", 3000), dwelling=dwelling, service={"load_method": "optional"}
        ),
        "optional",
    )
    assert ("units_as_if_count" in found.results) is (share is not None)
    assert found.results["units_demand_pct"] == 45


@pytest.mark.parametrize(
    ("days", "follows"),
    [
        ([(2025, 1, 2), (2025, 1, 2), (2025, 1, 3), (2025, 1, 4)], True),
        ([(2025, 1, 2), (2025, 1, 3), (2025, 1, 5), (2025, 1, 6)], True),
        ([(2025, 1, 2), (2025, 1, 3), (2025, 1, 8)], False),
        ([(2025, 1, 2), (2025, 2, 2), (2025, 3, 2)], False),
        ([(2025, 1, 3), (2025, 1, 2)], False),
        ([(2025, 1, 2)], False),
        ([(2025, 13, 2), (2025, 13, 3)], False),
    ],
)
def test_days_follow_one_another_where_most_are_the_next_day(days: list[tuple[int, int, int]], follows: bool) -> None:
    """By that a file tells whether month or day comes first."""
    assert _run_on(days) is follows


def test_a_setting_under_the_least_load_is_told_with_its_name() -> None:
    """2023: locked to 20 A, 4,800 VA, it counts 7,200 all the same."""
    s = by(house(load("ev-supply", 9600, name="Car", setting_a=20, setting_locked=True)), "standard")
    assert s.results["vehicle_supply_va[Car]"] == 7200
    assert any(text.startswith("Car is locked") for _, text in s.remarks)


def test_of_an_unsettled_rule_page_1_lists_each_load_once_and_marks_what_is_not_confirmed() -> None:
    """2026: the charger inside the steps or beside them; its values stand in, those of 2023 don't."""
    car = load("ev-supply", 9600, name="Car")
    made = house(car, edition="2026", dwelling={**OLD, "status": "new"}, service={"load_method": "optional"})
    summary = dwelling_load.front(House.of(made))
    assert sum(row[0].startswith("Car") for row in summary.table.rows) == 1
    s = dwelling_load.work(House.of(made))[0].results
    inside, outside = (f"{s[f'optional_{side}_a']:.1f} A" for side in ("inside", "outside"))
    assert summary.verdict_detail == f"calculated current {inside} or {outside}"
    methods = dwelling_load.compared(made, ["2023", "2026"])[0]
    (standard,) = [row for row in methods.rows if row[0].startswith("Standard")]
    assert [cell.endswith("*") for cell in standard[1:]] == [False, True]


def test_a_panel_behind_a_feeder_is_told_so_to_its_owner() -> None:
    panels = [{"name": "Main", "service_equipment": True, "bus_a": 100}, {"name": "Sub", "status": "existing"}]
    runs = [
        {"name": name, "role": "feeder", "fed_from": "Main", "volts": 240, "cable": "6/3 NM", "breaker_a": 50, **feeds}
        for name, feeds in (("Other", {}), ("To sub", {"feeds": "Sub"}))
    ]
    said = list(limits(House.of(house(load("ev-supply", 7200, panel="Sub", status="new"), panels=panels, runs=runs))))
    (fed,) = [text for text in said if "is fed by" in text]
    assert fed.startswith("Sub is fed by the feeder To sub with a 50 A breaker")
