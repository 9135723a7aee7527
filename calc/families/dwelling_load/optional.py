"""The optional method of one dwelling unit: one sum in two steps, and heating or cooling beside it."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.dwelling_load.case import Case, Loads, NotAllowed
from calc.families.dwelling_load.climate import Share, climate
from calc.families.dwelling_load.demand import Group
from calc.families.dwelling_load.standard import general_connected
from calc.families.dwelling_load.vehicle import vehicle_supply
from calc.job import place
from calc.wiring.reading import Counted
from calc.work import Sheet, Value, constant, given, tiers, total

GENERAL = ("optional_unit_load", "optional_circuit", "optional_circuit")
ONE = constant("one heater", 1, "")
READINGS = {
    "in the steps": {"optional": True},
    "in full": {"optional": False},
    "unsettled": {"optional_inside": True, "optional_outside": False},
}
"""Where vehicle supply stands, by the edition's method: beginnings of result names, and whether it is in the steps."""


def optional(case: Case) -> dict[str, Value]:
    """Total load in VA by beginning of its result name: one, or two where the edition's reading is unsettled."""
    _eligible(case)
    s, code = case.sheet, case.house.code
    loads = case.sorted()
    connected = general_connected(s, case.unit, code, GENERAL)
    if loads.rest:
        cites = [code.cite("optional_general")]
        connected.append(s.line("optional_appliances_va", total(c.va for c in loads.rest), cites=cites))
    connected += [m.value for m in loads.managed if not m.vehicles_only and not m.holds_climate]
    vehicles = [value for _, value in vehicle_supply(s, code, loads.vehicle)]
    vehicles += [m.value for m in loads.managed if m.vehicles_only]
    beside = _beside(case, loads)
    cites = [code.cite("optional_vehicle")] if vehicles else []
    totals: dict[str, Value] = {}
    for prefix, inside in READINGS[code.method("optional_vehicle") if vehicles else "in the steps"].items():
        summed = s.line(f"{prefix}_general_va", total([*connected, *(vehicles if inside else [])]), cites=cites)
        demand = s.line(f"{prefix}_general_demand_va", tiers(summed, code.bands("optional_steps")))
        case.demand.groups.append(Group(prefix, loads.free if not totals else [], demand))
        parts = [demand, *(group.value for group in beside), *(vehicles if not inside else [])]
        totals[prefix] = s.line(f"{prefix}_va", total(parts), cites=[code.cite("optional_method")])
    case.demand.groups += beside
    return totals


def _eligible(case: Case) -> None:
    least = case.house.code["optional_least"]
    if case.unit.accessory:
        raise NotAllowed(
            "the optional method is for one dwelling, and an accessory dwelling on the same service makes two; the standard "
            'method serves them: [service] load_method = "standard"', *least.cites,
        )  # fmt: skip
    if case.volts.three_phase:
        raise NotAllowed(
            "the optional method is for a service of three wires, and three phases have four; the standard method serves: "
            '[service] load_method = "standard"', *least.cites,
        )  # fmt: skip
    rating_a = case.house.job.service.rating_a if case.unit.one_family and case.house.job.service else None
    if rating_a is not None and rating_a < least.number:
        raise NotAllowed(
            f"the optional method needs a service of {least.number:g} A or more; this one has {rating_a} A",
            *least.cites,
        )


def _beside(case: Case, loads: Loads) -> list[Group]:
    """What stands outside the steps: heating or cooling, and managed systems that hold any of it."""
    code = case.house.code
    share = _share(case.sheet, code, loads.climate)
    season = climate(case.sheet, code, loads.climate, [code.cite("optional_climate")], share)
    found = [Group("climate", season.running, season.load)] if season.load is not None else []
    return [*found, *(Group("managed", m.loads, m.value) for m in loads.managed if m.holds_climate)]


def _share(sheet: Sheet, code: Codebook, loads: list[Counted]) -> Share:
    """What the optional method takes of each kind of heating and cooling."""
    pumps = [c for c in loads if c.load.kind in code.members("heating_and_cooling_kinds")]
    electric = [
        c for c in loads
        if c.load.kind in code.members("heating_kinds") and not c.load.fuel_burning and not c.load.thermal_storage
    ]  # fmt: skip
    beside_pump = [c for c in electric if pumps and c.load.kind == "supplemental-heat"]
    heaters = [c for c in electric if c not in beside_pump]
    percent = None
    if heaters:
        each = [given(f"{c.load.name} (zones)", c.load.zones, "", place(c.load, "heat_zones")) for c in heaters]
        zones = sheet.line("heat_zones", total(each))
        percent = sheet.line("electric_heat_pct", code.row("optional_heat", zones=zones)["demand_pct"])
        unsaid = [c.load.name for c in heaters if c.load.heat_zones is None]
        if unsaid and percent.number < code.row("optional_heat", zones=ONE)["demand_pct"].number:
            sheet.remark("note_heat_zones", loads=", ".join(unsaid))
    if pumps and heaters:
        sheet.remark("note_heating_added_up")

    def share(counted: Counted) -> Value:
        if counted in beside_pump:
            return counted.va * code["optional_supplemental"]
        return counted.va * percent if percent is not None and counted in heaters else counted.va

    return share
