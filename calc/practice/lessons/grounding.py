"""Grounding as a lesson: invented services with their electrodes, and the slips that show in their lines."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from random import Random
from typing import Any

from calc.practice.lesson import Again
from calc.work import constant

SERVICES = (
    (100, "aluminum", "1", 1), (125, "aluminum", "1/0", 1), (150, "aluminum", "2/0", 1), (200, "aluminum", "4/0", 1),
    (100, "copper", "3", 1), (125, "copper", "2", 1), (150, "copper", "1", 1), (200, "copper", "2/0", 1),
    (150, "copper", "1/0", 1), (175, "aluminum", "3/0", 1), (400, "aluminum", "4/0", 2), (400, "copper", "3/0", 2), (320, "aluminum", "250", 2),
)  # fmt: skip


def draw(random: Random, level: int) -> dict[str, Any]:
    """A service with one kind of electrode at level 1; above, several, and sets in parallel."""
    rating, material, size, sets = random.choice(SERVICES[:8] if level == 1 else SERVICES)
    kinds = [[_rods(random)], [_footing(random)]] if level == 1 else [
        [_rods(random)], [_footing(random)], [_footing(random), _rods(random)], [_water(random), _rods(random)],
        [_water(random), _footing(random)],
    ]  # fmt: skip
    electrodes = random.choice(kinds)
    service = {
        "name": "Service", "role": "service", "fed_from": "utility", "feeds": "Main", "volts": 240, "sets": sets,
        "calculated_a": round(rating * 0.7), "neutral_a": 40, "material": material, "size": size,
        "insulation": "XHHW-2", "wiring_method": "PVC-40", "terminations_from_c": 75, "terminations_to_c": 75,
    }  # fmt: skip
    metal_water = any(electrode["kind"] == "water-pipe" for electrode in electrodes)
    return {
        "job": {"name": "Grounding"},
        "dwelling": {"kind": "one-family"},
        "service": {"rating_a": rating, "main_a": rating},
        "grounding": {
            "water_piping": "metal" if metal_water or random.random() < 0.4 else "plastic", "gas_piping": "none",
            "intersystem_bonding": True, "electrodes": electrodes,
        },
        "panels": [{"name": "Main", "fed_from": "utility", "service_equipment": True}],
        "runs": [service],
    }  # fmt: skip


def _rods(random: Random) -> dict[str, Any]:
    return {"kind": "rod", "count": 2, "length_ft": 8, "spacing_ft": random.choice([6, 8, 10])}


def _footing(random: Random) -> dict[str, Any]:
    return {"kind": "footing", "length_ft": random.randint(20, 40), "seen_by": "footing inspection"}


def _water(random: Random) -> dict[str, Any]:
    return {"kind": "water-pipe", "length_ft": random.randint(10, 40)}


def circuit_table(again: Again, key: str) -> str | None:
    """The table of the conductor that runs with a circuit, by the rating of the main."""
    service = again.job.service
    if service is None or service.rating_a is None:
        return None
    rating = again.code.at_least("equipment_ground", constant("rating", service.rating_a, "A"))
    return again.code.row("equipment_ground", rating_a=rating).text("copper").text


def other_metal(again: Again, key: str) -> str | None:
    """By the columns of the other metal of the service."""
    metal = "copper" if "aluminum" in again.texts["ungrounded_conductors"] else "aluminum"
    area = constant("area", again.numbers["ungrounded_cmil"], "cmil")
    return again.code.row("electrode_conductor", **{f"{metal}_cmil": area}).text("copper").text


def row_above(again: Again, key: str) -> str | None:
    """The row after, as for a size beyond its own row."""
    rows, at = _row(again)
    return rows[at + 1]["copper"] if at + 1 < len(rows) else None


def row_below(again: Again, key: str) -> str | None:
    """The row before, for a size that is beyond it."""
    rows, at = _row(again)
    return rows[at - 1]["copper"] if at else None


def _row(again: Again) -> tuple[Sequence[Mapping[str, str]], int]:
    """The rows of the electrode table, and which of them is the conductor's."""
    metal = "aluminum" if "aluminum" in again.texts["ungrounded_conductors"] else "copper"
    rows = again.code.rows("electrode_conductor")
    limits = [float(row[f"{metal}_cmil_to"] or "inf") for row in rows]
    return rows, next(at for at, limit in enumerate(limits) if again.numbers["ungrounded_cmil"] <= limit)


def first_row(again: Again, key: str) -> str:
    """The first row of the electrode table, whatever the conductor."""
    return _row(again)[0][0]["copper"]
