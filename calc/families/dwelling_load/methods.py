"""The methods by name: each works a dwelling on a sheet of its own and, where it decides, judges the service."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from calc.families.dwelling_load.case import Case
from calc.families.dwelling_load.current import (
    current,
    lighting_circuits,
    rating,
    service,
    volts,
    whole_amperes,
    worst_leg,
)
from calc.families.dwelling_load.demand import Demand
from calc.families.dwelling_load.existing import existing, existing_rating
from calc.families.dwelling_load.management import whole_service
from calc.families.dwelling_load.measured import measured
from calc.families.dwelling_load.multifamily import building
from calc.families.dwelling_load.neutral import neutral
from calc.families.dwelling_load.optional import optional
from calc.families.dwelling_load.standard import standard
from calc.families.dwelling_load.unit import DwellingUnit
from calc.job import Job
from calc.wiring.house import House
from calc.wiring.reading import read
from calc.work import Refused, Sheet, Value, carried, larger, smaller

FAMILY = "dwelling-load"
TITLES = {
    "standard": "Dwelling load, standard method",
    "optional": "Dwelling load, optional method",
    "existing": "Dwelling load, existing dwelling",
    "measured": "Dwelling load, measured demand",
}
NAMES = {
    "standard": "standard method", "optional": "optional method", "existing": "existing-dwelling rule",
    "measured": "measured demand",
}  # fmt: skip
RULES = {name: f"{name}_method" for name in TITLES}


def rule_of(method: str, unit: DwellingUnit) -> str:
    """The rule that a method goes by for a house or a building."""
    if method == "optional" and unit.number is not None:
        return "two_family_method" if unit.number.number == 2 else "multifamily_method"
    return RULES[method]


SIZES = ("standard", "optional")
"""Methods that size a service; the others test one that is there."""


@dataclass(frozen=True)
class Worked:
    """A sheet with the groups of load that it adds up; ``decides`` where the job names its method."""

    method: str
    sheet: Sheet
    demand: Demand
    decides: bool


@dataclass(frozen=True)
class Supply:
    """What every sheet asks of the service: its voltages, its phases, and the method that the job goes by."""

    system: str
    phases: int
    method: str


def supplied(job: Job) -> Supply:
    """The supply of the dwelling; a house that states none has the usual one."""
    service = job.service
    return Supply(service.system, service.phases, service.load_method) if service else Supply("120/240", 1, "standard")


def worked(house: House, unit: DwellingUnit, method: str) -> Worked:
    """The dwelling by one method; refused on the sheet where the method gives no answer."""
    supply = house.told(supplied)
    phases = (
        supply.phases if unit.kind != "unit" else 1
    )  # two legs and neutral reach one unit of a three-phase building
    s = house.sheet(FAMILY, TITLES[method], unit.subject, manner=_manner(method, unit, phases))
    decides = method == supply.method
    demand = Demand(s)
    with s.up_to_a_refusal():
        if decides and unit.kind != "unit":
            s.find("load_method", NAMES[method], cites=[house.code.cite(rule_of(method, unit))])
        system = volts(s, house.code, supply.system, phases)
        _WORK[method](Case(house, unit, s, demand, system), decides)
    return Worked(method, s, demand, decides)


def _manner(method: str, unit: DwellingUnit, phases: int) -> tuple[str, ...]:
    """How a sheet is worked, for its words: what is true of one manner may be false of another."""
    by_method = {
        "standard": [], "optional": ["optional", "stepped"], "existing": ["stepped", "tested"], "measured": ["tested"],
    }  # fmt: skip
    if unit.kind == "building" and method == "optional":
        by_method = {"optional": ["by-share"]}
    of_unit = [*(["three-phase"] if phases == 3 else []), *(["with-accessory"] if unit.accessory else [])]
    return (*of_unit, *by_method[method])


def _standard(case: Case, decides: bool) -> None:
    load = standard(case)
    _sized(case, "standard", load, decides, case.demand.one_leg)
    neutral(case.sheet, case.house.code, case.demand, case.volts)
    if case.unit.kind != "building":
        lighting_circuits(case.sheet, case.unit, case.house.code, case.volts)


def _optional(case: Case, decides: bool) -> None:
    if decides and case.unit.kind != "unit" and case.house.job.service and case.house.job.service.work == "kept":
        case.sheet.caution("caution_sizes_new")
    totals = (
        {"optional": building(case, _by_standard(case, "standard_va"))}
        if case.unit.kind == "building"
        else optional(case)
    )
    if case.unit.kind == "unit":
        _feeder_of_unit(case, [_whole(case, prefix, load) for prefix, load in totals.items()])
        return
    for prefix, load in totals.items():
        _sized(case, prefix, load, decides)


def _feeder_of_unit(case: Case, by_optional: list[Value]) -> None:
    """What the feeder of one unit has to carry: by the method it is no less than the least of such a feeder.

    One by the standard method may be smaller than that, so it never has to carry more than the standard load.
    """
    s, code = case.sheet, case.house.code
    least = s.line("optional_least_a", larger(*by_optional, code["optional_least"]))
    by_standard = _by_standard(case, "standard_whole_a")
    feeder = least if by_standard is None else smaller(by_standard, least)
    s.line("unit_feeder_a", feeder, cites=[code.cite("optional_method")])
    s.line("unit_feeder_rating_a", code.at_least("standard_ratings", s.value("unit_feeder_a")))


def _by_standard(case: Case, key: str) -> Value | None:
    """A result by the standard method, carried from the sheet of its own; None where that is refused."""
    s = worked(case.house, case.unit, "standard").sheet
    return None if s.refused else carried(s.value(key), s.title, s.number_of(key))


def _existing(case: Case, decides: bool) -> None:
    _tested(case, "existing", existing(case), decides)


def _measured(case: Case, decides: bool) -> None:
    _tested(case, "measured", measured(case), decides)


def _whole(case: Case, prefix: str, load: Value, one_leg: list[Value] | None = None) -> Value:
    """Calculated current of the load in whole amperes."""
    held = whole_service(case.sheet, case.house, load, case.volts, prefix)
    if case.unit.one_family and case.volts.three_phase:
        amperes = worst_leg(case.sheet, prefix, held, case.volts, case.demand)
    else:
        amperes = current(case.sheet, prefix, held, case.volts, one_leg if held is load else None)
    return whole_amperes(case.sheet, case.house.code, prefix, amperes)


def _sized(case: Case, prefix: str, load: Value, decides: bool, one_leg: list[Value] | None = None) -> None:
    """The service that the load needs; where the method decides, the check of the one that the job states."""
    s, whole = case.sheet, _whole(case, prefix, load, one_leg)
    least, sold = rating(s, case.unit, case.house.code, prefix, whole)
    if not decides or case.unit.kind == "unit" or case.house.job.service is None:
        return
    remedy = f"a service of {sold.number:g} A, or less load"
    if prefix in SIZES:
        stated = service(s, case.house.job, sold)
        s.line("spare_a", stated - whole)
        s.check("service_serves", stated >= least, remedy=remedy)
    elif case.house.job.service.rating_a is not None:  # two readings: each is judged, and neither picks a service
        s.check(f"{prefix}_serves", read(case.house.job.service, "rating_a") >= least, remedy=remedy)


def _tested(case: Case, prefix: str, load: Value, decides: bool) -> None:
    """The check of the existing service; it is made whether or not the method decides, for it is the result."""
    s = case.sheet
    field, held = existing_rating(case.house.job), case.house.job.service
    assert field is not None
    assert held is not None
    if decides and held.work in ("new", "replaced"):
        raise Refused(
            "this method tests a service that stays; size a new or replaced one by the standard or the optional method",
            case.house.code.cite(RULES[prefix]),
        )
    whole = _whole(case, prefix, load)
    stated = s.line("service_rating_a", read(held, field))
    s.line("spare_a", stated - whole)
    remedy = "less load, or a new service sized by the standard or the optional method"
    s.check("service_serves", stated >= whole, remedy=remedy)


_WORK: dict[str, Callable[[Case, bool], None]] = {
    "standard": _standard, "optional": _optional, "existing": _existing, "measured": _measured,
}  # fmt: skip
