"""Another building on the lot, all on one sheet: its disconnect, and what comes to it."""

from __future__ import annotations

from calc.families.rough_in.stated import among
from calc.families.rough_in.supply import supply
from calc.job import Building, Job, Run, place
from calc.wiring.house import House
from calc.wiring.reading import read
from calc.wiring.tree import live_runs
from calc.work import Sheet, given

TWO_CIRCUITS = 2


def building(sheet: Sheet, house: House, building: Building) -> None:
    """Whether it has a disconnect, where that is, and how large; then wires, conductors, electrodes, drop and cover."""
    run = _feed(house.job, building)
    sheet.find("fed_by", f"{run.name}, a {run.role}" if run else "nothing that the job names")
    if building.disconnect is None:
        sheet.unknown("building_disconnect", "where its disconnect is", place(building, "disconnect"),
                  cites=[house.code.cite("building_disconnect")])  # fmt: skip
    else:
        there = among(
            building,
            "disconnect",
            house.code.members("building_disconnect"),
            "disconnects where they may be",
            "disconnect",
        )
        sheet.check(
            "building_disconnect",
            there >= house.code["building_disconnect"],
            remedy=sheet.words.text("building_disconnect", "remedy"),
        )
    if building.disconnect_a is not None:
        serves = _serves(house.job, building, run)
        sheet.find("what_it_serves", serves)
        least = sheet.line("disconnect_least_a", house.code.row("building_rating", serves=serves)["least_a"])
        sheet.check("disconnect_rated", read(building, "disconnect_a") >= least,
                remedy=f"a disconnect of {least.number:g} A or more")  # fmt: skip
    elif building.status == "new":
        sheet.unknown("disconnect_rated", "the rating of its disconnect", place(building, "disconnect_a"),
                  cites=[house.code.cite("building_rating")])  # fmt: skip
    if (
        house.code.has("building_emergency")
        and building.kind in house.code.members("building_emergency")
        and building.disconnect is not None
    ):
        out = given(
            "disconnects outside", int(building.disconnect == "outside"), "disconnect", place(building, "disconnect")
        )
        sheet.check(
            "building_emergency",
            out >= house.code["building_emergency"],
            remedy=sheet.words.text("building_emergency", "remedy"),
        )
    if run is not None:
        supply(sheet, house, building, run)


def _feed(job: Job, building: Building) -> Run | None:
    panels = {panel.name for panel in job.panels if panel.building == building.name}
    return next((run for run in live_runs(job) if run.feeds in panels), None)


def _serves(job: Job, building: Building, run: Run | None) -> str:
    """The row of the rating table: by what the building is, else by its circuits as far as they are listed."""
    if building.kind == "accessory-dwelling":
        return "a one-family dwelling"
    if run is not None and run.role == "branch":
        return "one branch circuit"
    panels = {panel.name for panel in job.panels if panel.building == building.name}
    circuits = [circuit for circuit in job.circuits if circuit.panel in panels and circuit.status != "removed"]
    if 0 < len(circuits) <= TWO_CIRCUITS and all(circuit.poles == 1 for circuit in circuits):
        return "one branch circuit" if len(circuits) == 1 else "two two-wire circuits"
    return "any other"
