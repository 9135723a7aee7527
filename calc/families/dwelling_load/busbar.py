"""Sources at a panel's bus: whether main and sources together may feed it, there and in each panel on the way up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calc.codebook import Codebook
from calc.families.dwelling_load.methods import FAMILY
from calc.job import Job, Panel, Run, Source, place
from calc.wiring.house import House
from calc.wiring.reading import read
from calc.work import Missing, Refused, Sheet, Value, total

TITLE = "Sources at the bus"


def buses(house: House) -> list[Sheet]:
    """A sheet for each panel that a source feeds, from itself or from below, and one for each that can't be placed."""
    live = [source for source in house.job.sources if source.status != "removed"]
    refusals = {source.name: _refused(house.code, source) for source in live}
    sheets = []
    for source in live:
        if (reason := refusals[source.name]) is not None:
            s = house.sheet(FAMILY, TITLE, source.name)
            s.refused = reason
            s.caution("caution_source_other", source=source.name)
            sheets.append(s)
    for panel in (panel for panel in house.job.panels if panel.status != "removed"):
        fed = [source for source in live if source.panel is not None and _feeds(house.job, source, panel)]
        if any(refusals[source.name] is None for source in fed):
            sheets.append(_bus(house, panel, [s for s in fed if s.kind != "generator"]))
    return sheets


def _refused(code: Codebook, source: Source) -> Refused | None:
    """Why a source is not judged at a bus; None where it is."""
    cite = code.cite("bus_source")
    if source.kind == "generator":
        return Refused(
            "a generator needs transfer equipment, which is not covered; its bus is not that of this check", cite
        )
    missing = [key for key in ("output_a", "panel", "position") if getattr(source, key) is None]
    if missing and source.position != "line-side":
        reason = f"[[sources]] doesn't state {', '.join(missing)} of it"
        return Missing(reason, cite, at=place(source, missing[0]))
    if source.position == "line-side":
        return Refused("it joins ahead of the main, not at the bus; that connection is not covered", cite)
    return None


def _feeds(job: Job, source: Source, panel: Panel) -> bool:
    """Whether the source's current can reach the panel's bus: from a breaker of it, or from below."""
    if source.panel == panel.name:
        return source.position != "line-side"
    return panel.name in (above.name for above, _ in _way_up(job, str(source.panel)))


def _way_up(job: Job, name: str) -> Iterator[tuple[Panel, Run | None]]:
    """The panels that feed a panel, nearest first, each with the run on its bus where the job has one."""
    panels = {panel.name: panel for panel in job.panels}
    runs = {run.name: run for run in job.runs}
    while name in panels:
        run = next((run for run in job.runs if run.feeds == name and run.status != "removed"), None)
        while run is not None and run.fed_from in runs and run.fed_from not in panels:
            run = runs[run.fed_from]
        name = (run.fed_from if run is not None else panels[name].fed_from) or ""
        if name in panels:
            yield panels[name], run


def _bus(house: House, panel: Panel, sources: Sequence[Source]) -> Sheet:
    s = house.sheet(FAMILY, TITLE, panel.name)
    with s.up_to_a_refusal():
        _checked(s, house, panel, sources)
    for source in sources:
        s.caution(f"caution_source_{source.kind}", source=source.name)
    s.caution("caution_who_decides")
    return s


def _checked(sheet: Sheet, house: House, panel: Panel, sources: Sequence[Source]) -> None:
    """125 % of the sources and the main against the bus, or against 120 % of it where both feed from its two ends."""
    if unstated := [source for source in sources if source.output_a is None]:
        raise Missing(f"the output of {unstated[0].name} is not stated: output_a", house.code.cite("bus_source"),
                      at=place(unstated[0], "output_a"))  # fmt: skip
    if panel.bus_a is None:
        raise Missing(f"the rating of the bus of {panel.name} is not stated: bus_a", house.code.cite("bus_source"),
                      at=place(panel, "bus_a"))  # fmt: skip
    main = sheet.line("bus_main_a", _main(house, panel))
    opposite = all(_opposite(sheet, house.job, source, panel) for source in sources)
    where = "opposite the main" if opposite else "anywhere on the bus"
    cites = [house.code.cite("bus_opposite" if opposite else "bus_anywhere")]
    sheet.find("bus_position", where, cites=cites)
    bus = read(panel, "bus_a", f"bus of {panel.name}")
    limit = sheet.line("bus_limit_a", bus * house.code["bus_opposite"] if opposite else bus, cites=cites)
    shares = [read(source, "output_a", f"output of {source.name}") for source in sources]
    grown = sheet.line("bus_sources_a", total(shares, "A") * house.code["bus_source"])
    fed = sheet.line("bus_fed_a", main + grown)
    room = sheet.line("bus_room_a", (limit - main) / house.code["bus_source"])
    remedy = (
        f"sources of {max(room.number, 0):.4g} A together, a smaller main where the load allows it, or a larger bus"
    )
    sheet.check("bus_carries", fed <= limit, remedy=remedy, cites=cites)


def _opposite(sheet: Sheet, job: Job, source: Source, panel: Panel) -> bool:
    """Whether the source comes in at the end opposite the main: by its own breaker, or by that of the feeder below."""
    if source.panel == panel.name:
        return source.position == "opposite-end"
    feeder = next(run for above, run in _way_up(job, str(source.panel)) if above is panel)
    if feeder is None or feeder.bus_position is None:
        sheet.remark("note_source_from_below", source=source.name, panel=panel.name)
        return False
    return feeder.bus_position == "opposite-end"


def _main(house: House, panel: Panel) -> Value:
    """What protects the bus: its own main, or the breaker of its feeder."""
    if panel.main_a is not None:
        return read(panel, "main_a", f"main of {panel.name}")
    feeder = next(
        (run for run in house.job.runs if run.feeds == panel.name and run.status != "removed" and run.breaker_a), None
    )
    if feeder is None:
        raise Missing(f"what protects the bus of {panel.name} is not stated: its main breaker (main_a), or that of its feeder (breaker_a)",
                      house.code.cite("bus_source"), at=place(panel, "main_a"))  # fmt: skip
    return read(feeder, "breaker_a", f"breaker of {feeder.name}")
