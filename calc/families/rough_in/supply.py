"""What comes to another building, brought together from the sheets that work it: conductors, electrodes, drop, cover."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families import feeder, grounding, voltage_drop
from calc.families.feeder.cover import depth
from calc.families.rough_in.panels import beyond
from calc.job import Building, Run
from calc.wiring.house import House
from calc.wiring.reading import carry, read
from calc.work import Sheet, constant, given
from calc.work.keys import stem_and_item

NONE = constant("none", 0, "check")


def supply(sheet: Sheet, house: House, building: Building, run: Run) -> None:
    """Print the building's wires, conductors, electrodes, drop and cover, and check them. Refused where the conductors are."""
    panel = next(panel for panel in house.job.panels if panel.name == run.feeds)
    if run.role != "branch":
        beyond(sheet, house, panel)
    conductors = feeder.run_sheet(house, run)
    if conductors.refused is not None:
        raise conductors.refused.under(f"The conductors of {run.name} are {conductors.refused.status}: ")
    _conductors(sheet, house.code, building, run, conductors)
    earth = None if grounding.needs(house.job) else grounding.building_sheet(house, building)
    _electrodes(sheet, house.code, earth)
    _drop(sheet, run, voltage_drop.run_sheet(house, run))
    if "cover_in" in conductors:
        least = sheet.line("supply_cover_in", carry(conductors, "cover_in", f"least cover of {run.name}"))
        depth(sheet, house.code, run, least, "supply_deep_enough")


def _conductors(sheet: Sheet, code: Codebook, building: Building, run: Run, worked: Sheet) -> None:
    found = worked.results
    parts = [f"{found['size']} {run.metal}"]
    parts += [f"{name} {found[key]}" for key, name in (("neutral_size", "neutral"), ("equipment_ground_size", "ground"))
              if key in found and found[key][0].isdigit()]  # fmt: skip
    sheet.find("supply_conductors", ", ".join(parts))
    load = sheet.line("supply_load_a", carry(worked, "calculated_a", f"load of {run.name}"))
    ampacity = sheet.line("supply_ampacity_a", carry(worked, "ampacity_a", f"ampacity of {run.name}"))
    breaker = sheet.line("supply_breaker_a", carry(worked, "breaker_a", f"breaker of {run.name}"))
    if building.disconnect_a is not None and building.disconnect_a < breaker.number:
        sheet.caution(
            "caution_smaller_disconnect",
            building=building.name,
            rating=f"{building.disconnect_a} A",
            breaker=f"{breaker.number:g} A",
        )
    sheet.check("supply_carries", ampacity >= load, remedy=sheet.words.text("supply_carries", "remedy"))
    if building.disconnect_a is not None:
        sheet.check("disconnect_carries", read(building, "disconnect_a") >= load, cites=[code.cite("building_rating")],
                remedy=sheet.words.text("disconnect_carries", "remedy"))  # fmt: skip
    _passes(sheet, worked, "conductors")


def _electrodes(sheet: Sheet, code: Codebook, worked: Sheet | None) -> None:
    if worked is None or "electrodes_count" not in worked:
        return
    count = sheet.line("supply_electrodes_count", carry(worked, "electrodes_count", "electrodes at the building"))
    sheet.check("supply_electrode_there", count >= code["electrodes_least"],
            remedy=sheet.words.text("supply_electrode_there", "remedy"))  # fmt: skip
    for line in worked.lines:
        key, item = stem_and_item(line.key)
        if key == "electrode_conductor":
            sheet.find("supply_electrode_conductor", line.found, item=item)
    _passes(sheet, worked, "electrodes")


def _drop(sheet: Sheet, run: Run, worked: Sheet) -> None:
    if worked.refused is not None:
        sheet.caution("caution_no_drop", run=run.name, status=worked.refused.status)
        return
    sheet.line("supply_drop_v", carry(worked, "drop_v", f"drop of {run.name}"))
    sheet.line("supply_drop_pct", carry(worked, "drop_pct", f"drop of {run.name}, in percent"))
    sheet.line("supply_total_drop_pct", carry(worked, "total_drop_pct", f"drop as far as the end of {run.name}"))
    _passes(sheet, worked, "voltage drop")


def _passes(sheet: Sheet, worked: Sheet, what: str) -> None:
    """A check that stands for all the checks of the sheet that was drawn upon."""
    short = sum(not check.holds.holds for check in worked.checks)
    if not short and worked.unknowns:
        lacking = worked.unknowns[0]
        sheet.unknown("supply_sheet", missing=lacking.missing, at=lacking.at, item=what, cites=lacking.cites)
        return
    number = given(
        f"checks that fall short on the sheet of {what}", short, "check", f"{worked.title}, {worked.subject}"
    )
    sheet.check("supply_sheet", number <= NONE, remedy=sheet.words.text("supply_sheet", "remedy", item=what), item=what)
