"""Box fill as a lesson: invented boxes, and the slips that show in their lines."""

from __future__ import annotations

from math import prod
from random import Random
from typing import Any

from calc.job import place
from calc.practice.lesson import Again
from calc.practice.slips import Answer

PLACES = ("Kitchen, left of the sink", "Hall, at the stair", "Bedroom, north wall", "Garage bench", "Den, at the door")
METAL = ("4 x 1-1/2 square", "4 x 2-1/8 square", "4-11/16 x 2-1/8 square")
DEVICES = ("receptacle", "switch", "dimmer", "three-way-switch")


def draw(random: Random, level: int) -> dict[str, Any]:
    """A box of a kind that suits the level: one size of wire, then mixed sizes, then loops, lights and dividers."""
    kinds = {1: (_plain,), 2: (_plain, _metal, _light), 3: (_metal, _light, _looped, _divided)}
    box = random.choice(kinds[level])(random)
    return {
        "job": {"name": "Box fill"},
        "boxes": [{"name": random.choice(PLACES), **box}],
    }


def _plain(random: Random) -> dict[str, Any]:
    """A plastic box with its volume stamped in it."""
    size, count = random.choice([12, 14]), random.randint(1, 3)
    gangs = random.choice([1, 1, 2])
    return {
        "marked_in3": random.choice([18, 20.3, 22.5]) if gangs == 1 else random.choice([32, 34, 36]),
        "gangs": gangs, "material": "nonmetallic", "cables": [f"{count} x {size}/2 with ground", f"{size}/3 with ground"],
        "devices": [{"kind": kind, "wire": size} for kind in random.sample(DEVICES, gangs)],
    }  # fmt: skip


def _metal(random: Random) -> dict[str, Any]:
    """A metal box of the table with clamps and wires of two sizes."""
    large, small = random.choice([(10, 12), (12, 14), (10, 14)])
    return {
        "box": random.choice(METAL), "material": "metal", "internal_clamps": "clamps",
        "cables": [f"{random.randint(1, 3)} x {large}/2 with ground", f"{random.randint(1, 4)} x {small}/2 with ground"],
        "devices": [
            {"kind": random.choice(DEVICES), "wire": size, "gangs": 1} for size in random.choice([[], [small], [large, small]])
        ],
    }  # fmt: skip


def _light(random: Random) -> dict[str, Any]:
    """An octagon box behind a luminaire."""
    return {
        "box": random.choice(["4 x 1-1/2 octagon", "4 x 2-1/8 octagon"]), "material": "metal",
        "cables": [f"{random.randint(1, 3)} x {random.choice([14, 14, 12])}/2 with ground"], "supports": "luminaire", "mounted": "wall", "canopy": True,
        "fixture_wires": [f"{random.choice([1, 2, 5])} x 18 + 18 ground"],
        **random.choice([{"internal_clamps": "clamps"}, {"fittings": ["stud"]}, {"internal_clamps": "clamps", "fittings": ["stud"]}]),
    }  # fmt: skip


def _looped(random: Random) -> dict[str, Any]:
    """A box in a raceway: wires that end, pass through and loop."""
    size = random.choice([10, 12])
    return {
        "box": random.choice(METAL), "material": "metal", "ring_in3": random.choice([3.5, 4.5, 6.0]),
        "conductors": [f"{random.randint(2, 4)} x {size} THHN + {size} ground"],
        "through": [f"{random.randint(1, 4)} x {size} THHN"], "looped": [f"{random.randint(1, 3)} x {size} THHN"],
        "devices": [{"kind": "receptacle", "wire": size}],
    }  # fmt: skip


def _divided(random: Random) -> dict[str, Any]:
    """Power and signals side by side, with a divider."""
    size = random.choice([12, 14])
    power = {"name": "power", "cables": [f"{random.randint(1, 2)} x {size}/2 with ground"],
             "devices": [{"kind": "receptacle", "wire": size}]}  # fmt: skip
    return {
        "marked_in3": random.choice([32, 34, 36, 40]), "gangs": 2, "material": "nonmetallic",
        "barriers": [{"material": random.choice(["metal", "nonmetallic"])}],
        "compartments": [{"name": "signals", "low_voltage": True}, power],
    }  # fmt: skip


def canopy_counted(again: Again, key: str) -> Answer | None:
    """The thin wires as if no canopy were there."""
    return again.of_job("fixture_wires_in3[18 AWG]", {place(again.part, "canopy"): False})


def outside_size(again: Again, key: str) -> float | None:
    """Width times height times depth, as measured outside, for boxes with corners."""
    said = again.part.box
    if said is None or "octagon" in said:
        return None
    sides = [_inches(text.strip()) for text in said.rpartition(" ")[0].split("x")]
    return prod([sides[0], *sides] if len(sides) == 2 else sides)


def _inches(text: str) -> float:
    whole, _, part = text.partition("-")
    top, _, bottom = part.partition("/")
    return float(whole) + (float(top) / float(bottom) if part else 0)
