"""Voltage drop as a lesson: an invented run behind a feeder, and the slips that show in its lines."""

from __future__ import annotations

from math import sqrt
from random import Random
from typing import Any

from calc.practice.lesson import Again, Slip

FAMILY = "voltage-drop"
BESIDE = ("direct_current_drop_v", "balanced_drop_v", "effective_drop_v", "exact_drop_v")
SIZES = ("size_for_limit",)
CHECKS = ()
TOLD_TO: dict[str, str] = {}
OR_LARGER = ()
ROUND_DOWN = ("max_length_ft",)


def draw(random: Random, level: int) -> dict[str, Any]:
    """One run at level 1; above, a feeder and the branch circuit behind it, of another voltage or on two legs."""
    runs = [_feeder(random, level)]
    if level > 1:
        runs.append(_branch(random, level))
    return {
        "code": {"edition": random.choice(("2023",) if level == 1 else ("2020", "2023"))},
        "job": {"name": "Voltage drop"},
        "service": {"system": "120/240"},
        "panels": [{"name": "Main", "fed_from": "utility"}, {"name": "Far panel"}],
        "runs": runs,
    }


def _feeder(random: Random, level: int) -> dict[str, Any]:
    material, size, breaker = random.choice(
        [("copper", "8", 40), ("copper", "6", 60), ("copper", "4", 80), ("aluminum", "4", 60), ("aluminum", "2", 90)]
        if level > 1
        else [("copper", "8", 40), ("copper", "6", 60), ("copper", "4", 80)]
    )
    return {
        "name": "Feeder", "role": "feeder", "fed_from": "Main", "feeds": "Far panel", "volts": 240, "material": material,
        "size": size, "insulation": "THWN-2", "wiring_method": "PVC-40", "breaker_a": breaker,
        "calculated_a": random.randint(breaker // 2, breaker - 4), "length_ft": random.randrange(60, 260, 5),
    }  # fmt: skip


def _branch(random: Random, level: int) -> dict[str, Any]:
    size, breaker = random.choice([("14", 15), ("12", 20), ("10", 30)])
    volts, cable = random.choice([(120, f"{size}/2 with ground"), (240, f"{size}/2 with ground")])
    run = {
        "name": "Branch circuit", "role": "branch", "fed_from": "Far panel", "volts": volts, "cable": cable,
        "breaker_a": breaker, "calculated_a": random.randint(breaker // 2, breaker - 2),
        "length_ft": random.randrange(30, 150, 5),
    }  # fmt: skip
    if level == 3 and random.random() < 0.4:
        run |= {"volts": 120, "cable": f"{size}/3 with ground", "multiwire": True, "neutral_a": 0}
    return run


def _balanced(again: Again) -> bool:
    """Whether nothing flows back through a shared neutral."""
    return bool(again.part.multiwire and again.part.neutral_a == 0)


def _one_way(again: Again, key: str) -> float | None:
    return None if _balanced(again) else again.numbers[key] / 2


def _there_and_back(again: Again, key: str) -> float | None:
    return again.numbers[key] * 2 if _balanced(again) else None


def _at_120(again: Again, key: str) -> float | None:
    return again.numbers[key] * 2 if again.part.volts == 240 else None


def _at_240(again: Again, key: str) -> float | None:
    return again.numbers[key] / 2 if again.part.volts == 120 else None


def _ratio(again: Again) -> float:
    """Amperes of the breaker over those of the load."""
    run = again.part
    if run.breaker_a is None or run.calculated_a is None:
        raise KeyError("the job doesn't say both")
    return float(run.breaker_a / run.calculated_a)


def _breaker_amperes(again: Again, key: str) -> float:
    return again.numbers[key] * _ratio(again)


def _three_phase(again: Again, key: str) -> float:
    return again.numbers[key] * sqrt(3) / 2


def _cold(again: Again, key: str) -> float | None:
    """By circular mils and a constant for copper that is cold."""
    run = again.part
    size = run.size or (run.cable.wires[0] if run.cable else None)
    if size is None or run.calculated_a is None or "copper" not in again.texts["conductors"]:
        return None
    stranding = again.texts["build"]
    cmil = again.code.row("direct_current_resistance", size=size, stranding=stranding)["cmil"].number
    ways = 1 if _balanced(again) else 2
    return float(ways * again.figure("cold_copper") * run.calculated_a * run.length_ft / cmil)


def _volts_added(again: Again, key: str) -> float | None:
    """Volts of the feeder and of the circuit added, over the circuit's voltage."""
    own = again.numbers["drop_pct"]
    feeder_pct = again.numbers[key] - own
    if feeder_pct == 0:
        return None
    volts = next((run.volts for run in again.job.runs if run.feeds and run.feeds == again.part.fed_from), None)
    return None if volts is None else feeder_pct * volts / again.numbers["base_v"] + own


def _own_only(again: Again, key: str) -> float:
    return again.numbers["drop_pct"]


def _twice_as_long(again: Again, key: str) -> float | None:
    return None if _balanced(again) else again.numbers[key] * 2


def _for_breaker(again: Again, key: str) -> float:
    return again.numbers[key] / _ratio(again)


def _feet_as_thousands(again: Again, key: str) -> float:
    return float(again.part.length_ft) * 2 / 1000


SLIPS = (
    Slip("one_way", "drop_v", "direct_current_resistance", _one_way),
    Slip("there_and_back", "drop_v", "direct_current_resistance", _there_and_back),
    Slip("breaker_amperes", "drop_v", "", _breaker_amperes),
    Slip("three_phase", "drop_v", "", _three_phase),
    Slip("cold_copper", "drop_v", "table_temperature", _cold),
    Slip("length_twice", "length_kft", "", _feet_as_thousands),
    Slip("at_120", "drop_pct", "nominal_voltages", _at_120),
    Slip("at_240", "drop_pct", "nominal_voltages", _at_240),
    Slip("volts_added", "total_drop_pct", "drop_total", _volts_added),
    Slip("own_only", "total_drop_pct", "drop_total", _own_only),
    Slip("twice_as_long", "max_length_ft", "", _twice_as_long),
    Slip("length_for_breaker", "max_length_ft", "", _for_breaker),
)
