"""Available fault current as a lesson: an invented transformer and what lies behind it, and the slips in its lines."""

from __future__ import annotations

from random import Random
from typing import Any

from calc.practice.lesson import Again, Answer, Slip

FAMILY = "fault-current"
BESIDE = ()
SIZES = ()
CHECKS = ()
TOLD_TO: dict[str, str] = {}
OR_LARGER = ()
ROUND_DOWN = ()


def draw(random: Random, level: int) -> dict[str, Any]:
    """The transformer alone at level 1; above, often a service; at level 3 a feeder behind it."""
    runs = [_service(random), _feeder(random)][: random.choice({1: [0], 2: [0, 1, 1], 3: [1, 2, 2]}[level])]
    job: dict[str, Any] = {
        "code": {
            "edition": "2023" if level == 1 else random.choice(("2020", "2023")),
            "readings": {"transformer_impedance": "as-marked"},  # as handbooks and examinations have it
        },
        "job": {"name": "Fault current"},
        "service": {"system": "120/240"},
        "fault": {
            "transformer_kva": random.choice([15, 25, 37.5, 50, 75]),
            "impedance_pct": random.randrange(130, 260, 5) / 100,
        },
    }
    if runs:
        panels = [{"name": "Meter-main", "interrupting_a": random.choice([10000, 22000])}, {"name": "House"}]
        job |= {"panels": panels, "runs": runs}
    return job


def _service(random: Random) -> dict[str, Any]:
    size, neutral = random.choice([("2/0", "1"), ("4/0", "2/0"), ("250", "3/0")])
    return {
        "name": "Service", "role": "service", "fed_from": "utility", "feeds": "Meter-main", "volts": 240,
        "calculated_a": 120, "length_ft": random.randrange(15, 90, 5), "size": size, "material": "aluminum",
        "insulation": "XHHW-2", "wiring_method": "PVC-40", "neutral_size": neutral,
    }  # fmt: skip


def _feeder(random: Random) -> dict[str, Any]:
    return {
        "name": "Feeder", "role": "feeder", "fed_from": "Meter-main", "feeds": "House", "volts": 240, "calculated_a": 60,
        "length_ft": random.randrange(20, 140, 5), "size": random.choice(["6", "4", "3", "2"]), "material": "copper",
        "insulation": "THWN-2", "wiring_method": random.choice(["PVC-40", "EMT"]),
    }  # fmt: skip


def _at_120(again: Again, key: str) -> float:
    return again.numbers[key] * again.numbers["line_to_line_v"] / again.numbers["line_to_neutral_v"]


def _first(again: Again) -> bool:
    return "full_load_a" in again.numbers


def _available_at_120(again: Again, key: str) -> float | None:
    return _at_120(again, key) if _first(again) else None


def _percent_as_number(again: Again, key: str) -> float | None:
    return again.numbers[key] / 100 if _first(again) else None


def _as_line_to_line(again: Again, key: str) -> float | None:
    return again.numbers["available_ll_a"] if _first(again) else None


def _halved(again: Again, key: str) -> float | None:
    return again.numbers["available_ll_a"] / 2 if _first(again) else None


def _smaller(again: Again, key: str) -> float:
    return min(again.numbers["available_ll_a"], again.numbers["available_ln_a"])


def _warm(again: Again, key: str) -> float:
    return again.numbers[key.replace("resistance_ohm", "table_ohm")]


def _without_reactance(again: Again, key: str) -> float:
    return again.numbers[key.replace("impedance", "resistance")]


def _added(again: Again, key: str) -> float:
    return again.numbers[key.replace("impedance", "resistance")] + again.numbers[key.replace("impedance", "reactance")]


def _one_way(again: Again, key: str) -> float | None:
    line = next((number for at, number in again.numbers.items() if at.startswith("impedance_ohm_per_kft")), None)
    return None if line is None else line * again.numbers["length_kft"]


def _other_voltage(again: Again, key: str) -> float:
    ratio = again.numbers["line_to_line_v"] / again.numbers["line_to_neutral_v"]
    return again.numbers[key] * (ratio if key.endswith("[line to line]") else 1 / ratio)


def _without_one(again: Again, key: str) -> float:
    return 1 / again.numbers[key.replace("multiplier", "run_factor")]


def _nothing_lost(again: Again, key: str) -> float | None:
    """The current ahead of the run, unchanged."""
    factor = again.numbers.get("multiplier[line to line]")
    return None if factor is None else again.numbers[key] / factor


def _next_rating(again: Again, key: str) -> Answer | None:
    """A rating for the line to line current only."""
    return again.replaced(key, {"largest_fault_a": again.numbers["available_ll_a"]})


SLIPS = (
    Slip("full_load_at_120", "full_load_a", "nominal_voltages", _at_120),
    Slip("available_at_120", "available_ll_a", "nominal_voltages", _available_at_120),
    Slip("percent_as_number", "available_ll_a", "", _percent_as_number),
    Slip("nothing_lost", "available_ll_a", "", _nothing_lost),
    Slip("as_line_to_line", "available_ln_a", "centre_tap_factor", _as_line_to_line),
    Slip("half_to_neutral", "available_ln_a", "centre_tap_factor", _halved),
    Slip("smaller_of_two", "largest_fault_a", "interrupting_rating", _smaller),
    Slip("rated_for_line_to_line", "rating_sold_a", "interrupting_rating", _next_rating),
    Slip("warm_conductor", "resistance_ohm_per_kft", "fault_temperature", _warm),
    Slip("without_reactance", "impedance_ohm_per_kft", "conduit_impedance", _without_reactance),
    Slip("added_plainly", "impedance_ohm_per_kft", "conduit_impedance", _added),
    Slip("one_way", "loop_ohm", "", _one_way),
    Slip("other_voltage", "run_factor", "nominal_voltages", _other_voltage),
    Slip("without_one", "multiplier", "", _without_one),
)
