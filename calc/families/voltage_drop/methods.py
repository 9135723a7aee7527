"""Three ways to a run's voltage drop: direct-current resistance, effective impedance, exact solution with angles.

Each gives the drop, its last line, and how to find the longest length that keeps a limit.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import hypot

from calc.codebook import Codebook
from calc.families.voltage_drop.path import Path, keyed
from calc.families.voltage_drop.two_legs import two_legs_exact, two_legs_longest, worse
from calc.wiring.impedance import FT_PER_KFT, at_temperature, direct_current
from calc.work import Refused, Sheet, Value, larger, root, smaller

Legs = Sequence[tuple[str, Value]]  # a value for each leg that sees an angle of its own
Longest = Callable[[Value], Value]  # from a limit in percent to a line with the longest length
Method = Callable[[Sheet, Codebook, Path], tuple[Value, Longest]]


def by_direct_current(sheet: Sheet, code: Codebook, path: Path) -> tuple[Value, Longest]:
    """Current times resistance, no angles: what most people work out by hand."""
    ohm = direct_current(sheet, code, path.wires, path.temperature)
    return _in_proportion(sheet, path, [("", path.in_phase_amperes * path.wires.split(ohm))])


def by_effective(sheet: Sheet, code: Codebook, path: Path) -> tuple[Value, Longest]:
    """Current times the effective impedance at the load's power factor (Chapter 9 Table 9, note 2)."""
    printed = None if path.of_wye else _from_the_table(sheet, code, path)
    if printed is not None:
        return _in_proportion(sheet, path, [("", path.amperes * path.wires.split(printed))])
    ohm, reactance = _impedance(sheet, code, path)
    made = []
    for leg, cosine, sine in path.angles(sheet):
        effective = sheet.line(
            keyed("effective_ohm_per_kft", leg), ohm * cosine + reactance * sine,
            item=leg, cites=[code.cite("effective_impedance")],
        )  # fmt: skip
        made.append((leg, path.amperes * path.wires.split(effective)))
    return _in_proportion(sheet, path, made)


def by_exact(sheet: Sheet, code: Codebook, path: Path) -> tuple[Value, Longest]:
    """The voltage at the end such that, with the drop at its angle added, the voltage at the start comes out.

    The load draws its current at its power factor whatever the voltage. Refused where no voltage would be left.
    """
    ohm, reactance = _impedance(sheet, code, path)
    if path.of_wye:
        return two_legs_exact(sheet, path, ohm, reactance), lambda limit: two_legs_longest(
            sheet, path, ohm, reactance, limit
        )
    ohm_v = sheet.line("resistance_drop_v", path.amperes * path.wires.split(ohm) * path.kft)
    reactance_v = sheet.line("reactance_drop_v", path.amperes * path.wires.split(reactance) * path.kft)
    ((_, cosine, sine),) = path.angles(sheet)
    along = sheet.line("in_phase_v", ohm_v * cosine + reactance_v * sine)
    one, other = reactance_v * cosine, ohm_v * sine
    across = sheet.line("quadrature_v", larger(one, other) - smaller(one, other))
    if hypot(along.number, across.number) >= path.start.number:
        raise all_lost(path)
    end = sheet.line("end_v", root(path.start * path.start - across * across) - along)
    return sheet.line("drop_v", path.start - end), lambda limit: _longest_exact(sheet, path, along, across, limit)


def all_lost(path: Path) -> Refused:
    """Why there is no drop to show where it would be as much as the voltage, or more."""
    return Refused(f"{path.wires.name()} over this length would take all of the voltage: no load can run there.")


METHODS: dict[str, Method] = {"direct-current": by_direct_current, "effective": by_effective, "exact": by_exact}


def _in_proportion(sheet: Sheet, path: Path, per_kft: Legs) -> tuple[Value, Longest]:
    """The drop as volts for each 1,000 ft times the length, and the same turned round."""
    drop = _worst(sheet, [(leg, volts * path.kft) for leg, volts in per_kft])

    def longest(limit: Value) -> Value:
        most = larger(*(volts for _, volts in per_kft))
        return sheet.line("max_length_ft", limit * path.base / most * FT_PER_KFT)

    return drop, longest


def _longest_exact(sheet: Sheet, path: Path, along: Value, across: Value, limit: Value) -> Value:
    """From the triangle of the voltages at the start and at the end and the drop along the conductors."""
    least = sheet.line("least_end_v", path.start - path.base * limit)
    whole = sheet.line("along_conductors_v", root(along * along + across * across))
    height, foot = least * across / whole, least * along / whole
    allowed = sheet.line("allowed_along_v", root(path.start * path.start - height * height) - foot)
    return sheet.line("max_length_ft", path.wires.length * allowed / whole)


def _impedance(sheet: Sheet, code: Codebook, path: Path) -> tuple[Value, Value]:
    """Resistance at the conductor's temperature, and reactance, for each 1,000 ft."""
    row = code.row("conduit_impedance", size=path.wires.size, conduit=_conduit(sheet, code, path))
    ohm = sheet.line("table_ac_ohm_per_kft", row[f"{path.wires.metal}_ohm_per_kft"])
    if path.temperature is not None:
        ohm = sheet.line("ac_ohm_per_kft", at_temperature(code, path.wires.metal, ohm, path.temperature))
    return ohm, sheet.line("reactance_ohm_per_kft", row["reactance_ohm_per_kft"])


def _from_the_table(sheet: Sheet, code: Codebook, path: Path) -> Value | None:
    """The impedance that the table prints, where it is for this power factor and temperature."""
    wanted = [(path.power_factor, code["effective_power_factor"])]
    wanted += [] if path.temperature is None else [(path.temperature, code["table_temperature"])]
    alike = [pair for has, needs in wanted for pair in (has >= needs, has <= needs)]
    if all(pair.holds for pair in alike):
        sheet.find("impedance_from", "printed in the table", alike)
        row = code.row("conduit_impedance", size=path.wires.size, conduit=_conduit(sheet, code, path))
        return sheet.line("printed_ohm_per_kft", row[f"{path.wires.metal}_effective_ohm_per_kft"])
    unlike = [pair for has, needs in wanted for pair in (has > needs, has < needs) if pair.holds]
    sheet.find("impedance_from", "worked from resistance and reactance", unlike)
    return None


def _conduit(sheet: Sheet, code: Codebook, path: Path) -> str:
    return sheet.pick("conduit", code.row("wiring_methods", wiring_method=path.wires.method).text("conduit"))


def _worst(sheet: Sheet, drops: Legs) -> Value:
    """The drop; where two legs differ, that of the worse."""
    if len(drops) == 1:
        return sheet.line("drop_v", drops[0][1])
    return worse(sheet, drops)
