"""One panel: what protects its bus, what it has to carry, and surge protection where a feeder brings it."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families import feeder
from calc.families.panels.surge import surge
from calc.job import Panel, Run, place
from calc.wiring.house import House
from calc.wiring.reading import carry, read
from calc.wiring.tree import feeding
from calc.work import Sheet, Value, smaller


def panel_ratings(sheet: Sheet, house: House, panel: Panel) -> None:
    """Print what protects the bus, and check bus and main on both sides: what may come in, and what goes out."""
    run = house.told(feeding, panel.name)
    worked = feeder.run_sheet(house, run) if run is not None else None
    _protected(sheet, house, panel, run, worked)
    _carries(sheet, house.code, panel, run, worked)
    surge(sheet, house, panel, run)


def _protected(sheet: Sheet, house: House, panel: Panel, run: Run | None, worked: Sheet | None) -> None:
    """The smallest breaker in the panel or ahead of it, against its bus."""
    cites = [house.code.cite("panel_protection")]
    if panel.bus_a is None:
        sheet.unknown("bus_protected", "the rating of its bus, from its label", place(panel, "bus_a"), cites=cites)
        return
    found = _devices(sheet, house, panel, run, worked)
    if not found:
        sheet.unknown("bus_protected", "its main, or the breaker ahead of it", place(panel, "main_a"), cites=cites)
        return
    protects = sheet.line("protects_a", smaller(*found), cites=cites)
    remedy = f"a panel with a bus of {protects.number:g} A or more, or a breaker of {panel.bus_a} A ahead where that carries the load"
    sheet.check("bus_protected", read(panel, "bus_a", f"bus of {panel.name}") >= protects, remedy, cites=cites)


def _devices(
    sheet: Sheet, house: House, this_panel: Panel, run: Run | None, worked: Sheet | None
) -> list[Value]:  # fmt: skip
    """The breakers that all of the panel's current passes: its own main, the feeder's; else what is next ahead."""
    found = (
        [sheet.line("main_a", read(this_panel, "main_a", f"main of {this_panel.name}"))]
        if this_panel.main_a is not None
        else []
    )
    if run is not None and worked is not None and run.role != "service" and "breaker_a" in worked:
        found.append(sheet.line("ahead_a", carry(worked, "breaker_a", f"breaker of {run.name}")))
    if found:
        return found
    if this_panel.service_equipment:
        service = house.job.service
        alone = sum(panel.service_equipment and panel.status != "removed" for panel in house.job.panels) == 1
        if service is None or service.main_a is None or not alone:
            return []
        return [sheet.line("main_a", read(service, "main_a", "main of the service"))]
    above = next((panel for panel in house.job.panels if panel.name == _above(this_panel, run)), None)
    if above is None or above.main_a is None:
        return []
    return [sheet.line("ahead_a", read(above, "main_a", f"main of {above.name}"))]


def _above(panel: Panel, run: Run | None) -> str | None:
    return run.fed_from if run is not None else panel.fed_from


def _carries(sheet: Sheet, code: Codebook, panel: Panel, run: Run | None, worked: Sheet | None) -> None:
    """Bus and main against the load that comes through them."""
    if run is None or worked is None or "calculated_a" not in worked:
        return
    load = sheet.line("panel_load_a", carry(worked, "calculated_a", f"load of {run.name}"))
    if panel.bus_a is not None:
        sheet.check("bus_carries", read(panel, "bus_a", f"bus of {panel.name}") >= load, cites=[code.cite("panel_rating")],
                remedy=sheet.words.text("bus_carries", "remedy"))  # fmt: skip
    if panel.main_a is not None and "design_a" in worked:
        design = sheet.line("panel_design_a", carry(worked, "design_a", f"load of {run.name} to be sized for"))
        sheet.check("main_carries", read(panel, "main_a", f"main of {panel.name}") >= design,
                cites=[code.cite(f"continuous_{run.role}")], remedy=sheet.words.text("main_carries", "remedy"))  # fmt: skip
