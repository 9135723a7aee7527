"""What is left of the fault current at the end of a run: there through one conductor, back through another."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.fault_current.source import (
    LINE_TO_LINE,
    LINE_TO_NEUTRAL,
    THREE,
    THREE_PHASE,
    TWO,
    Kind,
    Point,
    from_parts,
)
from calc.job import Run
from calc.wiring.impedance import ONE, Installed, conductors, direct_current, length
from calc.work import Missing, Sheet, Value, root


def along(sheet: Sheet, code: Codebook, run: Run, wires: Installed, begin: Point) -> Point:
    """The point at the run's end, from the one where it begins."""
    conductors(sheet, wires)
    kft = length(sheet, wires)
    line = _conductor(sheet, code, wires, wires.size, "line")
    other = wires.neutral_size not in ("", wires.size)
    back = _conductor(sheet, code, wires, wires.neutral_size, "neutral") if other else line
    kinds = [kind for kind in begin.amperes if kind in _kinds(run, wires)]
    if not kinds:
        raise Missing(
            f"{run.name} is of one leg and the neutral, and what is available line to neutral is not known: the "
            "utility's statement does not give it. Ask for it, and give available_ln_a.",
            at="fault.available_ln_a",
        )
    if begin.ohms:
        ohms = {kind: _added(sheet, wires, kind, begin.ohms[kind], kft, line, back) for kind in kinds}
        return Point({kind: from_parts(sheet, kind, *parts) for kind, parts in ohms.items()}, ohms)
    sheet.remark("note_plain_numbers")
    there = sheet.line("impedance_ohm_per_kft", root(line[0] * line[0] + line[1] * line[1]), item="line")
    over = (
        sheet.line("impedance_ohm_per_kft", root(back[0] * back[0] + back[1] * back[1]), item="neutral")
        if other
        else there
    )
    amperes = {}
    for kind in kinds:
        loop = sheet.line("loop_ohm", wires.split(_way(kind, there, over) * kft), item=kind.name)
        amperes[kind] = _by_multiplier(sheet, kind, begin.amperes[kind], loop)
    return Point(amperes, {})


def _added(
    sheet: Sheet, wires: Installed, kind: Kind, before: tuple[Value, Value], kft: Value,
    line: tuple[Value, Value], back: tuple[Value, Value],
) -> tuple[Value, Value]:  # fmt: skip
    """Resistance and reactance of the way round, the run's own added to what was there before it."""
    resistance, reactance = (
        sheet.line(key, have + wires.split(_way(kind, there, over) * kft), item=kind.name)
        for key, have, there, over in zip(("resistance_ohm", "reactance_ohm"), before, line, back, strict=True)
    )
    return resistance, reactance


def _by_multiplier(sheet: Sheet, kind: Kind, begin: Value, loop: Value) -> Value:
    """The point-to-point procedure: a factor from the run's impedance, and a multiplier from the factor."""
    factor = sheet.line("run_factor", begin * loop / sheet.value(kind.volts_key), item=kind.name)
    multiplier = sheet.line("multiplier", ONE / (ONE + factor), item=kind.name)
    return sheet.line(kind.key, begin * multiplier)


def _conductor(sheet: Sheet, code: Codebook, wires: Installed, size: str, item: str) -> tuple[Value, Value]:
    """Resistance of a cold conductor, and its reactance without steel around it, for each 1,000 ft."""
    resistance = direct_current(sheet, code, wires, code["fault_temperature"], size, item)
    row = code.row("conduit_impedance", size=size, conduit=code.method("fault_conduit"))
    reactance = sheet.line(
        "reactance_ohm_per_kft", row["reactance_ohm_per_kft"], item=item, cites=[code.cite("fault_conduit")]
    )
    return resistance, reactance


def _way(kind: Kind, line: Value, back: Value) -> Value:
    """What the current of this kind of fault passes, as the kind's voltage sees it."""
    if kind is THREE_PHASE:
        return root(THREE) * line
    return TWO * line if kind is LINE_TO_LINE or back is line else line + back


def _kinds(run: Run, wires: Installed) -> set[Kind]:
    kinds = {LINE_TO_LINE} if run.volts != 120 else set()
    kinds |= {LINE_TO_NEUTRAL} if wires.neutral_size else set()
    return kinds | ({THREE_PHASE} if run.phases == 3 else set())
