"""What a job covers: the calculations, places and kinds of work that it claims something about.

`[scope] covers` says so. Left out, the job covers what was entered, and claims nothing about the rest.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, partial
from pathlib import Path
from typing import Any

import tomli

from calc.families import families
from calc.job import Job, Run, not_known
from calc.wiring.places import names_of, places
from calc.work import Sheet

DATA = Path(__file__).parent / "scope.toml"
MOST_NAMED = 3


@dataclass(frozen=True)
class Item:
    """One thing that the job covers.

    ``asks`` are the calculations it can't do without, ``also`` those it takes where the job has parts for them;
    ``about`` are the entries of the job that it is about, by name; None for all of them. Calculations in ``whole`` are
    about the house as one, and are covered whatever entry their sheet is headed by. ``parts`` are the tables of the job
    that a calculation could be worked without, ``rooms`` the places that a dwelling always has, each by one of its uses;
    the item covers them all the same.
    """

    title: str
    asks: tuple[str, ...]
    also: tuple[str, ...] = ()
    about: frozenset[str] | None = None
    whole: tuple[str, ...] = ()
    parts: Mapping[str, Sequence[str]] = field(default_factory=dict, hash=False)
    rooms: Mapping[str, Sequence[Sequence[str]]] = field(default_factory=dict, hash=False)

    def covers(self, family: str, sheet: Sheet) -> bool:
        """Whether a sheet of a calculation belongs to it."""
        if family not in (*self.asks, *self.also):
            return False
        return (
            self.about is None
            or family in self.whole
            or not self.about.isdisjoint(names_of(sheet.subject))
            or sheet.subject == self.title
        )


@dataclass(frozen=True)
class Scope:
    """What a job covers, and whether the job says so itself."""

    items: tuple[Item, ...]
    stated: bool

    @property
    def title(self) -> str:
        """'House', 'Service, Kitchen', 'Load calculation'; of many calculations that were entered, no list."""
        if not self.stated and len(self.items) > MOST_NAMED:
            return "What was entered"
        return ", ".join(item.title for item in self.items) or "Nothing"

    def covers(self, family: str, sheet: Sheet) -> bool:
        """Whether a sheet is within it."""
        return any(item.covers(family, sheet) for item in self.items)

    @property
    def calculations(self) -> frozenset[str]:
        """The families that it has anything to do with."""
        return frozenset(name for item in self.items for name in (*item.asks, *item.also))


def scope_of(job: Job) -> Scope:
    """What the job covers. JobError where it names something that is neither known nor in the job."""
    if job.scope is None or not job.scope.covers:
        return Scope(tuple(_entered(job)), stated=False)
    known = {name.lower(): make for name, make in _known(job)}
    for number, said in enumerate(job.scope.covers):
        if said.lower() not in known:
            raise not_known(job, ("scope", "covers", number), said, [name for name, _ in _known(job)])
    return Scope(tuple(known[said.lower()]() for said in dict.fromkeys(job.scope.covers)), stated=True)


def _known(job: Job) -> Iterator[tuple[str, Callable[[], Item]]]:
    """Everything that the scope of this job may name, the least particular last: a room called 'House' is that room."""
    yield "house", lambda: _kind("house")
    yield "service", lambda: _kind("service", _of_service(job))
    yield "new-circuits", lambda: _kind("new-circuits", _of_new_circuits(job))
    for name in families():
        yield name, partial(Item, _called(name), (name,))
    for place in (*(p.name for p in job.panels), *(b.name for b in job.buildings), *(r.name for r in job.rooms)):
        yield place, partial(_place, job, place)


def _entered(job: Job) -> Iterator[Item]:
    """The calculations whose own parts the job has."""
    for name, family in families().items():
        if not family.needs(job) and _ENTERED.get(name, bool)(job):
            yield Item(_called(name), (name,))


_ENTERED: dict[str, Callable[[Job], bool]] = {
    # not a load alone, for which a circuit would have to be laid
    "branch-circuits": lambda job: bool(job.circuits),
    # not a room that is only named as the place of something
    "receptacles": lambda job: bool(job.stairs) or any(r.walls or r.counters or r.outlets for r in job.rooms),
    # not a service that is only stated for its load
    "rough-in": lambda job: bool(job.panels or job.buildings or job.boxes),
}
"""What has to be there before a calculation counts as entered, where its own needs are too easily met."""


def _called(name: str) -> str:
    """What a page calls a calculation that is covered."""
    title: str = _data()["entered"].get(name, families()[name].TITLE)
    return title


@cache
def _data() -> dict[str, dict[str, Any]]:
    return tomli.loads(DATA.read_text(encoding="utf-8"))


def _kind(name: str, about: Iterable[str] | None = None) -> Item:
    data = _data()[name]
    known = families()
    asks, also = (tuple(each for each in data[part] if each in known) for part in ("asks", "also"))
    return Item(
        data["title"],
        asks,
        also,
        None if about is None else frozenset(about),
        tuple(data.get("whole", ())),
        data.get("parts", {}),
        data.get("rooms", {}),
    )


def _place(job: Job, name: str) -> Item:
    """A room, building or panel, with all that is in it, fed from it or feeds it."""
    about = {entry for entry, where in places(job).items() if name in where} | {name}
    about |= {room.name for room in job.rooms if room.building == name}
    about |= {panel.name for panel in job.panels if name in (panel.building, panel.room)}
    about |= {circuit.name for circuit in job.circuits if circuit.panel in about or about.intersection(circuit.rooms)}
    about |= {load.name for load in job.loads if load.circuit in about or load.panel in about or load.room in about}
    about |= {run.name for run in job.runs if run.feeds in about}
    about |= {box.name for box in job.boxes if box.room in about}
    data = _data()["place"]
    known = families()
    asks, also = (tuple(each for each in data[part] if each in known) for part in ("asks", "also"))
    if any(room.name == name for room in job.rooms):
        asks, also = (*asks, "receptacles"), tuple(each for each in also if each != "receptacles")
    return Item(name, asks, also, frozenset(about))


def _of_service(job: Job) -> set[str]:
    """The job itself, its service runs, and the panels with the service disconnect."""
    runs: list[Run] = [run for run in job.runs if run.role == "service"]
    panels = {panel.name for panel in job.panels if panel.service_equipment or panel.fed_from == "utility"}
    return {job.job.name, *panels, *(name for run in runs for name in (run.name, run.feeds) if name)}


def _of_new_circuits(job: Job) -> set[str]:
    """New circuits, the loads and runs on them."""
    circuits = {circuit.name for circuit in job.circuits if circuit.status == "new"}
    loads = {load.name for load in job.loads if load.circuit in circuits or (load.status == "new" and not load.circuit)}
    return circuits | loads | {run.name for run in job.runs if run.feeds in circuits | loads}
