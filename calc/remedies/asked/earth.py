"""What is in the earth: electrodes, and runs in a trench."""

from __future__ import annotations

from calc.remedies.asked.subjects import Asked, Walked, subject
from calc.wiring.places import HOUSE, OUTDOORS
from calc.wiring.wires import called
from calc.work.keys import item_of


@subject("footing")
def _footing(walked: Walked) -> Asked:
    for electrode in walked.job.grounding.electrodes if walked.job.grounding else ():
        if electrode.kind == "footing" and electrode.used:
            size = called(electrode.conductor) if electrode.conductor else "as worked"
            seen = " ".join(str(each) for each in (electrode.seen_by, electrode.seen_on) if each) or "nobody yet"
            yield HOUSE, {"conductor": size, "seen": seen, "about": walked.job.job.name}


@subject("no-footing")
def _no_footing(walked: Walked) -> Asked:
    new = walked.job.dwelling is not None and walked.job.dwelling.status == "new"
    if new and not any(e.kind == "footing" for e in (walked.job.grounding.electrodes if walked.job.grounding else ())):
        yield HOUSE, {}


@subject("rods")
def _rods(walked: Walked) -> Asked:
    sites = [(HOUSE, walked.job.grounding.electrodes if walked.job.grounding else ())]
    sites += [(building.name, building.electrodes) for building in walked.job.buildings if walked.stands(building)]
    for where, electrodes in sites:
        for electrode in electrodes:
            if electrode.kind == "rod" and electrode.used:
                about = walked.job.job.name if where == HOUSE else where
                yield where, {"count": f"{electrode.count} rods" if electrode.count > 1 else "One rod", "about": about}


@subject("buried")
def _buried(walked: Walked) -> Asked:
    cover = {name: results.get("cover_in") for name, results in walked.results("feeder")}
    for run in walked.job.runs:
        if run.location == "buried" and walked.stands(run) and run.role != "utility":
            depth = cover.get(run.name)
            yield OUTDOORS, {
                "name": run.name, "cover": f"{depth:g} in or more" if depth else "its sheet will say how much",
                "method": run.wiring_method or (run.cable.kind if run.cable else "method not stated"),
                "length": f"{run.length_ft:g} ft long" if run.length_ft else "length not stated",
            }  # fmt: skip


@subject("buried-service")
def _buried_service(walked: Walked) -> Asked:
    service = {run.name for run in walked.job.runs if run.role == "service"}
    yield from ((where, words) for where, words in _buried(walked) if words["name"] in service)


@subject("electrode")
def _electrode(walked: Walked) -> Asked:
    for about, results in walked.results("grounding"):
        for key, size in results.items():
            if key.startswith("electrode_conductor["):
                name = item_of(key)
                yield walked.where.get(about, HOUSE), {"name": name[:1].upper() + name[1:], "conductor": str(size)}
