"""The dwelling load as a lesson: invented houses, and the slips that show in its lines."""

from __future__ import annotations

import math
from random import Random
from typing import Any

from calc.practice.lesson import Again, Answer, Slip

FAMILY = "dwelling-load"
BESIDE = ()
SIZES = ()
CHECKS = ()
TOLD_TO: dict[str, str] = {}
OR_LARGER = ()
ROUND_DOWN = ()
PLACES = ("Sorrel Bend", "Cask Lane", "Alder Row", "Tinker's Row", "Larch Mews", "Wren Court", "Quarry Steps")
EDITIONS = {1: ("2023",), 2: ("2020", "2023"), 3: ("2017", "2020", "2023")}


def draw(random: Random, level: int) -> dict[str, Any]:
    """A house whose loads bring up the rules that matter: a dryer under its floor, a range over 12 kW, a heat pump
    with strips, four appliances or three."""
    if level == 3 and random.random() < 0.12:
        return _measured(random)
    loads: list[dict[str, Any]] = [_range(random, level)]
    if random.random() < 0.85:
        loads.append(_load("Dryer", "dryer", random.choice([4200, 4500, 4600, 4800, 5400, 5600]), 240))
    loads += _appliances(random, level)
    loads += _climate(random, level)
    if level > 1 and random.random() < 0.6:
        loads.append(_load("Vehicle supply", "ev-supply", random.choice([3840, 5760, 7680, 9600, 11520]), 240))
    drawn = {
        "code": {"edition": random.choice(EDITIONS[level])},
        "job": {"name": f"{random.randint(2, 180)} {random.choice(PLACES)}"},
        "dwelling": {
            "kind": "one-family",
            "floor_area_ft2": random.randrange(900, 4600, 20),
            "small_appliance_circuits": random.choice([2, 2, 3, 4]),
            "laundry_circuits": 1,
        },
        "loads": loads,
    }
    if level == 3 and random.random() < 0.25:
        drawn |= {"service": {"load_method": "optional"}, "practise": "Dwelling load, optional method"}
    return drawn


def _measured(random: Random) -> dict[str, Any]:
    """A house with a year's record of its demand, to which something is added."""
    added = random.choice([("Vehicle supply", "ev-supply", 240 * random.choice([24, 32, 40])),
                           ("Water heater", "water-heater", random.choice([3500, 4500, 5500]))])  # fmt: skip
    return {
        "code": {"edition": random.choice(EDITIONS[3])},
        "job": {"name": f"{random.randint(2, 180)} {random.choice(PLACES)}"},
        "dwelling": {"kind": "one-family", "status": "existing", "floor_area_ft2": random.randrange(900, 3000, 20)},
        "service": {"rating_a": 100, "main_a": 100, "work": "kept", "load_method": "measured"},
        "measured_demand": {
            "method": "1-year", "interval_min": 15, "peak_kw": random.randrange(50, 160) / 10, "from_date": "2024-03-01",
            "to_date": "2025-03-01", "occupied": True, "seasonal_added_va": 0, "generation_or_shaving": False,
            "overload_protected": True,
        },
        "loads": [_load(*added, 240, status="new")],
        "practise": "Dwelling load, measured demand",
    }  # fmt: skip


def _load(name: str, kind: str, va: int, volts: int, **more: Any) -> dict[str, Any]:
    return {"name": name, "kind": kind, "load_va": va, "volts": volts, **more}


def _range(random: Random, level: int) -> dict[str, Any]:
    kw = random.choice([9.6, 10.5, 11.2, 12.0] if level == 1 else [9.6, 11.5, 12.0, 13.6, 14.4, 15.5, 16.0, 17.6])
    return _load("Range", "range", round(kw * 1000), 240)


def _appliances(random: Random, level: int) -> list[dict[str, Any]]:
    every = [
        _load("Water heater", "water-heater", random.choice([3500, 4500, 5500]), 240),
        _load("Dishwasher", "dishwasher", random.randrange(900, 1500, 30), 120),
        _load("Disposer", "disposer", random.randrange(600, 1200, 24), 120),
        _load("Microwave hood", "microwave", random.randrange(1300, 1700, 20), 120),
        _load("Compactor", "compactor", random.randrange(700, 1200, 20), 120),
    ]
    return every[: random.choice([2, 3, 4] if level == 1 else [3, 4, 5])]


def _climate(random: Random, level: int) -> list[dict[str, Any]]:
    cooling = random.randrange(2400, 7200, 240)
    if level == 1 or random.random() < 0.4:
        heat = random.randrange(5000, 15000, 500)
        return [_load("Space heat", "space-heat", heat, 240), _load("Air conditioner", "air-conditioner", cooling, 240)]
    pump = random.randrange(2880, 5760, 240)
    return [
        _load("Heat pump", "heat-pump", pump, 240, motor_a=round(pump * 0.9 / 240, 1)),
        _load("Blower", "fan", random.randrange(400, 900, 20), 240, runs_with=["Heat pump"]),
        _load(
            "Strip heat", "supplemental-heat", random.choice([4800, 7200, 9600, 14400]), 240, runs_with=["Heat pump"]
        ),
    ]


def _nameplate(again: Again, kind: str) -> float | None:
    return next((load.total_va for load in again.job.loads if load.kind == kind), None)


def _dryer_at_nameplate(again: Again, key: str) -> float | None:
    return _nameplate(again, "dryer")


def _three_quarters_anyway(again: Again, key: str) -> Answer | None:
    return again.replaced(key, {"fastened_demand_pct": 75})


def _all_at_full(again: Again, key: str) -> float | None:
    return again.numbers.get("fastened_connected_va")


def _vehicle_among_appliances(again: Again, key: str) -> float | None:
    vehicle, connected = _nameplate(again, "ev-supply"), again.numbers.get("fastened_connected_va")
    return None if vehicle is None or connected is None else connected + vehicle


def _all_general_at_35(again: Again, key: str) -> float | None:
    return again.numbers["general_connected_va"] * 0.35


def _nothing_taken_off(again: Again, key: str) -> float | None:
    return again.numbers["general_connected_va"]


def _two_small_appliance_circuits(again: Again, key: str) -> float | None:
    return 2 * again.rule("small_appliance_circuit")


def _range_at_nameplate(again: Again, key: str) -> float | None:
    return _nameplate(again, "range")


def _range_at_column_c(again: Again, key: str) -> float | None:
    row = next((n for k, n in again.numbers.items() if k.startswith("cooking_column_c_row_kw")), None)
    return None if row is None else row * 1000


def _range_rounded_up(again: Again, key: str) -> float | None:
    """Every started kilowatt counted, 0.4 kW too."""
    row = next((n for k, n in again.numbers.items() if k.startswith("cooking_column_c_row_kw")), None)
    rating = next((n for k, n in again.numbers.items() if k.startswith("cooking_rating_kw")), None)
    if row is None or rating is None or rating <= again.rule("cooking_column_c_limit"):
        return None
    over = math.ceil(rating - again.rule("cooking_column_c_limit"))
    return row * (1 + over * again.rule("cooking_increase") / 100) * 1000


def _strips_alone(again: Again, key: str) -> float | None:
    return _nameplate(again, "supplemental-heat")


def _both_seasons(again: Again, key: str) -> float | None:
    heating, cooling = again.numbers.get("heating_va"), again.numbers.get("cooling_va")
    return None if heating is None or cooling is None else heating + cooling


def _vehicle_at_nameplate(again: Again, key: str) -> float | None:
    return _nameplate(again, "ev-supply")


def _vehicle_at_125(again: Again, key: str) -> float | None:
    vehicle = _nameplate(again, "ev-supply")
    return None if vehicle is None else vehicle * 1.25


def _divided_by_120(again: Again, key: str) -> float | None:
    return again.numbers["standard_va"] / again.numbers["line_to_neutral_v"]


def _motor_left_out(again: Again, key: str) -> float | None:
    motor = again.numbers.get("largest_motor_va")
    return None if motor is None else again.numbers["standard_va"] - motor


def _water_heater_on_neutral(again: Again, key: str) -> float | None:
    heater, reaching = _nameplate(again, "water-heater"), again.numbers.get("neutral_reaching_va")
    return None if heater is None or reaching is None else reaching + heater


def _climate_in_the_tier(again: Again, key: str) -> Answer | None:
    """Heating or cooling put among the general loads, where most counts at the low percentage."""
    general, climate = again.numbers["optional_general_va"], again.numbers.get("climate_va")
    if climate is None:
        return None
    stepped = again.replaced("optional_general_demand_va", {"optional_general_va": general + climate})
    return stepped if isinstance(stepped, float) else None


def _without_125(again: Again, key: str) -> float:
    return again.numbers["measured_season_va"]


def _eighty_percent_15(again: Again, key: str) -> float | None:
    return _eighty_percent(again, 15)


def _eighty_percent_20(again: Again, key: str) -> float | None:
    return _eighty_percent(again, 20)


def _eighty_percent(again: Again, amperes: int) -> float:
    return float(
        math.ceil(again.numbers["lighting_circuits_va"] / (0.8 * amperes * again.numbers["line_to_neutral_v"]) - 1e-9)
    )


SLIPS = (
    Slip("climate_in_the_tier", "optional_va", "optional_climate", _climate_in_the_tier),
    Slip("record_as_it_stands", "measured_existing_va", "measured_growth", _without_125),
    Slip("dryer_at_nameplate", "dryer_va", "dryer_least", _dryer_at_nameplate),
    Slip("three_quarters_of_three", "fastened_demand_va", "fastened_demand", _three_quarters_anyway),
    Slip("four_at_full", "fastened_demand_va", "fastened_demand", _all_at_full),
    Slip("vehicle_among_appliances", "fastened_connected_va", "fastened_appliances", _vehicle_among_appliances),
    Slip("all_at_35", "general_demand_va", "lighting_tiers", _all_general_at_35),
    Slip("nothing_taken_off", "general_demand_va", "lighting_tiers", _nothing_taken_off),
    Slip("two_circuits_only", "small_appliances_va", "small_appliance_circuit", _two_small_appliance_circuits),
    Slip("range_at_nameplate", "cooking_demand_va", "cooking_demand", _range_at_nameplate),
    Slip("range_without_increase", "cooking_demand_va", "cooking_increase", _range_at_column_c),
    Slip("part_kilowatt_counted", "cooking_demand_va", "cooking_increase", _range_rounded_up),
    Slip("strips_alone", "heating_va", "noncoincident", _strips_alone),
    Slip("both_seasons", "climate_va", "noncoincident", _both_seasons),
    Slip("vehicle_at_nameplate", "vehicle_supply_va", "vehicle_least", _vehicle_at_nameplate),
    Slip("vehicle_at_125", "vehicle_supply_va", "vehicle_supply", _vehicle_at_125),
    Slip("divided_by_120", "standard_a", "nominal_voltages", _divided_by_120),
    Slip("motor_left_out", "standard_va", "largest_motor", _motor_left_out),
    Slip("water_heater_on_neutral", "neutral_reaching_va", "neutral_basis", _water_heater_on_neutral),
    Slip("eighty_percent_15", "general_circuits_15a", "circuit_unit_load", _eighty_percent_15),
    Slip("eighty_percent_20", "general_circuits_20a", "circuit_unit_load", _eighty_percent_20),
)
