"""The ampacity of one size, rung by rung: table, correction, adjustment, and the column that it may not pass."""

from __future__ import annotations

from dataclasses import dataclass

from calc.codebook import Codebook
from calc.wiring.conditions import Conditions
from calc.work import Sheet, Value, smaller


@dataclass(frozen=True)
class Rung:
    """One size under the conditions of its run. Amperes are those of one set, but ``ampacity`` and ``before``.

    ``before`` is what the terminals allow before any correction, which continuous load is measured against.
    """

    metal: str
    size: str
    table: Value
    corrected: Value
    adjusted: Value
    limit: Value
    ampacity: Value
    before: Value


def rung(sheet: Sheet, code: Codebook, metal: str, size: str, at: Conditions, prefix: str = "") -> Rung:
    """Print the ampacity of a size. ``prefix`` tells apart the lines of a second size on one sheet."""
    row = code.row("ampacity", size=size)
    table = sheet.line(f"{prefix}table_a", row[f"{metal}_{at.insulation_c.number:.0f}_a"])
    corrected = sheet.line(f"{prefix}corrected_a", table * at.factor)
    adjusted = sheet.line(f"{prefix}adjusted_a", corrected * at.share if at.share is not None else corrected)
    limit = sheet.line(f"{prefix}limit_a", row[f"{metal}_{at.limit_c.number:.0f}_a"], cites=at.limit_cites)
    allowed = smaller(adjusted, limit)
    parallel = at.sets.number > 1
    ampacity = sheet.line(f"{prefix}ampacity_a", allowed * at.sets if parallel else allowed, cites=at.limit_cites)
    before = sheet.line(f"{prefix}uncorrected_a", limit * at.sets) if parallel else limit
    return Rung(metal, size, table, corrected, adjusted, limit, ampacity, before)


def area(sheet: Sheet, code: Codebook, size: str, key: str) -> Value:
    """Print the area of a size in circular mils, once for each key."""
    if any(line.key == key for line in sheet.lines):
        return sheet.value(key)
    row = code.row("conductor_properties", size=size, stranding="stranded")
    return sheet.line(key, row["cmil"])
