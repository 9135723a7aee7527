"""Where a run lies all along: as the job says, and not known where an end is outdoors and nobody said that it stays dry."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from calc.job import Job, Load, Run
from calc.job.rooms import OUTDOORS
from calc.wiring.house import House, remembered


@dataclass(frozen=True)
class Way:
    """The worst place along a run. ``known`` is False where 'dry' is all that is said and ``outdoors`` names an end."""

    location: str
    known: bool
    outdoors: str = ""


@remembered
def way(house: House, run: Run) -> Way:
    """The way of a run. 'dry' left as it is says nothing of the ends: with one outdoors the way isn't known."""
    if run.location not in ("dry", "dry-throughout"):
        return Way(run.location, True)
    ends = [*begins_outdoors(house.job, run), *ends_outdoors(house, run.feeds)]
    return Way("dry", run.location == "dry-throughout" or not ends, " and ".join(ends))


def begins_outdoors(job: Job, run: Run) -> Iterator[str]:
    """The beginning of a run, in words, where that is outdoors: at the utility's end of a service, or at a panel."""
    if run.role == "service" and run.fed_from == "utility":
        yield "the utility's end"
    if run.fed_from is not None and panel_outdoors(job, run.fed_from):
        yield run.fed_from


def between_buildings(job: Job, run: Run) -> bool:
    """Whether a run may cross the lot in the earth: from the utility, unless overhead, or from one building to another."""
    if run.role == "service":
        return run.fed_from == "utility" and (job.service is None or job.service.supply != "overhead")
    building = {panel.name: panel.building for panel in job.panels}
    ends = (run.fed_from, run.feeds)
    return all(end in building for end in ends) and len({building[end] for end in ends if end}) > 1


@remembered
def ends_outdoors(house: House, fed: str | None) -> tuple[str, ...]:
    """What a run feeds, where it stands outdoors: a panel, or loads and rooms by name or by circuit."""
    if fed is None:
        return ()
    panel = [fed] if house.told(panel_outdoors, fed) else []
    loads = [load for load in house.job.loads if fed in (load.name, load.circuit) and load.status != "removed"]
    outside = [load.name for load in loads if _outdoors(house, load)]
    circuit = next((circuit for circuit in house.job.circuits if circuit.name == fed), None)
    rooms = [room for room in (circuit.rooms if circuit else ()) if _room_outdoors(house.job, room)]
    return (*panel, *outside, *rooms)


def panel_outdoors(job: Job, name: str | None) -> bool:
    """Whether a panel stands outdoors, by its place or by its room."""
    panel = next((panel for panel in job.panels if panel.name == name), None)
    return panel is not None and (panel.location == "outdoors" or _room_outdoors(job, panel.room))


def _outdoors(house: House, load: Load) -> bool:
    """Whether a load stands outdoors: as said, by its room, or as its kind does as a rule."""
    if load.outdoors is not None:
        return load.outdoors
    return _room_outdoors(house.job, load.room) if load.room else load.kind in house.code.members("outdoor_kinds")


def _room_outdoors(job: Job, name: str | None) -> bool:
    return any(room.name == name and room.use in OUTDOORS for room in job.rooms)
