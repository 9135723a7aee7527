"""What a mend may never do: leave something uncounted, or put a breaker above what stands behind it.

A mend is an edit of the job. It may touch only what an electrician can change on site, listed here by table; loads,
contents of boxes, rooms as they are built, and everything that the job states as a fact stay as they are.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

from calc.job import SIZES, Conductors, Job
from calc.job.fields import Part
from calc.remedies.survey import Survey
from calc.remedies.ways import Kind

MAY_TOUCH: dict[str, frozenset[str]] = {
    "loads": frozenset({"circuit", "panel", "disconnect_in_sight", "receptacle_at", "cord_in", "connected_by"}),
    "runs": frozenset({"cable", "size", "neutral_size", "ground_size", "sets", "material", "insulation", "wiring_method",
                       "raceway_trade_size", "breaker_a", "cables_bundled", "burial_in", "equipment_ground"}),
    "circuits": frozenset({"panel", "positions", "breaker_a", "breaker_type", "first_outlet", "common_disconnect",
                           "neutral_pigtailed", "cable", "other_cables", "outlets", "rooms", "receptacle_a", "tandem",
                           "single_receptacle", "multiwire_with"}),
    "boxes": frozenset({"box", "gangs", "marked_in3", "ring_in3", "extension_in3", "fan_rated", "neutral_at_switch",
                        "cables", "length_in", "width_in", "material"}),
    "rooms": frozenset({"outlets", "counters", "light", "switch_at_entry", "light_at_equipment", "openings"}),
    "stairs": frozenset({"light", "landings"}),
    "panels": frozenset({"neutral_bonded", "surge_protection", "interrupting_a", "location", "working_depth_in", "working_width_in",
                         "working_height_in", "spaces", "bus_a", "main_a"}),
    "buildings": frozenset({"disconnect", "disconnect_a", "electrodes"}),
    "raceways": frozenset({"trade_size"}),
    "grounding": frozenset({"electrodes", "water_bond", "gas_bond", "intersystem_bonding", "main_bonding_jumper",
                            "supply_side_bonding_jumper", "sleeve_bonded"}),
    "service": frozenset({"rating_a", "main_a", "meter_a", "emergency_disconnect", "emergency_disconnect_marked",
                          "disconnect_outdoors", "disconnect_in_sight", "surge_protection", "work", "load_method"}),
}  # fmt: skip
MAY_GROW: dict[str, frozenset[str]] = {
    "runs": frozenset({"calculated_a"}),
    "dwelling": frozenset({"small_appliance_circuits", "laundry_circuits"}),
}
"""What is stated of the load may be stated higher, never lower: more is then sized and counted for."""
MAY_ADD = frozenset({"circuits", "load_management"})
RATED_LOWER = frozenset({"load_va", "setting_a", "setting_locked"})  # of new loads, by a mend of kind LOAD only
PARTS_INSIDE = {"outlets": frozenset({"at_ft", "wall", "height_in", "from_wall_in", "at_in", "above_in", "below_in",
                                      "in_counter", "end_wall", "circuit", "switched", "in_cabinet", "ground_fault",
                                      "tamper_resistant", "arc_fault", "weather_resistant", "load_side", "distance_ft"}),
                "counters": frozenset({"outlets", "provision"}),
                "openings": frozenset({"outdoor_light"}),
                "landings": frozenset({"switch"}),
                "electrodes": frozenset({"used", "count", "length_ft", "spacing_ft", "conductor", "protected"})}  # fmt: skip


def refusal(old: Job, new: Job, kind: Kind) -> str:
    """Why a change is no mend; '' where nothing speaks against it."""
    for table in type(old).model_fields:
        before, after = getattr(old, table), getattr(new, table)
        if isinstance(before, tuple):
            if why := _rows(table, before, after, kind):
                return why
        elif before != after and (why := _part(table, before, after, MAY_TOUCH.get(table, frozenset()), kind)):
            return why
    for field in ("outlets", "rooms"):
        if _missing(old, new, field):
            return f"{field} of circuits are left out"
    return ""


def breakers_grown(old: Job, new: Job) -> list[str]:
    """Names of runs, circuits and panels whose breaker or main is larger than it was, or stated where it was worked out."""
    rated = [
        (before.name, before.breaker_a, after.breaker_a) for before, after in zip(old.runs, new.runs, strict=False)
    ]
    circuits = zip(old.circuits, new.circuits, strict=False)
    rated += [(before.name, before.breaker_a, after.breaker_a) for before, after in circuits]
    panels = zip(old.panels, new.panels, strict=False)
    rated += [(before.name, before.main_a, after.main_a) for before, after in panels]
    return [name for name, before, after in rated if after is not None and (before is None or after > before)]


APART = frozenset(
    {
        "arc_fault_provided",
        "ground_fault_provided",
        "near_water_protected",
        "tamper_resistant_provided",
        "surge_protected",
    }
)
"""Checks of a circuit or panel that its breaker's rating has no part in."""


def breaker_stands(found: Survey, name: str) -> bool:
    """Whether the sheets of a run, circuit or panel, and of what hangs on it, are all worked and pass; protection of people apart.

    A bus that nobody read is not known to stand behind a larger breaker.
    """
    fed = {name, *(run.feeds for run in found.job.runs if run.name == name and run.feeds)}
    fed |= {run.name for run in found.job.runs if run.feeds in fed}
    about = [
        s
        for family in ("feeder", "branch-circuits", "panels")
        for s in found.sheets.get(family, [])
        if s.subject in fed
    ]
    short = [check.key for s in about for check in s.checks if not check.holds.holds]
    if any(unknown.key == "bus_protected" for s in about for unknown in s.unknowns):
        return False
    return bool(about) and not any(s.refused for s in about) and set(short) <= APART


def _rows(table: str, before: Sequence[Any], after: Sequence[Any], kind: Kind) -> str:
    if len(after) < len(before) or (len(after) > len(before) and table not in MAY_ADD):
        return f"{table} are left out or made up"
    for one, other in zip(before, after, strict=False):
        allowed = MAY_TOUCH.get(table, frozenset())
        if table == "loads" and kind is Kind.LOAD and one.status == "new":
            allowed |= RATED_LOWER
        if one != other and (why := _part(table, one, other, allowed, kind)):
            return why
    return ""


def _part(what: str, before: Part | None, after: Part | None, allowed: frozenset[str], kind: Kind) -> str:
    if before is None or after is None or type(before) is not type(after):
        return f"{what} is left out or made up"
    for field in type(before).model_fields:
        one, other = getattr(before, field), getattr(after, field)
        if one == other:
            continue
        if field in MAY_GROW.get(what, ()):
            if one is None or other is None or other < one:
                return f"{field} of {what} would be less"
        elif field not in allowed:
            return f"{field} of {what} is a fact of the job"
        if field in RATED_LOWER and isinstance(one, float) and not other <= one:
            return f"{field} would grow"
        if field in ("cables", "other_cables") and not _no_less(one, other):
            return f"{field} would count for less"
        if field in PARTS_INSIDE and (why := _inside(field, one, other, kind)):
            return why
    return ""


def _inside(field: str, before: Sequence[Any], after: Sequence[Any], kind: Kind) -> str:
    """Parts inside a part: each stays, with what may change of it; outlets of rooms and electrodes may be added."""
    if before and isinstance(before[0], str):
        return ""  # outlets that a circuit lists by kind: they may move, and are counted over all circuits
    if len(after) < len(before):
        return f"{field} are left out"
    changed = ((one, other) for one, other in zip(before, after, strict=False) if one != other)
    return next((why for one, other in changed if (why := _part(field, one, other, PARTS_INSIDE[field], kind))), "")


def _no_less(before: Sequence[Conductors], after: Sequence[Conductors]) -> bool:
    """As many cables, none of them smaller or of fewer wires."""
    old, new = ([one for one in cables for _ in range(one.count)] for cables in (before, after))
    return len(old) == len(new) and all(
        len(other.wires) >= len(one.wires) and len(other.ground) >= len(one.ground)
        and SIZES.index(other.size) >= SIZES.index(one.size)
        for one, other in zip(old, new, strict=True)
    )  # fmt: skip


def _missing(old: Job, new: Job, field: str) -> Counter[str]:
    """What circuits listed before and list no more, over all of them: what leaves one has to come to another."""

    def listed(job: Job) -> Counter[str]:
        return Counter(
            item for circuit in job.circuits if circuit.status != "removed" for item in getattr(circuit, field)
        )

    return listed(old) - listed(new)
