"""Two legs and the neutral of a wye, exactly: both legs loaded alike, and the neutral brings back what they don't cancel.

The voltages at the start stand 120 degrees apart. Those at the end are turned a little by the drop, each leg's the
other way, and the neutral's current turns with them. The angle between them at the end is found by trying; with it
every voltage follows by arithmetic, and a last line shows that the 120 degrees at the start come out again.
"""

from __future__ import annotations

from cmath import exp, phase, pi
from collections.abc import Sequence
from dataclasses import replace
from math import cos, inf, sqrt

from calc.families.voltage_drop.path import TWO, Path
from calc.wiring.impedance import FT_PER_KFT, ONE
from calc.work import Refused, Sheet, Value, constant, given, larger, root

FOUR, FIVE = constant("4", 4, ""), constant("5", 5, "")
APART = 2 * pi / 3
TRIES = 500
CLOSE = 1e-14
BY_TRYING = "found by trying"


def two_legs_exact(sheet: Sheet, path: Path, ohm: Value, reactance: Value) -> Value:
    """Lines for the drop on the worse leg, in volts. Refused where no voltage would be left."""
    apart, _ = _solve(path, ohm, reactance, path.kft.number)
    if apart is None:
        raise Refused(f"{path.wires.name()} over this length would take all of the voltage: no load can run there.")
    cosine = sheet.line("legs_cosine", given("cosine of the angle between them", round(cos(apart), 9), "", BY_TRYING))
    sine = sheet.line("legs_sine", root(ONE - cosine * cosine))
    share = sheet.line("legs_share", root(FIVE + FOUR * cosine))
    turn = (sheet.line("turn_cosine", (TWO + cosine) / share), sheet.line("turn_sine", sine / share))
    ohm_v = sheet.line("resistance_drop_v", path.current * share * path.wires.split(ohm) * path.kft)
    reactance_v = sheet.line("reactance_drop_v", path.current * share * path.wires.split(reactance) * path.kft)
    drops, at_start = [], []
    for leg, one, other in path.angles(sheet, turn):
        along = sheet.line("leg_in_phase_v", ohm_v * one + reactance_v * other, item=leg)
        across = sheet.line("leg_quadrature_v", reactance_v * one - ohm_v * other, item=leg)
        end = sheet.line("leg_end_v", root(path.start * path.start - across * across) - along, item=leg)
        drops.append((leg, path.start - end))
        at_start.append((sheet.line("leg_start_v", end + along, item=leg), across))
    (ahead, over), (behind, under) = at_start
    together = (ahead * behind + over * under) * cosine - (over * behind - ahead * under) * sine
    sheet.line("start_cosine", together / (path.start * path.start))
    return worse(sheet, drops)


def two_legs_longest(sheet: Sheet, path: Path, ohm: Value, reactance: Value, limit: Value) -> Value:
    """The longest length, found by trying, and the drop at that length."""
    most = path.base.number * limit.number / 100
    short, long = 0.0, path.kft.number
    while _solve(path, ohm, reactance, long)[1] <= most:
        short, long = long, 2 * long
    while long - short > CLOSE * long:
        middle = (short + long) / 2
        short, long = (middle, long) if _solve(path, ohm, reactance, middle)[1] <= most else (short, middle)
    feet = given("length", round(short * FT_PER_KFT.number, 9), "ft", BY_TRYING)
    tried = Sheet(sheet.family, "", "", sheet.edition, sheet.words)
    drop = two_legs_exact(tried, replace(path, kft=replace(path.kft, number=feet.number / 1000)), ohm, reactance)
    at_that = given("drop at that length", round(drop.number, 9), "V", "worked again for that length")
    sheet.line("longest_drop_pct", at_that / path.base)
    return sheet.line("max_length_ft", feet)


def worse(sheet: Sheet, drops: Sequence[tuple[str, Value]]) -> Value:
    """The drop of the worse leg."""
    return sheet.line("drop_v", larger(*(sheet.line("leg_drop_v", value, item=leg) for leg, value in drops)))


def _solve(path: Path, ohm: Value, reactance: Value, kft: float) -> tuple[float | None, float]:
    """Angle between the legs' voltages at the end, and the worse drop in volts; (None, inf) where no voltage is left."""
    start, factor = path.start.number, path.power_factor.number
    lagging = complex(factor, -sqrt(1 - factor * factor))
    sets = 1 if path.wires.sets is None else path.wires.sets.number
    drop = path.current.number * complex(ohm.number, reactance.number) / sets * kft * lagging
    apart = APART
    for _ in range(TRIES):
        taken = [drop * (2 + exp(turn * apart)) for turn in (-1j, 1j)]
        if any(abs(volts.imag) >= start for volts in taken):
            break
        ends = [sqrt(start * start - volts.imag**2) - volts.real for volts in taken]
        if min(ends) <= 0:
            break
        ahead, behind = (phase(end + volts) for end, volts in zip(ends, taken, strict=True))
        last, apart = apart, APART + behind - ahead
        if abs(apart - last) < CLOSE:
            return apart, start - min(ends)
    return None, inf
