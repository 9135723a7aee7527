"""Heating against cooling: loads that don't run together, each blower on the side that it runs with."""

from __future__ import annotations

from collections.abc import Sequence

from calc.codebook import Codebook
from calc.families.reading import Counted, read
from calc.work import Sheet, Value, larger, total


def is_climate(code: Codebook, loads: Sequence[Counted]) -> set[str]:
    """Names of the loads that heat, cool or run with one that does."""
    kinds = code.members("heating_kinds") | code.members("cooling_kinds") | code.members("heating_and_cooling_kinds")
    direct = {c.load.name for c in loads if c.load.kind in kinds}
    return direct | {c.load.name for c in loads if c.load.runs_with and set(c.load.runs_with) & direct}


def sides(code: Codebook, loads: Sequence[Counted]) -> tuple[list[Counted], list[Counted]]:
    """The climate loads that may run while heating, and those that may run while cooling."""
    both = code.members("heating_and_cooling_kinds")
    on = {"heating": code.members("heating_kinds") | both, "cooling": code.members("cooling_kinds") | both}
    every = on["heating"] | on["cooling"]
    climate = [c for c in loads if c.load.name in is_climate(code, loads)]
    result = {}
    for side, kinds in on.items():
        names = {c.load.name for c in climate if c.load.kind in kinds}
        with_them = {c.load.name for c in climate if c.load.kind not in every and set(c.load.runs_with) & names}
        result[side] = [c for c in climate if c.load.name in names | with_them]
    return result["heating"], result["cooling"]


def climate(s: Sheet, code: Codebook, loads: Sequence[Counted]) -> tuple[Value | None, list[Counted]]:
    """Heating or cooling load in VA, whichever is larger, and the loads in it."""
    heating, cooling = sides(code, loads)
    if not heating and not cooling:
        return None, []
    options: dict[str, Value] = {}
    if heating:
        options["heating"] = s.line("heating_va", _together(heating), by=[code.cite("space_heat")])
    if cooling:
        options["cooling"] = s.line("cooling_va", _together(cooling))
    compared = dict(options)
    if len(options) == 2 and code.method("noncoincident") == "motor with its quarter":
        motors = [motor_va(c) for c in cooling if c.load.kind in code.members("motor_kinds") and c not in heating]
        quarter = s.line("cooling_motor_quarter_va", larger(*motors) * code["largest_motor"]) if motors else None
        if quarter is not None:
            compared["cooling"] = s.line(
                "cooling_compared_va", options["cooling"] + quarter, by=[code.cite("noncoincident")]
            )
    if len(options) == 1:
        side = next(iter(options))
    else:
        side = s.which("climate_side", compared, by=[code.cite("noncoincident")])
    counted = heating if side == "heating" else cooling
    return s.line("climate_va", options[side], by=[code.cite("noncoincident")]), counted


def _together(side: Sequence[Counted]) -> Value:
    """The loads of a side; of those that a control holds apart, the larger."""
    names = {c.load.name for c in side}
    held = [c for c in side if set(c.load.locked_out_by) & names]
    if not held:
        return total(c.va for c in side)
    holders = {name for c in held for name in c.load.locked_out_by}
    parts = [c.va for c in side if c not in held and c.load.name not in holders]
    holding = total(c.va for c in side if c.load.name in holders)
    return total([*parts, larger(holding, total(c.va for c in held))])


def motor_va(c: Counted) -> Value:
    """VA of the one motor that counts: its rated-load amperes where stated, else the whole load."""
    if c.load.motor_a is None:
        return c.each
    return read(c.load, "motor_a", f"rated-load amperes of {c.load.name}") * read(
        c.load, "volts", f"volts of {c.load.name}"
    )
