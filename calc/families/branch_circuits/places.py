"""The places that a circuit serves, as far as the job tells, and what they are used as where a rule asks by place."""

from __future__ import annotations

from dataclasses import dataclass

from calc.job import Building, CounterOutlet, Job, Outlet, Room, place
from calc.wiring.circuits import Branch, at, outlets_of
from calc.wiring.house import House, remembered
from calc.wiring.reading import Counted

IMPLIED = {
    "small-appliance": "kitchen",
    "laundry": "laundry",
    "bathroom": "bathroom",
    "garage": "garage",
    "outdoor": "outdoors",
}
"""The place of a circuit that names no room: what its purpose says."""
OUTDOORS = frozenset({"outdoors", "porch", "deck", "balcony"})


@dataclass(frozen=True)
class Place:
    """A place by its uses: a hall with the washer in it is a hall and a laundry area. No uses: not known which it is.

    ``accessory``: in a building on the lot that nobody lives in. ``at``: where the job would say what it leaves out.
    """

    name: str
    uses: frozenset[str]
    finished: bool | None = True
    accessory: bool = False
    at: str = ""

    @property
    def known(self) -> bool:
        """Whether the job tells what it is used as."""
        return bool(self.uses)


def room_place(job: Job, room: Room, branch: Branch | None = None) -> Place:
    """A room as a place of a circuit, or of any circuit: where washer or dryer stand is a laundry area.

    It is one for the circuits that feed them; a utility room with them in it is one for all of its circuits.
    """
    here = [c for c in job.circuits if c.status != "removed" and room.name in c.rooms]
    feeds = branch is not None and (
        branch.circuit.purpose == "laundry"
        or "washer" in branch.circuit.outlets
        or any(c.load.kind == "dryer" and c.load.room in (None, room.name) for c in branch.loads)
    )
    stands = (
        any(load.kind == "dryer" and load.room == room.name and load.status != "removed" for load in job.loads)
        or any(c.purpose == "laundry" or "washer" in c.outlets for c in here)
        or any(outlet.purpose == "laundry" for outlet in room.outlets)
    )
    laundry = {"laundry"} if feeds or (room.use == "utility" and stands) else set()
    accessory = _accessory(job, room.building) is not None
    return Place(room.name, frozenset({room.use, *laundry}), room.finished, accessory, place(room, "finished"))


def _accessory(job: Job, name: str | None) -> Building | None:
    """The building of that name, where it is one that nobody lives in."""
    return next((each for each in job.buildings if each.name == name and each.kind != "accessory-dwelling"), None)


def _by_panel(house: House, branch: Branch) -> list[Place]:
    """The accessory building that the circuit's panel stands in."""
    building = next(
        (house.told(_accessory, panel.building) for panel in house.job.panels if panel.name == branch.panel), None
    )
    use = "garage" if building is not None and building.kind == "garage" else "workshop"
    return [Place(building.name, frozenset({use}), accessory=True)] if building is not None else []


@remembered
def places(house: House, branch: Branch) -> list[Place]:
    """The places that the circuit serves; by purpose or kind where it names no room; a place not known where none tells."""
    found = [room_place(house.job, room, branch) for room in branch.rooms]
    if branch.rooms_stated:
        return found
    implied = IMPLIED.get(branch.circuit.purpose)
    if (
        not branch.others
        and not found
        and any(c.load.kind in house.code.members("kitchen_kinds") for c in branch.loads)
    ):
        implied = implied or "kitchen"
    if not branch.others and not found and any(c.load.kind == "dryer" for c in branch.loads):
        implied = implied or "laundry"
    if implied is not None:
        return [*found, Place(implied, frozenset({implied}))]
    return [*found, *(_by_panel(house, branch) or [Place("", frozenset(), at=at(branch, "rooms"))])]


@remembered
def standing(house: House, branch: Branch, counted: Counted) -> list[Place]:
    """Where a load stands: its room, the rooms of its circuit, or the building of its panel; nothing where none is said."""
    rooms = [room for room in house.job.rooms if room.name == counted.load.room]
    named = [room for room in house.job.rooms if room.name in branch.circuit.rooms]
    return [room_place(house.job, room, branch) for room in rooms or named] or _by_panel(house, branch)


def receptacles_on(branch: Branch) -> list[tuple[Room, Outlet | CounterOutlet]]:
    """(room, receptacle) of each receptacle that names the circuit."""
    return [(room, outlet) for room in branch.rooms for outlet in outlets_of(room) if outlet.circuit == branch.name]
