"""Where a run hangs in the tree of panels, and whether it carries the whole load of the dwelling."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import chain

from calc.job import Building, Job, Load, Panel, Run
from calc.job.house import UnitGroup
from calc.wiring.house import House

ACCESSORY = "accessory-dwelling"  # the kind of building that is a dwelling of its own
MOST_NAMED = 3  # of what hangs ahead of a feeder; one is enough to show it


@dataclass(frozen=True)
class Whole:
    """Whether a run carries the whole load of one dwelling, and what the tree says about it.

    ``units`` names the units of a building of which it carries one; '' for a one-family dwelling. ``accessory`` says
    that the dwelling is another one on the lot, whose load isn't that of the house.
    """

    holds: bool
    why: str
    units: str = ""
    accessory: bool = False


def live_panels(job: Job) -> list[Panel]:
    """The panels that stay or come."""
    return [panel for panel in job.panels if panel.status != "removed"]


def panel_named(job: Job, name: str | None) -> Panel | None:
    """The panel of that name, where there is one."""
    return next((panel for panel in job.panels if panel.name == name), None)


def building_of(job: Job, panel: str | None) -> Building | None:
    """The building that a panel stands in; None for the house, and where the job doesn't tell."""
    at = panel_named(job, panel)
    return next((building for building in job.buildings if at and building.name == at.building), None)


def spliced_to(job: Job, run: Run) -> bool:
    """Whether a run begins at another run, not at a panel."""
    return any(other.name == run.fed_from for other in live_runs(job))


def live_runs(job: Job) -> list[Run]:
    """The runs that the code speaks of: not removed, and not the utility's own."""
    return [run for run in job.runs if run.status != "removed" and run.role != "utility"]


def service_runs(job: Job) -> list[Run]:
    """The sets of service conductors."""
    return [run for run in live_runs(job) if run.role == "service"]


def feeding(job: Job, panel: str) -> Run | None:
    """The run that feeds a panel."""
    return next((run for run in live_runs(job) if run.feeds == panel), None)


def above(job: Job, run: Run) -> list[Panel]:
    """The panels that the run's current has passed, nearest first."""
    panels = {panel.name: panel for panel in job.panels}
    runs = {other.name: other for other in job.runs}
    found: list[Panel] = []
    name: str | None = run.fed_from
    while name is not None:
        if name in panels:
            found.append(panels[name])
            supply = feeding(job, name)
            name = supply.fed_from if supply else panels[name].fed_from
        else:
            name = runs[name].fed_from if name in runs else None
    return found


def below(job: Job, panel: str) -> set[str]:
    """The panel and every panel that it feeds."""
    found, queue = {panel}, [panel]
    while queue:
        here = queue.pop()
        fed = chain(
            (p.name for p in job.panels if p.fed_from == here and p.status != "removed"),
            (run.feeds for run in live_runs(job) if run.feeds and _begins(job, run) == here),
        )
        for name in fed:
            if name not in found and any(p.name == name for p in job.panels):
                found.add(name)
                queue.append(name)
    return found


def _begins(job: Job, run: Run) -> str | None:
    """The panel that a run comes from, through the runs that it is spliced to."""
    runs = {other.name: other for other in job.runs}
    name = run.fed_from
    while name in runs and all(panel.name != name for panel in job.panels):
        name = runs[name].fed_from
    return name


def grounds(run: Run) -> int:
    """Equipment grounds of a run: 0 where the cable has none or the job says so."""
    if run.equipment_ground != "wire":
        return int(run.equipment_ground == "raceway")
    return int(run.cable is None or bool(run.cable.ground or run.cable.bare))


def old_three_wire(house: House, run: Run) -> bool:
    """Whether a feed without ground to another building may stay as it was built."""
    building = house.told(building_of, run.feeds)
    if building is None or grounds(run) or run.status not in house.code.members("building_three_wire"):
        return False
    return building.metal_path_to_house is False and not run.ground_fault_protected


def panel_of(job: Job, load: Load) -> str | None:
    """The panel that a load's circuit comes from, where the job says it."""
    if load.panel:
        return load.panel
    return next((circuit.panel for circuit in job.circuits if circuit.name == (load.circuit or load.name)), None)


def groups_below(job: Job, panel: str) -> list[UnitGroup]:
    """The groups of dwelling units whose panels hang on this one, which is no unit's own; none where it is in a unit."""
    panels = [each for each in job.panels if each.status != "removed" and each.unit_group is not None]
    inside = below(job, panel)
    if job.dwelling is None or any(each.name == panel for each in panels):
        return []
    names = {each.unit_group for each in panels if each.name in inside}
    return [group for group in job.dwelling.units if group.name in names]


def in_dwelling(job: Job, panel: Panel) -> bool:
    """Whether a panel stands in a dwelling: in the house, or in a building that is one."""
    building = next((each for each in job.buildings if each.name == panel.building), None)
    return panel.building is None or (building is not None and building.kind == ACCESSORY)


def whole_dwelling(job: Job, run: Run) -> Whole:
    """Whether the tree shows that this run carries the whole load of one dwelling unit.

    Only what the job places is shown: a load without a panel may hang anywhere, so it shows nothing.
    """
    if run.role == "branch":
        return Whole(False, "no: a branch circuit")
    if job.dwelling is None:
        return Whole(False, "not shown: the job describes no dwelling")
    panel = next((panel for panel in job.panels if panel.name == run.feeds), None)
    if job.dwelling.kind != "one-family":
        if run.role == "service" or panel is None or panel.unit_group is None:
            return Whole(False, f"not shown: a {job.dwelling.kind} building has more than one dwelling")
        return _whole_unit(job, panel)
    if run.role == "service":
        others = [other.name for other in service_runs(job) if other.name != run.name]
        if others:
            return Whole(False, f"no: {', '.join(others)} carries a part of it")
        return Whole(True, "yes: the only service conductors of a one-family dwelling")
    if panel is None:
        return Whole(False, "no: it does not feed a panel")
    if panel.building is not None:
        return _whole_building(job, run, panel)
    beside = list(dict.fromkeys(_beside(job, run, panel.name)))
    if beside:
        return Whole(False, f"no: {_named(beside)} {'hangs' if len(beside) == 1 else 'hang'} ahead of it")
    unplaced = [load.name for load in job.loads if load.status != "removed" and panel_of(job, load) is None]
    if unplaced:
        return Whole(False, f"not shown: the job names no panel for {_named(unplaced)}")
    if not _named_on(job, below(job, panel.name)):
        return Whole(False, f"not shown: the job names nothing that {panel.name} supplies")
    rating = (job.service.main_a or job.service.rating_a) if job.service is not None else None
    if rating is not None and run.breaker_a is not None and run.breaker_a < rating:
        return Whole(False, f"not shown: its breaker of {run.breaker_a} A is smaller than the service of {rating} A")
    return Whole(True, "yes: everything is on the panel that it feeds")


def _whole_building(job: Job, run: Run, panel: Panel) -> Whole:
    """The same for the feeder of another building: one that is a dwelling, and has no other supply."""
    if not in_dwelling(job, panel):
        return Whole(False, f"no: {panel.name} stands in another building")
    inside = below(job, panel.name)
    others = [
        p.name for p in job.panels if p.building == panel.building and p.name not in inside and p.status != "removed"
    ]
    if others:
        return Whole(
            False, f"no: {_named(others)} in {panel.building} {'has' if len(others) == 1 else 'have'} another supply"
        )
    if not _named_on(job, inside):
        return Whole(False, f"not shown: the job names nothing that {panel.name} supplies")
    return Whole(True, f"yes: everything in {panel.building} is on the panel that it feeds", accessory=True)


def _named_on(job: Job, panels: set[str]) -> bool:
    """Whether the job names a load or a circuit on one of these panels; an empty panel shows nothing."""
    loads = any(load.status != "removed" and panel_of(job, load) in panels for load in job.loads)
    return loads or any(circuit.status != "removed" and circuit.panel in panels for circuit in job.circuits)


def _whole_unit(job: Job, panel: Panel) -> Whole:
    """The same for one unit of several, whose panel says which units have one like it.

    What every unit has hangs in each on the panel of that unit, so such a load may name the panel of any of them.
    """
    units = str(panel.unit_group)
    inside = below(job, panel.name)
    others = [p.name for p in job.panels if p.unit_group == units and p.name not in inside and p.status != "removed"]
    if others:
        return Whole(False, f"not shown: {', '.join(others)} is in each of {units} too")
    of_units = {p.name for p in job.panels if p.unit_group is not None}
    loads = [
        load for load in job.loads
        if load.status != "removed" and load.serves == "unit" and load.unit_group in (None, units)
    ]  # fmt: skip
    unplaced = [load.name for load in loads if panel_of(job, load) is None]
    if unplaced:
        return Whole(False, f"not shown: the job names no panel for {_named(unplaced)}")
    elsewhere = [
        load.name for load in loads
        if (at := panel_of(job, load)) not in inside and not (load.unit_group is None and at in of_units)
    ]  # fmt: skip
    if elsewhere:
        return Whole(False, f"no: {_named(elsewhere)} {'is' if len(elsewhere) == 1 else 'are'} on another panel")
    if not loads:
        return Whole(False, f"not shown: the job names no load of {units}")
    return Whole(True, f"yes: everything in one of {units} is on the panel that it feeds", units)


def _named(names: list[str]) -> str:
    """The names, or the first of many and how many more there are."""
    if len(names) <= MOST_NAMED + 1:
        return ", ".join(names)
    return f"{', '.join(names[:MOST_NAMED])} and {len(names) - MOST_NAMED} more"


def _beside(job: Job, run: Run, fed: str) -> Iterator[str]:
    """What hangs on the tree but not on the panel that the run feeds."""
    inside = below(job, fed)
    path = {panel.name for panel in above(job, run)}
    yield from (
        load.name
        for load in job.loads
        if load.status != "removed" and panel_of(job, load) not in inside and panel_of(job, load) is not None
    )
    yield from (c.name for c in job.circuits if c.status != "removed" and c.panel and c.panel not in inside)
    yield from (p.name for p in job.panels if p.status != "removed" and p.name not in inside | path)
    yield from (
        other.name
        for other in live_runs(job)
        if other.name != run.name
        and other.role != "service"
        and other.feeds not in inside | path
        and _begins(job, other) not in inside
    )


def upstream(job: Job) -> dict[str, Run | None]:
    """For each run that is not removed: the run that feeds it, or None where its supply begins."""
    runs = {run.name: run for run in job.runs if run.status != "removed"}
    panels = {panel.name: panel for panel in job.panels}
    feeding = {run.feeds: run for run in runs.values() if run.feeds in panels}

    def above(source: str | None) -> Run | None:
        while source in panels and source not in feeding:
            source = panels[source].fed_from
        return feeding[source] if source in panels else runs.get(source or "")

    return {name: above(run.fed_from) for name, run in runs.items()}


def supply_of(job: Job, run: Run) -> Run | None:
    """The run that feeds a run, or None where its supply begins."""
    return upstream(job)[run.name]


def begins_at(job: Job, run: Run) -> Run | Panel | None:
    """What keeps a run from being followed to the utility: the run or the panel that doesn't say what feeds it, or None.

    Service equipment is fed by the utility.
    """
    panels = {panel.name: panel for panel in job.panels}
    above = upstream(job)
    while (up := above[run.name]) is not None:
        run = up
    if run.fed_from is None:
        return run
    panel = panels.get(run.fed_from)
    while panel is not None and panel.fed_from is not None:
        panel = panels.get(panel.fed_from)
    return panel if panel is not None and not panel.service_equipment else None


def from_the_source(above: dict[str, Run | None]) -> list[str]:
    """Names of the runs, each after the one that feeds it."""
    ordered: list[str] = []

    def add(name: str) -> None:
        up = above[name]
        if up is not None and up.name not in ordered:
            add(up.name)
        if name not in ordered:
            ordered.append(name)

    for name in above:
        add(name)
    return ordered
