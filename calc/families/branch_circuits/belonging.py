"""Receptacles that are kept for a circuit of one purpose: counters and kitchens, basins, laundries, vehicle bays."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.branch_circuits.places import receptacles_on
from calc.families.branch_circuits.protection import high
from calc.job import CounterOutlet, Outlet, Room, place
from calc.wiring.circuits import Branch
from calc.work import Sheet, constant, given

NONE_ELSEWHERE = constant("allowed", 0, "receptacle")
RULES = {
    "small-appliance": "required_small_appliance",
    "bathroom": "required_bathroom",
    "laundry": "required_laundry",
    "garage": "required_garage",
}
"""The rule that asks for a circuit of the purpose, and so keeps the receptacles that it is there for to it."""


def belonging(sheet: Sheet, code: Codebook, branch: Branch) -> None:
    """Check that no new receptacle is on this circuit that a rule keeps for one of another purpose."""
    for purpose, rule in RULES.items():
        if purpose == branch.circuit.purpose:
            continue
        kept = [(room, outlet) for room, outlet in receptacles_on(branch) if _kept_for(code, room, outlet) == purpose]
        cites = [code.cite(rule)]
        unsaid = next((outlet for _, outlet in kept if _unsaid(code, outlet, purpose)), None)
        sure = [(room, outlet) for room, outlet in kept if not _unsaid(code, outlet, purpose)]
        if sure:
            rooms = ", ".join(dict.fromkeys(room.name for room, _ in sure))
            number = given(f"on it ({rooms})", len(sure), "receptacle", place(sure[0][1], "circuit"))
            sheet.check("kept_for_another", number <= NONE_ELSEWHERE, item=purpose, cites=cites,
                    remedy=f"feed them from a {purpose} circuit")  # fmt: skip
        elif unsaid is not None:
            sheet.unknown("kept_for_another", "whether it is the receptacle at the basin (purpose)", place(unsaid, "purpose"),
                      item=purpose, cites=cites)  # fmt: skip


def _kept_for(code: Codebook, room: Room, outlet: Outlet | CounterOutlet) -> str:
    """The purpose that a new receptacle's circuit must have; '' where it may be on any."""
    if outlet.status != "new" or outlet.dedicated:
        return ""
    if isinstance(outlet, CounterOutlet):
        return "small-appliance" if room.use in code.members("counter_rooms") else ""
    if outlet.purpose == "laundry":
        return "laundry"
    if outlet.purpose == "vehicle-bay" or (outlet.purpose is None and outlet.bay is not None):
        return "garage"
    if outlet.purpose == "basin" or (outlet.purpose is None and room.use == "bathroom" and not outlet.in_cabinet):
        return "bathroom"
    general = outlet.purpose is None and outlet.switched == "no" and not outlet.in_cabinet and not high(code, outlet)
    return "small-appliance" if general and room.use in code.members("small_appliance_places") else ""


def _unsaid(code: Codebook, outlet: Outlet | CounterOutlet, purpose: str) -> bool:
    """Whether the edition keeps those at basins only to the bathroom circuit, and nobody says that it is one."""
    at_basins = code.method("required_bathroom") == "at basins"
    return purpose == "bathroom" and at_basins and isinstance(outlet, Outlet) and outlet.purpose is None
