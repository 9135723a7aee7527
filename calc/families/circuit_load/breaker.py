"""The breaker of a branch circuit: as given or worked out, the least that its load asks for, the most that it may be."""

from __future__ import annotations

from dataclasses import dataclass

from calc.codebook import Codebook
from calc.families.circuit_load.load import CircuitLoad
from calc.job import place
from calc.wiring.circuits import GENERAL, REQUIRED, Branch
from calc.wiring.reading import read
from calc.work import Citation, Missing, Sheet, Value, larger

OF_OUTLETS = (*GENERAL, *REQUIRED, "outdoor")
"""Purposes whose circuits feed lights and receptacles for anything."""


@dataclass(frozen=True)
class Breaker:
    """The rating, the least for the load, and the most that equipment or place allows with the rule that says so."""

    rating: Value
    least: Value
    least_by: tuple[Citation, ...]
    most: Value | None = None
    most_by: tuple[Citation, ...] = ()


def breaker(sheet: Sheet, code: Codebook, branch: Branch, load: CircuitLoad) -> Breaker:
    """Print the breaker of a circuit with its limits."""
    most, most_by = _most(sheet, code, branch, load)
    least, least_by = _least(sheet, code, branch, load)
    run = branch.run
    if branch.circuit.breaker_a is not None:
        rating = sheet.line("breaker_a", read(branch.circuit, "breaker_a", "breaker as given"))
    elif run is not None and run.breaker_a is not None:
        rating = sheet.line("breaker_a", read(run, "breaker_a", f"breaker of {run.name}"))
    elif load.apart:
        if most is None:
            raise Missing(
                f"{branch.name}: the largest breaker is not stated: give the maximum breaker of the load (mocp_a).",
                *load.cites,
                at=place(branch.loads[0].load, "mocp_a"),
            )
        rating = sheet.line("breaker_a", most, cites=most_by)
    else:
        dryer = any(c.load.kind == "dryer" and not c.load.fuel_burning for c in branch.loads)
        floor = sheet.line("breaker_floor_a", larger(least, code["dryer_circuit" if dryer else "branch_least"]))
        rating = sheet.line("breaker_a", code.at_least("standard_ratings", floor))
        _uncommon(sheet, code, rating)
    return Breaker(rating, least, least_by, most, most_by)


def _uncommon(sheet: Sheet, code: Codebook, rating: Value) -> None:
    """Say of a rating that was worked out that the next common one is easier to have."""
    seldom = code.members("uncommon_ratings")
    larger_ones = [a for row in code.rows("standard_ratings") if (a := float(row["rating_a"])) > rating.number]
    if f"{rating.number:g}" in seldom:
        common = next(a for a in sorted(larger_ones) if f"{a:g}" not in seldom)
        sheet.remark("note_uncommon_rating", rating=f"{rating.number:g}", common=f"{common:g}")


def _least(sheet: Sheet, code: Codebook, branch: Branch, load: CircuitLoad) -> tuple[Value, tuple[Citation, ...]]:
    """The least breaker: what the load is sized for, or the rating that a rule names for such a circuit."""
    if load.apart:
        return load.amperes, load.cites
    floor: Value | None = None
    if branch.circuit.purpose in REQUIRED:
        floor = code["required_rating"]
    if load.kind == "cooking" and any(line.key == "cooking_circuit_kw" for line in sheet.lines):  # taken as one range
        size = sheet.value("cooking_together_kw") >= code["range_least_kw"]
        if size.holds:
            sheet.find("large_range", "yes", [size])
            floor = code["range_least_circuit"]
    if floor is None:
        return load.design, load.cites
    return sheet.line("breaker_least_a", larger(load.design, floor), cites=load.cites), (*load.cites, *floor.cites)


def _most(sheet: Sheet, code: Codebook, branch: Branch, load: CircuitLoad) -> tuple[Value | None, tuple[Citation, ...]]:
    """The most that the breaker may be, by the equipment or by what the circuit is for; None where nothing says it."""
    if load.kind == "nameplate":
        equipment = branch.loads[0].load
        if equipment.mocp_a is None:
            if branch.new_work:
                sheet.unknown("breaker_allowed", f"the maximum breaker on the nameplate of {equipment.name} (mocp_a)",
                          place(equipment, "mocp_a"), cites=load.cites)  # fmt: skip
            return None, ()
        stated = read(equipment, "mocp_a", f"maximum breaker of {equipment.name}")
        return sheet.line("breaker_most_a", code.at_most("standard_ratings", stated), cites=load.cites), load.cites
    if load.kind == "compressor":
        return _compressor(sheet, code)
    if load.kind == "motor":
        limit = sheet.line("motor_limit_a", load.amperes * code["motor_breaker"])
        cites = (code.cite("motor_breaker"),)
        return sheet.line("breaker_most_a", code.at_least("standard_ratings", limit), cites=cites), cites
    if len(branch.loads) == 1 and not branch.others and branch.loads[0].load.kind in code.members("appliance_breaker"):
        return _single_appliance(sheet, code, load)
    if branch.circuit.purpose in OF_OUTLETS:
        cites = (code.cite("permissible_rating"),)
        return code["permissible_rating"], cites
    heaters = [c for c in branch.loads if c.load.kind in code.members("heat_outlets_most") and not c.load.fuel_burning]
    if sum(c.load.count for c in heaters) > 1:
        cites = (code.cite("heat_outlets_most"),)
        return code["heat_outlets_most"], cites
    return None, ()


def _compressor(sheet: Sheet, code: Codebook) -> tuple[Value, tuple[Citation, ...]]:
    """175 % of the compressor and the rest, rounded down; and 225 % for one that doesn't start on that."""
    motor, rest = sheet.value("compressor_a"), sheet.value("beside_compressor_a")
    cites = (code.cite("compressor_breaker"),)
    for key, rule in (("start", "compressor_start"), ("usual", "compressor_breaker")):
        limit = sheet.line(f"compressor_{key}_limit_a", larger(motor * code[rule] + rest, code["branch_least"]))
        line = "breaker_start_a" if key == "start" else "breaker_most_a"
        most = sheet.line(line, code.at_most("standard_ratings", limit), cites=[code.cite(rule)])
    sheet.remark("note_compressor_start")
    return most, cites


def _single_appliance(sheet: Sheet, code: Codebook, load: CircuitLoad) -> tuple[Value, tuple[Citation, ...]]:
    limit = sheet.line(
        "appliance_limit_a", larger(load.amperes * code["appliance_breaker"], code["appliance_breaker_small"])
    )
    cites = (code.cite("appliance_breaker"),)
    return sheet.line("breaker_most_a", code.at_least("standard_ratings", limit), cites=cites), cites
