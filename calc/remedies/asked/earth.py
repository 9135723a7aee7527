"""What is in the earth: electrodes, and runs in a trench."""

from __future__ import annotations

from calc.remedies.asked.subjects import Asked, House, subject
from calc.wiring.places import HOUSE, OUTDOORS
from calc.wiring.wires import called


@subject("footing")
def _footing(h: House) -> Asked:
    for electrode in h.job.grounding.electrodes if h.job.grounding else ():
        if electrode.kind == "footing" and electrode.used:
            size = called(electrode.conductor) if electrode.conductor else "as worked"
            seen = " ".join(str(each) for each in (electrode.seen_by, electrode.seen_on) if each) or "nobody yet"
            yield HOUSE, {"conductor": size, "seen": seen, "about": h.job.job.name}


@subject("no-footing")
def _no_footing(h: House) -> Asked:
    new = h.job.dwelling is not None and h.job.dwelling.status == "new"
    if new and not any(e.kind == "footing" for e in (h.job.grounding.electrodes if h.job.grounding else ())):
        yield HOUSE, {}


@subject("rods")
def _rods(h: House) -> Asked:
    sites = [(HOUSE, h.job.grounding.electrodes if h.job.grounding else ())]
    sites += [(building.name, building.electrodes) for building in h.job.buildings if h.stands(building)]
    for where, electrodes in sites:
        for electrode in electrodes:
            if electrode.kind == "rod" and electrode.used:
                about = h.job.job.name if where == HOUSE else where
                yield where, {"count": f"{electrode.count} rods" if electrode.count > 1 else "One rod", "about": about}


@subject("buried")
def _buried(h: House) -> Asked:
    cover = {name: results.get("cover_in") for name, results in h.results("feeder")}
    for run in h.job.runs:
        if run.location == "buried" and h.stands(run) and run.role != "utility":
            depth = cover.get(run.name)
            yield OUTDOORS, {
                "name": run.name, "cover": f"{depth:g} in or more" if depth else "its sheet will say how much",
                "method": run.wiring_method or (run.cable.kind if run.cable else "method not stated"),
                "length": f"{run.length_ft:g} ft long" if run.length_ft else "length not stated",
            }  # fmt: skip


@subject("buried-service")
def _buried_service(h: House) -> Asked:
    service = {run.name for run in h.job.runs if run.role == "service"}
    yield from ((where, words) for where, words in _buried(h) if words["name"] in service)


@subject("electrode")
def _electrode(h: House) -> Asked:
    for about, results in h.results("grounding"):
        for key, size in results.items():
            if key.startswith("electrode_conductor["):
                name = key.partition("[")[2].rstrip("]")
                yield h.where.get(about, HOUSE), {"name": name[:1].upper() + name[1:], "conductor": str(size)}
