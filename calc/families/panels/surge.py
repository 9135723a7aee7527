"""Surge protection of a panel that a feeder brings into a dwelling."""

from __future__ import annotations

from calc.job import Job, Panel, Run, place
from calc.wiring.house import House
from calc.wiring.tree import below
from calc.work import Sheet, constant, given

MET = constant("devices asked for", 1, "device")
DWELLING = "accessory-dwelling"


def surge(sheet: Sheet, house: House, panel: Panel, run: Run | None) -> None:
    """Whether it has the surge-protective device that newer editions ask of a dwelling's panel behind a feeder."""
    if panel.service_equipment or house.job.dwelling is None:
        return
    rule = "surge_feeder"
    if panel.building is not None:
        building = next(each for each in house.job.buildings if each.name == panel.building)
        if building.kind != DWELLING:
            return
        rule = "surge_building_feeder"
    if not house.code.has(rule) or not _with_circuits(house.job, panel):
        return
    if why := _let_off(house.job, panel, run):
        sheet.find("surge_asked", why)
        return
    cites = [house.code.cite(rule)]
    sheet.find("surge_asked", "yes: a dwelling's branch circuits start here", cites=cites)
    if panel.surge_protection is None:
        sheet.unknown(
            "surge_protected",
            "its surge-protective device, or that there is none",
            place(panel, "surge_protection"),
            cites=cites,
        )
        return
    there = panel.surge_protection in house.code.members(rule)
    device = given(f"surge-protective device: {panel.surge_protection.replace('-', ' ')}", int(there), "device",
                   place(panel, "surge_protection"))  # fmt: skip
    sheet.check("surge_protected", device >= MET, sheet.words.text("surge_protected", "remedy"), cites=cites)


def _with_circuits(job: Job, panel: Panel) -> bool:
    """Whether branch circuits start here: a circuit or load is said to, or it feeds no other panel and so has to."""
    listed = any(
        each.panel == panel.name and each.status != "removed" and each.purpose != "feeder" for each in job.circuits
    )
    loads = any(load.panel == panel.name and load.status != "removed" for load in job.loads)
    return listed or loads or below(job, panel.name) == {panel.name}


def _let_off(job: Job, this_panel: Panel, run: Run | None) -> str:
    """Why nothing is asked of it: an old panel on an old feeder; '' where panel or feeder are new or replaced."""
    if this_panel.status == "new" or (run is not None and run.status == "new"):
        return ""
    above = next((panel for panel in job.panels if panel.name == this_panel.fed_from), None)
    if run is None and above is not None and above.status == "new":
        return ""
    return "no: panel and feeder are existing, and neither is replaced"
