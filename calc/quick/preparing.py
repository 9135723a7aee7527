"""What the entries of a question say together, settled in the data of its job before it is worked."""

from __future__ import annotations

from typing import Any

from calc.job import SIZES, parse_conductors
from calc.job.edit import with_changes

Data = dict[str, Any]


def device_wires(data: Data) -> Data:
    """Devices of a box that say no wire are on the largest conductor in it, which takes the most room."""
    (box,) = data["boxes"]
    held = [parse_conductors(text) for key in ("cables", "conductors") for text in box.get(key, ())]
    sizes = [size for one in held for size in one.wires]
    largest = max(sizes, key=SIZES.index, default="12")
    return with_changes(
        data,
        {"boxes[1].devices": [{"wire": largest, **device} for device in box["devices"]]} if "devices" in box else {},
    )


def circuit(data: Data) -> Data:
    """A continuous load is so in full, and terminals are alike at both ends."""
    (run,) = data["runs"]
    if run.get("continuous_a"):
        data = with_changes(data, {"runs[1].continuous_a": run.get("calculated_a", 0)})
    if "terminations_from_c" in run:
        data = with_changes(data, {"runs[1].terminations_to_c": run["terminations_from_c"]})
    return in_raceway(data)


def in_raceway(data: Data) -> Data:
    """Single conductors in a raceway have an insulation, and what lies in the ground or gets wet one that is made for it."""
    (run,) = data["runs"]
    cables = ("NM", "UF", "MC", "AC", "SER", "SEU")
    if run.get("wiring_method") not in cables and "cable" not in run and "insulation" not in run:
        data = with_changes(data, {"runs[1].insulation": "THWN-2"})
    return data


def wired(data: Data) -> Data:
    """Equipment whose wiring is said has a run of its own; else its sheet works out the usual cable."""
    (run,), (load,) = data["runs"], data["loads"]
    if run.keys() <= {"name", "role"}:
        return {key: value for key, value in data.items() if key != "runs"}
    method = run.get("cable") or run.get("wiring_method", "NM")
    said = {"name": f"{method} to {load['name'].lower()}", "feeds": load["name"], "volts": load["volts"]}
    if "cable" not in run:
        said |= {"material": run.get("material", "copper"), "wiring_method": method}
    if load.keys() & {"mca_a", "motor_a", "motor_hp"}:
        said["motor_or_hvac"] = True
    return circuit(with_changes(data, {f"runs[1].{key}": value for key, value in said.items()}))


def by_nameplate(data: Data) -> Data:
    """Equipment with a minimum circuit on its nameplate: taken in place of its current, which is on the safe side."""
    (load,) = data["loads"]
    current = load.get("mca_a") or load.get("motor_a")
    return wired(with_changes(data, {"loads[1].nameplate_a": current}))


def service_grounding(data: Data) -> Data:
    """Where no electrode is named, a water pipe, a concrete-encased electrode and rods.

    Conductors that are said need no load, so any stands there; for a rating alone they are those of a dwelling's service.
    """
    (run,) = data["runs"]
    changes: dict[str, Any] = {}
    if not data.get("grounding", {}).get("electrodes"):
        changes["grounding.electrodes"] = [{"kind": kind} for kind in ("water-pipe", "footing", "rod")]
    if "size" in run:
        changes["runs[1].calculated_a"] = 100
    else:
        changes |= {"dwelling.kind": "one-family", "runs[1].terminations_from_c": 75, "runs[1].terminations_to_c": 75}
    return with_changes(data, changes)


def use_of_room(data: Data) -> Data:
    """A counter is that of a kitchen, and a hall is one."""
    (room,) = data["rooms"]
    if "hall_length_ft" in room:
        return with_changes(data, {"rooms[1].use": "hall"})
    return with_changes(data, {"rooms[1].use": "kitchen"} if "counters" in room else {})
