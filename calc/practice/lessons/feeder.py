"""Conductors as a lesson: invented feeders, circuits and services, and the slips that show in their lines."""

from __future__ import annotations

from random import Random
from typing import Any

from calc.job import SIZES as CONDUCTORS
from calc.practice.lesson import Again
from calc.practice.slips import Answer

HALF = {"terminations_from_c": 75, "terminations_to_c": 75}


def draw(random: Random, level: int) -> dict[str, Any]:
    """A feeder at level 1; then cables in warm attics side by side, a vehicle's circuit, a grown circuit, a service."""
    kinds = {
        1: (_feeder,),
        2: (_feeder, _charger, _hot, _grown),
        3: (_feeder, _charger, _hot, _grown, _service, _wye, _forced, _forced),
    }
    return {
        "job": {"name": "Conductors"},
        "dwelling": {"kind": "one-family"},
        "panels": [{"name": "Main", "fed_from": "utility", "service_equipment": True}, {"name": "Subpanel"}],
        **random.choice(kinds[level])(random),
    }


def _run(**more: Any) -> dict[str, Any]:
    """A run; with a load as given it says how much of that is continuous, since the learner can't know."""
    part = {"continuous_a": 0} if "calculated_a" in more else {}
    return {"name": "Run", "fed_from": "Main", "volts": 240, **part, **more}


def _feeder(random: Random) -> dict[str, Any]:
    """A subpanel in a raceway, by its load and its breaker, the neutral with a load of its own."""
    breaker = random.choice([60, 70, 80, 90, 100, 125, 150, 200])
    calculated = random.randint(round(breaker * 0.6), breaker - 5)
    run = _run(
        role="feeder", feeds="Subpanel", calculated_a=calculated, breaker_a=breaker, insulation="THWN-2",
        material=random.choice(["copper", "aluminum"]), wiring_method=random.choice(["EMT", "PVC-40"]), **HALF,
        neutral_a=random.randint(5, calculated // 2), continuous_a=random.choice([0, 0, min(20, breaker - calculated)]),
    )  # fmt: skip
    if run["material"] == "aluminum":
        run["insulation"] = "XHHW-2"
    ahead = {"name": "Heat pump", "kind": "heat-pump", "load_va": 3600, "volts": 240, "panel": "Main"}
    return {"loads": [ahead], "runs": [run]}  # the heat pump lies ahead of it, so it doesn't carry the whole house


def _charger(random: Random) -> dict[str, Any]:
    """A vehicle's circuit, in NM cable or single wires."""
    amperes = random.choice([24, 30, 32, 36, 40, 44, 48])
    how = random.choice([{"wiring_method": "NM"}, {"wiring_method": "EMT", "insulation": "THHN"}])
    run = _run(role="branch", feeds="Vehicle supply", neutral=False, material="copper", **how, **HALF)
    load = {"name": "Vehicle supply", "kind": "ev-supply", "load_va": amperes * 240, "volts": 240, "panel": "Main"}
    return {"loads": [load], "runs": [run]}


def _hot(random: Random) -> dict[str, Any]:
    """Cables together in a warm attic."""
    size, breaker = random.choice([("12", 20), ("10", 30), ("14", 15)])
    run = _run(
        role="branch", volts=120, neutral=True, calculated_a=random.randint(6, breaker - 4), breaker_a=breaker,
        cable=f"{size}/2 NM with ground", location="attic", ambient_f=random.choice([100, 108, 113, 118]),
        in_insulation=True, cables_bundled=random.randint(3, 5),
    )  # fmt: skip
    return {"runs": [run | {"volts": 120}]}


def _grown(random: Random) -> dict[str, Any]:
    """A circuit larger than its load asks for, on account of its length."""
    size, breaker = random.choice([("10", 20), ("8", 20), ("4", 60), ("3", 60), ("8", 30), ("6", 40), ("2", 60)])
    run = _run(
        role="branch", neutral=False, calculated_a=random.randint(breaker // 2, breaker - 4), breaker_a=breaker,
        material="copper", insulation="THWN-2", wiring_method="PVC-40", size=size, **HALF,
    )  # fmt: skip
    return {"runs": [run]}


def _service(random: Random) -> dict[str, Any]:
    """The only service of a house, so that its conductors may be a share of the rating."""
    rating = random.choice([100, 125, 150, 200])
    run = _run(
        role="service", fed_from="utility", feeds="Main", calculated_a=random.randint(round(rating * 0.6), rating - 5),
        neutral_a=random.randint(15, 60), material=random.choice(["copper", "aluminum"]), insulation="XHHW-2",
        wiring_method="PVC-40", **HALF,
    )  # fmt: skip
    return {"service": {"rating_a": rating, "main_a": rating}, "runs": [run]}


def _wye(random: Random) -> dict[str, Any]:
    """A feeder of two legs and neutral from a four-wire wye."""
    breaker = random.choice([60, 80, 100])
    run = _run(
        role="feeder", feeds="Subpanel", calculated_a=random.randint(round(breaker * 0.6), breaker - 5), breaker_a=breaker,
        insulation="THWN-2", material="copper", wiring_method=random.choice(["EMT", "PVC-40"]), **HALF,
    )  # fmt: skip
    return {"service": {"system": "208Y/120"}, "runs": [run | {"volts": 208}]}


def _forced(random: Random) -> dict[str, Any]:
    """A circuit that is large only because the air around it is hot."""
    breaker, calculated, size = random.choice([(40, 38, "6"), (60, 58, "3"), (60, 57, "3")])
    run = _run(
        role="branch", neutral=False, calculated_a=calculated, breaker_a=breaker, material="copper", insulation="THWN-2",
        wiring_method="EMT", size=size, ambient_f=random.choice([125, 132, 140]), **HALF,
    )  # fmt: skip
    return {"runs": [run]}


def _material(again: Again) -> str:
    return again.texts["conductors"].partition(",")[0]


def _bare(size: str) -> str:
    return size.removesuffix(" AWG").removesuffix(" kcmil")


def _ampacity(again: Again, size: str, column_c: float) -> float:
    return again.code.row("ampacity", size=size)[f"{_material(again)}_{column_c:.0f}_a"].number


def _size_for(again: Again, amperes: float) -> str | None:
    """The smallest size of the column that the run is held to, nothing being corrected."""
    column = f"{_material(again)}_{again.numbers['limit_c']:.0f}_a"
    fits = (row["size"] for row in again.code.rows("ampacity") if row[column] and float(row[column]) >= amperes)
    return next(fits, None)


def _size(again: Again) -> str:
    return _bare(again.texts["size_tried"] if "size_tried" in again.texts else again.texts["size"])


def cable_at_75(again: Again, key: str) -> float | None:
    """By the 75 degree column, where the cable is held to 60."""
    return _ampacity(again, _size(again), 75) if again.numbers.get("cable_c") == again.numbers["limit_c"] else None


def next_size_up(again: Again, key: str) -> str | None:
    """The size that the breaker alone would let pass, though the load asks for more."""
    design, breaker = again.numbers["design_a"], again.numbers["breaker_a"]
    below = [
        row for row in again.code.rows("ampacity") if CONDUCTORS.index(row["size"]) < CONDUCTORS.index(_size(again))
    ]
    if not below or "limit_a" not in again.numbers:
        return None
    column = f"{_material(again)}_{again.numbers['limit_c']:.0f}_a"
    size = below[-1]["size"]
    if not below[-1][column]:
        return None
    carries = float(below[-1][column])
    return size if carries < design <= breaker and carries >= again.numbers["calculated_a"] * 0.8 else None


def share_on_subpanel(again: Again, key: str) -> str | None:
    """The size for the share that only conductors of a whole dwelling may have."""
    if again.part.role != "feeder":
        return None
    return _size_for(again, again.numbers["breaker_a"] * again.rule("dwelling_share") / 100)


def hot_column(again: Again, key: str) -> str | None:
    """By the column of the insulation, the terminals left out of sight."""
    column = f"{_material(again)}_{again.numbers['insulation_c']:.0f}_a"
    need = again.numbers.get("dwelling_share_a", max(again.numbers["design_a"], again.numbers["calculated_a"]))
    return next((r["size"] for r in again.code.rows("ampacity") if r[column] and float(r[column]) >= need), None)


def from_limit_column(again: Again, key: str) -> Answer | None:
    """Corrected and adjusted from the column of the limit instead of that of the insulation."""
    plain = again.numbers["ambient_factor"] == 1 and again.numbers.get("adjustment_pct", 100) == 100
    if plain or again.numbers["limit_c"] == again.numbers["insulation_c"]:
        return None
    return again.replaced(key, {"insulation_c": again.numbers["limit_c"]})


def electrode_table(again: Again, key: str) -> str | None:
    """The table of the electrode conductor, by the area of the feeder."""
    if again.part.role != "feeder":
        return None
    cmil = again.code.row("conductor_properties", size=_size(again), stranding="stranded")["cmil"]
    metal = _material(again)
    return again.code.row("electrode_conductor", **{f"{metal}_cmil": cmil}).text(metal).text


def circuit_size(again: Again, key: str) -> str:
    """As large as the circuit's wires."""
    return _size(again)


def row_below(again: Again, key: str) -> str | None:
    """The row of the equipment grounding table before the breaker's."""
    rows = again.code.rows("equipment_ground")
    at = next(at for at, row in enumerate(rows) if float(row["rating_a"]) >= again.numbers["breaker_a"])
    return rows[at - 1]["copper"] if at else None
