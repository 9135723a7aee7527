"""The optional method of buildings: three dwellings or more by a share of their number, two as if they were three."""

from __future__ import annotations

from calc.families.dwelling_load.case import Case, NotAllowed
from calc.families.dwelling_load.climate import climate
from calc.families.dwelling_load.demand import Group
from calc.families.dwelling_load.standard import general_connected, house_loads, is_motor, largest_motor
from calc.families.dwelling_load.vehicle import vehicle_supply
from calc.job.house import UnitGroup
from calc.job.loads import COOKING
from calc.work import Value, smaller, total

GENERAL = ("multifamily_unit_load", "multifamily_circuit", "multifamily_circuit")


def building(case: Case, standard: Value | None) -> Value:
    """Total load in VA by the optional method; ``standard`` is the total by the standard method, carried."""
    assert case.unit.number is not None
    s, code = case.sheet, case.house.code
    two = case.unit.number.number < code["multifamily_least"].number
    cooks = _conditions(case, two)
    connected = s.line("units_connected_va", total(_connected(case, cooks)), cites=[code.cite("multifamily_method")])
    number = s.line("units_count", case.unit.number)
    if two:
        cites = [code.cite("two_family_method")]
        number = s.line("units_as_if_count", code["multifamily_least"], cites=cites)
        connected = s.line("three_units_va", connected / case.unit.number * number, cites=cites)
    percent = s.line("units_demand_pct", code.row("multifamily_demand", units=number)["demand_pct"])
    demand = s.line("units_demand_va", connected * percent, cites=[code.cite("multifamily_demand")])
    groups = [Group("units", case.unit.loads, demand)]
    if case.unit.house_loads:
        groups.append(house_loads(case, [code.cite("house_loads")]))
        if motors := [c for c in case.unit.house_loads if is_motor(c, code)]:
            name, quarter, _ = largest_motor(s, code, motors)
            groups.append(Group("motor", [c for c in motors if c.load.name == name], quarter, connected=False))
    case.demand.groups += groups
    cites = [code.cite("two_family_method" if two else "multifamily_method")]
    by_share = s.line("by_share_va", total(case.demand.values), cites=cites)
    if standard is not None and (two or not cooks):
        return s.line("optional_va", smaller(standard, by_share), cites=cites)
    return s.line("optional_va", by_share, cites=cites)


def _connected(case: Case, cooks: bool) -> list[Value]:
    """What all units have connected: area, circuits, appliances, the larger of heating and cooling."""
    s, code = case.sheet, case.house.code
    parts = general_connected(s, case.unit, code, GENERAL)
    loads = case.sorted()
    if loads.rest:
        parts.append(s.line("units_appliances_va", total(c.va for c in loads.rest)))
    parts += [value for _, value in vehicle_supply(s, code, loads.vehicle)]
    parts += [m.value for m in loads.managed]
    season = climate(s, code, loads.climate, [code.cite("multifamily_climate")])
    parts += [season.load] if season.load is not None else []
    if not cooks:
        assert case.unit.number is not None
        parts.append(s.line("units_without_cooking_va", code["multifamily_cooking"] * case.unit.number))
    return parts


def _conditions(case: Case, two: bool) -> bool:
    """Whether every unit cooks with electricity, or none; raise NotAllowed where the method isn't for the building."""
    code, groups = case.house.code, case.unit.groups
    if two and len(groups) > 1:
        raise NotAllowed(
            "the rule for two dwellings compares them with three identical units, and unlike ones are not three of a kind; "
            'the standard method serves them: [service] load_method = "standard"', code.cite("two_family_method")
        )  # fmt: skip
    climate = code.members("heating_kinds") | code.members("cooling_kinds") | code.members("heating_and_cooling_kinds")
    bare = [g.name for g in groups if not _has(case, g, climate)]
    if bare:
        raise NotAllowed("each unit needs electric heat or air conditioning; without it: " + ", ".join(bare),
                         code.cite("multifamily_method"))  # fmt: skip
    cooking = [g.name for g in groups if _has(case, g, frozenset(COOKING))]
    if cooking and len(cooking) < len(groups):
        raise NotAllowed("each unit needs electric cooking; only some have it: " + ", ".join(cooking),
                         code.cite("multifamily_method"))  # fmt: skip
    return bool(cooking)


def _has(case: Case, group: UnitGroup, kinds: frozenset[str]) -> bool:
    return any(
        c.load.kind in kinds and not c.load.fuel_burning and c.load.unit_group in (None, group.name)
        for c in case.unit.loads
    )
