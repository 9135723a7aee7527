"""Heating against cooling: loads that don't run together, each blower on the side that it runs with."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import islice, permutations
from typing import NamedTuple

from calc.codebook import Codebook
from calc.wiring.reading import Counted, read
from calc.work import Citation, Sheet, Value, excess, larger, total

MOST_HELD = 30
"""Loads in one group of which controls hold some apart; of more, and of more ways than these, not all are tried."""
MOST_WAYS = 64


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
    named = is_climate(code, loads)
    climate = [c for c in loads if c.load.name in named]
    result = {}
    for side, kinds in on.items():
        names = {c.load.name for c in climate if c.load.kind in kinds}
        # what burns fuel draws power for its blower, which may move the air of the cooling as well
        follow = [c for c in climate if c.load.kind not in every or c.load.fuel_burning]
        with_them = {c.load.name for c in follow if set(c.load.runs_with) & names}
        if side == "cooling" and names:
            with_them |= {c.load.name for c in climate if c.load.moves_cooling_air or _unsaid(c)}
        result[side] = [c for c in climate if c.load.name in names | with_them]
    return result["heating"], result["cooling"]


def _unsaid(counted: Counted) -> bool:
    """Whether it is a furnace that burns fuel of which the job doesn't say whose air its blower moves."""
    said = bool(counted.load.runs_with) or counted.load.moves_cooling_air is not None
    return counted.load.kind == "furnace" and counted.load.fuel_burning and not said


Share = Callable[[Counted], Value]
"""What a method takes of a load, VA."""


def in_full(counted: Counted) -> Value:
    """All of it."""
    return counted.va


class Season(NamedTuple):
    """The load of the season that counts, what runs in it, and the motors without which it wouldn't count."""

    load: Value | None
    running: list[Counted]
    raised: list[Counted]


def climate(
    sheet: Sheet, code: Codebook, loads: Sequence[Counted], cites: Sequence[Citation], share: Share = in_full,
    motor_quarter: bool = False,
) -> Season:  # fmt: skip
    """Heating or cooling load in VA, whichever is larger by the method's ``share`` of each load, and the loads in it.

    ``motor_quarter``: cooling is compared with the quarter of its motor, in editions that ask for it.
    """
    heating, cooling = sides(code, loads)
    together = {
        side: _together(sheet, side, found, groups(found, cooling), share)
        for side, found in (("heating", heating), ("cooling", cooling)) if found
    }  # fmt: skip
    if not together:
        return Season(None, [], [])
    for c in filter(_unsaid, cooling):
        sheet.remark("note_blower_cools", load=c.load.name)
    options = {
        side: sheet.line(f"{side}_va", total(map(share, found)), cites=cites) for side, found in together.items()
    }
    side, raised = next(iter(options)), []
    if len(options) == 2:
        side = sheet.which("climate_side", options, cites=cites)
        motors = [c for c in together["cooling"] if c.load.kind in code.members("motor_kinds")]
        raised = [c for c in motors if c not in together["heating"]]
        if motor_quarter and code.method("noncoincident") == "motor with its quarter" and side == "heating" and raised:
            side = _with_quarter(sheet, code, options, raised)
        else:
            raised = []
    blown = any(c.load.kind == "fan" for c in together[side])
    for c in (c for c in heating if c.load.kind == "furnace" and not c.load.fuel_burning):
        if side == "cooling" and not blown:
            sheet.remark("note_blower_unknown", load=c.load.name)
    return Season(
        sheet.line("climate_va", options[side], cites=cites), together[side], raised if side == "cooling" else []
    )


def _with_quarter(sheet: Sheet, code: Codebook, options: Mapping[str, Value], motors: Sequence[Counted]) -> str:
    """The larger season where cooling, the smaller by its load alone, is compared with a quarter of its motor."""
    cites = [code.cite("noncoincident")]
    quarter = sheet.line("cooling_motor_quarter_va", larger(*map(motor_va, motors)) * code["largest_motor"])
    cooling = sheet.line("cooling_compared_va", options["cooling"] + quarter, cites=cites)
    return sheet.which("climate_side_with_motor", {"heating": options["heating"], "cooling": cooling}, cites=cites)


def more_on_neutral(sheet: Sheet, code: Codebook, loads: Sequence[Counted], running: Sequence[Counted]) -> list[Value]:
    """What loads that don't count would put on the neutral beyond those that do, VA; nothing where they don't."""
    counted = [c for c in running if c.line_to_neutral]
    seasons = sides(code, loads)
    on_neutral = ([c for c in side if c.line_to_neutral] for side in seasons)
    beyond = [side for side in on_neutral if any(c not in counted for c in side)]
    if not beyond:
        return []
    most = larger(
        *(
            total(larger(*(total(c.va for c in way) for way in ways)) for ways in groups(side, seasons[1]))
            for side in beyond
        )
    )
    more = excess(most, total(c.va for c in counted)) if counted else most
    return [sheet.line("other_season_neutral_va", more, cites=[code.cite("neutral_basis")])]


def _together(
    sheet: Sheet, side: str, loads: list[Counted], found: list[list[list[Counted]]], share: Share
) -> list[Counted]:
    """The loads of a side that run together: where a control holds some apart, the largest that can."""
    several = sum(len(options) > 1 for options in found) > 1
    running: list[Counted] = []
    for options in found:
        named = {", ".join(c.load.name for c in option): option for option in options}
        if len(options) == 1:
            running += options[0]
            if _held(options[0]):
                sheet.remark("note_held_apart", loads=", ".join(named))
            continue
        sums = {names: total(map(share, option)) for names, option in named.items()}
        running += named[sheet.which(f"{side}_together", sums, item=next(iter(named)) if several else "")]
    return [c for c in loads if c in running]


def groups(loads: Sequence[Counted], cooling: Sequence[Counted]) -> list[list[list[Counted]]]:
    """The loads in groups between which nothing is held apart: of each, the choices that may run together.

    A burner that is held out leaves its blower running where that moves the air of the ``cooling``, in both seasons.
    A group that a control divides in more ways than are tried has one choice, all of it: more than can run, never less.
    """
    blowers = [c for c in loads if c.load.fuel_burning and c in cooling]
    left = {id(c): c for c in loads if c not in blowers}
    found: list[list[list[Counted]]] = [[[c]] for c in blowers]
    for c in loads:
        group = [left.pop(id(c))] if id(c) in left else []
        for one in group:  # grows while it is walked
            linked = [other for other in left.values() if _apart(one, other)]
            group += [left.pop(id(other)) for other in linked]
        if not group:
            continue
        ordered = [one for one in loads if one in group]
        ways = list(islice(_compatible(ordered), MOST_WAYS + 1)) if len(group) <= MOST_HELD else []
        found.append(ways if 0 < len(ways) <= MOST_WAYS else [ordered])
    return found


def _apart(a: Counted, b: Counted) -> bool:
    return b.load.name in a.load.locked_out_by or a.load.name in b.load.locked_out_by


def _held(loads: Sequence[Counted]) -> tuple[Counted, Counted] | None:
    """Two loads that a control holds apart, the one that is locked out first."""
    pairs = ((a, b) for a, b in permutations(loads, 2) if b.load.name in a.load.locked_out_by)
    return next(pairs, None)


def _compatible(loads: list[Counted]) -> Iterator[list[Counted]]:
    """The choices of loads of which no control holds two apart."""
    apart = _held(loads)
    if apart is None:
        yield loads
    else:
        for gone in apart:
            yield from _compatible([c for c in loads if c is not gone])


def motor_va(counted: Counted) -> Value:
    """VA of the one motor that counts: its rated-load amperes where stated, else the whole load."""
    if counted.load.motor_a is None:
        return counted.each
    return read(counted.load, "motor_a", f"rated-load amperes of {counted.load.name}") * read(
        counted.load, "volts", f"volts of {counted.load.name}"
    )
