"""Mends of branch circuits: halves of a multiwire circuit apart, loads and outlets on other circuits, cables, breakers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product
from typing import Any

from calc.families.branch_circuits.multiwire import SENSES_NEUTRAL
from calc.job import SIZES, Box, Circuit, CounterOutlet, Job, JobError, Load, Outlet, changed, place
from calc.remedies.conductors import larger_cables, ratings, run_ways, smaller_loads, written
from calc.remedies.survey import Mark, Survey, alone
from calc.remedies.ways import Kind, Way
from calc.wiring.house import House
from calc.wiring.wires import called
from calc.work import Check
from calc.work.keys import stem_of

PROTECTION = ("standard", "ground-fault", "arc-fault", "dual-function")  # in a new circuit, the least that serves first
ROOMY = ("general", "garage", "outdoor", "small-appliance")
TRIED = 6


def circuit_ways(found: Survey, mark: Mark, check: Check | None) -> Iterator[Way]:
    """Everything that may mend a circuit, in the order of what is safe."""
    job = found.job
    circuit = next((each for each in job.circuits if each.name == mark[2]), None)
    root = stem_of(mark[3])
    if mark[1] == "Multiwire circuit":
        yield from _apart(job, mark[2])
    elif circuit is None:
        yield from _added(job, check, root)
    else:
        run = next((run for run in job.runs if run.feeds == circuit.name or run.feeds in _names(job, circuit)), None)
        if check is not None and check.holds.sign == "<=" and check.holds.right.number == 0:
            yield from _elsewhere(found, mark, circuit)
        yield from _loads_elsewhere(job, circuit)
        yield from _cables(job, circuit)
        yield from (run_ways(found, run) if run is not None else _alone(found.house, circuit))
        yield from _tamper(job, circuit)


def _names(job: Job, circuit: Circuit) -> set[str]:
    return {load.name for load in job.loads_on(circuit.name)}


# -- halves of a multiwire circuit --------------------------------------------------------------------------------


def _apart(job: Job, subject: str) -> Iterator[Way]:
    """One half to the space above or below the other, changing places with what is there, and one disconnect for both.

    A handle tie, or one two-pole breaker where a half has a device that compares leg and neutral.
    """
    halves = [c for c in job.circuits if c.multiwire_with and c.name in subject.split(" and ")]
    if len(halves) != 2:
        return
    senses = [half.breaker_type for half in halves if half.breaker_type in SENSES_NEUTRAL]
    tie = {place(half, "common_disconnect"): "two-pole" if senses else "handle-tie" for half in halves}
    tie |= {place(half, "breaker_type"): senses[0] for half in halves if senses}
    device = f"one two-pole {senses[0]} breaker" if senses else ""
    yield Way(Kind.PART, f"{device or 'a handle tie'} over both halves, so that they open together", tie)
    for stays, goes in (halves, halves[::-1]):
        if not (stays.positions and goes.positions):
            continue
        for space in (stays.positions[0] + 2, stays.positions[0] - 2):
            holder = next(
                (c for c in job.circuits if c.panel == goes.panel and space in c.positions and c.status != "removed"),
                None,
            )
            if space < 1 or (holder is not None and (holder.poles == 2 or holder.multiwire_with or holder.tandem)):
                continue
            changes: dict[str, Any] = {place(goes, "positions"): [space], **tie}
            text = f"move {goes.name} to space {space}, beside {stays.name}"
            if holder is not None and holder is not goes:
                changes[place(holder, "positions")] = list(goes.positions)
                text += f", and {holder.name} to space {goes.positions[0]}"
            yield Way(Kind.MOVE, f"{text}; {device + ' for both' if device else 'tie both handles'}", changes)


# -- loads and outlets elsewhere ----------------------------------------------------------------------------------


def _elsewhere(found: Survey, mark: Mark, circuit: Circuit) -> Iterator[Way]:
    """What is too much on a circuit goes to another one that takes it, or to a new one."""
    job = found.job
    loads = [load for load in job.loads_on(circuit.name) if load.status != "removed"]
    now = _count(found, mark, job)
    wrong_outlets = [o for o in circuit.outlets if _count_with(found, mark, _moved(job, circuit, [o], [], None)) < now]
    wrong_loads = [load for load in loads if _count_with(found, mark, _moved(job, circuit, [], [load], None)) < now]
    wrong_rooms = [
        name for name in circuit.rooms if _count_with(found, mark, _room_moved(job, circuit, name, None)) < now
    ]
    if wrong_rooms:
        for other in _others(job, circuit):
            for name in wrong_rooms:
                yield Way(Kind.MOVE, f"feed {name} from {other.name}", _room_moved(job, circuit, name, other))
    if not (wrong_outlets or wrong_loads):
        return
    what = " and ".join([*(o.replace("-", " ") for o in wrong_outlets), *(load.name for load in wrong_loads)])
    for other in _others(job, circuit):
        text = f"move {what} from {circuit.name} to {other.name}"
        yield Way(Kind.MOVE, text, _moved(job, circuit, wrong_outlets, wrong_loads, other))
    yield from _new_circuit(job, circuit, what, wrong_outlets, wrong_loads)


def _loads_elsewhere(job: Job, circuit: Circuit) -> Iterator[Way]:
    """One load of several to a circuit of its own."""
    loads = [load for load in job.loads_on(circuit.name) if load.status != "removed"]
    if len(loads) > 1 or (loads and circuit.purpose != "individual"):
        for load in loads:
            yield from _new_circuit(job, circuit, load.name, [], [load])


def _new_circuit(job: Job, old: Circuit, what: str, outlets: Sequence[str], loads: Sequence[Load]) -> Iterator[Way]:
    """A new circuit for what moves, with the least protection that serves there."""
    rooms = sorted({load.room for load in loads if load.room}) or list(old.rooms)
    name = f"{loads[0].name}, own" if loads else f"{what[:1].upper() + what[1:]} off {old.name}, own"
    poles = 2 if loads and loads[0].volts != 120 else 1
    purposes = ("individual",) if loads else ("general", "individual")
    for purpose, protection in product(purposes, PROTECTION):
        circuit = {"name": name, "panel": old.panel, "purpose": purpose, "poles": poles, "rooms": rooms, "breaker_type": protection,
                   "outlets": list(outlets)}  # fmt: skip
        if not loads:
            circuit["breaker_a"] = old.breaker_a if old.breaker_a and old.breaker_a > 10 else 15
        if loads and any(load.connected_by == "cord" for load in loads):
            circuit["single_receptacle"] = True
        changes = _moved(job, old, outlets, loads, None, name)
        kind = "" if protection == "standard" else f", with a {protection} breaker"
        yield Way(Kind.MOVE, f"a circuit of its own for {what}{kind}",
                  {"circuits[+]": {k: v for k, v in circuit.items() if v not in (None, [])}, **changes})  # fmt: skip


def _others(job: Job, circuit: Circuit) -> list[Circuit]:
    """Circuits that might take more, those of the same rooms first."""
    roomy = [
        c for c in job.circuits
        if c.name != circuit.name and c.status != "removed" and c.panel == circuit.panel and c.poles == 1 and c.purpose in ROOMY
    ]  # fmt: skip
    return sorted(roomy, key=lambda c: (not set(c.rooms) & set(circuit.rooms), c.purpose != "general"))


def _moved(
    job: Job, old: Circuit, outlets: Sequence[str], loads: Sequence[Load], to: Circuit | None, name: str | None = None
) -> dict[str, Any]:
    """The changes that take outlets and loads off one circuit and put them on another, or on none to see what is left."""
    name = name or (to.name if to else None)
    changes: dict[str, Any] = {place(load, "circuit"): name for load in loads}
    if outlets:
        changes[place(old, "outlets")] = [o for o in old.outlets if o not in outlets]
        if to is not None:
            changes[place(to, "outlets")] = [*to.outlets, *outlets]
    rooms = set(old.rooms)
    if "receptacles" in outlets:
        at_rooms = list(_outlets_on(job, old.name))
        changes |= {place(outlet, "circuit"): name for _, outlet in at_rooms}
        rooms = {room for room, _ in at_rooms} or rooms
    if to is not None and (rooms | {load.room for load in loads if load.room}) - set(to.rooms):
        wanted = rooms if outlets else {load.room for load in loads if load.room}
        changes[place(to, "rooms")] = [*to.rooms, *sorted(wanted - set(to.rooms))]
    return changes


def _room_moved(job: Job, old: Circuit, room: str, to: Circuit | None) -> dict[str, Any]:
    changes: dict[str, Any] = {place(old, "rooms"): [name for name in old.rooms if name != room]}
    changes |= {place(o, "circuit"): to.name if to else None for name, o in _outlets_on(job, old.name) if name == room}
    if to is not None and room not in to.rooms:
        changes[place(to, "rooms")] = [*to.rooms, room]
    return changes


def _outlets_on(job: Job, circuit: str) -> Iterator[tuple[str, Outlet | CounterOutlet]]:
    """(room, receptacle) of every receptacle that names the circuit."""
    for room in job.rooms:
        outlets: list[Outlet | CounterOutlet] = list(room.outlets)
        outlets += [outlet for counter in room.counters for outlet in counter.outlets]
        yield from ((room.name, outlet) for outlet in outlets if outlet.circuit == circuit)


def _count(found: Survey, mark: Mark, job: Job) -> float:
    """What the check counts on its left side; nothing where it is no longer asked."""
    sheet = alone(found.house.with_job(job), mark)
    return next((c.holds.left.number for c in sheet.checks if c.key == mark[3]), 0.0) if sheet is not None else 0.0


def _count_with(found: Survey, mark: Mark, changes: dict[str, Any]) -> float:
    try:
        return _count(found, mark, changed(found.job, changes))
    except JobError:
        return float("inf")


# -- what is missing ----------------------------------------------------------------------------------------------


def _added(job: Job, check: Check | None, root: str) -> Iterator[Way]:
    """Circuits that the house lacks; a bathroom circuit brought to the bathrooms that have none."""
    rooms = {"laundry": ["laundry"], "bathroom": ["bathroom"], "garage": ["garage"], "small-appliance": ["kitchen"]}
    if check is None:
        return
    if root == "circuits_listed":
        short = round(check.holds.right.number - check.holds.left.number)
        for purpose, protection in product(rooms, PROTECTION):
            named = [room.name for room in job.rooms if room.use in rooms[purpose]]
            yield _circuits_added(job, check, purpose, protection, named, short)
    elif root == "general_enough":
        for number, protection in product(range(1, TRIED), PROTECTION):
            yield _circuits_added(job, check, "general", protection, [], number)
    elif root == "bathrooms_served":
        for circuit in job.circuits:
            if circuit.purpose == "bathroom":
                bare = [r.name for r in job.rooms if r.use == "bathroom" and r.name not in circuit.rooms]
                yield Way(
                    Kind.PART, f"{check.remedy} ({circuit.name})", {place(circuit, "rooms"): [*circuit.rooms, *bare]}
                )
    elif root == "counter_circuits":
        for circuit in job.circuits:
            if circuit.purpose == "small-appliance":
                kitchens = [r.name for r in job.rooms if r.use == "kitchen" and r.name not in circuit.rooms]
                yield Way(Kind.PART, f"{check.remedy}, {circuit.name} being one",
                          {place(circuit, "rooms"): [*circuit.rooms, *kitchens]})  # fmt: skip


def _circuits_added(job: Job, check: Check, purpose: str, protection: str, rooms: Sequence[str], number: int) -> Way:
    panel = next((p.name for p in job.panels if p.status != "removed" and not p.service_equipment), None)
    panel = panel or next((p.name for p in job.panels if p.status != "removed"), None)
    new = [
        {"name": f"New {purpose.replace('-', ' ')} {n}", "purpose": purpose, "breaker_a": 20, "breaker_type": protection}
        | ({"panel": panel} if panel else {}) | ({"rooms": list(rooms)} if rooms else {})
        for n in range(1, number + 1)
    ]  # fmt: skip
    kind = "" if protection == "standard" else f", with {protection} breakers"
    return Way(Kind.PART, f"{check.remedy}{kind}", {"circuits": [*job.data.get("circuits", []), *new]})


# -- cables, breakers, receptacles --------------------------------------------------------------------------------


def _cables(job: Job, circuit: Circuit) -> Iterator[Way]:
    """Smaller cables on the circuit, such as a switch leg, in the size of the circuit."""
    if circuit.cable is None or not circuit.other_cables:
        return
    own = SIZES.index(circuit.cable.size)
    grown = []
    for cable in circuit.other_cables:
        larger = [c for c in larger_cables(cable) if SIZES.index(c.size) >= own and len(c.wires) == len(cable.wires)]
        grown.append(written(larger[0]) if larger and SIZES.index(cable.size) < own else cable.text)
    small = ", ".join(c.text for c in circuit.other_cables if SIZES.index(c.size) < own)
    changes: dict[str, Any] = {place(circuit, "other_cables"): grown}
    for box in job.boxes:
        if box.circuit == circuit.name:
            changes |= _boxed(box, own)
    yield Way(Kind.CONDUCTOR, f"{called(circuit.cable.size)} for {small}", changes)


def _boxed(box: Box, least: int) -> dict[str, Any]:
    """The cables of a box in the size that they grow to, so that the box is counted again."""
    if all(SIZES.index(cable.size) >= least for cable in box.cables):
        return {}
    grown = []
    for cable in box.cables:
        larger = [c for c in larger_cables(cable) if SIZES.index(c.size) >= least and len(c.wires) == len(cable.wires)]
        grown.append(
            f"{cable.count} x {written(larger[0])}" if larger and SIZES.index(cable.size) < least else cable.text
        )
    return {place(box, "cables"): grown}


def _alone(house: House, circuit: Circuit) -> Iterator[Way]:
    """Cable, load and breaker of a circuit that no run says more of."""
    grown = list(_larger(house.job, circuit))
    yield from grown
    yield from smaller_loads([load for load in house.job.loads_on(circuit.name) if load.status != "removed"])
    now = circuit.breaker_a
    if now is None:
        return
    at = place(circuit, "breaker_a")
    for rating in ratings(house.code, now, larger=False):
        yield Way(Kind.SMALLER_BREAKER, f"a breaker of {rating} A instead of {now} A", {at: rating})
    for rating in ratings(house.code, now, larger=True):
        text = f"a breaker of {rating} A instead of {now} A"
        yield Way(Kind.BREAKER_ASKED, text, {at: rating})
        for way in grown:
            yield Way(Kind.LARGER_BREAKER, f"{way.text}, and with it {text}", {**way.changes, at: rating})


def _larger(job: Job, circuit: Circuit) -> Iterator[Way]:
    """The next larger cables that are made, in the circuit and in its boxes."""
    if circuit.cable is None or not circuit.cable.cable:
        return
    own = circuit.cable.wires
    for cable in larger_cables(circuit.cable)[:TRIED]:
        boxes = {
            place(box, "cables"): [
                f"{one.count} x {written(cable)}" if one.wires == own else one.text for one in box.cables
            ]
            for box in job.boxes
            if box.circuit == circuit.name and any(one.wires == own for one in box.cables)
        }
        text = f"{written(cable)} instead of {circuit.cable.text}"
        yield Way(Kind.CONDUCTOR, text, {place(circuit, "cable"): written(cable), **boxes})


def _tamper(job: Job, circuit: Circuit) -> Iterator[Way]:
    plain = [(room, o) for room, o in _outlets_on(job, circuit.name) if o.tamper_resistant is False]
    if plain:
        rooms = ", ".join(dict.fromkeys(room for room, _ in plain))
        yield Way(Kind.PART, f"tamper-resistant receptacles in {rooms}",
                  {place(outlet, "tamper_resistant"): True for _, outlet in plain})  # fmt: skip
