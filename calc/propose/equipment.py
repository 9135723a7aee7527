"""Panels, what feeds them, and electrodes; and the raceways of circuits that no cable serves."""

from __future__ import annotations

from typing import Any

from calc.families import dwelling_load, families
from calc.families.branch_circuits.worked import all_circuits
from calc.families.feeder import run_sheet
from calc.job import SIZES, Job, Panel, changed, made_cables, place
from calc.propose.circuits import stands_outdoors
from calc.propose.practice import Table, added, entry, free_name, practice
from calc.remedies.conductors import written
from calc.wiring.circuits import branches
from calc.wiring.house import House
from calc.wiring.tree import live_panels, live_runs
from calc.work import Sheet


def panels(house: House) -> dict[str, Any]:
    """A panel with the service disconnect, where the job has none: of the rating of the service, stated or worked out."""
    job = house.whole_job
    if live_panels(job) or job.service is None or (job.dwelling is not None and job.dwelling.units):
        return {}
    rating = job.service.rating_a or _worked_rating(house)
    if rating is None:
        return {}
    kept = practice("panel")
    spaces = next((number for limit, number in kept["spaces"].items() if int(limit) >= rating), None)
    return added(job, "panels", [entry(
        name=kept["name"], fed_from="utility", service_equipment=True, neutral_bonded=True, bus_a=rating,
        main_a=job.service.main_a or rating, spaces=spaces,
    )])  # fmt: skip


def _worked_rating(house: House) -> int | None:
    if dwelling_load.needs(house.whole_job):
        return None
    found = dwelling_load.work(house)[0].results.get("service_rating_a")
    return int(found) if found else None


def interrupting(house: House) -> dict[str, Any]:
    """The least interrupting rating that is kept and that the fault current allows; none where nothing tells that."""
    job, family = house.whole_job, families()["fault-current"]
    mine = [panel for panel in live_panels(job) if panel.proposed and panel.interrupting_a is None]
    if not mine or family.needs(job):
        return {}
    for rating in practice("panel")["interrupting_a"]:
        changes = {place(panel, "interrupting_a"): rating for panel in mine}
        sheets = family.work(house.with_job(changed(job, changes)))
        if all(check.holds.holds for s in sheets for check in s.checks):
            return changes
    return {}


def electrodes(house: House) -> dict[str, Any]:
    """Rods, at the house and at another building with a panel, where nothing is entered of the earth.

    What lies in a footing only a person has seen.
    """
    job = house.whole_job
    found: dict[str, Any] = {}
    if job.grounding is None and any(panel.service_equipment for panel in live_panels(job)):
        found["grounding.electrodes"] = [entry(**practice("electrode"))]
    fed = {panel.building for panel in live_panels(job) if panel.status == "new"}
    for building in job.buildings:
        if building.name in fed and building.status == "new" and not building.electrodes:
            found[place(building, "electrodes")] = [entry(**practice("electrode"))]
    return found


def runs(house: House) -> dict[str, Any]:
    """Service conductors and feeders for the panels that nothing feeds yet, in the size that their own sheets find.

    Their lengths only a person knows.
    """
    job = house.whole_job
    made: list[Table] = []
    names = [run.name for run in job.runs]
    fed = {run.feeds for run in live_runs(job)}
    first = next((panel for panel in live_panels(job) if panel.service_equipment), None)
    for panel in live_panels(job):
        if panel.name in fed or panel.status != "new":
            continue
        fields = _service(job, panel) if panel.fed_from == "utility" else _feeder(job, panel, first)
        if fields:
            names.append(free := free_name(str(fields.pop("name")), names))
            made.append(entry(name=free, **fields))
    return added(job, "runs", [_sized(house, job, run) for run in made])


def _service(job: Job, panel: Panel) -> Table:
    if job.service is None or job.service.supply is None:
        return {}
    kept, supply = practice("service_run"), job.service.supply
    phases = job.service.phases
    return {
        "name": kept["name"], "role": "service", "fed_from": "utility", "feeds": panel.name,
        "volts": 240 if job.service.system == "120/240" else 208, "phases": phases if phases == 3 else None,
        "material": kept["material"], "insulation": kept["insulation"], "wiring_method": kept["wiring_method"][supply],
        "location": kept["location"][supply], "terminations_from_c": kept["terminations_c"],
        "terminations_to_c": kept["terminations_c"],
    }  # fmt: skip


def _feeder(job: Job, panel: Panel, first: Panel | None) -> Table:
    if first is None or panel is first:
        return {}
    kept = practice("feeder_run" if panel.building is None else "feeder_to_building")
    lies: Table = {key: kept[key] for key in ("insulation", "location", "burial_under") if key in kept}
    return {
        "name": f"Feeder to {panel.name}", "role": "feeder", "fed_from": panel.fed_from or first.name, "feeds": panel.name,
        "volts": 240 if job.service is None or job.service.system == "120/240" else 208, "neutral": True,
        "wiring_method": kept["wiring_method"], "material": kept["material"], **lies,
        "terminations_from_c": kept["terminations_c"], "terminations_to_c": kept["terminations_c"],
        "breaker_a": panel.main_a or panel.bus_a,
    }  # fmt: skip


def _sized(house: House, job: Job, run: Table) -> Table:
    """The run with the size that its sheet finds, as deep as that asks; in cable the smallest made with which nothing falls short."""
    if "insulation" in run:
        results = _sheet(house, job, run).results
        found, cover = results.get("size"), results.get("cover_in")
        dug = {"burial_in": cover} if cover is not None and "burial_under" in run else {}
        return {**run, **dug} if found is None or str(found).startswith("none") else {**run, **dug, "size": found}
    kept, plain = practice("feeder_run"), {key: value for key, value in run.items() if key != "material"}
    made = [
        c
        for c in made_cables()
        if (c.kind, c.material) == (kept["wiring_method"], kept["material"]) and len(c.wires) > 2
    ]
    for cable in sorted(made, key=lambda c: SIZES.index(c.size)):
        tried = {**plain, "cable": written(cable)}
        sheet = _sheet(house, job, tried)
        if sheet.refused is None and all(check.holds.holds for check in sheet.checks):
            return tried
    return run


def _sheet(house: House, job: Job, run: Table) -> Sheet:
    tried = changed(job, added(job, "runs", [run]))
    return run_sheet(house.with_job(tried), tried.runs[-1])


def raceways(house: House) -> dict[str, Any]:
    """A raceway for each proposed circuit that no made cable serves, with wires in the size that the sheets find."""
    job, kept = house.whole_job, practice("branch_run")
    names = [run.name for run in job.runs]
    made: list[Table] = []
    for branch in branches(house):
        circuit = branch.circuit
        if not circuit.proposed or circuit.cable is not None or branch.run is not None or circuit.breaker_a is None:
            continue
        where = "outdoors" if stands_outdoors(house, branch) else "indoors"
        run = entry(
            name=free_name(f"{kept['wiring_method'][where]} to {circuit.name}", names), role="branch", feeds=circuit.name,
            volts=120 if circuit.poles == 1 else 240, wiring_method=kept["wiring_method"][where], location=kept["location"][where],
            insulation=kept["insulation"], material=kept["material"], breaker_a=circuit.breaker_a, fed_from=circuit.panel,
        )  # fmt: skip
        tried = house.with_job(changed(job, added(job, "runs", [run])))
        sheet = all_circuits(tried).by_name[circuit.name]
        if sheet.refused is None and all(check.holds.holds for check in sheet.checks):
            names.append(run["name"])
            made.append(_sized(house, job, run))
    return added(job, "runs", made)
