"""The branch circuits of a job: those that it lists, and one for each load that asks for a circuit and names none."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from calc.job import Circuit, CounterOutlet, Job, Load, Outlet, Room, Run, place
from calc.wiring.house import House, remembered
from calc.wiring.reading import Counted, counted

NOT_OUTLETS = ("feeder", "spare")
GENERAL = ("general", "lighting")
REQUIRED = ("small-appliance", "laundry", "bathroom", "garage")
PLUGGED = {"receptacles", "refrigerator", "freezer", "washer"}
COOKING = ("range", "cooktop", "wall-oven")
ELECTRIC_HEAT = ("supplemental-heat", "space-heat")
LEFT_TO_OTHERS = ("shop",)
"""Kinds whose circuits are not worked out unasked: a shop is fed by a panel of its own."""


@dataclass(frozen=True)
class Branch:
    """One branch circuit with what is on it. ``planned``: the job lists the load but no circuit for it.

    ``run`` describes its conductors, where there is one; ``panel`` is where it starts from, as far as the job tells;
    ``rooms`` are those that it serves: as listed, those of its loads, and those whose outlets name it.
    """

    circuit: Circuit
    loads: tuple[Counted, ...]
    planned: bool
    run: Run | None
    panel: str | None
    rooms: tuple[Room, ...]

    def __hash__(self) -> int:
        return hash((self.circuit, self.planned))

    @property
    def name(self) -> str:
        """Its name on the schedule."""
        return self.circuit.name

    @cached_property
    def cooking(self) -> list[Counted]:
        """Electric cooking appliances on it."""
        return [c for c in self.loads if c.load.kind in COOKING and not c.load.fuel_burning]

    @cached_property
    def _outlets(self) -> list[Outlet | CounterOutlet]:
        """The receptacles that name it."""
        return [outlet for room in self.rooms for outlet in outlets_of(room) if outlet.circuit == self.name]

    @property
    def others(self) -> list[str]:
        """What is on it besides the loads that name it."""
        return [outlet for outlet in self.circuit.outlets if outlet not in ("clock", "igniter")]

    @property
    def load_unsaid(self) -> bool:
        """Whether it is an individual circuit of which the job says nothing that is on it."""
        c = self.circuit
        return c.purpose == "individual" and not (self.loads or c.outlets or c.load_va is not None)

    @property
    def shared(self) -> bool:
        """Whether it feeds more than one thing."""
        return len(self.loads) + len(self.others) > 1 or any(c.load.count > 1 for c in self.loads)

    @property
    def new_work(self) -> bool:
        """Whether this job brings it, or something on it."""
        return self.circuit.status == "new" or any(c.load.status == "new" for c in self.loads)

    @property
    def adds_outlets(self) -> bool:
        """Whether it is an existing circuit to which this job adds outlets."""
        added = self.circuit.extension_adds_outlets or any(outlet.status == "new" for outlet in self._outlets)
        return self.circuit.status == "existing" and bool(added)

    @property
    def rooms_stated(self) -> bool:
        """Whether the job says of everything on it which rooms that is in."""
        if self.circuit.rooms:
            return True
        if self._outlets:
            return not self._wired_in and all(c.load.room for c in self.loads)
        only_loads = not self.others and self.circuit.purpose not in (*GENERAL, *REQUIRED, "outdoor")
        return only_loads and bool(self.loads) and all(c.load.room for c in self.loads)

    @property
    def _wired_in(self) -> bool:
        """Whether there may be lights, fans or alarms on it, whose rooms no receptacle tells."""
        c = self.circuit
        return not {*c.outlets} <= PLUGGED or (c.purpose in GENERAL and not c.outlets)

    @property
    def has_receptacles(self) -> bool:
        """Whether cords are plugged in on it, as said or as its purpose has it."""
        c = self.circuit
        said = PLUGGED & set(c.outlets)
        if said or c.receptacle_a or c.single_receptacle or any(x.load.connected_by == "cord" for x in self.loads):
            return True
        if self._outlets:
            return True
        return c.purpose in REQUIRED or (c.purpose in ("general", "outdoor") and not c.outlets)


def at(branch: Branch, field: str) -> str:
    """Where the job states something of the circuit."""
    return f"no circuit for {branch.name} yet" if branch.planned else place(branch.circuit, field)


def outlets_of(room: Room) -> list[Outlet | CounterOutlet]:
    """The receptacles of a room, on walls and counters."""
    return [*room.outlets, *(outlet for counter in room.counters for outlet in counter.outlets)]


def alarms_on(job: Job, circuit: str) -> bool:
    """Whether an alarm names the circuit."""
    return any(alarm.circuit == circuit and alarm.status != "removed" for alarm in job.alarms)


@remembered
def branches(house: House) -> tuple[Branch, ...]:
    """The live branch circuits, in the job's order, then those that loads ask for."""
    job = house.job
    circuits = [c for c in job.circuits if c.status != "removed" and c.purpose not in NOT_OUTLETS]
    listed = [(circuit, job.loads_on(circuit.name), False) for circuit in circuits]
    asked = [(_planned(job, loads[0]), loads, True) for loads in _asking(house)]
    in_rooms = {room.name: {outlet.circuit for outlet in outlets_of(room)} for room in job.rooms}
    return tuple(_branch(job, *each, in_rooms) for each in (*listed, *asked))


def _branch(
    job: Job, circuit: Circuit, on_it: Sequence[Load], planned: bool, in_rooms: Mapping[str, set[str | None]]
) -> Branch:  # fmt: skip
    """One circuit with what is on it; ``in_rooms``: the circuits that the outlets of each room name."""
    loads = tuple(counted(on_it))
    ends = {circuit.name, *(c.load.name for c in loads)}
    run = next((r for r in job.runs if r.role == "branch" and r.status != "removed" and r.feeds in ends), None)
    names = {*circuit.rooms, *(c.load.room for c in loads)}
    rooms = tuple(
        room for room in job.rooms
        if (room.name in names or circuit.name in in_rooms[room.name]) and room.status != "removed"
    )  # fmt: skip
    named = [circuit.panel, *(c.load.panel for c in loads), run.fed_from if run else None]
    return Branch(circuit, loads, planned, run, panel_of(job, named), rooms)


def panel_of(job: Job, named: Sequence[str | None]) -> str | None:
    """The first of the panels named, else the only one that it can be."""
    panels = [panel.name for panel in job.panels if panel.status != "removed"]
    if found := [name for name in named if name in panels]:
        return found[0]
    with_spaces = [panel.name for panel in job.panels if panel.spaces and panel.status != "removed"]
    return with_spaces[0] if len(with_spaces) == 1 else panels[0] if len(panels) == 1 else None


@remembered
def general_circuits(house: House) -> int:
    """How many general circuits the job lists."""
    return sum(circuit.purpose in GENERAL and circuit.status != "removed" for circuit in house.job.circuits)


def unplaced(job: Job, found: Sequence[Branch]) -> list[Load]:
    """The live loads that are on none of these circuits."""
    on = {c.load.name for branch in found for c in branch.loads}
    return [load for load in job.loads if load.status != "removed" and load.name not in on]


def _asking(house: House) -> list[list[Load]]:
    """New loads that name no circuit and can't share one, each with the blower that runs on its circuit.

    They are those between the legs, with a nameplate circuit, or with a rule of their own. A load in several places
    is not among them: the job has to say how they are spread.
    """
    if house.job.dwelling is not None and house.job.dwelling.units:
        return []  # a unit's loads are on that unit's panel, which stands for many
    named = {c.name for c in house.job.circuits if c.status != "removed" and c.purpose not in NOT_OUTLETS}
    own = (
        house.code.members("individual_vehicle")
        | house.code.members("individual_central_heat")
        | house.code.members("individual_tub")
    )
    free = [
        load for load in house.job.loads
        if load.status == "new" and load.circuit is None and load.name not in named and load.count == 1 and load.kind not in LEFT_TO_OTHERS
        and (load.volts > 120 or load.mca_a or load.kind in own or load.individual_circuit)
    ]  # fmt: skip
    blowers = {load.name: [fan for fan in free if _blows_through(load, fan)] for load in free}
    taken = {fan.name for fans in blowers.values() for fan in fans}
    return [[load, *blowers[load.name]] for load in free if load.name not in taken]


def _blows_through(heater: Load, fan: Load) -> bool:
    """Whether the fan moves the air of this electric heat, on the same circuit."""
    together = fan.name in heater.runs_with or heater.name in fan.runs_with
    return heater.kind in ELECTRIC_HEAT and fan.kind == "fan" and together and fan.volts == heater.volts


def _planned(job: Job, load: Load) -> Circuit:
    taken = {circuit.name for circuit in job.circuits}
    name = load.name if load.name not in taken else f"{load.name} circuit"
    return Circuit(name=name, panel=load.panel, poles=1 if load.volts == 120 else 2, purpose="individual")
