"""A source at a panel's bus: whether main and source together may feed it. Nothing else about the source is checked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from calc.codebook import Codebook
from calc.families.dwelling_load.methods import FAMILY
from calc.families.reading import read, sheet
from calc.job import Job, Panel, Source
from calc.work import Refused, Sheet, Value, total

TITLE = "Sources at the bus"


def buses(job: Job, code: Codebook, instead: Mapping[str, float | str] | None) -> list[Sheet]:
    """A sheet for each panel that a source feeds, and a refused one for each source that can't be placed."""
    live = [source for source in job.sources if source.status != "removed"]
    refusals = {source.name: _refused(code, source) for source in live}
    sheets = []
    for source in live:
        if (reason := refusals[source.name]) is not None:
            s = sheet(FAMILY, TITLE, source.name, code, instead)
            s.refused = reason
            s.caution("caution_source_other", source=source.name)
            sheets.append(s)
    for panel in job.panels:
        here = [source for source in live if source.panel == panel.name and refusals[source.name] is None]
        if here:
            sheets.append(_bus(job, code, panel, here, instead))
    return sheets


def _refused(code: Codebook, source: Source) -> Refused | None:
    """Why a source is not judged at a bus; None where it is."""
    cite = code.cite("bus_source")
    if source.kind == "generator":
        return Refused(
            "a generator needs transfer equipment, which is not covered; its bus is not that of this check", cite
        )
    if source.position == "line-side":
        return Refused("it joins ahead of the main, not at the bus; that connection is not covered", cite)
    missing = [key for key in ("output_a", "panel", "position") if getattr(source, key) is None]
    return Refused(f"[[sources]] doesn't state {', '.join(missing)} of it", cite) if missing else None


def _bus(
    job: Job, code: Codebook, panel: Panel, sources: Sequence[Source], instead: Mapping[str, float | str] | None
) -> Sheet:
    s = sheet(FAMILY, TITLE, panel.name, code, instead)
    try:
        _checked(s, job, code, panel, sources)
    except Refused as refusal:
        s.refused = refusal
    for source in sources:
        s.caution(f"caution_source_{source.kind}", source=source.name)
    s.caution("caution_who_decides")
    return s


def _checked(s: Sheet, job: Job, code: Codebook, panel: Panel, sources: Sequence[Source]) -> None:
    """125 % of the sources and the main against the bus, or against 120 % of it where both feed from its two ends."""
    if panel.bus_a is None:
        raise Refused(f"the rating of the bus of {panel.name} is not stated: bus_a", code.cite("bus_source"))
    main = s.line("bus_main_a", _main(job, code, panel))
    opposite = all(source.position == "opposite-end" for source in sources)
    place = "opposite the main" if opposite else "anywhere on the bus"
    by = [code.cite("bus_opposite" if opposite else "bus_anywhere")]
    s.find("bus_position", place, by=by)
    bus = read(panel, "bus_a", f"bus of {panel.name}")
    limit = s.line("bus_limit_a", bus * code["bus_opposite"] if opposite else bus, by=by)
    shares = [read(source, "output_a", f"output of {source.name}") for source in sources]
    grown = s.line("bus_sources_a", total(shares, "A") * code["bus_source"])
    fed = s.line("bus_fed_a", main + grown)
    room = s.line("bus_room_a", (limit - main) / code["bus_source"])
    mend = f"sources of {max(room.number, 0):.4g} A together, a smaller main where the load allows it, or a larger bus"
    s.check("bus_carries", limit >= fed, mend=mend, by=by)


def _main(job: Job, code: Codebook, panel: Panel) -> Value:
    """What protects the bus: its own main, or the breaker of its feeder."""
    if panel.main_a is not None:
        return read(panel, "main_a", f"main of {panel.name}")
    feeder = next((run for run in job.runs if run.feeds == panel.name and run.breaker_a is not None), None)
    if feeder is None:
        raise Refused(f"what protects the bus of {panel.name} is not stated: its main breaker (main_a), or that of its feeder (breaker_a)",
                      code.cite("bus_source"))  # fmt: skip
    return read(feeder, "breaker_a", f"breaker of {feeder.name}")
