"""Raceway fill as a lesson: invented raceways, and the slips that show in their lines."""

from __future__ import annotations

import math
from random import Random
from typing import Any

from calc.job import Raceway, place
from calc.practice.lesson import Again, Answer, Slip
from calc.work import constant

FAMILY = "raceway"
BESIDE = ()
SIZES = ("smallest_trade_size",)
CHECKS = ()
TOLD_TO: dict[str, str] = {}
OR_LARGER = ()
ROUND_DOWN = ()
KINDS = ("EMT", "PVC-40", "PVC-80", "RMC")
PAIRS = (("1", "8"), ("2", "8"), ("4", "8"), ("6", "10"), ("8", "10"), ("1/0", "6"), ("2/0", "6"))


def draw(random: Random, level: int) -> dict[str, Any]:
    """A feeder in a pipe at level 1; above, short pieces, two wires, bare grounds, unlike wires."""
    kinds = {1: (_feeder,), 2: (_feeder, _short, _two), 3: (_feeder, _short, _two, _mixed, _cable)}
    return {
        "code": {"edition": random.choice(("2023",) if level == 1 else ("2017", "2020", "2023"))},
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


def _schedule_40(again: Again, key: str) -> float | None:
    if not isinstance(again.part, Raceway) or again.part.kind != "PVC-80":
        return None
    size = key.partition("[")[2].rstrip("]")
    return again.code.row("raceway_inside", kind="PVC-40", trade_size=size)["area_in2"].number


def _schedule_40_size(again: Again, key: str) -> Answer | None:
    if not isinstance(again.part, Raceway) or again.part.kind != "PVC-80":
        return None
    return again.of_job(key, {place(again.part, "kind"): "PVC-40"})


def _wires_of_the_cable(again: Again, key: str) -> float | None:
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


def _grounds_not_counted(again: Again, key: str) -> float:
    return again.numbers[key] - _grounds(again)


def _ground_left_out(again: Again, key: str) -> float | None:
    """The fill without its grounds; they have a line of their own where no wire is like them."""
    if not _grounds(again):
        return None
    holds = again.part.holds
    wires = [f"{entry.count * len(entry.wires)} x {entry.size} {entry.kind}" for entry in holds if entry.wires]
    answer = again.of_job(key, {place(again.part, "holds"): wires})
    return answer if isinstance(answer, float) else None


def _share(again: Again, conductors: int) -> float:
    return again.code.row("raceway_fill", conductors=constant("conductors", conductors, ""))["fill_pct"].number


def _as_one(again: Again, key: str) -> float:
    return _share(again, 1)


def _as_two(again: Again, key: str) -> float | None:
    return None if again.numbers["conductors"] == 2 else _share(again, 2)


def _as_many(again: Again, key: str) -> float | None:
    """The share of three or more: for two wires, for one, or for a nipple."""
    return _share(again, 3)


def _as_nipple(again: Again, key: str) -> float | None:
    """The share of a nipple for a piece that is short, but not short enough."""
    length, most = again.numbers.get("length_in", 0), again.rule("nipple_length")
    return again.rule("nipple_fill") if most < length <= 1.5 * most else None


def _bare_as_insulated(again: Again, key: str) -> float | None:
    if "bare" not in key:
        return None
    size = key.partition("[")[2].partition(" ")[0]
    return again.code.row("insulated_conductor", insulation="THHN", size=size)["area_in2"].number


def _no_limit(again: Again, key: str) -> float:
    """The whole inside taken as room."""
    size = key.partition("[")[2]
    return again.numbers[f"inside_in2[{size}"]


def _of_limit(again: Again, key: str) -> float:
    """Percent of what may be filled instead of the whole inside."""
    return again.numbers[key] / again.numbers["limit_pct"] * 100


def _rounded_up(again: Again, key: str) -> float | None:
    """From 0.8 up to the next whole wire, though the wires are unlike."""
    area = again.numbers.get(f"area_in2[{key.partition('[')[2]}")
    if area is None or len([at for at in again.numbers if at.startswith("area_in2[")]) < 2:
        return None
    return float(math.floor(again.numbers["room_in2"] / area + 1 - again.rule("count_rounding")))


SLIPS = (
    Slip("schedule_40_area", "inside_in2", "raceway_inside", _schedule_40),
    Slip("schedule_40_size", "smallest_trade_size", "raceway_inside", _schedule_40_size),
    Slip("grounds_not_counted", "conductors", "raceway_fill", _grounds_not_counted),
    Slip("ground_left_out", "fill_in2", "raceway_fill", _ground_left_out),
    Slip("wires_of_the_cable", "fill_in2", "cable_as_conductor", _wires_of_the_cable),
    Slip("as_one_conductor", "limit_pct", "raceway_fill", _as_one),
    Slip("as_two_conductors", "limit_pct", "raceway_fill", _as_two),
    Slip("as_many_conductors", "limit_pct", "raceway_fill", _as_many),
    Slip("as_nipple", "limit_pct", "nipple_length", _as_nipple),
    Slip("bare_as_insulated", "area_in2", "bare_conductor", _bare_as_insulated),
    Slip("whole_inside", "limit_in2", "raceway_fill", _no_limit),
    Slip("percent_of_limit", "fill_pct", "raceway_fill", _of_limit),
    Slip("rounded_up", "more_that_fit", "count_rounding", _rounded_up),
)
