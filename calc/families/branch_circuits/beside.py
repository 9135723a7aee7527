"""Connected and demand load of a panel side by side, with what makes the difference."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from calc.families import feeder
from calc.job import Job, Load, Panel, UnitGroup
from calc.wiring.house import House
from calc.wiring.tree import below, feeding, groups_below, panel_of, whole_dwelling


@dataclass(frozen=True)
class Beside:
    """Connected load of a panel and of those behind it by nameplate, VA; its demand, VA and A, None where it isn't worked.

    ``why`` says where the demand comes from, or why there is none.
    """

    connected_va: float
    demand_va: float | None
    demand_a: float | None
    why: str


def beside(house: House, panel: Panel) -> Beside:
    """The two loads of a panel, from its nameplates and from the sheet of what feeds it."""
    connected = connected_va(house.job, panel)
    run = house.told(feeding, panel.name)
    if run is None:
        return Beside(connected, None, None, "no run that feeds it is in the job")
    worked = feeder.run_sheet(house, run)
    if "calculated_a" not in worked:
        return Beside(connected, None, None, f"the load of {run.name} is not worked")
    amperes = float(worked["calculated_a"])
    va = amperes * run.volts * (3**0.5 if run.phases == 3 else 1)
    if run.calculated_a is not None:
        return Beside(connected, va, amperes, f"as the job states it for {run.name}")
    if house.told(whole_dwelling, run).holds:
        return Beside(connected, va, amperes, "the load of the whole dwelling: its demand factors, and its area")
    if "feeder_va" in worked:
        return Beside(
            connected, va, amperes, "each group with the demand of its own rule, since not all of it runs at once"
        )
    return Beside(connected, va, amperes, f"as the sheet of {run.name} works it")


def connected_va(job: Job, panel: Panel | None = None) -> float:
    """Nameplates of the loads on a panel and behind it, and what circuits without a load say of themselves, VA.

    Without a panel: all of the job. What every unit has counts as often as units hang there.
    """
    live = [load for load in job.loads if load.status != "removed"]
    named = {load.circuit or load.name for load in live}
    circuits = [c for c in job.circuits if c.status != "removed" and c.name not in named]
    if panel is None:
        units = job.dwelling.units if job.dwelling is not None else ()
        return sum(load.total_va * _units(load, units) for load in live) + sum(c.load_va or 0 for c in circuits)
    inside = below(job, panel.name)
    on_it = sum(c.load_va or 0 for c in circuits if c.panel in inside)
    if groups := groups_below(job, panel.name):
        of_units = [load for load in live if load.serves == "unit"]
        house = [load for load in live if load.serves == "house" and panel_of(job, load) in inside]
        return (
            on_it
            + sum(load.total_va * _units(load, groups) for load in of_units)
            + sum(load.total_va for load in house)
        )
    own = [load for load in live if panel_of(job, load) in inside or _in_each(load, panel)]
    return on_it + sum(load.total_va for load in own)


def _in_each(load: Load, panel: Panel) -> bool:
    """Whether the panel is that of a unit which has the load, on whichever unit's panel the job lists it."""
    return panel.unit_group is not None and load.serves == "unit" and load.unit_group in (None, panel.unit_group)


def _units(load: Load, groups: Sequence[UnitGroup]) -> int:
    """How many of the units have the load; one where it serves the house, or the dwelling is a single one."""
    if load.serves == "house" or not groups:
        return 1
    return sum(group.count for group in groups if load.unit_group in (None, group.name))
