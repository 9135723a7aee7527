"""Replaced receptacles: each gets the protection that today's rules ask for at its place."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from calc.codebook import Codebook
from calc.families.branch_circuits.asked import Asked, place_arc_fault, place_ground_fault
from calc.families.branch_circuits.places import Place, room_place
from calc.families.branch_circuits.protection import high
from calc.job import CounterOutlet, Job, Outlet, Room, place
from calc.wiring.circuits import outlets_of
from calc.wiring.house import House
from calc.work import Sheet, constant, given

AnyOutlet = Outlet | CounterOutlet
NONE_WITHOUT = constant("that may be without", 0, "receptacle")


@dataclass(frozen=True)
class Need:
    """One protection of a replaced receptacle: its rule, the field of the receptacle, breakers that give it, what asks."""

    rule: str
    field: str
    by_device: tuple[str, ...]
    asked: Callable[[Codebook, Place, AnyOutlet], Asked | None]


def _ground_fault(code: Codebook, of: Place, outlet: AnyOutlet) -> Asked | None:
    service = isinstance(outlet, Outlet) and outlet.purpose == "equipment-service" and code.has("ground_fault_service")
    by_place = place_ground_fault(code, of, counter=isinstance(outlet, CounterOutlet))
    return Asked(of.name, code.cite("ground_fault_service")) if service else by_place


def _arc_fault(code: Codebook, of: Place, _: AnyOutlet) -> Asked | None:
    return place_arc_fault(code, of)


def _tamper_resistant(code: Codebook, of: Place, outlet: AnyOutlet) -> Asked | None:
    """Not where it is out of reach or in a dedicated space, nor where one without ground replaces such a one."""
    left_out = code.has("tamper_resistant_left_out") and of.uses <= code.members("tamper_resistant_left_out")
    old = outlet if isinstance(outlet, Outlet) and outlet.grounded is False else None
    free = left_out or (old is not None and old.two_slots) or outlet.dedicated or high(code, outlet)
    if free:
        return None
    if old is not None and old.two_slots is None:
        return Asked(
            of.name, code.cite("tamper_resistant"), "whether it is of two slots (two_slots)", place(old, "two_slots")
        )
    return Asked(of.name, code.cite("tamper_resistant"))


def _weather_resistant(code: Codebook, of: Place, _: AnyOutlet) -> Asked | None:
    outdoors = of.uses & code.members("weather_resistant")
    return Asked(of.name, code.cite("weather_resistant")) if outdoors else None


NEEDS = (
    Need("replaced_ground_fault", "ground_fault", ("ground-fault", "dual-function"), _ground_fault),
    Need("replaced_arc_fault", "arc_fault", ("arc-fault", "dual-function"), _arc_fault),
    Need("replaced_tamper_resistant", "tamper_resistant", (), _tamper_resistant),
    Need("replaced_weather_resistant", "weather_resistant", (), _weather_resistant),
)


def replaced_in(job: Job) -> Iterator[tuple[Room, list[AnyOutlet]]]:
    """The rooms with receptacles that this job replaces, and those receptacles."""
    for room in job.rooms:
        found = [outlet for outlet in outlets_of(room) if outlet.status == "replaced"]
        if found and room.status != "removed":
            yield room, found


def replaced(sheet: Sheet, house: House) -> None:
    """Print what each replaced receptacle needs where it is, and check what the job says of it."""
    for room, outlets in replaced_in(house.job):
        for need in NEEDS:
            _room(sheet, house, room, outlets, need)
        _without_ground(sheet, house, room, [o for o in outlets if isinstance(o, Outlet) and o.grounded is False])


def _room(sheet: Sheet, house: House, room: Room, outlets: list[AnyOutlet], need: Need) -> None:
    of = room_place(house.job, room)
    asked = [(outlet, a) for outlet in outlets if (a := need.asked(house.code, of, outlet)) is not None]
    if not asked:
        return
    cites = list(dict.fromkeys([house.code.cite(need.rule), *(a.cite for _, a in asked)]))
    said = [(outlet, a, _stated(house.job, outlet, need)) for outlet, a in asked]
    without = [outlet for outlet, a, there in said if there is False and not a.missing]
    unsaid = [(outlet, a) for outlet, a, there in said if there is None or (there is False and a.missing)]
    if unsaid and not without:
        outlet, a = unsaid[0]
        missing = a.missing or f"whether each has it ({need.field})"
        sheet.unknown(need.rule, missing, a.where or place(outlet, need.field), item=room.name, cites=cites)
        return
    number = given("replaced without it", len(without), "receptacle",
                   place(without[0] if without else asked[0][0], need.field))  # fmt: skip
    sheet.check(need.rule, number <= NONE_WITHOUT, item=room.name, cites=cites,
            remedy=f"{need.field.replace('_', '-')} receptacles" + (", or such a breaker ahead" if need.by_device else ""))  # fmt: skip


def _without_ground(sheet: Sheet, house: House, room: Room, outlets: list[Outlet]) -> None:
    """Where no ground reaches, a receptacle has two slots, or it protects people from ground faults."""
    rule = "replaced_without_ground"
    open_to = [outlet for outlet in outlets if not outlet.two_slots and not _stated(house.job, outlet, NEEDS[0])]
    three = [
        outlet for outlet in open_to if outlet.two_slots is False and _stated(house.job, outlet, NEEDS[0]) is False
    ]
    if not outlets:
        return
    if open_to and not three:
        field = "two_slots" if open_to[0].two_slots is None else "ground_fault"
        sheet.unknown(rule, f"whether it has two slots only, or ground-fault protection ({field})", place(open_to[0], field),
                  item=room.name, cites=[house.code.cite(rule)])  # fmt: skip
        return
    number = given("with three slots, and nothing that protects", len(three), "receptacle",
                   place(three[0] if three else outlets[0], "two_slots"))  # fmt: skip
    sheet.check(rule, number <= NONE_WITHOUT, item=room.name, cites=[house.code.cite(rule)],
            remedy="ground-fault receptacles, or such a breaker ahead; else receptacles of two slots")  # fmt: skip


def _stated(job: Job, outlet: AnyOutlet, need: Need) -> bool | None:
    """Whether it has the protection: in its breaker, in the circuit's first outlet, or as the receptacle says."""
    circuit = next((c for c in job.circuits if c.name == outlet.circuit), None)
    if circuit is not None and {circuit.breaker_type, circuit.first_outlet} & set(need.by_device):
        return True
    stated: bool | None = getattr(outlet, need.field)
    return stated
