"""Energy management: the setting of a listed system in place of the loads that it controls."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from calc.codebook import Codebook
from calc.families.dwelling_load.climate import is_climate
from calc.families.dwelling_load.current import Volts
from calc.families.dwelling_load.vehicle import vehicle_supply
from calc.job import Job, LoadManagement
from calc.wiring.house import House
from calc.wiring.reading import Counted, read
from calc.work import Sheet, Value, smaller, total


@dataclass(frozen=True)
class Managed:
    """A system, the loads that it holds, and what they count together, VA."""

    name: str
    loads: list[Counted]
    value: Value
    holds_climate: bool

    @property
    def vehicles_only(self) -> bool:
        """Whether it holds nothing but vehicle supply."""
        return all(c.load.kind == "ev-supply" for c in self.loads)


def managed(sheet: Sheet, house: House, loads: Sequence[Counted], volts: Volts) -> list[Managed]:
    """The systems that the edition credits, each with its setting or its loads, whichever is less."""
    found: list[Managed] = []
    climate = is_climate(house.code, loads)
    taken: set[str] = set()
    for system in house.told(_holding, frozenset(c.load.name for c in loads)):
        held = [c for c in loads if c.load.name in system.controls and c.load.name not in taken]
        if not held:
            continue
        if lacks := no_credit(house.code, system, held):
            sheet.remark("note_not_managed", system=system.name, lacks=lacks)
            continue
        vehicles = [
            value for _, value in vehicle_supply(sheet, house.code, [c for c in held if c.load.kind == "ev-supply"])
        ]
        others = [c.va for c in held if c.load.kind != "ev-supply"]
        connected = sheet.line("managed_connected_va", total([*vehicles, *others]), item=system.name)
        setting = _setting(sheet, house.code, system, volts)
        value = sheet.line("managed_va", smaller(setting, connected), item=system.name)
        found.append(Managed(system.name, held, value, any(c.load.name in climate for c in held)))
        taken |= {c.load.name for c in held}
        sheet.remark("note_managed", system=system.name)
    return found


def _holding(job: Job, loads: frozenset[str]) -> list[LoadManagement]:
    """The systems that hold any of these loads, and not the whole service."""
    return [each for each in job.load_management if each.scope != "service" and loads & set(each.controls)]


def _of_service(job: Job) -> list[LoadManagement]:
    """The systems that hold the whole service."""
    return [each for each in job.load_management if each.scope == "service"]


def _setting(sheet: Sheet, code: Codebook, system: LoadManagement, volts: Volts) -> Value:
    """The setting as a load, VA: at 125 % in editions that take it as continuous, so that all that it sizes has it."""
    setting = read(system, "setpoint_a", f"setting of {system.name}") * volts.whole
    if code.has("managed_continuous"):
        setting = setting * code["managed_continuous"]
    return sheet.line("managed_setting_va", setting, item=system.name, cites=[code.cite("energy_management")])


def whole_service(sheet: Sheet, house: House, load: Value, volts: Volts, reading: str) -> Value:
    """The load that reaches the service, VA: what a system that holds the whole service lets through, or all of it.

    ``reading`` tells apart the totals of an unsettled rule.
    """
    found = False
    for system in house.told(_of_service):
        if lacks := no_credit(house.code, system, []):
            sheet.remark("note_not_managed", system=system.name, lacks=lacks)
            continue
        key = f"managed_setting_va[{system.name}]"
        done = any(line.key == key for line in sheet.lines)
        setting = sheet.value(key) if done else _setting(sheet, house.code, system, volts)
        item = ", ".join(filter(None, (reading, system.name if found else "")))
        load, found = sheet.line("managed_service_va", smaller(load, setting), item=item), True
    return load


def no_credit(code: Codebook, system: LoadManagement, held: Sequence[Counted]) -> str:
    """Why the edition gives the system no credit, in words; '' where it does."""
    if system.kind not in code.members("energy_management"):
        allowed = ", ".join(sorted(code.members("energy_management")))
        return f"this edition credits {allowed}, not {system.kind}"
    if code.has("managed_loads") and (
        system.scope == "service" or any(c.load.kind not in code.members("managed_loads") for c in held)
    ):
        return "this edition credits it for vehicle supply only"
    if not system.listed:
        return "it is not said to be listed for this use"
    if not system.access_restricted:
        return "it is not said that only qualified persons can change its setting"
    return ""
