"""Where fault current comes from: the utility's transformer, or what the utility stated."""

from __future__ import annotations

from dataclasses import dataclass

from calc.codebook import Codebook
from calc.job import Fault, Readings
from calc.wiring.impedance import ONE
from calc.wiring.reading import carry, read
from calc.work import Sheet, Value, constant, root

VA_PER_KVA = constant("VA per kVA", 1000, "VA/kVA")
TWO = constant("2", 2, "")
THREE = constant("3", 3, "")
ALL = constant("all of it", 100, "%")


@dataclass(frozen=True)
class Kind:
    """A kind of fault: its name, the key of its result and the voltage that drives it."""

    name: str
    key: str
    volts_key: str


LINE_TO_LINE = Kind("line to line", "available_ll_a", "line_to_line_v")
LINE_TO_NEUTRAL = Kind("line to neutral", "available_ln_a", "line_to_neutral_v")
THREE_PHASE = Kind("three phases", "available_3ph_a", "line_to_line_v")
KINDS = (THREE_PHASE, LINE_TO_LINE, LINE_TO_NEUTRAL)


@dataclass(frozen=True)
class Point:
    """What is available at a point, by kind of fault.

    ``ohms`` holds resistance and reactance of the whole way round, in the measure in which the kind's voltage drives
    its current; it is empty where the source's ratio of reactance to resistance is not known, and impedances are added
    as plain numbers.
    """

    amperes: dict[Kind, Value]
    ohms: dict[Kind, tuple[Value, Value]]

    def carried(self, sheet: Sheet) -> Point:
        """The same for a sheet downstream of the sheet that it was worked on."""
        at = f"at {sheet.subject}"
        amperes = {kind: carry(sheet, kind.key, f"{kind.name} {at}") for kind in self.amperes}
        ohms = {
            kind: (
                carry(sheet, f"resistance_ohm[{kind.name}]", f"resistance {at}"),
                carry(sheet, f"reactance_ohm[{kind.name}]", f"reactance {at}"),
            )
            for kind in self.ohms
        }
        return Point(amperes, ohms)

    def unchanged(self, sheet: Sheet) -> Point:
        """The same point on another sheet, line by line."""
        amperes = {kind: sheet.line(kind.key, value) for kind, value in self.amperes.items()}
        ohms = {
            kind: (
                sheet.line("resistance_ohm", resistance, item=kind.name),
                sheet.line("reactance_ohm", reactance, item=kind.name),
            )
            for kind, (resistance, reactance) in self.ohms.items()
        }
        return Point(amperes, ohms)


def voltages(sheet: Sheet, code: Codebook, system: str) -> None:
    """Lines for the nominal voltages that drive a fault."""
    row = code.row("nominal_voltages", system=system)
    sheet.line("line_to_line_v", row["line_to_line_v"])
    sheet.line("line_to_neutral_v", row["line_to_neutral_v"])


def source(sheet: Sheet, code: Codebook, fault: Fault, system: str, readings: Readings) -> Point:
    """The current at the transformer's terminals, or where the utility's statement holds."""
    three = system == "208Y/120"
    voltages(sheet, code, system)
    amperes = _first(sheet, code, fault, three, readings)
    if three:
        _of_three_phases(sheet, amperes)
    if fault.available_ln_a is not None:
        amperes[LINE_TO_NEUTRAL] = sheet.line("available_ln_a", read(fault, "available_ln_a"))
    elif three:
        sheet.remark("note_wye_neutral")
        amperes[LINE_TO_NEUTRAL] = sheet.line("available_ln_a", amperes[THREE_PHASE])
    centre_tap = LINE_TO_NEUTRAL not in amperes and (fault.available_a is None or fault.available_at == "transformer")
    if LINE_TO_NEUTRAL not in amperes and not centre_tap:
        sheet.remark("note_no_neutral")
    if fault.x_over_r is None:
        sheet.remark("note_plain_numbers")
        if centre_tap:
            factor = code["centre_tap_factor"]
            amperes[LINE_TO_NEUTRAL] = sheet.line("available_ln_a", amperes[LINE_TO_LINE] * factor)
        return Point(amperes, {})
    ohms = {kind: _parts(sheet, kind, amperes[kind], read(fault, "x_over_r")) for kind in KINDS if kind in amperes}
    if centre_tap:
        ohms[LINE_TO_NEUTRAL] = _half_winding(sheet, code, *ohms[LINE_TO_LINE])
        amperes[LINE_TO_NEUTRAL] = from_parts(sheet, LINE_TO_NEUTRAL, *ohms[LINE_TO_NEUTRAL])
    return Point(amperes, ohms)


def from_parts(sheet: Sheet, kind: Kind, resistance: Value, reactance: Value) -> Value:
    """Current through a way of this resistance and reactance."""
    return sheet.line(kind.key, sheet.value(kind.volts_key) / root(resistance * resistance + reactance * reactance))


def _first(sheet: Sheet, code: Codebook, fault: Fault, three: bool, readings: Readings) -> dict[Kind, Value]:
    """What the transformer or the statement gives."""
    if fault.transformer_kva is None:
        sheet.remark("note_stated", by=f"{fault.stated_by}", on=f"{fault.stated_on}", at=fault.available_at)
        return {LINE_TO_LINE: sheet.line("available_ll_a", read(fault, "available_a"))}
    sheet.remark("note_infinite_primary")
    volts = sheet.value("line_to_line_v")
    full_load = sheet.line(
        "full_load_a", read(fault, "transformer_kva") * VA_PER_KVA / (root(THREE) * volts if three else volts)
    )
    kind = THREE_PHASE if three else LINE_TO_LINE
    marked = read(fault, "impedance_pct")
    if readings.transformer_impedance == "as-marked":
        sheet.remark("note_impedance_marked")
        return {kind: sheet.line(kind.key, full_load / marked)}
    sheet.line("marked_impedance_a", full_load / marked)
    least = sheet.line("impedance_least_pct", marked * (ALL - code["impedance_tolerance"]))
    sheet.remark("note_impedance_least")
    return {kind: sheet.line(kind.key, full_load / least)}


def _of_three_phases(sheet: Sheet, amperes: dict[Kind, Value]) -> None:
    """Three-phase and line-to-line current from each other: two phases in series with 1.732 times the voltage."""
    if THREE_PHASE in amperes:
        amperes[LINE_TO_LINE] = sheet.line("available_ll_a", amperes[THREE_PHASE] * root(THREE) / TWO)
    else:
        amperes[THREE_PHASE] = sheet.line("available_3ph_a", amperes[LINE_TO_LINE] * TWO / root(THREE))


def _parts(sheet: Sheet, kind: Kind, amperes: Value, ratio: Value) -> tuple[Value, Value]:
    """Resistance and reactance of the source, from its impedance and their ratio."""
    whole = sheet.line("source_ohm", sheet.value(kind.volts_key) / amperes, item=kind.name)
    resistance = sheet.line("resistance_ohm", whole / root(ONE + ratio * ratio), item=kind.name)
    return resistance, sheet.line("reactance_ohm", resistance * ratio, item=kind.name)


def _half_winding(sheet: Sheet, code: Codebook, resistance: Value, reactance: Value) -> tuple[Value, Value]:
    """Of half the winding of a centre-tapped transformer: its percents at half the voltage, a quarter of the ohms."""
    share = sheet.value("line_to_neutral_v") / sheet.value("line_to_line_v")
    name = LINE_TO_NEUTRAL.name
    return (
        sheet.line("resistance_ohm", code["centre_tap_resistance"] * resistance * share * share, item=name),
        sheet.line("reactance_ohm", code["centre_tap_reactance"] * reactance * share * share, item=name),
    )
