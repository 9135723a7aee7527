"""What the owner may do besides: room for one thing more, and what else stands in the way."""

from __future__ import annotations

from collections.abc import Iterator

from calc.codebook import Codebook
from calc.families.dwelling_load.headroom import room
from calc.families.dwelling_load.ways import as_it_is, names_of, present, ways
from calc.families.dwelling_load.whatif import tried
from calc.job import Job, Load
from calc.wiring.house import House
from calc.work.table import Table


def room_left(house: House) -> Table | None:
    """Of each thing that people add, the largest that still fits: on top of the house as it is today, or of a new one."""
    found = present(house)
    if found is None:
        return None
    if ways(house) is None:
        return room(house, *found, "the house as the job has it")
    today = as_it_is(house)
    return None if tried(today, *found).refused else room(today, *found, "the house as it is today")


def limits(house: House) -> Iterator[str]:
    """What else is to be known of work in an existing house: what counts as still there, the least of a charger, spaces,
    the bus, a feeder."""
    job = house.whole_job
    yield from _staying(job)
    yield from _least_of_a_charger(house.code, [load for load in job.loads if load.status == "new"])
    yield from _limits(job)


def _staying(job: Job) -> Iterator[str]:
    """What counts as still there, and until when; circuits that go, on which no load was counted."""
    removed = [load for load in job.loads if load.status == "removed"]
    if removed:
        yield (f"{names_of(removed)} {'is' if len(removed) == 1 else 'are'} to be removed: counted as there until what takes its "
               "place is in, or all or nearly all of the work is done.")  # fmt: skip
    for circuit in job.circuits:
        if circuit.status == "removed" and not job.loads_on(circuit.name):
            free = (
                f", which frees {circuit.poles} of the spaces of {circuit.panel}"
                if circuit.panel and not circuit.tandem
                else ""
            )
            yield f"The circuit {circuit.name} is to be removed{free}; the job lists no load on it, so none was counted for it."


def _least_of_a_charger(code: Codebook, new: list[Load]) -> Iterator[str]:
    """Why turning a charger down may gain nothing."""
    if code.has("vehicle_least") and any(load.kind == "ev-supply" for load in new):
        least = code["vehicle_least"]
        yield (f"However low it is locked, a charger counts {least.number:,.0f} VA at least; only energy management lets it "
               "count less.")  # fmt: skip


def _limits(job: Job) -> Iterator[str]:
    """What else can stand in the way: spaces, the bus, a feeder."""
    for panel in job.panels:
        here = {load.panel for load in job.loads if load.status == "new"}
        if panel.status == "removed" or (panel.name not in here and not panel.service_equipment):
            continue
        if panel.spaces and panel.status == "existing":
            taken = _taken(job, panel.name)
            yield f"{panel.name}: {panel.spaces} spaces, {taken:g} taken by what the job lists, {panel.spaces - taken:g} free."
        if panel.bus_a:
            yield f"{panel.name}: its bus is rated {panel.bus_a} A; a larger service needs a larger panel."
        feeder = next((run for run in job.runs if run.feeds == panel.name and run.role == "feeder"), None)
        if feeder is not None:
            size = f" with a {feeder.breaker_a} A breaker" if feeder.breaker_a else ""
            yield f"{panel.name} is fed by the feeder {feeder.name}{size}: its own load is a limit too, on its own sheet."


def _taken(job: Job, panel: str) -> float:
    """Spaces of a panel that existing circuits and feeders take."""
    circuits = [c for c in job.circuits if c.panel == panel and c.status == "existing"]
    feeders = [run for run in job.runs if run.role == "feeder" and run.fed_from == panel and run.status == "existing"]
    return sum(0.5 * c.poles if c.tandem else c.poles for c in circuits) + sum(
        3 if run.phases == 3 else 2 for run in feeders
    )
