"""The house as a whole: dates, area, fuel, service, and parts that a described house has and this one lacks."""

from __future__ import annotations

from calc.job.fields import field_info
from calc.job.model import Job
from calc.job.panels import Panel
from calc.job.plausible.notice import Found, Odd, live

YEARS_AHEAD = 1
"""Editions are published in the year before the one that they are called by."""
LEAST_SHARE_OF_SERVICE = 0.15
"""A transformer below this share of what the service is rated for is odd. Common practice, no source."""
_WHOLE_HOUSE = ("kitchen", "bathroom", "bedroom")


def _dates(job: Job) -> Found:
    edition, permit = int(job.code.edition), job.code.permit_date
    if permit is not None and permit.year < edition - YEARS_AHEAD:
        yield Odd(job.code, "permit_date", f"before the edition of {edition} was published", "another year, or edition")
    if job.job.date is not None and job.job.date.year < edition - YEARS_AHEAD:
        yield Odd(job.job, "date", f"before the edition of {edition} was published")
    for finding in job.findings:
        if finding.closed_on and finding.found_on and finding.closed_on < finding.found_on:
            yield Odd(finding, "closed_on", f"before it was found on {finding.found_on}")


def _fuel(job: Job) -> Found:
    dwelling, grounding = job.dwelling, job.grounding
    burners = [load.name for load in live(job.loads) if load.fuel_burning]
    if dwelling is not None and dwelling.fuel_burning is False and burners:
        yield Odd(dwelling, "fuel_burning", f"{', '.join(burners)} burns fuel", "yes")
    if grounding is None:
        return
    burns = (dwelling is not None and dwelling.fuel_burning is True) or bool(burners)
    if grounding.gas_piping == "none" and burns:
        said = f"{', '.join(burners)} burns fuel" if burners else "fuel is burned in the house"
        yield Odd(grounding, "gas_piping", f"{said}", "steel or csst, or the fuel is oil or wood")
    elif grounding.gas_piping not in (None, "none") and dwelling is not None and dwelling.fuel_burning is False:
        yield Odd(dwelling, "fuel_burning", f"gas piping of {grounding.gas_piping} is there", "yes")
    pipe = any(electrode.kind == "water-pipe" and electrode.used for electrode in grounding.electrodes)
    if pipe and grounding.water_piping == "plastic":
        yield Odd(grounding, "water_piping", "a metal water pipe serves as electrode", "metal or mixed")


def _service(job: Job) -> Found:
    service = job.service
    at_service = [panel for panel in live(job.panels) if panel.service_equipment]
    for panel in at_service:
        if panel.main_a is None:
            yield Odd(panel, "main_a", "the service disconnect is here, and no main is stated")
    if service is None:
        return
    if not at_service and any(panel.fed_from == "utility" for panel in live(job.panels)):
        first = next(panel for panel in live(job.panels) if panel.fed_from == "utility")
        yield Odd(first, "service_equipment", "fed by the utility, and no panel has the service disconnect", "yes")
    if service.rating_a is not None and service.main_a is None and at_service and not any(p.main_a for p in at_service):
        yield Odd(service, "main_a", f"a service of {service.rating_a} A with no main stated", f"{service.rating_a} A")
    if service.replaces_a is not None and service.work != "replaced":
        yield Odd(service, "work", f"it replaces a service of {service.replaces_a} A", "replaced")
    if job.fault is not None and job.fault.transformer_kva is not None and service.rating_a is not None:
        volts = (240 if service.system == "120/240" else 208) * (3**0.5 if service.phases == 3 else 1)
        amperes = job.fault.transformer_kva * 1000 / volts
        if amperes < LEAST_SHARE_OF_SERVICE * service.rating_a:
            odd = f"{amperes:,.3g} A for a service of {service.rating_a} A"
            yield Odd(job.fault, "transformer_kva", odd, f"{job.fault.transformer_kva * 10:g} kVA")
    for system in job.load_management:
        if service.rating_a is not None and system.setpoint_a > service.rating_a:
            yield Odd(system, "setpoint_a", f"above the service of {service.rating_a} A: it holds nothing back")


def _sources(job: Job) -> Found:
    for source in live(job.sources):
        if source.breaker_a is not None and source.output_a is not None and source.breaker_a < source.output_a:
            yield Odd(source, "breaker_a", f"below its output of {source.output_a:g} A", "the two exchanged")


def _status(job: Job) -> Found:
    """Parts that exist in a dwelling that is new, and a dwelling of which nothing exists but its status says so."""
    dwelling = job.dwelling
    if dwelling is None:
        return
    if dwelling.status == "existing":
        parts = [
            part for key in ("panels", "loads", "circuits", "runs", "rooms", "boxes") for part in getattr(job, key)
        ]
        laid_new = job.service is not None and job.service.work == "new" and job.panels and job.circuits and job.rooms
        if laid_new and all(part.status == "new" for part in parts):
            yield Odd(dwelling, "status", "its service, panels, circuits and rooms are all new", "new")
        return
    there = [p for key in ("panels", "loads", "circuits", "runs") for p in getattr(job, key) if p.status == "existing"]
    if there:
        yield Odd(dwelling, "status", f'"{there[0].name}" exists', "existing")
    elif job.service is not None and (job.service.work == "kept" or job.service.replaces_a is not None):
        yield Odd(dwelling, "status", "it has a service already", "existing")


def _alarms(job: Job) -> Found:
    """Alarms of a new dwelling as the building code has them: one in each bedroom, on house power, all sounding together."""
    alarms = list(live(job.alarms))
    if not alarms or job.dwelling is None or job.dwelling.status != "new":
        return
    smoke = {alarm.room for alarm in alarms if alarm.kind != "carbon-monoxide"}
    for room in live(job.rooms):
        if room.use == "bedroom" and room.status == "new" and room.name not in smoke:
            yield Odd(room, "use", "alarms are entered, and no smoke alarm in this bedroom", "an alarm is forgotten")
    for alarm in alarms:
        if alarm.status == "new" and alarm.power == "battery":
            yield Odd(alarm, "power", "a new dwelling's alarms are on its wiring, with a battery beside", "hardwired")
        if alarm.status == "new" and alarm.interconnected is False and len(alarms) > 1:
            yield Odd(alarm, "interconnected", "a new dwelling's alarms all sound together", "yes")


def _panel_places(job: Job) -> Found:
    uses = {room.name: room.use for room in job.rooms}
    kinds = {choice for choice in field_info(Panel, "location").choices if choice not in ("outdoors", "other")}
    for panel in live(job.panels):
        use = str(uses.get(panel.room or ""))
        if use in kinds and panel.location is not None and panel.location != use:
            yield Odd(panel, "location", f'its room "{panel.room}" is a {use.replace("-", " ")}', f"{use}")


def _missing(job: Job) -> Found:
    """Parts that a new house has when its service, panels, circuits and rooms are all described.

    A job that says what it covers is told so by its verdict.
    """
    if job.scope is not None:
        return
    dwelling, rooms = job.dwelling, list(live(job.rooms))
    whole = dwelling is not None and dwelling.status == "new" and job.service and job.panels and job.circuits
    uses = {room.use for room in rooms}
    if not whole or len(rooms) < 5 or len(uses & set(_WHOLE_HOUSE)) < 2:
        return
    for key in ("fault", "grounding", "loads", "runs", "boxes", "alarms"):
        if not getattr(job, key):
            yield Odd(job, key, "the house is described, and this is not", "forgotten")
    for use in _WHOLE_HOUSE:
        if use not in uses:
            yield Odd(job, "rooms", f"no {use} among the {len(rooms)} rooms", "forgotten")
    if (
        len({room.storey for room in rooms if room.storey and room.use not in ("attic", "crawl-space")}) > 1
        and not job.stairs
    ):
        yield Odd(job, "stairs", "rooms stand on several storeys", "forgotten")


RULES = (_dates, _fuel, _service, _sources, _status, _alarms, _panel_places, _missing)
