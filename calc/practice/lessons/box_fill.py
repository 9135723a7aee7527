"""Box fill as a lesson: invented boxes, and the slips that show in their lines."""

from __future__ import annotations

from math import prod
from random import Random
from typing import Any

from calc.job import place
from calc.practice.lesson import Again, Answer, Slip

FAMILY = "box-fill"
BESIDE = ("smallest_box",)
SIZES = ()
CHECKS = ()
TOLD_TO: dict[str, str] = {}
OR_LARGER = ()
ROUND_DOWN = ()
PLACES = ("Kitchen, left of the sink", "Hall, at the stair", "Bedroom, north wall", "Garage bench", "Den, at the door")
METAL = ("4 x 1-1/2 square", "4 x 2-1/8 square", "4-11/16 x 2-1/8 square")
DEVICES = ("receptacle", "switch", "dimmer", "three-way-switch")


def draw(random: Random, level: int) -> dict[str, Any]:
    """A box of a kind that suits the level: one size of wire, then mixed sizes, then loops, lights and dividers."""
    kinds = {1: (_plain,), 2: (_plain, _metal, _light), 3: (_metal, _light, _looped, _divided)}
    editions = ("2023",) if level == 1 else ("2017", "2020", "2023")
    box = random.choice(kinds[level])(random)
    return {
        "code": {"edition": random.choice(editions)},
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
        "cables": [f"{random.randint(1, 3)} x 14/2 with ground"], "supports": "luminaire", "mounted": "wall", "canopy": True,
        "fixture_wires": [f"{random.randint(1, 2)} x 18 + 18 ground"],
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


def _times(factor: float) -> Any:
    """The line's own number times a factor."""
    return lambda again, at: again.numbers[at] * factor


def _every_ground(again: Again, key: str) -> float:
    return again.numbers["grounds"] * _one_allowance(again, key)


def _one_allowance(again: Again, key: str) -> float:
    answer = again.replaced(key, {"grounds": 1})
    assert isinstance(answer, float)
    return answer


def _quarter_on_smaller(again: Again, key: str) -> float:
    one = _one_allowance(again, key)
    return one + (again.numbers[key] - one) * min(_allowances(again)) / one


def _allowances(again: Again) -> list[float]:
    return [number for key, number in again.numbers.items() if key.startswith("allowance_in3_per_conductor[")]


def _clamps_forgotten(again: Again, key: str) -> float | None:
    clamps = again.numbers.get("clamps_in3")
    return None if clamps is None else again.numbers[key] - clamps


def _canopy_counted(again: Again, key: str) -> Answer | None:
    return again.of_job("fixture_wires_in3[18 AWG]", {place(again.part, "canopy"): False})


def _each_clamp(again: Again, key: str) -> float:
    return again.numbers[key] * float(sum(entry.count for entry in again.part.cables))


def _yoke_at_largest(again: Again, key: str) -> float:
    own = again.numbers[f"allowance_in3_per_conductor[{key.partition(' on ')[2]}"]
    return again.numbers[key] * max(_allowances(again)) / own


def _outside_size(again: Again, key: str) -> float | None:
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


def _divider_ignored(again: Again, key: str) -> float | None:
    return again.numbers.get("whole_in3")


def _divider_takes_nothing(again: Again, key: str) -> Answer | None:
    return again.replaced(key, {"barriers_in3": 0}) if "barriers_in3" in again.numbers else None


def _grounds_as_wires(again: Again, key: str) -> float | None:
    """The ground of each cable counted among its conductors."""
    size = key.partition("[")[2]
    sizes = [at for at in again.numbers if at.startswith("conductors_in3[")]
    if len(sizes) != 1:
        return None
    return again.numbers[key] + again.numbers["grounds"] * again.numbers[f"allowance_in3_per_conductor[{size}"]


SLIPS = (
    Slip("yoke_once", "device_in3", "box_device", _times(0.5)),
    Slip("yoke_at_largest", "device_in3", "box_device", _yoke_at_largest),
    Slip("every_ground", "grounds_in3", "box_grounds", _every_ground),
    Slip("one_for_all_grounds", "grounds_in3", "box_grounds", _one_allowance),
    Slip("quarter_on_smaller", "grounds_in3", "box_grounds", _quarter_on_smaller),
    Slip("grounds_as_wires", "conductors_in3", "box_grounds", _grounds_as_wires),
    Slip("clamps_forgotten", "required_in3", "box_clamps", _clamps_forgotten),
    Slip("each_clamp", "clamps_in3", "box_clamps", _each_clamp),
    Slip("canopy_counted", "canopy_wires_in3", "box_canopy", _canopy_counted),
    Slip("loop_once", "looped_in3", "box_loop", _times(0.5)),
    Slip("outside_size", "box_in3", "box_volumes", _outside_size),
    Slip("divider_ignored", "provided_in3", "box_marked", _divider_ignored),
    Slip("divider_takes_nothing", "provided_in3", "box_marked", _divider_takes_nothing),
)
