"""Circuits for rooms and loads: which there must be by the sheet of required circuits, then breaker, cable, protection."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import cycle, islice
from typing import Any

from calc.families.branch_circuits.worked import all_circuits, circuit_sheet
from calc.job import SIZES, Circuit, Job, Load, changed, made_cables, place
from calc.job.rooms import OUTDOORS
from calc.propose.practice import Table, added, entry, free_name, live_rooms, panel_for_circuits, practice
from calc.remedies.conductors import written
from calc.wiring.circuits import Branch, branches
from calc.wiring.house import House
from calc.work import Sheet

PROTECTION = {
    (False, False): "standard", (True, False): "arc-fault", (False, True): "ground-fault", (True, True): "dual-function",
}  # fmt: skip
"""The breaker type by whether arc-fault and ground-fault protection are asked for."""


def circuits(house: House) -> dict[str, Any]:
    """A circuit for each load that asks for one of its own, then those that the rooms call for."""
    job, panel = house.job, panel_for_circuits(house.whole_job)
    if panel is None:
        return {}
    names = [circuit.name for circuit in job.circuits]
    made: list[Table] = []
    changes: dict[str, Any] = {}

    def add(name: str, **fields: Any) -> str:
        names.append(free := free_name(name, names))
        made.append(entry(name=free, **{"panel": panel.name, **fields}))
        return free

    for load, others in _of_their_own(house):
        room = [load.room] if load.room else []
        name = add(load.name, poles=1 if load.volts == 120 else 2, rooms=room, purpose="individual",
                   panel=load.panel or panel.name)  # fmt: skip
        linked = others if name == load.name else [load, *others]
        changes |= {place(each, "circuit"): name for each in linked}
    for fields in _of_rooms(house):
        add(**fields)
    return {**added(house.whole_job, "circuits", made), **changes}


def _of_their_own(house: House) -> Iterator[tuple[Load, list[Load]]]:
    """The new loads that have a circuit to themselves, each with what shares it: by the code, or as is usual."""
    planned = [branch for branch in branches(house) if branch.planned]
    yield from ((b.loads[0].load, [c.load for c in b.loads[1:]]) for b in planned)
    done = {c.load.name for b in branches(house) for c in b.loads}
    for load in house.job.loads:
        usual = load.kind in practice("circuits")["own_120_v"] and load.count == 1
        if load.status == "new" and usual and load.circuit is None and load.name not in done:
            yield load, []


def _of_rooms(house: House) -> Iterator[Table]:
    """Circuits by the use of rooms: as many as the sheet of required circuits asks for, one where it asks for none."""
    whole = all_circuits(house).whole
    asked = whole.results if whole is not None else {}
    live = [circuit for circuit in house.job.circuits if circuit.status != "removed"]
    for kind in practice("circuits")["of_rooms"]:
        rooms = [room.name for room in live_rooms(house.whole_job) if room.use in kind["uses"]]
        alike = [c for c in live if c.purpose == kind["purpose"]]
        served = {name for circuit in alike for name in circuit.rooms}
        bare = [name for name in rooms if name not in served]
        needs = kind.get("needs", "")
        number = int(asked.get(f"circuits_needed[{needs}]", asked.get(needs, 0)))
        number = max(number - len(alike), 1 if bare else 0)
        if not rooms or not number:
            continue
        fields = {"purpose": kind["purpose"], "breaker_a": kind["breaker_a"], "outlets": kind["outlets"]}
        for at in range(number):
            share = rooms if kind["every_room"] else _share(bare or rooms, number, at)
            yield {"name": kind["name"] + (f" {at + 1}" if number > 1 else ""), "rooms": share, **fields}


def _share(rooms: list[str], number: int, at: int) -> list[str]:
    """The rooms of one circuit out of several: neighbours together, and each circuit with one room at least."""
    if number >= len(rooms):
        return [*islice(cycle(rooms), at, at + 1)]
    begin, end = (len(rooms) * n // number for n in (at, at + 1))
    return rooms[begin:end]


# -- breaker, cable, protection -----------------------------------------------------------------------------------


def finished(house: House) -> dict[str, Any]:
    """Breaker, cable, protection and receptacle of each proposed circuit, as its own sheet has them."""
    changes: dict[str, Any] = {}
    for branch in branches(house):
        if branch.circuit.proposed:
            changes |= _finished(house, branch)
    return changes


def _finished(house: House, branch: Branch) -> dict[str, Any]:
    circuit = branch.circuit
    breaker_a = _breaker(house, branch)
    if breaker_a is None:
        return {}
    found: Table = {"breaker_a": breaker_a}
    with_breaker = _tried(house, circuit, found)
    sheet = _sheet(with_breaker, circuit.name)
    arc, ground = (_asked(sheet, key) for key in ("arc_fault", "ground_fault"))
    found["breaker_type"] = PROTECTION[arc, ground]
    plugged = branch.has_receptacles
    rating = next((a for a in practice("circuits")["receptacles_a"] if a >= breaker_a), None)
    if plugged and rating is not None:
        found["receptacle_a"] = rating
    if circuit.purpose == "individual" and plugged:
        found["single_receptacle"] = True
    if branch.run is None and (cable := _cable(_tried(house, circuit, found), circuit, branch)):
        found["cable"] = cable
    return {place(circuit, key): value for key, value in found.items()}


def _tried(house: House, circuit: Circuit, fields: Table) -> House:
    return house.with_job(changed(house.whole_job, {place(circuit, key): value for key, value in fields.items()}))


def _sheet(house: House, name: str) -> Sheet:
    sheet = circuit_sheet(house, name)
    assert sheet is not None
    return sheet


def _asked(sheet: Sheet, key: str) -> bool:
    """Whether a protection is asked for; where nobody can tell, it is put in."""
    said = next((str(line.result) for line in sheet.lines if line.key == key), "not known")
    return not said.startswith("not required")


def _breaker(house: House, branch: Branch) -> int | None:
    """The breaker as given or as the sheet works it; the next common one where it is seldom kept and may be larger."""
    sheet = _sheet(house, branch.name)
    if "breaker_a" not in sheet:
        return None
    worked = int(sheet.value("breaker_a").number)
    if branch.circuit.breaker_a is not None or any(c.load.mocp_a or c.load.motor_a for c in branch.loads):
        return worked
    least = max(worked, practice("circuits")["own_breaker_a"] if branch.circuit.poles == 1 else 0)
    standard = sorted(float(row["rating_a"]) for row in house.code.rows("standard_ratings"))
    seldom = house.code.members("uncommon_ratings")
    common = next((int(a) for a in standard if a >= least and f"{a:g}" not in seldom), worked)
    limits = [c.holds.right.number for c in sheet.checks if c.key == "breaker_allowed"]
    return common if common <= min(limits, default=common) else worked


def _cable(house: House, circuit: Circuit, branch: Branch) -> str:
    """The smallest made cable with which nothing falls short on the circuit's sheet; '' where there is none."""
    wires = 2 + int(circuit.poles == 2 and any(c.load.uses_neutral for c in branch.loads))
    for kind in practice("circuits")["cables_outdoors" if stands_outdoors(house, branch) else "cables"]:
        made = [c for c in made_cables() if (c.kind, c.material, len(c.wires)) == (kind, "copper", wires)]
        for cable in sorted(made, key=lambda c: SIZES.index(c.size)):
            said = written(cable)
            sheet = _sheet(_tried(house, circuit, {"cable": said}), circuit.name)
            if sheet.refused is None and all(check.holds.holds for check in sheet.checks):
                return said
    return ""


def stands_outdoors(house: House, branch: Branch) -> bool:
    """Whether something on the circuit stands outdoors."""
    return any(c.load.outdoors or (c.load.room and _is_outdoors(house, c.load.room)) for c in branch.loads)


def _is_outdoors(house: House, name: str) -> bool:
    return any(room.name == name and room.use in OUTDOORS for room in house.whole_job.rooms)


def placed(house: House) -> dict[str, Any]:
    """Spaces of the panel for the proposed circuits, as its sheet balances the legs."""
    spaces = {name: at for work, _ in all_circuits(house).panels for name, at in work.layout.spaces.items()}
    return {place(c, "positions"): list(spaces[c.name]) for c in house.job.circuits
            if c.proposed and not c.positions and c.name in spaces and c.panel}  # fmt: skip


def serving(job: Job, room: str, *purposes: str) -> Circuit | None:
    """The first live circuit of such a purpose that serves a room, by the order of the purposes."""
    live = [c for c in job.circuits if c.status != "removed" and room in c.rooms]
    return next((c for purpose in purposes for c in live if c.purpose == purpose), None)
