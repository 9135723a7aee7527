"""From a limit back: the smallest size that serves, found by trying, and the circular mils that it takes."""

from __future__ import annotations

from collections.abc import Callable

from calc.codebook import Codebook
from calc.families.voltage_drop.path import Path
from calc.job import SIZES
from calc.wiring.reading import carry
from calc.wiring.wires import called
from calc.work import Refused, Sheet, Value

Trial = Callable[[str], Sheet]  # the run's sheet with another size


def size_for_limit(sheet: Sheet, code: Codebook, metal: str, limit: Value, trial: Trial) -> str:
    """A found line: the smallest size whose drop keeps the limit, and that the next smaller one does not."""
    short = None
    for size in candidates(code, metal):
        try:
            tried = carry(trial(size), "drop_pct", f"drop with {called(size)}", called(size))
        except Refused:  # it would take all of the voltage
            continue
        serves = tried <= limit
        if serves.holds:
            sheet.find("size_for_limit", called(size), [serves, *([] if short is None else [short > limit])])
            return called(size)
        short = tried
    sheet.find("size_for_limit", "none in the tables", [] if short is None else [short > limit])
    return "no size of the tables"


def candidates(code: Codebook, metal: str) -> list[str]:
    """Sizes that the impedance tables have for the metal, smallest first."""

    def known(size: str) -> bool:
        try:
            return code.row("conduit_impedance", size=size, conduit="pvc").has(f"{metal}_ohm_per_kft")
        except Refused:
            return False

    return [size for size in SIZES if known(size)]


def circular_mils(sheet: Sheet, code: Codebook, path: Path, limit: Value) -> Value:
    """The conductor area at which the drop by direct-current resistance would be just the limit."""
    area = sheet.line("area_cmil", code.row("direct_current_resistance", size=path.wires.size)["cmil"])
    ohm_key = "table_ohm_per_kft" if path.temperature is None else "resistance_ohm_per_kft"
    ohm = path.wires.split(sheet.value(ohm_key))
    return sheet.line("least_cmil", path.in_phase_amperes * path.kft * ohm * area / (limit * path.base))
