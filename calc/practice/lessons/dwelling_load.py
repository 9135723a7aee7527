"""The dwelling load as a lesson: invented houses, and the slips that show in its lines."""

from __future__ import annotations

import math
from random import Random
from typing import Any

from calc.practice.lesson import Again
from calc.practice.slips import Answer

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
        "job": {"name": f"{random.randint(2, 180)} {random.choice(PLACES)}"},
        "dwelling": {
            "kind": "one-family",
            "floor_area_ft2": random.randrange(900, 4600, 20),
            "small_appliance_circuits": random.choice([2, 2, 3, 4]),
            "laundry_circuits": random.choice([1, 1, 2]),
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


def range_at_column_c(again: Again, key: str) -> float | None:
    """Column C as printed."""
    row = next((n for k, n in again.numbers.items() if k.startswith("cooking_column_c_row_kw")), None)
    return None if row is None else row * 1000


def range_rounded_up(again: Again, key: str) -> float | None:
    """Every started kilowatt counted, 0.4 kW too."""
    row = next((n for k, n in again.numbers.items() if k.startswith("cooking_column_c_row_kw")), None)
    rating = next((n for k, n in again.numbers.items() if k.startswith("cooking_rating_kw")), None)
    if row is None or rating is None or rating <= again.rule("cooking_column_c_limit"):
        return None
    over = math.ceil(rating - again.rule("cooking_column_c_limit"))
    return row * (1 + over * again.rule("cooking_increase") / 100) * 1000


def climate_in_the_tier(again: Again, key: str) -> Answer | None:
    """Heating or cooling put among the general loads, where most counts at the low percentage."""
    general, climate = again.numbers["optional_general_va"], again.numbers.get("climate_va")
    if climate is None:
        return None
    stepped = again.replaced("optional_general_demand_va", {"optional_general_va": general + climate})
    return stepped if isinstance(stepped, float) else None


def range_one_step(again: Again, key: str) -> float | None:
    """Column C with one increase, where there are several."""
    row = next((n for k, n in again.numbers.items() if k.startswith("cooking_column_c_row_kw")), None)
    return None if row is None else row * (1 + again.rule("cooking_increase") / 100) * 1000
