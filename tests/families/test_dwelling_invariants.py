"""What holds for every house by the optional and existing methods, where intuition fails, and what sits at a limit."""

from __future__ import annotations

from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.codebook import open_codebook
from calc.families.dwelling_load import work
from calc.families.dwelling_load.methods import worked
from calc.families.dwelling_load.unit import dwelling_units
from calc.job import read_job
from calc.job.read import make_job
from calc.wiring.house import House
from calc.work import given as stated
from tests.families.test_dwelling_methods import RandomHouse
from tests.oracle.methods import SHARES
from tests.replay.mutations import assert_mutations_caught

SEEDS = st.integers(0, 100_000)
VA = {"optional": ("optional_va", "optional_inside_va", "optional_outside_va"), "existing": ("existing_va",),
      "measured": ("measured_va",)}  # fmt: skip


def said(seed: int) -> dict[str, Any]:
    job = RandomHouse(Random(seed)).job()
    job["dwelling"]["status"], job["service"]["work"] = "existing", "kept"
    return job


def totals(job: dict[str, Any], method: str) -> dict[str, float]:
    made = make_job(job)
    results = worked(House.of(made), dwelling_units(made)[0], method).sheet.results
    return {key: results[key] for key in VA[method] if key in results}


def plain(kind: str, va: float, **more: Any) -> dict[str, Any]:
    return {"name": f"One more {kind}", "kind": kind, "load_va": va, "volts": 120, "status": "new", **more}


@given(
    SEEDS, st.sampled_from(["optional", "existing", "measured"]), st.sampled_from(["dishwasher", "shop", "well-pump"])
)
@settings(max_examples=100, deadline=None)
def test_one_more_load_never_lowers_these_methods(seed: int, method: str, kind: str) -> None:
    """One sum with one falling step never falls when the sum grows; a fourth appliance earns nothing here."""
    less, more = said(seed), said(seed)
    more["loads"].append(plain(kind, 1500))
    before, after = totals(less, method), totals(more, method)
    assert all(after[key] >= before[key] - 1e-6 for key in before.keys() & after.keys())


@given(SEEDS, st.sampled_from(["optional", "existing"]))
@settings(max_examples=60, deadline=None)
def test_more_floor_never_lowers_them(seed: int, method: str) -> None:
    less, more = said(seed), said(seed)
    more["dwelling"]["floor_area_ft2"] = min(less["dwelling"]["floor_area_ft2"] + 500, 30_000)
    before, after = totals(less, method), totals(more, method)
    assert all(after[key] >= before[key] - 1e-6 for key in before)


@given(SEEDS, st.sampled_from(["optional", "existing", "measured"]), st.randoms(use_true_random=False))
@settings(max_examples=60, deadline=None)
def test_the_order_of_loads_changes_nothing(seed: int, method: str, random: Any) -> None:
    one, other = said(seed), said(seed)
    random.shuffle(other["loads"])
    assert totals(one, method) == pytest.approx(totals(other, method))


@given(SEEDS, st.integers(6, 60), st.sampled_from(["optional", "existing", "measured"]))
@settings(max_examples=100, deadline=None)
def test_managing_a_charger_never_raises_the_load(seed: int, setting: int, method: str) -> None:
    without, managed = said(seed), said(seed)
    for job in (without, managed):
        job.pop("load_management", None)
        job["code"]["edition"] = "2023"
        volts = 208 if job["service"]["system"] == "208Y/120" else 240
        job["loads"].append(plain("ev-supply", 11_520, volts=volts) | {"name": "Charger"})
    managed["load_management"] = [{
        "name": "Manager", "kind": "energy-management", "controls": ["Charger"], "setpoint_a": setting, "listed": True,
        "access_restricted": True,
    }]  # fmt: skip
    before, after = totals(without, method), totals(managed, method)
    assert all(after[key] <= before[key] + 1e-6 for key in before)


@given(SEEDS)
@settings(max_examples=60, deadline=None)
def test_of_two_unsettled_readings_the_one_in_full_is_never_less(seed: int) -> None:
    job = said(seed)
    job["code"]["edition"] = "2026"
    found = totals(job, "optional")
    if len(found) == 2:
        assert found["optional_outside_va"] >= found["optional_inside_va"] - 1e-6


# ---- where intuition fails


def house(**more: Any) -> dict[str, Any]:
    return {"code": {"edition": "2023"}, "job": {"name": "house"}, "loads": [],
            "dwelling": {"kind": "one-family", "floor_area_ft2": 1500}} | more  # fmt: skip


def test_a_fourth_heater_lowers_the_optional_load() -> None:
    """Three room heaters of 3 kW count at 65 %, 5,850 VA; four at 40 %, 4,800 VA."""
    heaters = [{"name": "Heaters", "kind": "space-heat", "load_va": 3000, "volts": 240, "count": n} for n in (3, 4)]
    three, four = (totals(house(loads=[heater]), "optional")["optional_va"] for heater in heaters)
    assert three - four == 5850 - 4800


def test_adding_a_small_heat_pump_can_cost_more_than_its_own_size() -> None:
    """It moves the existing heating out of the steps, where it counted at 40 %, and into the load in full."""
    furnace = {"name": "Furnace", "kind": "furnace", "load_va": 10_000, "volts": 240, "status": "existing"}
    old = house(
        code={"edition": "2023", "readings": {"existing_heat_cool": "both-at-40-pct"}},
        dwelling={"kind": "one-family", "floor_area_ft2": 1500, "status": "existing"},
        service={"rating_a": 100, "work": "kept"},
        loads=[furnace],
    )
    pump = {"name": "Mini-split", "kind": "mini-split", "load_va": 1200, "volts": 240, "status": "new"}
    before, after = totals(old, "existing"), totals(old | {"loads": [furnace, pump]}, "existing")
    assert after["existing_va"] - before["existing_va"] == 1200 + 10_000 * 0.6


# ---- at a limit


@pytest.mark.parametrize(("va", "demand"), [(999, 9999), (1000, 10_000), (1001, 10_000.4), (2000, 10_400)])
def test_the_first_step_of_the_optional_method(va: float, demand: float) -> None:
    """9,000 VA of area and circuits, and one appliance: up to 10 kVA in full, the rest at 40 %."""
    assert totals(house(loads=[plain("dishwasher", va)]), "optional")["optional_va"] == pytest.approx(demand)


@pytest.mark.parametrize(("amperes", "passes"), [(100.49, True), (100.5, False)])
def test_a_service_serves_up_to_half_an_ampere_more(amperes: float, passes: bool) -> None:
    record = {"method": "1-year", "peak_a": amperes / 1.25, "interval_min": 15, "from_date": "2025-01-01",
              "to_date": "2025-12-31", "occupied": True, "overload_protected": True, "generation_or_shaving": False,
              "seasonal_added_va": 0}  # fmt: skip
    job = house(
        dwelling={"kind": "one-family", "floor_area_ft2": 1500, "status": "existing"},
        service={"rating_a": 100, "work": "kept", "load_method": "measured"},
        measured_demand=record,
    )
    made = make_job(job)
    assert worked(House.of(made), dwelling_units(made)[0], "measured").sheet.passes is passes


def test_each_share_of_many_dwellings_is_what_was_typed_a_second_time() -> None:
    code = open_codebook("2023")
    for n in range(3, 90):
        row = code.row("multifamily_demand", units=stated("units", n, "", ""))
        assert row["demand_pct"].number == next(pct for least, pct in SHARES if n >= least)


def test_each_share_of_heaters_is_what_was_typed_a_second_time() -> None:
    code = open_codebook("2023")
    for n in range(1, 9):
        assert code.row("optional_heat", zones=stated("zones", n, "", ""))["demand_pct"].number == (65 if n < 4 else 40)


@pytest.mark.parametrize("name", ["cask-lane-27", "cask-lane-27-new-service", "tinkers-row-4"])
def test_a_wrong_last_digit_never_replays(name: str) -> None:
    job = read_job(Path(f"notebooks/jobs/{name}.toml"))
    for sheet in work(House.of(job)):
        assert_mutations_caught(sheet.as_json())
