"""Circuits that contradict what hangs on them, the run that feeds them, or what the dwelling states of them."""

from __future__ import annotations

from collections.abc import Iterator

from calc.job.boxes import Box
from calc.job.cables import Conductors
from calc.job.loads import Load
from calc.job.model import Job
from calc.job.plausible.names import alike
from calc.job.plausible.notice import Found, Odd, live
from calc.job.rooms import CounterOutlet, Outlet, Room
from calc.job.walk import Alarm
from calc.job.wiring import Circuit

LENGTHS_APART = 1.1
"""How far two lengths of one circuit may lie apart before one of them is odd. Common practice, no source."""


def _without_load(job: Job) -> Found:
    """An individual circuit that nothing hangs on, though the job says elsewhere what hangs on its circuits."""
    if not any(load.circuit for load in job.loads):
        return
    taken = {load.circuit or load.name for load in job.loads}
    named = [load.name for load in live(job.loads)]
    for circuit in live(job.circuits):
        if circuit.purpose != "individual" or circuit.name in taken or circuit.outlets or circuit.load_va is not None:
            continue
        if not any(alike(name, circuit.name) for name in named):  # said at that load
            yield Odd(
                circuit, "purpose", "no load and no outlet names this circuit", "a load that does not name it yet"
            )


def _neutrals(job: Job) -> Found:
    """A receptacle of two voltages on a cable of two wires."""
    for box in live(job.boxes):
        kinds = {device.kind for device in box.devices} & {"range-receptacle", "dryer-receptacle"}
        if kinds and box.cables and all(len(cable.wires) < 3 for cable in box.cables):
            named = " and a ".join(sorted(kinds)).replace("-", " ")
            yield Odd(box, "cables", f"two wires and no neutral, for a {named}", "three wires")


def _runs(job: Job) -> Found:
    """A run and the circuit that it feeds speak of the same wire."""
    circuits = {circuit.name: circuit for circuit in job.circuits}
    for run in live(job.runs):
        circuit = circuits.get(run.feeds or "")
        if circuit is None:
            continue
        if run.length_ft and circuit.length_ft and _apart(run.length_ft, circuit.length_ft):
            yield Odd(
                circuit,
                "length_ft",
                f'its run "{run.name}" has {run.length_ft:,g} ft',
                "a digit slipped, or feet and metres were mixed",
            )
        if run.cable and circuit.cable and not _same_wire(run.cable, (circuit.cable, *circuit.other_cables)):
            yield Odd(circuit, "cable", f'its run "{run.name}" is {run.cable}', "the other cable, under other cables")
        if circuit.panel and run.fed_from != circuit.panel and run.fed_from in {panel.name for panel in job.panels}:
            yield Odd(run, "fed_from", f'circuit "{circuit.name}" starts from {circuit.panel}')
        if circuit.poles == 2 and run.volts == 120:
            yield Odd(run, "volts", f'circuit "{circuit.name}" has two poles', "240 or 208 V")
        if circuit.poles == 1 and run.volts != 120:
            yield Odd(run, "volts", f'circuit "{circuit.name}" has one pole', "120 V")


def _apart(one: float, other: float) -> bool:
    return max(one, other) > LENGTHS_APART * min(one, other)


def _same_wire(cable: Conductors, others: tuple[Conductors, ...]) -> bool:
    return any((cable.size, cable.material) == (other.size, other.material) for other in others)


def _filed(job: Job) -> Found:
    for circuit in live(job.circuits):
        if "washer" in circuit.outlets and circuit.purpose not in ("laundry", "individual"):
            yield Odd(circuit, "purpose", "a washer is on it", "laundry")
        if circuit.load_va is not None and any(live(job.loads_on(circuit.name))):
            yield Odd(circuit, "load_va", "loads name this circuit, and they are what counts", "left out")
        if circuit.panel is None and any(other.panel for other in job.circuits) and _alone_outside(job, circuit):
            yield Odd(circuit, "panel", "the other circuits have their panels")


def _alone_outside(job: Job, circuit: Circuit) -> bool:
    return sum(other.panel is None for other in live(job.circuits)) * 4 <= len(job.circuits)


def _outlets(job: Job) -> Iterator[tuple[Room, Outlet | CounterOutlet]]:
    for room in live(job.rooms):
        yield from ((room, outlet) for outlet in live(room.outlets))
        yield from ((room, outlet) for counter in room.counters for outlet in live(counter.outlets))


def _rooms(job: Job) -> Found:
    """An outlet, a box or a load in a room that its circuit does not serve."""
    circuits = {circuit.name: circuit for circuit in job.circuits if circuit.rooms}
    for room, outlet in _outlets(job):
        circuit = circuits.get(outlet.circuit or "")
        if circuit and room.name not in circuit.rooms:
            yield Odd(outlet, "circuit", f"it serves {', '.join(circuit.rooms)}", f"{room.name} among its rooms")
    placed: list[Box | Load] = [*live(job.boxes), *live(job.loads)]
    for part in placed:
        circuit = circuits.get(part.circuit or "")
        if circuit and part.room and part.room not in circuit.rooms:
            yield Odd(part, "room", f'its circuit "{circuit.name}" serves {", ".join(circuit.rooms)}')


def _beside_one(job: Job) -> Found:
    """An alarm or more receptacles than cords on the circuit of one appliance."""
    alone = {c.name: [*live(job.loads_on(c.name))] for c in live(job.circuits) if c.purpose == "individual"}
    for alarm in live(job.alarms):
        if on_it := alone.get(alarm.circuit or ""):
            yield Odd(alarm, "circuit", f"it is the individual circuit of {on_it[0].name}", "a lighting circuit")
    for circuit in live(job.circuits):
        on_it = alone.get(circuit.name, [])
        plain = [o for _, o in _outlets(job) if o.circuit == circuit.name and o.status == "new" and not o.dedicated]
        cords = sum(load.count for load in on_it if load.connected_by != "hardwired")
        if on_it and len(plain) > cords:
            said = f"it is the individual circuit of {on_it[0].name}"
            yield Odd(plain[-1], "circuit", f"{said}, and {len(plain)} receptacles name it", "another circuit")


def _removed(job: Job) -> Found:
    """What stays or comes on a circuit that goes."""
    gone = {circuit.name for circuit in job.circuits if circuit.status == "removed"}
    placed: list[Load | Box | Alarm | Outlet | CounterOutlet] = [*live(job.loads), *live(job.boxes), *live(job.alarms)]
    for part in (*placed, *(outlet for _, outlet in _outlets(job))):
        if part.circuit in gone:
            yield Odd(part, "circuit", "that circuit is removed by this job")
    for run in live(job.runs):
        if run.feeds in gone:
            yield Odd(run, "feeds", "that circuit is removed by this job")


RULES = (_without_load, _neutrals, _runs, _filed, _rooms, _beside_one, _removed)
