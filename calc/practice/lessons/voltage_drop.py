"""Voltage drop as a lesson: an invented run behind a feeder, and the slips that show in its lines."""

from __future__ import annotations

from random import Random
from typing import Any

from calc.job import place
from calc.practice.lesson import Again
from calc.practice.slips import Answer


def draw(random: Random, level: int) -> dict[str, Any]:
    """One run at level 1; above, a feeder and the branch circuit behind it, of another voltage or on two legs."""
    runs = [_feeder(random, level)]
    if level > 1:
        runs.append(_branch(random, level))
    return {
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


def cold_copper(again: Again, key: str) -> float | None:
    """By circular mils and a constant for copper that is cold."""
    run = again.part
    size = run.size or (run.cable.wires[0] if run.cable else None)
    if size is None or run.calculated_a is None or "copper" not in again.texts["conductors"]:
        return None
    stranding = again.texts["build"]
    cmil = again.code.row("direct_current_resistance", size=size, stranding=stranding)["cmil"].number
    ways = 1 if run.multiwire and run.neutral_a == 0 else 2
    return float(ways * again.figure("cold_copper") * run.calculated_a * run.length_ft / cmil)


def volts_added(again: Again, key: str) -> float | None:
    """Volts of the feeder and of the circuit added, over the circuit's voltage."""
    own = again.numbers["drop_pct"]
    feeder_pct = again.numbers[key] - own
    if feeder_pct == 0:
        return None
    volts = next((run.volts for run in again.job.runs if run.feeds and run.feeds == again.part.fed_from), None)
    return None if volts is None else feeder_pct * volts / again.numbers["base_v"] + own


def _conductor(again: Again) -> str:
    size = again.part.size or (again.part.cable.wires[0] if again.part.cable else None)
    if size is None:
        raise KeyError("no size")
    return str(size)


def other_build(again: Again, key: str) -> float | None:
    """By the other row of the size: solid for stranded, stranded for solid."""
    other = "solid" if again.texts["build"] == "stranded" else "stranded"
    return _resistance(again, "copper" if "copper" in again.texts["conductors"] else "aluminum", other)


def other_metal(again: Again, key: str) -> float | None:
    """By the column of the other metal."""
    return _resistance(again, "aluminum" if "copper" in again.texts["conductors"] else "copper", again.texts["build"])


def _resistance(again: Again, metal: str, build: str) -> float:
    row = again.code.row("direct_current_resistance", size=_conductor(again), stranding=build)
    return row[f"{metal}_ohm_per_kft"].number


def size_for_breaker(again: Again, key: str) -> Answer | None:
    """The size for the limit, with the amperes of the breaker."""
    return again.of_job(key, {place(again.part, "calculated_a"): again.part.breaker_a})


def size_one_way(again: Again, key: str) -> Answer | None:
    """The size for the limit, with half the length."""
    return again.of_job(key, {place(again.part, "length_ft"): again.part.length_ft / 2})
