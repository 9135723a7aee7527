"""The job: one house, one file."""

from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from pydantic import PrivateAttr

from calc.job.boxes import Box
from calc.job.fields import REQUIRED, Many, Part, field, parts_of
from calc.job.house import Code, Dwelling, JobCard, Scope
from calc.job.loads import Load
from calc.job.panels import Building, Grounding, Panel
from calc.job.places import keys, set_places
from calc.job.rooms import Room
from calc.job.service import Fault, LoadManagement, MeasuredDemand, Service, Source
from calc.job.walk import Alarm, Finding, Stair
from calc.job.wiring import Circuit, Raceway, Run

P = TypeVar("P", bound=Part)


class Job(Part):
    """Everything that a job file says, and nothing that is worked out from it.

    Made by `read_job` and `changed`, never by hand: they check names and presence over the whole file.
    """

    code: Code = field("Code", "edition in force", REQUIRED)
    job: JobCard = field("Job", "name, address, permit, preparer", REQUIRED)
    scope: Scope | None = field("Scope", "what the job covers; left out, what was entered")
    dwelling: Dwelling | None = field("Dwelling", "the house and its area")
    service: Service | None = field("Service", "the service of the house")
    fault: Fault | None = field("Fault current", "what the utility can deliver")
    measured_demand: MeasuredDemand | None = field("Measured demand", "a record of the highest demand")
    grounding: Grounding | None = field("Grounding", "electrodes and bonds")
    panels: Many[Panel] = field("Panels", "panels and meter-mains", ())
    buildings: Many[Building] = field("Buildings", "other buildings on the lot", ())
    sources: Many[Source] = field("Sources", "solar, battery, generator", ())
    load_management: Many[LoadManagement] = field("Load management", "systems that hold loads to a setting", ())
    loads: Many[Load] = field("Loads", "appliances, heating, cooling, motors, vehicle supply", ())
    runs: Many[Run] = field("Runs", "service, feeder and branch conductors", ())
    raceways: Many[Raceway] = field("Raceways", "raceways with what is in them", ())
    circuits: Many[Circuit] = field("Circuits", "branch circuits", ())
    boxes: Many[Box] = field("Boxes", "outlet, device and junction boxes", ())
    rooms: Many[Room] = field("Rooms", "rooms and places outdoors", ())
    stairs: Many[Stair] = field("Stairs", "stairways", ())
    alarms: Many[Alarm] = field("Alarms", "smoke and carbon monoxide alarms", ())
    findings: Many[Finding] = field("Findings", "what a person saw on the walk", ())

    _path: Path | None = PrivateAttr(None)
    _fingerprint: str = PrivateAttr("")
    _data: dict[str, Any] = PrivateAttr(default_factory=dict)

    def model_post_init(self, context: Any, /) -> None:
        """Tell every table where it stands."""
        super().model_post_init(context)
        set_places(self)

    @property
    def path(self) -> Path | None:
        """The file it was read from."""
        return self._path

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the file's bytes as read; '' for a job that was not read from a file."""
        return self._fingerprint

    @property
    def data(self) -> dict[str, Any]:
        """The job as its file says it, in the writer's own notation. Not to be changed: use `changed`."""
        return self._data

    def panel(self, name: str) -> Panel:
        """The panel of that name. KeyError names those there are."""
        return _named(self.panels, name)

    def load(self, name: str) -> Load:
        """The load of that name."""
        return _named(self.loads, name)

    def run(self, name: str) -> Run:
        """The run of that name."""
        return _named(self.runs, name)

    def circuit(self, name: str) -> Circuit:
        """The circuit of that name."""
        return _named(self.circuits, name)

    def room(self, name: str) -> Room:
        """The room of that name."""
        return _named(self.rooms, name)

    def loads_on(self, circuit: str) -> tuple[Load, ...]:
        """The loads that name this circuit, and one that names none and is called as the circuit is."""
        return tuple(load for load in self.loads if circuit in (load.circuit, load.circuit or load.name))


@cache
def part_at(at: str) -> tuple[type[Part], bool]:
    """The type of the part at a place such as 'dwelling' or 'rooms[2].walls', and whether it is a list; '' is the job.

    KeyError for a place that no job has.
    """
    part: type[Part] = Job
    many = False
    for key in keys(at):
        part, many = parts_of(part)[key]
    return part, many


def field_at(at: str) -> tuple[type[Part], str]:
    """The type of the part that has the field at a place such as 'loads[3].load_va', and the field's name.

    KeyError for a place that no job has.
    """
    outer, _, name = at.rpartition(".")
    part, _ = part_at(outer)
    if name not in part.model_fields:
        raise KeyError(f"{at} is not a place of a job file")
    return part, name


def _named(items: Iterable[P], name: str) -> P:
    by_name: dict[str, P] = {getattr(item, "name"): item for item in items}  # noqa: B009 - parts with a name
    if name not in by_name:
        raise KeyError(f"no {name!r}; there are: {', '.join(by_name) or 'none'}")
    return by_name[name]
