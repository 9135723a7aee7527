"""The service's main and meter: against its rating, against the conductors behind them, and against its load."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families import dwelling_load, feeder
from calc.job import Panel, Service, place
from calc.wiring.house import House
from calc.wiring.reading import carry, read
from calc.wiring.tree import live_panels, service_runs
from calc.work import Sheet, Value, smaller, total


def service_ratings(sheet: Sheet, house: House) -> None:
    """Print mains, rating and meter, and check each against what another sheet takes it for."""
    assert house.job.service is not None
    disconnects = [panel for panel in house.told(live_panels) if panel.service_equipment]
    rating = _rating(sheet, house, house.job.service)
    mains = _mains(sheet, house.job.service, disconnects)
    cites = [house.code.cite("service_disconnects")]
    if mains is None:
        sheet.unknown("mains_rated", "the main of the service", place(house.job.service, "main_a"), cites=cites)
    elif rating is not None:
        sheet.check(
            "mains_rated", mains >= rating, f"a main of {rating.number:g} A, or a rating that the main has", cites=cites
        )
    for run in house.told(service_runs):
        fed = next((panel for panel in disconnects if panel.name == run.feeds), None)
        worked = feeder.run_sheet(house, run)
        if fed is None or fed.main_a is None or "breaker_a" not in worked:
            continue
        behind = sheet.line(
            "sized_behind_a", carry(worked, "breaker_a", f"main that {run.name} is sized for"), item=run.name
        )
        sheet.check("conductors_behind_main", behind >= read(fed, "main_a", f"main of {fed.name}"), item=run.name,
                remedy=f"conductors for {fed.main_a} A, or a main of {behind.number:g} A",
                cites=[house.code.cite("service_overload")])  # fmt: skip
    _meter(sheet, house.code, house.job.service, rating)


def _rating(sheet: Sheet, house: House, service: Service) -> Value | None:
    """The rating as stated, else as the load asks; None where neither is known."""
    if service.rating_a is not None:
        return sheet.line("rating_a", read(service, "rating_a"))
    if dwelling_load.needs(house.job):
        return None
    worked = next((each for each in dwelling_load.work(house) if "service_rating_a" in each), None)
    return (
        None
        if worked is None
        else sheet.line("rating_a", carry(worked, "service_rating_a", "rating that the load asks for"))
    )


def _mains(sheet: Sheet, service: Service, disconnects: list[Panel]) -> Value | None:
    """What can come in through all service disconnects together; None where a main isn't stated."""
    stated = [read(panel, "main_a", f"main of {panel.name}") for panel in disconnects if panel.main_a is not None]
    if len(disconnects) < 2:  # one breaker, though service and panel may each state it
        whole = [read(service, "main_a", "main of the service")] if service.main_a is not None else []
        return sheet.line("mains_a", smaller(*whole, *stated)) if whole or stated else None
    return sheet.line("mains_a", total(stated, "A")) if len(stated) == len(disconnects) else None


def _meter(sheet: Sheet, code: Codebook, service: Service, rating: Value | None) -> None:
    """The meter socket against the rating: one of 320 A continuous serves 400 A."""
    if service.meter_a is None:
        sheet.caution("caution_meter_unknown")
        return
    if rating is None:
        return
    serves = read(service, "meter_a", "meter socket")
    if any(float(row["socket_a"]) == service.meter_a for row in code.rows("meter_sockets")):
        serves = sheet.line("meter_serves_a", code.row("meter_sockets", socket_a=serves)["service_a"])
    sheet.check(
        "meter_rated",
        serves >= rating,
        sheet.words.text("meter_rated", "remedy"),
        cites=[code.cite("listed_equipment")],
    )
