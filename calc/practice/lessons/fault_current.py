"""Available fault current as a lesson: an invented transformer and what lies behind it, and the slips in its lines."""

from __future__ import annotations

from random import Random
from typing import Any

from calc.practice.lesson import Again
from calc.practice.slips import Answer


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


def rating_below(again: Again, key: str) -> Answer | None:
    """The largest rating sold that is below the current, where it is not far below."""
    current = again.numbers["largest_fault_a"]
    sold = [float(row["rating_a"]) for row in again.code.rows("interrupting_ratings")]
    near = [rating for rating in sold if 0.75 * current <= rating < current]
    return max(near, default=None)
