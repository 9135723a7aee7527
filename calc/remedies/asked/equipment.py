"""Appliances and equipment, by their nameplates."""

from __future__ import annotations

from calc.job import Load
from calc.remedies.asked.subjects import Asked, Walked, subject

COOLING = ("heat-pump", "air-conditioner", "mini-split")
OLD_CORDS = ("range", "dryer")


@subject("equipment")
def _equipment(walked: Walked) -> Asked:
    for load in walked.job.loads:
        if load.status == "new":
            yield walked.where[load.name], {"name": load.name, "nameplate": _nameplate(load)}


def _nameplate(load: Load) -> str:
    parts = [f"{load.load_va:,.0f} VA" if load.load_va else f"{load.nameplate_a:g} A", f"{load.volts} V"]
    parts += [f"minimum circuit {load.mca_a:g} A"] if load.mca_a else []
    parts += [f"largest breaker {load.mocp_a:g} A"] if load.mocp_a else []
    parts += [f"set to {load.setting_a:g} A"] if load.setting_a else []
    return ", ".join(parts) + (f" each, {load.count} of them" if load.count > 1 else "")


@subject("cooling")
def _cooling(walked: Walked) -> Asked:
    for load in walked.job.loads:
        if load.kind in COOLING and load.status == "new":
            yield (
                walked.where[load.name],
                {"name": load.name, "most": f"{load.mocp_a:g} A" if load.mocp_a else "not stated"},
            )


@subject("lockable")
def _lockable(walked: Walked) -> Asked:
    for load in walked.job.loads:
        if (
            load.kind in walked.code.members("appliance_disconnect")
            and load.status == "new"
            and not load.disconnect_in_sight
        ):
            yield walked.where[load.name], {"name": load.name}


@subject("old-cords")
def _old_cords(walked: Walked) -> Asked:
    for load in walked.job.loads:
        if load.kind in OLD_CORDS and load.status == "existing" and not load.fuel_burning:
            yield walked.where[load.name], {"name": load.name}
