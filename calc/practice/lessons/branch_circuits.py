"""Branch circuits as a lesson: invented circuits of a house, and the slips that show in their lines."""

from __future__ import annotations

from random import Random
from typing import Any

from calc.practice.lesson import Again
from calc.work import constant

Drawn = dict[str, Any]


def draw(random: Random, level: int) -> Drawn:
    """A heater, a range or a count of circuits; above, heat, cooking together, odd wires, a shared neutral, many together."""
    first = (_lighting, _tank, _range)
    second = (*first, _strips, _vehicle, _together, _single, _leg)
    kinds = {1: first, 2: second, 3: (*second, *[_heat_pump] * 3, *[_shared] * 4)}
    return {
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
    breaker, cable, leg = random.choice(
        [(20, "12/2", "14/2"), (15, "12/2", "14/2"), (20, "10/2", "12/2"), (20, "12/2", "14/2")]
    )
    circuit = _circuit("Upstairs", purpose="general", breaker_a=breaker, cable=f"{cable} with ground", load_va=random.randrange(600, 1600, 20),
                       outlets=["lighting", "receptacles"], other_cables=[f"{leg} with ground"])  # fmt: skip
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


def _kinds(again: Again) -> set[str]:
    return {load.kind for load in again.job.loads}


def held_to_small(again: Again, key: str) -> float | None:
    """The most that stands ahead of a small conductor elsewhere."""
    if "heat-pump" not in _kinds(again):
        return None
    size = again.texts["conductor"].partition(" AWG")[0]
    held = (float(row["copper_a"]) for row in again.code.rows("small_conductors") if row["size"] == size)
    return next(held, None)


def by_running_current(again: Again, key: str) -> float | None:
    """The ampacity of the cable that carries what flows, not the minimum of the nameplate."""
    if "heat-pump" not in _kinds(again):
        return None
    made = (float(row["copper_60_a"]) for row in again.code.rows("ampacity") if row["copper_60_a"])
    return next(ampacity for ampacity in made if ampacity >= again.numbers["load_a"])


def by_column_b(again: Again, key: str) -> float | None:
    """The percentage of column B for so many appliances."""
    number = sum(load.count for load in again.job.loads)
    if number == 1:
        return None
    share = again.code.row("cooking_demand", appliances=constant("appliances", number, ""))["column_b_pct"].number
    return again.numbers["cooking_together_kw"] * share / 100
