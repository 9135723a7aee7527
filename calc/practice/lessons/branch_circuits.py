"""Branch circuits as a lesson: invented circuits of a house, and the slips that show in their lines."""

from __future__ import annotations

import math
from random import Random
from typing import Any

from calc.job import Circuit
from calc.practice.lesson import FALLS_SHORT, PASSES, Again, Answer, Slip
from calc.work import constant

FAMILY = "branch-circuits"
BESIDE = (
    "half_a", "half_breaker_a", "conductor", "spaces", "legs", "arc_fault", "ground_fault", "tamper_resistant", "missing",
)  # fmt: skip
SIZES = ()
CHECKS = ("single_receptacle_rating", "other_cable_protected", "own_circuit", "nothing_else", "opposite_legs")
TOLD_TO: dict[str, str] = {}
OR_LARGER = ()
ROUND_DOWN = ()
Drawn = dict[str, Any]


def draw(random: Random, level: int) -> Drawn:
    """A heater, a range or a count of circuits; above, heat, cooking together, odd wires, a shared neutral, company."""
    first = (_lighting, _tank, _range)
    second = (*first, _strips, _vehicle, _together, _single, _leg)
    kinds = {1: first, 2: second, 3: (*second, *[_heat_pump] * 3, *[_shared] * 4, *[_hood] * 2, *[_freezer] * 2)}
    return {
        "code": {"edition": random.choice(("2023",) if level == 1 else ("2017", "2020", "2023"))},
        "job": {"name": "Branch circuits"},
        "panels": [{"name": "Main", "fed_from": "utility", "service_equipment": True}],
        **random.choice(kinds[level])(random),
    }


def _circuit(name: str, **more: Any) -> Drawn:
    return {"name": name, "panel": "Main", "purpose": "individual", **more}


def _load(name: str, kind: str, va: int, circuit: str, volts: int = 240, **more: Any) -> Drawn:
    return {"name": name, "kind": kind, "load_va": va, "volts": volts, "circuit": circuit, **more}


def _lighting(random: Random) -> Drawn:
    """The general circuits of a house by its area."""
    return {"dwelling": {"kind": "one-family", "floor_area_ft2": random.randrange(800, 4800, 20),
                         "small_appliance_circuits": random.choice([2, 2, 3])}}  # fmt: skip


def _tank(random: Random) -> Drawn:
    """A storage water heater, its breaker to be found or given too small."""
    circuit = _circuit("Water heater", poles=2)
    if random.random() < 0.4:
        circuit |= {"breaker_a": random.choice([20, 25, 30]), "cable": "10/2 with ground"}
    tank = _load("Tank", "water-heater", random.choice([3000, 3500, 3800, 4500, 5500]), "Water heater")
    return {"circuits": [circuit], "loads": [tank]}


def _range(random: Random) -> Drawn:
    rating = random.choice([8.0, 9.6, 11.4, 12.0, 12.4, 13.3, 13.6, 14.4, 15.5, 16.2, 16.8, 17.6])
    return {
        "circuits": [_circuit("Range", poles=2)],
        "loads": [_load("The range", "range", round(rating * 1000), "Range")],
    }


def _strips(random: Random) -> Drawn:
    """Strip heat with the blower that runs with it."""
    blower = _load("Blower", "fan", random.randrange(400, 900, 20), "Air handler", runs_with=["Strips"])
    strips = _load("Strips", "supplemental-heat", random.choice([4800, 5000, 7200, 7500, 9600]), "Air handler")
    return {"circuits": [_circuit("Air handler", poles=2)], "loads": [strips, blower]}


def _vehicle(random: Random) -> Drawn:
    supply = _load("Charger", "ev-supply", 240 * random.choice([16, 24, 32, 40, 48]), "Vehicle supply")
    return {"circuits": [_circuit("Vehicle supply", poles=2)], "loads": [supply]}


def _together(random: Random) -> Drawn:
    """A cooktop and one or two ovens on one circuit."""
    top = _load("Cooktop", "cooktop", random.randrange(6000, 8600, 200), "Cooking")
    ovens = _load("Ovens", "wall-oven", random.randrange(3600, 5200, 200), "Cooking", count=random.choice([1, 2, 2]))
    return {"circuits": [_circuit("Cooking", poles=2)], "loads": [top, ovens]}


def _single(random: Random) -> Drawn:
    """A single receptacle for one appliance."""
    kind, name = random.choice([("dishwasher", "Dishwasher"), ("disposer", "Disposer"), ("compactor", "Compactor")])
    circuit = _circuit(name, breaker_a=20, cable="12/2 with ground", receptacle_a=random.choice([15, 15, 20]),
                       single_receptacle=True)  # fmt: skip
    load = _load(f"The {name.lower()}", kind, random.randrange(600, 1500, 20), name, 120, connected_by="cord")
    return {"circuits": [circuit], "loads": [load]}


def _leg(random: Random) -> Drawn:
    """Lights with a switch leg of another size."""
    breaker, cable = random.choice([(20, "12/2 with ground"), (15, "12/2 with ground")])
    circuit = _circuit("Upstairs", purpose="general", breaker_a=breaker, cable=cable, load_va=random.randrange(600, 1600, 20),
                       outlets=["lighting", "receptacles"], other_cables=["14/2 with ground"])  # fmt: skip
    return {"circuits": [circuit]}


def _heat_pump(random: Random) -> Drawn:
    """A heat pump by its nameplate: the wire by its minimum circuit, the breaker by its maximum."""
    amperes, least, most = random.choice(
        [(17, 21.0, 35), (18, 22.5, 40), (14, 17.5, 30), (24, 29.5, 50), (28, 34.5, 60)]
    )
    unit = _load("The heat pump", "heat-pump", amperes * 240, "Heat pump", mca_a=least, mocp_a=most)
    return {"circuits": [_circuit("Heat pump", poles=2)], "loads": [unit]}


def _shared(random: Random) -> Drawn:
    """Two halves that share a neutral, on one leg or on two."""
    one, two = random.choice([(1, 3), (1, 5), (2, 4), (2, 6), (3, 7), (3, 4), (5, 6), (8, 10)])
    more = {"purpose": "small-appliance", "breaker_a": 20, "cable": "12/3 with ground"}
    left = _circuit("Counter left", **more, positions=[one], load_va=random.randrange(960, 1980, 60),
                    multiwire_with="Counter right")  # fmt: skip
    right = _circuit("Counter right", **more, positions=[two], load_va=random.randrange(960, 1980, 60))
    return {"circuits": [left, right], "practise": "Counter left and Counter right"}


def _hood(random: Random) -> Drawn:
    """A microwave hood with a cord, on a circuit of the counter or of its own."""
    own = random.random() < 0.3
    circuit = _circuit(
        "Hood", breaker_a=20, cable="12/2 with ground", purpose="individual" if own else "small-appliance"
    )
    load = _load("Microwave hood", "hood", random.randrange(1300, 1700, 20), "Hood", 120, connected_by="cord",
                 fastened=True)  # fmt: skip
    return {"circuits": [circuit], "loads": [load]}


def _freezer(random: Random) -> Drawn:
    """The laundry circuit, with or without a freezer on it."""
    outlets = random.choice([["receptacles", "washer"], ["receptacles", "washer", "freezer"], ["washer", "freezer"]])
    return {"circuits": [_circuit("Laundry", purpose="laundry", breaker_a=20, cable="12/2 with ground", outlets=outlets,
                                  load_va=random.randrange(900, 1800, 20))]}  # fmt: skip


def _by_area(again: Again, size: str, share: float) -> float:
    return again.numbers["general_needed_va"] / (share * again.rule(f"circuit_{size}") * again.numbers["volts_v"])


def _eighty_percent(size: str) -> Any:
    return lambda again, key: float(math.ceil(_by_area(again, size, 0.8) - 1e-9))


def _rounded_down(size: str) -> Any:
    return lambda again, key: float(math.floor(_by_area(again, size, 1)))


def _kinds(again: Again) -> set[str]:
    return {load.kind for load in again.job.loads}


def _as_it_stands(kind: str) -> Any:
    """The plain current, on a circuit of loads of this kind."""
    return lambda again, key: again.numbers["load_a"] if kind in _kinds(again) else None


def _strips_alone(again: Again, key: str) -> float | None:
    return next((load.total_va for load in again.job.loads if load.kind == "supplemental-heat"), None)


def _for_plain_current(again: Again, key: str) -> Answer | None:
    if "breaker_floor_a" not in again.numbers:
        return None  # the breaker is given
    return again.replaced(key, {"breaker_floor_a": max(again.numbers["load_a"], again.rule("branch_least"))})


def _held_to_small(again: Again, key: str) -> float | None:
    """The most that stands ahead of a small conductor elsewhere."""
    if "heat-pump" not in _kinds(again):
        return None
    size = again.texts["conductor"].partition(" AWG")[0]
    held = (float(row["copper_a"]) for row in again.code.rows("small_conductors") if row["size"] == size)
    return next(held, None)


def _by_running_current(again: Again, key: str) -> float | None:
    """The ampacity of the cable that carries what flows, not the minimum of the nameplate."""
    if "heat-pump" not in _kinds(again):
        return None
    made = (float(row["copper_60_a"]) for row in again.code.rows("ampacity") if row["copper_60_a"])
    return next(ampacity for ampacity in made if ampacity >= again.numbers["load_a"])


def _started_kilowatt(again: Again, key: str) -> float:
    return float(math.ceil(again.numbers["cooking_together_kw"] - again.rule("cooking_column_c_limit") - 1e-9))


def _without_increase(again: Again, key: str) -> float | None:
    return again.numbers["cooking_column_c_row_kw"] if "cooking_excess_kw" in again.numbers else None


def _by_column_b(again: Again, key: str) -> float | None:
    """The percentage of column B for so many appliances."""
    number = sum(load.count for load in again.job.loads)
    if number == 1:
        return None
    share = again.code.row("cooking_demand", appliances=constant("appliances", number, ""))["column_b_pct"].number
    return again.numbers["cooking_together_kw"] * share / 100


def _at_nameplate(again: Again, key: str) -> float | None:
    return again.numbers["cooking_together_kw"] if len(again.job.loads) > 1 else None


def _let_pass(again: Again, key: str) -> str | None:
    """A check that falls short, let pass."""
    return PASSES if again.outcomes[key] == FALLS_SHORT else None


def _hood_let_pass(again: Again, key: str) -> str | None:
    return _let_pass(again, key) if "hood" in _kinds(again) else None


def _freezer_let_pass(again: Again, key: str) -> str | None:
    freezer = isinstance(again.part, Circuit) and "freezer" in again.part.outlets
    return _let_pass(again, key) if freezer else None


def _leg_as_the_circuit(again: Again, key: str) -> float:
    return again.numbers["breaker_a"]


def _halves(again: Again, key: str) -> list[float]:
    return [number for at, number in again.numbers.items() if at.startswith(f"{key}[")]


def _one_leg(again: Again) -> bool:
    return again.outcomes["opposite_legs"] == FALLS_SHORT


def _taken_as_opposite(again: Again, key: str) -> float | None:
    one, two = _halves(again, "half_a")
    return abs(one - two) if _one_leg(again) else None


def _halves_added(again: Again, key: str) -> float | None:
    return None if _one_leg(again) else sum(_halves(again, "half_a"))


def _one_breaker_only(again: Again, key: str) -> float | None:
    return max(_halves(again, "half_breaker_a")) if _one_leg(again) else None


SLIPS = (
    Slip("eighty_percent_15", "general_circuits_15a", "circuit_unit_load", _eighty_percent("15a")),
    Slip("eighty_percent_20", "general_circuits_20a", "circuit_unit_load", _eighty_percent("20a")),
    Slip("rounded_down_15", "general_circuits_15a", "circuit_unit_load", _rounded_down("15a")),
    Slip("rounded_down_20", "general_circuits_20a", "circuit_unit_load", _rounded_down("20a")),
    Slip("tank_as_it_stands", "design_a", "continuous_water_heater", _as_it_stands("water-heater")),
    Slip("heat_as_it_stands", "design_a", "continuous_heat", _as_it_stands("supplemental-heat")),
    Slip("vehicle_as_it_stands", "design_a", "continuous_vehicle", _as_it_stands("ev-supply")),
    Slip("strips_alone", "load_va", "continuous_heat", _strips_alone),
    Slip("breaker_for_plain_current", "breaker_a", "continuous_branch", _for_plain_current),
    Slip("held_to_small_conductor", "breaker_a", "nameplate_circuit", _held_to_small),
    Slip("wire_by_running_current", "ampacity_a", "nameplate_circuit", _by_running_current),
    Slip("started_kilowatt", "cooking_excess_kw", "cooking_increase", _started_kilowatt),
    Slip("without_increase", "cooking_circuit_kw", "cooking_increase", _without_increase),
    Slip("by_column_b", "cooking_circuit_kw", "cooking_circuit", _by_column_b),
    Slip("at_nameplate", "cooking_circuit_kw", "cooking_circuit", _at_nameplate),
    Slip("single_like_several", "single_receptacle_rating", "receptacle_single", _let_pass),
    Slip("leg_as_the_circuit", "other_cable_breaker_a", "small_conductors", _leg_as_the_circuit),
    Slip("leg_protected", "other_cable_protected", "small_conductors", _let_pass),
    Slip("hood_on_the_counter", "nothing_else", "individual_hood", _hood_let_pass),
    Slip("freezer_on_the_laundry", "nothing_else", "laundry_outlets", _freezer_let_pass),
    Slip("taken_as_opposite", "shared_neutral_a", "multiwire", _taken_as_opposite),
    Slip("halves_added", "shared_neutral_a", "multiwire", _halves_added),
    Slip("one_breaker_only", "shared_neutral_most_a", "multiwire", _one_breaker_only),
    Slip("legs_by_columns", "opposite_legs", "multiwire", _let_pass),
)
