"""Energy management: the setting of a listed system in place of the loads that it controls."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from calc.codebook import Codebook
from calc.families.dwelling_load.climate import is_climate
from calc.families.dwelling_load.current import Volts
from calc.families.reading import Counted, read
from calc.job import Job, LoadManagement
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


def managed(s: Sheet, job: Job, code: Codebook, loads: Sequence[Counted], volts: Volts) -> list[Managed]:
    """The systems that the edition credits, each with its setting or its loads, whichever is less."""
    found: list[Managed] = []
    climate = is_climate(code, loads)
    taken: set[str] = set()
    for system in job.load_management:
        held = [c for c in loads if c.load.name in system.controls and c.load.name not in taken]
        if not held or system.scope == "service":
            continue
        if lacks := no_credit(code, system, held):
            s.remark("note_not_managed", system=system.name, lacks=lacks)
            continue
        connected = s.line("managed_connected_va", total(c.va for c in held), item=system.name)
        setting = s.line(
            "managed_setting_va",
            read(system, "setpoint_a", f"setting of {system.name}") * volts.line_to_line,
            item=system.name,
            by=[code.cite("energy_management")],
        )
        value = s.line("managed_va", smaller(setting, connected), item=system.name)
        found.append(Managed(system.name, held, value, any(c.load.name in climate for c in held)))
        taken |= {c.load.name for c in held}
        s.remark("note_managed", system=system.name)
    return found


def no_credit(code: Codebook, system: LoadManagement, held: Sequence[Counted]) -> str:
    """Why the edition gives the system no credit, in words; '' where it does."""
    if system.kind not in code.members("energy_management"):
        allowed = ", ".join(sorted(code.members("energy_management")))
        return f"this edition credits {allowed}, not {system.kind}"
    if code.has("managed_loads") and any(c.load.kind not in code.members("managed_loads") for c in held):
        return "this edition credits it for vehicle supply only"
    if not system.listed:
        return "it is not said to be listed for this use"
    if not system.access_restricted:
        return "it is not said that only qualified persons can change its setting"
    return ""
