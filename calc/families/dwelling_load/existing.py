"""Does the service that an existing dwelling has carry what is added? A test; it sizes nothing."""

from __future__ import annotations

from calc.families.dwelling_load.case import Case, NotAllowed
from calc.families.dwelling_load.climate import climate
from calc.families.dwelling_load.demand import Group
from calc.families.dwelling_load.standard import general_connected
from calc.families.dwelling_load.vehicle import vehicle_supply
from calc.job import Job
from calc.wiring.reading import Counted
from calc.work import Missing, Value, tiers, total

GENERAL = ("existing_unit_load", "existing_circuit", "existing_circuit")


def existing(case: Case) -> Value:
    """Load in VA of the dwelling with what is added, by the rule for existing dwellings."""
    s, code = case.sheet, case.house.code
    tested(case, "existing_method")
    if case.unit.accessory:
        raise NotAllowed("this rule is for one dwelling, and an accessory dwelling on the same service makes two",
                         code.cite("existing_method"))  # fmt: skip
    if case.volts.three_phase:
        raise NotAllowed("this rule is for a service of three wires, and three phases have four",
                         code.cite("existing_method"))  # fmt: skip
    steps = code.bands("existing_steps")
    s.caution("caution_tests_existing")
    loads = case.sorted()
    connected = general_connected(s, case.unit, code, GENERAL)
    if loads.rest:
        connected.append(s.line("existing_appliances_va", total(c.va for c in loads.rest)))
    vehicles = [value for _, value in vehicle_supply(s, code, loads.vehicle)]
    vehicles += [m.value for m in loads.managed if m.vehicles_only]
    connected += [m.value for m in loads.managed if not m.vehicles_only and not m.holds_climate]
    in_full = bool(vehicles) and code.method("existing_vehicle") == "in full"
    connected += [] if in_full else vehicles
    in_steps, beside = _climate(case, loads.climate)
    summed = s.line("existing_general_va", total([*connected, *(c.va for c in in_steps)]))
    demand = s.line("existing_general_demand_va", tiers(summed, steps))
    groups = [Group("existing", [*loads.free, *in_steps], demand), *beside]
    groups += [Group("managed", m.loads, m.value) for m in loads.managed if m.holds_climate]
    groups += [Group("vehicle", [], value) for value in vehicles if in_full]
    case.demand.groups += groups
    cites = [code.cite("existing_method"), *([code.cite("existing_vehicle")] if vehicles else [])]
    return s.line("existing_va", total(case.demand.values), cites=cites)


def tested(case: Case, rule: str) -> None:
    """Raise NotAllowed where there is no existing one-family dwelling to be tested, Missing where its rating isn't stated."""
    job, cite = case.house.job, case.house.code.cite(rule)
    if job.dwelling is None or job.dwelling.status != "existing" or not case.unit.one_family:
        raise NotAllowed("this tests the service of one existing dwelling, which the job is not", cite)
    if existing_rating(job) is None:
        raise Missing(
            f"the rating of the existing service is not stated ({_field(job)})", cite, at=f"service.{_field(job)}"
        )


def existing_rating(job: Job) -> str | None:
    """The field of the service that holds the rating of what is there now; None where none is stated."""
    return _field(job) if job.service and getattr(job.service, _field(job)) is not None else None


def _field(job: Job) -> str:
    return "replaces_a" if job.service and job.service.work == "replaced" else "rating_a"


def _climate(case: Case, loads: list[Counted]) -> tuple[list[Counted], list[Group]]:
    """Heating and cooling: the loads that go into the steps, and the group that stands beside them."""
    s, code = case.sheet, case.house.code
    added = [c.load.name for c in loads if c.load.status == "new"]
    if code.method("existing_heat_cool") == "in the steps":
        return loads, []
    if added:
        cites = [code.cite("existing_heat_cool")]
        s.find("existing_case", f"heating or cooling is added: {', '.join(added)}", cites=cites)
    else:
        cites = [code.cite("existing_unchanged")]
        s.find("existing_case", "no heating or cooling is added", cites=cites)
        reading = case.house.job.code.readings.existing_heat_cool
        if loads:
            s.remark(f"note_existing_{reading}")
        if reading != "larger-at-100-pct":
            return (loads, []) if reading == "both-at-40-pct" else ([], [])
    if sum(c.load.zones for c in loads if c.load.kind == "space-heat") >= code["existing_zone_heaters"].number:
        cites.append(code.cite("existing_zone_heaters"))
    load, running, _ = climate(s, code, loads, cites)
    return [], [Group("climate", running, load)] if load is not None else []
