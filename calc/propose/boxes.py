"""Boxes: one kind for the receptacles of a room on a circuit, for its switch and its light, in the smallest common size."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Any

from calc.families import box_fill
from calc.job import Circuit, Job, Room, changed
from calc.propose.circuits import serving
from calc.propose.practice import Table, added, entry, free_name, live_rooms, practice
from calc.wiring.circuits import outlets_of
from calc.wiring.house import House


def boxes(house: House) -> dict[str, Any]:
    """Boxes of each new room that has none, with what is in them, each in the smallest common box that holds it."""
    job = house.whole_job
    boxed = {box.room for box in job.boxes}
    names = [box.name for box in job.boxes]
    made: list[Table] = []
    for room in live_rooms(job):
        if room.name not in boxed:
            for fields in _of_room(job, room):
                names.append(free := free_name(str(fields.pop("name")), names))
                made.append(entry(name=free, room=room.name, material="nonmetallic", **fields))
    if not made:
        return {}
    sized = _sized(house, job, made)
    return added(job, "boxes", sized)


def _of_room(job: Job, room: Room) -> Iterator[Table]:
    by_name = {circuit.name: circuit for circuit in job.circuits if circuit.status != "removed"}
    on = Counter(outlet.circuit for outlet in outlets_of(room) if outlet.circuit in by_name and outlet.status == "new")
    for name, count in on.items():
        circuit = by_name[str(name)]
        if (cable := _cable(circuit)) is not None:
            yield {"name": f"{room.name}, receptacles on {name}", "circuit": name, "count": count, "cables": [f"2 x {cable}"],
                   "devices": [{"kind": "receptacle", "wire": circuit.cable.size}]}  # type: ignore[union-attr]  # fmt: skip
    for circuit in by_name.values():
        if circuit.purpose == "individual" and circuit.single_receptacle and room.name in circuit.rooms:
            yield from _plugged(job, room, circuit)
    lights = serving(job, room.name, "lighting", "general")
    if lights is None or "lighting" not in lights.outlets or (cable := _cable(lights)) is None:
        return
    if room.light == "wall-switched":
        fan = True if room.use in practice("boxes")["fan_rated_in"] else None
        each = practice("boxes")["splices_of_a_switch"]
        yield {"name": f"{room.name}, switch", "circuit": lights.name, "cables": [f"{each} x {cable}"],
               "devices": [{"kind": "switch", "wire": lights.cable.size}], "neutral_at_switch": True}  # type: ignore[union-attr]  # fmt: skip
        yield {"name": f"{room.name}, light", "circuit": lights.name, "cables": [f"2 x {cable}"], "supports": "luminaire",
               "mounted": "ceiling", "fan_rated": fan, "fan_conductors": None if fan else False}  # fmt: skip


def _plugged(job: Job, room: Room, circuit: Circuit) -> Iterator[Table]:
    """The box of the receptacle of one appliance."""
    loads = [load for load in job.loads_on(circuit.name) if load.status == "new" and load.room == room.name]
    if not loads or (cable := _cable(circuit)) is None:
        return
    large = {"range": "range-receptacle", "dryer": "dryer-receptacle"}
    kind = large.get(loads[0].kind, "receptacle")
    yield {"name": f"{loads[0].name}, receptacle", "circuit": circuit.name, "cables": [cable],
           "gangs": practice("boxes")["range_gangs"] if kind != "receptacle" else None,
           "devices": [{"kind": kind, "wire": circuit.cable.size}]}  # type: ignore[union-attr]  # fmt: skip


def _cable(circuit: Circuit) -> str | None:
    return circuit.cable.text if circuit.cable is not None else None


def _sized(house: House, job: Job, made: Sequence[Table]) -> list[Table]:
    """Each with the smallest common volume that its sheet needs; without one where none is enough."""
    tried = house.with_job(changed(job, added(job, "boxes", made)))
    needed = {s.subject: s.results.get("required_in3", 0.0) for s in box_fill.work(tried)}
    volumes = practice("boxes")["volumes_in3"]
    sized = []
    for box in made:
        kept = practice("boxes")["ceiling_in3"] if "supports" in box else volumes[str(box.get("gangs", 1))]
        volume = next((v for v in kept if v >= needed[box["name"]]), None)
        sized.append({**box, **({} if volume is None else {"marked_in3": volume})})
    return sized
