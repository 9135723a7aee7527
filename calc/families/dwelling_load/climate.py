"""Heating against cooling: loads that don't run together, each blower on the side that it runs with."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from calc.codebook import Codebook
from calc.families.reading import Counted, read
from calc.work import Citation, Sheet, Value, larger, over, total


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
        # what burns fuel draws power for its blower, which may move the air of the cooling as well
        follow = [c for c in climate if c.load.kind not in every or c.load.fuel_burning]
        with_them = {c.load.name for c in follow if set(c.load.runs_with) & names}
        result[side] = [c for c in climate if c.load.name in names | with_them]
    return result["heating"], result["cooling"]


Share = Callable[[Counted], Value]
"""What a method takes of a load, VA."""


def in_full(c: Counted) -> Value:
    """All of it."""
    return c.va


class Season(NamedTuple):
    """The load of the season that counts, what runs in it, and the motors without which it wouldn't count."""

    load: Value | None
    running: list[Counted]
    raised: list[Counted]


def climate(
    s: Sheet, code: Codebook, loads: Sequence[Counted], by: Sequence[Citation], share: Share = in_full,
    motor_quarter: bool = False,
) -> Season:  # fmt: skip
    """Heating or cooling load in VA, whichever is larger by the method's ``share`` of each load, and the loads in it.

    ``motor_quarter``: cooling is compared with the quarter of its motor, in editions that ask for it.
    """
    by_side = dict(zip(("heating", "cooling"), sides(code, loads), strict=True))
    together = {side: _together(s, side, found, share) for side, found in by_side.items() if found}
    if not together:
        return Season(None, [], [])
    options = {side: s.line(f"{side}_va", total(map(share, found)), by=by) for side, found in together.items()}
    side, raised = next(iter(options)), []
    if len(options) == 2:
        side = s.which("climate_side", options, by=by)
        motors = [c for c in together["cooling"] if c.load.kind in code.members("motor_kinds")]
        raised = [c for c in motors if c not in together["heating"]]
        if motor_quarter and code.method("noncoincident") == "motor with its quarter" and side == "heating" and raised:
            side = _with_quarter(s, code, options, raised)
        else:
            raised = []
    return Season(s.line("climate_va", options[side], by=by), together[side], raised if side == "cooling" else [])


def _with_quarter(s: Sheet, code: Codebook, options: Mapping[str, Value], motors: Sequence[Counted]) -> str:
    """The larger season where cooling, the smaller by its load alone, is compared with a quarter of its motor."""
    by = [code.cite("noncoincident")]
    quarter = s.line("cooling_motor_quarter_va", larger(*map(motor_va, motors)) * code["largest_motor"])
    cooling = s.line("cooling_compared_va", options["cooling"] + quarter, by=by)
    return s.which("climate_side_with_motor", {"heating": options["heating"], "cooling": cooling}, by=by)


def more_on_neutral(s: Sheet, code: Codebook, loads: Sequence[Counted], running: Sequence[Counted]) -> list[Value]:
    """What loads that don't count would put on the neutral beyond those that do, VA; nothing where they don't."""
    counted = [c for c in running if c.line_to_neutral]
    sets = [[c for c in found if c.line_to_neutral] for side in sides(code, loads) for found in _compatible(side)]
    beyond = {tuple(c.load.name for c in found): found for found in sets if any(c not in counted for c in found)}
    if not beyond:
        return []
    most = larger(*(total(c.va for c in found) for found in beyond.values()))
    more = over(most, total(c.va for c in counted)) if counted else most
    return [s.line("other_season_neutral_va", more, by=[code.cite("neutral_basis")])]


def _together(s: Sheet, side: str, loads: list[Counted], share: Share) -> list[Counted]:
    """The loads of a side that run together: where a control holds some apart, the largest that can."""
    options = {", ".join(c.load.name for c in found): found for found in _compatible(loads)}
    if len(options) == 1:
        return loads
    sums = {names: total(map(share, found)) for names, found in options.items()}
    return options[s.which(f"{side}_together", sums)]


def _compatible(loads: list[Counted]) -> list[list[Counted]]:
    """The choices of loads of which no control holds two apart."""
    apart = next(((a, b) for a in loads for b in loads if b.load.name in a.load.locked_out_by), None)
    if apart is None:
        return [loads]
    return [found for gone in apart for found in _compatible([c for c in loads if c is not gone])]


def motor_va(c: Counted) -> Value:
    """VA of the one motor that counts: its rated-load amperes where stated, else the whole load."""
    if c.load.motor_a is None:
        return c.each
    return read(c.load, "motor_a", f"rated-load amperes of {c.load.name}") * read(
        c.load, "volts", f"volts of {c.load.name}"
    )
