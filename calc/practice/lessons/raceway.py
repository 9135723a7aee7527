"""Raceway fill as a lesson: invented raceways, and the slips that show in their lines."""

from __future__ import annotations

from random import Random
from typing import Any

from calc.job import Raceway, place
from calc.practice.lesson import Again

KINDS = ("EMT", "PVC-40", "PVC-80", "RMC")
PAIRS = (("1", "8"), ("2", "8"), ("4", "8"), ("6", "10"), ("8", "10"), ("1/0", "6"), ("2/0", "6"))


def draw(random: Random, level: int) -> dict[str, Any]:
    """A feeder in a pipe at level 1; above, short pieces, two wires, bare grounds, unlike wires."""
    kinds = {1: (_feeder,), 2: (_feeder, _short, _two), 3: (_feeder, _short, _two, _mixed, _cable)}
    return {
        "job": {"name": "Raceway"},
        "raceways": [{"name": "Raceway", "kind": random.choice(KINDS), **random.choice(kinds[level])(random, level)}],
    }


def _feeder(random: Random, level: int) -> dict[str, Any]:
    size, ground = random.choice(PAIRS)
    kind = random.choice(["THHN", "THWN-2"])
    bare = level > 1 and random.random() < 0.4
    last = f"{ground} bare" if bare else f"{ground} ground"
    return {"length_ft": random.randint(8, 120), "holds": [f"{random.randint(3, 4)} x {size} {kind}", f"1 x {last}"]
            if bare else [f"{random.randint(3, 4)} x {size} {kind} + {last}"]}  # fmt: skip


def _short(random: Random, level: int) -> dict[str, Any]:
    """A piece about as long as a nipple, or a little longer."""
    size, ground = random.choice(PAIRS)
    length = random.choice([1, 1.5, 2, 2.5, 3])
    return {"length_ft": length, "holds": [f"{random.randint(3, 6)} x {size} THHN + {ground} ground"]}


def _two(random: Random, level: int) -> dict[str, Any]:
    """Two wires, or one, alone in the raceway."""
    size = random.choice(["6", "4", "2", "1/0"])
    return {"length_ft": random.randint(8, 60), "holds": [f"{random.choice([1, 2, 2])} x {size} THHN"]}


def _mixed(random: Random, level: int) -> dict[str, Any]:
    large, small = random.choice([("6", "12"), ("8", "12"), ("10", "12"), ("4", "10")])
    holds = [f"{random.randint(2, 4)} x {large} THHN + {large} ground", f"{random.randint(2, 6)} x {small} THHN"]
    return {"length_ft": random.randint(8, 60), "holds": holds}


def _cable(random: Random, level: int) -> dict[str, Any]:
    """A cable in a pipe, which counts by its larger outside diameter."""
    cable, wide = random.choice([("6/3 NM with ground", 0.72), ("8/3 NM with ground", 0.66), ("10/3 NM with ground", 0.52),
                                 ("12/2 NM with ground", 0.42)])  # fmt: skip
    return {"length_ft": random.randint(8, 40), "holds": [f"1 x {cable}"], "cable_width_in": wide}


def wires_of_the_cable(again: Again, key: str) -> float | None:
    """The areas of a cable's wires, added."""
    if not isinstance(again.part, Raceway) or again.part.cable_width_in is None:
        return None
    (cable,) = again.part.holds
    wires = [(size, "insulated_conductor", {"insulation": "THHN"}) for size in cable.wires]
    return sum(again.code.row(table, size=size, **by)["area_in2"].number for size, table, by in wires)


def _grounds(again: Again) -> int:
    if not isinstance(again.part, Raceway) or again.part.cable_width_in is not None:  # a run's conductors, or a cable
        return 0
    return sum(len([*entry.ground, *entry.bare]) * entry.count for entry in again.part.holds)


def ground_left_out(again: Again, key: str) -> float | None:
    """The fill without its grounds; they have a line of their own where no wire is like them."""
    if not _grounds(again):
        return None
    holds = again.part.holds
    wires = [f"{entry.count * len(entry.wires)} x {entry.size} {entry.kind}" for entry in holds if entry.wires]
    answer = again.of_job(key, {place(again.part, "holds"): wires})
    return answer if isinstance(answer, float) else None


def diameter_squared(again: Again, key: str) -> float | None:
    """The square of the diameter in place of the area of the circle."""
    line = next(line for line in again.sheet.lines if line.key == key)
    if line.lookup is None or line.lookup.table != "insulated_conductors":
        return None
    by = dict(line.lookup.row)
    row = again.code.row("insulated_conductor", insulation=by["insulation"], size=by["size"])
    return round(row["diameter_in"].number ** 2, 5)
