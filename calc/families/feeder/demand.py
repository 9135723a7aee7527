"""The load of a feeder by what hangs on it: the units of a building, or a part of a house, each with its demand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from calc.families.dwelling_load.case import Case
from calc.families.dwelling_load.current import PHASES, Volts
from calc.families.dwelling_load.demand import Demand
from calc.families.dwelling_load.multifamily import building
from calc.families.dwelling_load.standard import by_demand, in_steps, standard
from calc.families.dwelling_load.unit import part, units_together
from calc.job import Building, Circuit, Job, Load, Run, place
from calc.wiring.house import House
from calc.wiring.reading import counted, read
from calc.wiring.tree import ACCESSORY, below, groups_below, in_dwelling, live_runs, panel_of
from calc.work import Sheet, Value, given, root, total

LIT = frozenset({"general", "lighting"})
BY_AREA = LIT | {"bathroom", "garage", "outdoor"}
STEPPED = {"small-appliance": "small_appliance_circuit", "laundry": "laundry_circuit"}
NO_LOAD = frozenset({"feeder", "spare"})  # purposes: the breaker of a feeder, whose loads are counted, and a spare


@dataclass(frozen=True)
class Gap:
    """What hangs on a feeder and isn't told: the entry that would tell, in words, and where it goes.

    ``may_be_nothing`` where the rest is the whole load if the entry turns out to be nothing.
    """

    entry: str
    at: str
    may_be_nothing: bool = False


def fed_loads(job: Job, run: Run) -> list[Load]:
    """The loads that the run feeds, as far as the job names them."""
    if run.feeds is None:
        return []
    if any(circuit.name == run.feeds for circuit in job.circuits):
        return [load for load in job.loads_on(run.feeds) if load.status != "removed"]
    if any(load.name == run.feeds for load in job.loads):
        return [job.load(run.feeds)]
    inside = below(job, run.feeds)
    return [load for load in job.loads if panel_of(job, load) in inside and load.status != "removed"]


def anything(job: Job, run: Run) -> bool:
    """Whether the job names anything with a load on the panel that the run feeds."""
    return bool(groups_below(job, str(run.feeds)) or fed_loads(job, run) or _circuits(job, run) or _areas(job, run))


def gaps(job: Job, run: Run) -> list[Gap]:
    """The entries without which the job doesn't tell all of the load that hangs on the panel that the run feeds."""
    if groups_below(job, str(run.feeds)):
        return []
    listed, lit = _circuits(job, run), _areas(job, run)
    if not listed and not lit and run.served_area_ft2 is None:
        return [Gap("the floor area whose lighting and receptacles it feeds, 0 for none, or its circuits",
                    place(run, "served_area_ft2"), may_be_nothing=True)]  # fmt: skip
    return [
        Gap(f"the load of the circuit {circuit.name}, or the floor area that the run serves", place(circuit, "load_va"))
        for circuit in listed if not _told(job, circuit) and not _by_area(job, circuit, lit)
    ]  # fmt: skip


def panel_load(sheet: Sheet, house: House, run: Run) -> Value:
    """Print the current of what hangs on the panel that the run feeds, as far as the job tells it, and what it doesn't."""
    between = read(run, "volts", "voltage of the run")
    whole = sheet.line("three_phase_v", root(PHASES) * between) if run.phases == 3 else between
    volts = Volts(between, between, between, whole, from_wye=False)  # of two legs of a wye all between them: errs high
    groups = house.told(groups_below, str(run.feeds))
    if groups:
        own = [load for load in house.told(fed_loads, run) if load.serves == "house"]
        unit = units_together(house.job, groups, own, run.name)
        va = _of_units(Case(house, unit, sheet, Demand(sheet), volts))
    else:
        va = _of_part(sheet, house, run, volts)
    for number, gap in enumerate(house.told(gaps, run), 1):
        sheet.unknown("feeder_load_known", missing=gap.entry, at=gap.at, item=f"{number}")
    if volts.three_phase and not groups:
        sheet.unknown("legs_known", missing="the current of its most loaded leg", at=place(run, "calculated_a"))
    return sheet.line("calculated_a", va / volts.whole)


def _of_units(case: Case) -> Value:
    """Dwelling units that a feeder carries together, by the method of the service where that is for several units."""
    service, number = case.house.job.service, case.unit.number
    optional = service is not None and service.load_method == "optional"
    return building(case, None) if optional and number is not None and number.number > 1 else standard(case)


def _of_part(sheet: Sheet, house: House, run: Run, volts: Volts) -> Value:
    """A part of a house with the demand of each group; of a building that is no dwelling everything in full."""
    demand = Demand(sheet)
    _circuits_va(sheet, house, run, demand)
    panel = next(panel for panel in house.job.panels if panel.name == run.feeds)
    case = Case(house, part(run.name, counted(house.told(fed_loads, run))), sheet, demand, volts)
    by_demand(case, house.told(in_dwelling, panel))
    return sheet.line("feeder_va", total(demand.values))


def _circuits_va(sheet: Sheet, house: House, run: Run, demand: Demand) -> None:
    """Lighting by area and the circuits that count with it through the demand steps; the rest of circuits in full."""
    listed, lit = house.told(_circuits, run), house.told(_areas, run)
    inside = [circuit for circuit in listed if _in_dwelling(house.job, circuit)]
    stepped = [sheet.line("general_lighting_va", total(lit.values(), "ft2") * house.code["unit_load"])] if lit else []
    stepped += _counted(house, inside, house.told(_accessory, run))
    if stepped:
        in_steps(sheet, house.code, stepped, demand)
    full = _counted(house, [circuit for circuit in listed if circuit not in inside])
    full += [
        read(circuit, "load_va", f"load of {circuit.name}") for circuit in listed
        if circuit.load_va is not None and circuit.purpose not in STEPPED and not _by_area(house.job, circuit, lit)
    ]  # fmt: skip
    if full:
        demand.add("circuits", [], sheet.line("circuits_va", total(full)))


def _counted(house: House, circuits: Sequence[Circuit], dwellings: Sequence[Building] = ()) -> list[Value]:
    """Small-appliance and laundry circuits, each at what the code counts for one; a dwelling has no fewer than it states."""
    found = []
    for purpose, rule in STEPPED.items():
        alike = [house.told(_building, circuit.panel) for circuit in circuits if circuit.purpose == purpose]
        unlisted = [over_listed for each in dwellings
                    if (over_listed := getattr(each, f"{rule}s") - alike.count(each.name)) > 0]  # fmt: skip
        if alike:
            found.append(given(f"{purpose} circuits on it", len(alike), "circuit", "circuits") * house.code[rule])
        if unlisted:
            at = place(dwellings[0], f"{rule}s")
            found.append(given(f"{purpose} circuits not listed", sum(unlisted), "circuit", at) * house.code[rule])
    return found


def _accessory(job: Job, run: Run) -> list[Building]:
    """The accessory dwellings on the run whose floor area the job gives."""
    names = {_building(job, panel) for panel in below(job, str(run.feeds))}
    return [each for each in job.buildings if each.name in names and each.kind == ACCESSORY and each.floor_area_ft2]


def _areas(job: Job, run: Run) -> dict[str | None, Value]:
    """The floor areas whose lighting hangs on the run, by building, the house itself under None.

    That of the run's own building is as the run says, or that of the house where no lighting of the house hangs
    elsewhere; other dwellings below it are as their own runs or the buildings say. What the job doesn't tell is left out.
    """
    inside, own = below(job, str(run.feeds)), _building(job, run.feeds)
    beyond = [each for each in live_runs(job) if each.feeds in inside and _building(job, each.feeds) != own]
    stated = [each for each in (run, *beyond) if each.served_area_ft2]
    found = {_building(job, e.feeds): read(e, "served_area_ft2", f"floor area that {e.name} serves") for e in stated}
    for each in _accessory(job, run):
        found.setdefault(each.name, read(each, "floor_area_ft2", f"floor area of {each.name}"))
    dwelling = job.dwelling
    if own is None and run.served_area_ft2 is None and dwelling is not None and dwelling.floor_area_ft2 is not None:
        lit = [
            c for c in job.circuits if c.status != "removed" and c.purpose in LIT and _building(job, c.panel) is None
        ]
        if lit and all(circuit.panel in inside for circuit in lit):
            found[None] = read(dwelling, "floor_area_ft2")
    return found


def _building(job: Job, panel: str | None) -> str | None:
    """The building that a panel stands in; None for the house, and where the job doesn't tell."""
    return next((each.building for each in job.panels if each.name == panel), None)


def _circuits(job: Job, run: Run) -> list[Circuit]:
    """The circuits on the panel that the run feeds and on those below that have a load of their own."""
    inside = below(job, str(run.feeds))
    return [c for c in job.circuits if c.panel in inside and c.status != "removed" and c.purpose not in NO_LOAD]


def _told(job: Job, circuit: Circuit) -> bool:
    """Whether the load of a circuit is known by itself: stated, counted by the code, or that of the loads on it."""
    if circuit.load_va is not None or circuit.purpose in STEPPED:
        return True
    named = any(
        load.circuit == circuit.name or load.name == circuit.name for load in job.loads if load.status != "removed"
    )
    return named and circuit.purpose not in BY_AREA


def _by_area(job: Job, circuit: Circuit, lit: Mapping[str | None, Value]) -> bool:
    """Whether the lighting by floor area stands for what is on a circuit: general outlets of a dwelling."""
    general = circuit.purpose in BY_AREA or (circuit.purpose == "individual" and bool(circuit.outlets))
    return general and _in_dwelling(job, circuit) and _building(job, circuit.panel) in lit


def _in_dwelling(job: Job, circuit: Circuit) -> bool:
    return any(panel.name == circuit.panel and in_dwelling(job, panel) for panel in job.panels)
