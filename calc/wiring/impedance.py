"""The conductors of a run as they are installed, as far as their impedance goes."""

from __future__ import annotations

from dataclasses import dataclass

from calc.codebook import Codebook
from calc.wiring.wires import called
from calc.work import Sheet, Value, constant

ONE = constant("1", 1, "")
FT_PER_KFT = constant("feet per 1,000 ft", 1000, "ft/kft")


@dataclass(frozen=True)
class Installed:
    """Conductors of a run. ``neutral_size`` is '' where the run has no neutral; ``sets`` is None for a single set."""

    size: str
    neutral_size: str
    metal: str
    method: str  # wiring method, 'not stated' where the job has none
    length: Value
    sets: Value | None
    found: bool = False  # whether the size was worked out

    def split(self, value: Value) -> Value:
        """An impedance of one set, for all sets in parallel."""
        return value if self.sets is None else value / self.sets

    def name(self) -> str:
        """'6 AWG copper', '2 sets of 250 kcmil aluminum'."""
        sets = f"{self.sets.number:g} sets of " if self.sets is not None else ""
        return f"{sets}{called(self.size)} {self.metal}"


def conductors(sheet: Sheet, wires: Installed) -> None:
    """A line that says which conductors the sheet is about."""
    sheet.find("conductors", wires.name() + (", found for its load" if wires.found else ""))


def length(sheet: Sheet, wires: Installed) -> Value:
    """The run's length one way, in thousands of feet."""
    return sheet.line("length_kft", wires.length / FT_PER_KFT)


def direct_current(
    sheet: Sheet, code: Codebook, wires: Installed, temperature: Value | None, size: str = "", item: str = ""
) -> Value:
    """Direct-current resistance for each 1,000 ft; ``temperature`` where it is not that of the table.

    ``size`` is another conductor's than the ungrounded ones'.
    """
    size = size or wires.size
    laid = code.row("wiring_methods", wiring_method=wires.method).cells["laid"]
    build = sheet.pick("build", code.row("conductor_builds", size=size).text(laid), item=item)
    row = code.row("direct_current_resistance", size=size, stranding=build)
    ohm = sheet.line("table_ohm_per_kft", row[f"{wires.metal}_ohm_per_kft"], item=item)
    if temperature is None:
        return ohm
    return sheet.line("resistance_ohm_per_kft", at_temperature(code, wires.metal, ohm, temperature), item=item)


def at_temperature(code: Codebook, metal: str, table: Value, temperature: Value) -> Value:
    """A resistance of the tables, at another temperature of the conductor."""
    return table * (ONE + code[f"{metal}_coefficient"] * (temperature - code["table_temperature"]))
