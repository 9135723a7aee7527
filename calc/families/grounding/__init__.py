"""Grounding: electrodes and their conductors, and the bonds at the service; electrodes of separate buildings."""

from __future__ import annotations

from collections.abc import Sequence

from calc.families.feeder import run_sheet
from calc.families.grounding.bonds import bonds
from calc.families.grounding.electrodes import conductors, system
from calc.families.grounding.source import Source, from_run, together
from calc.job import Building, Job, Run
from calc.wiring.house import House, remembered
from calc.wiring.tree import live_runs, service_runs
from calc.work import Refused, Sheet
from calc.work.chart import Chart
from calc.work.table import Table

FAMILY = "grounding"
TITLE = "Grounding and bonding"
PLACE = 9


def needs(job: Job) -> list[str]:
    """What the job lacks for this family, in words; empty where it has all."""
    lacking = []
    if job.grounding is None and not job.buildings:
        lacking.append("a [grounding] part with its electrodes")
    if job.grounding is not None and not service_runs(job):
        lacking.append("one of the [[runs]] of role service")
    return lacking


def work(house: House) -> list[Sheet]:
    """One sheet for the service and one for each building that is fed by a run."""
    sheets = [_service(house)] if house.job.grounding is not None else []
    return [*sheets, *filter(None, (building_sheet(house, building) for building in house.job.buildings))]


def building_sheet(house: House, building: Building) -> Sheet | None:
    """The sheet of another building; None where it goes, or where no run feeds it."""
    run = house.told(_feeding, building) if building.status != "removed" else None
    return None if run is None else _building(house, building, run)


def charts(house: House, sheets: Sequence[Sheet]) -> list[Chart]:
    """None: sizes in a table say it better."""
    return []


def tables(house: House) -> list[Table]:
    """None beside the sheets."""
    return []


@remembered
def _service(house: House) -> Sheet:
    assert house.job.grounding is not None
    s = house.sheet(FAMILY, "Grounding and bonding of the service", house.job.job.name)
    with s.up_to_a_refusal():
        services = house.told(service_runs)
        source = _source(s, house, services)
        system(s, house, house.job.grounding.electrodes)
        conductors(s, house.code, source, house.job.grounding.electrodes)
        bonds(s, house.code, source, house.job.grounding)
    s.caution("caution_who_decides")
    return s


@remembered
def _building(house: House, building: Building, run: Run) -> Sheet:
    s = house.sheet(FAMILY, "Grounding of a separate building", building.name)
    with s.up_to_a_refusal():
        if run.role == "branch":
            s.find(
                "single_circuit", "one branch circuit with its ground", cites=[house.code.cite("building_electrodes")]
            )
        if run.role != "branch" or building.electrodes:
            source = _source(s, house, [run])
            system(s, house, building.electrodes)
            conductors(s, house.code, source, building.electrodes)
    s.caution("caution_who_decides")
    s.caution("caution_building")
    return s


def _source(sheet: Sheet, house: House, runs: Sequence[Run]) -> Source:
    """The conductors that everything here follows, from the sheets of their runs; of several runs all together."""
    found = []
    for run in runs:
        worked = run_sheet(house, run)
        if "size" not in worked:
            refused = worked.refused or Refused("it has no size")
            raise refused.under(f"Without the conductors of {run.name} nothing here can be sized: ")
        found.append(from_run(house, run, worked["size"]))
    named = (f"{run.name}: {source.called}" for run, source in zip(runs, found, strict=True))
    sheet.find("ungrounded_conductors", "; ".join(named))
    if len(found) == 1:
        return found[0].printed(sheet, house.code)
    sheet.remark("note_services_together")
    return together(sheet, house.code, {run.name: source for run, source in zip(runs, found, strict=True)})


def _feeding(job: Job, building: Building) -> Run | None:
    panels = {panel.name for panel in job.panels if panel.building == building.name}
    return next((run for run in live_runs(job) if run.feeds in panels), None)
