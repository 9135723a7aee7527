"""What each space of a panel says, the circuits at a glance, and what each place asks for."""

from __future__ import annotations

from collections.abc import Sequence

from calc.families.branch_circuits.asked import Asked, place_arc_fault, place_ground_fault
from calc.families.branch_circuits.panel import Breaker, PanelWork
from calc.families.branch_circuits.places import room_place
from calc.families.branch_circuits.worked import Circuits
from calc.wiring.circuits import Branch
from calc.wiring.house import House
from calc.work import Sheet, loud
from calc.work.printing import rounded
from calc.work.table import Table, columns

SPACE = "space"
VERIFY = "verify"
TYPES = {"arc-fault": "AF", "ground-fault": "GF", "dual-function": "AF GF", "standard": ""}


def last_space(work: PanelWork) -> int:
    """The last space to show: that of the panel or, where the job does not say, the last one taken, to a whole row."""
    last = work.panel.spaces or max(work.layout.taken, default=2)
    return last + last % 2


def spaces(circuits: Circuits, work: PanelWork) -> dict[int, tuple[str, str, str]]:
    """What each taken space says: what it serves, its breaker, the volt-amperes that it puts on its leg."""
    found: dict[int, list[tuple[str, str, str]]] = {}
    ordered = sorted(work.breakers, key=lambda b: (b.circuit.tandem or "") if b.circuit else "")
    mixed = len({b.circuit.status for b in work.breakers if b.circuit}) > 1
    for b in ordered:
        for number, space in enumerate(work.layout.spaces.get(b.entry.name, ())):
            found.setdefault(space, []).append(_cell(circuits, b, number, mixed))
    return {space: _together(cells) for space, cells in found.items()}


def _together(cells: list[tuple[str, str, str]]) -> tuple[str, str, str]:
    """Both halves of a tandem in one space."""
    return tuple(" / ".join(part for part in parts if part) for parts in zip(*cells, strict=True))  # type: ignore[return-value]


def _cell(circuits: Circuits, breaker: Breaker, number: int, mixed: bool) -> tuple[str, str, str]:
    name = serves(circuits, breaker, mixed)
    if number:
        name = f"{breaker.entry.name}, second pole"
    va = breaker.entry.neutral_va if breaker.entry.poles == 1 else breaker.entry.between_va / 2
    branch = next((branch for branch in circuits.branches if branch.name == breaker.entry.name), None)
    if branch is not None and branch.load_unsaid:
        return name, rating(circuits, breaker), VERIFY
    return name, rating(circuits, breaker), f"{rounded(va, 0):,}" if va else ""


def serves(circuits: Circuits, breaker: Breaker, mixed: bool) -> str:
    """A circuit's name with its rooms and, in a panel with both, whether it is new or existing."""
    if breaker.run is not None:
        return f"{breaker.run.feeds} ({breaker.run.name})" if breaker.run.feeds else breaker.run.name
    half = f"{breaker.circuit.tandem}: " if breaker.circuit and breaker.circuit.tandem else ""
    branch = next((branch for branch in circuits.branches if branch.name == breaker.entry.name), None)
    rooms = [room.name for room in branch.rooms] if branch else []
    listed = [room for room in (breaker.circuit.rooms if breaker.circuit else ()) if room not in rooms]
    named = [room for room in (*rooms, *listed) if room.lower() not in breaker.entry.name.lower()]
    text = breaker.entry.name + (f": {', '.join(named)}" if named else "")
    if breaker.circuit is not None and breaker.circuit.purpose == "spare":
        text = f"spare ({breaker.entry.name})"
    return half + text + (f" ({breaker.circuit.status})" if mixed and breaker.circuit is not None else "")


def rating(circuits: Circuits, breaker: Breaker) -> str:
    """'20 A AF', '50 A 2-pole'."""
    amps = (
        circuits.by_name[breaker.entry.name].results.get("breaker_a")
        if breaker.entry.name in circuits.by_name
        else None
    )
    stated = breaker.circuit or breaker.run
    if amps is None and stated is not None:
        amps = stated.breaker_a
    branch = next((branch for branch in circuits.branches if branch.name == breaker.entry.name), None)
    by_run = branch is not None and branch.run is not None and branch.run.breaker_a is not None
    as_found = (
        breaker.circuit is not None
        and breaker.circuit.status == "existing"
        and breaker.circuit.breaker_a is None
        and not by_run
    )
    words = [VERIFY if as_found else f"{amps:g} A" if amps else "", TYPES[breaker.circuit.breaker_type] if breaker.circuit else "",
             "2-pole" if breaker.entry.poles == 2 else ""]  # fmt: skip
    return " ".join(word for word in words if word)


def summary(circuits: Circuits) -> Table:
    """Each circuit with its load, breaker, conductors, protection, legs and verdict."""
    rows = [_row(b, circuits.by_name[b.name]) for b in circuits.branches]
    return Table(
        title="Circuits at a glance",
        columns=columns("Circuit", "Load", "Breaker", "Conductors", "Protection", "Legs", "Outcome", right=(1, 2)),
        rows=rows,
        notes=[f"{name}: {s.refused.reason}" for name, s in circuits.by_name.items() if s.refused],
    )


def _row(branch: Branch, sheet: Sheet) -> list[str]:
    line = {each["key"]: each["result"] for each in sheet.as_json()["lines"]}
    asked = [
        short
        for key, short in (("arc_fault", "AF"), ("ground_fault", "GF"))
        if line.get(key, "").startswith("required")
    ]
    asked += ["TR"] if "tamper_resistant" in line else []
    return [branch.name, line.get("load_a", ""), line.get("breaker_a", ""), line.get("conductor", ""), " ".join(asked),
            line["legs"].partition(":")[0], loud(sheet.status)]  # fmt: skip


def by_place(house: House, found: Sequence[Branch]) -> list[Table]:
    """What the edition asks for in each room of the job; nothing where the job lists no rooms."""
    rows = []
    for room in house.job.rooms:
        if room.status == "removed":
            continue
        of = room_place(house.job, room)
        only_counter = house.code.has("ground_fault_counter") and room.use in house.code.members("ground_fault_counter")
        ground = _said(place_ground_fault(house.code, of, counter=True)) + (
            ", counter receptacles" if only_counter else ""
        )
        left_out = house.code.has("tamper_resistant_left_out") and room.use in house.code.members(
            "tamper_resistant_left_out"
        )
        resistant = "" if left_out else f"yes, {house.code.cite('tamper_resistant').section}"
        circuits = ", ".join(b.name for b in found if room in b.rooms)
        rows.append([room.name, _said(place_arc_fault(house.code, of)), ground, resistant, circuits])
    if not rows:
        return []
    dated = f", permit of {house.job.code.permit_date}" if house.job.code.permit_date else ", no permit date stated"
    notes = ["Arc-fault is for the 120 V circuits of a room up to 20 A; ground-fault and tamper-resistant are for its receptacles.",
             "Receptacles within 6 ft of a sink, tub or shower have ground-fault protection in any room."]  # fmt: skip
    return [Table(
        title="Protection by place", intro=f"Edition {house.code.edition}{dated}.",
        columns=columns("Room", "Arc-fault", "Ground-fault", "Tamper-resistant", "Circuits"),
        rows=rows, notes=notes,
    )]  # fmt: skip


def _said(asked: Asked | None) -> str:
    if asked is None:
        return ""
    return f"not known: {asked.missing}" if asked.missing else f"yes, {asked.cite.section}"
