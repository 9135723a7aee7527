"""The house as a whole, its service and its piping."""

from __future__ import annotations

from calc.remedies.asked.subjects import Asked, House, subject
from calc.wiring.places import HOUSE, OUTDOORS
from calc.wiring.way import way
from calc.wiring.wires import called


@subject("house")
def _house(h: House) -> Asked:
    bundles = [
        f"{run.name}, {run.cables_bundled} together" for run in h.job.runs if run.cables_bundled > 1 and h.stands(run)
    ]
    yield HOUSE, {"bundles": f" ({'; '.join(bundles)})" if bundles else ""}


@subject("new-house")
def _new_house(h: House) -> Asked:
    if h.job.dwelling is not None and h.job.dwelling.status == "new":
        yield HOUSE, {}


@subject("old-house")
def _old_house(h: House) -> Asked:
    if h.job.dwelling is not None and h.job.dwelling.status == "existing":
        yield HOUSE, {}


@subject("house-grounding")
def _house_grounding(h: House) -> Asked:
    if h.job.grounding is not None:
        yield HOUSE, {}


@subject("service")
def _service(h: House) -> Asked:
    if h.job.service is not None and h.job.service.work != "kept":
        yield HOUSE, {"kind": (h.job.service.surge_protection or "not stated").replace("-", " ")}


@subject("outdoor-disconnect")
def _outdoor(h: House) -> Asked:
    if h.job.service is not None and h.job.service.work != "kept":
        yield OUTDOORS, {"kind": (h.job.service.emergency_disconnect or "not stated").replace("-", " ")}


@subject("water")
def _water(h: House) -> Asked:
    if h.job.grounding is not None and h.job.grounding.water_piping in ("metal", "mixed"):
        yield HOUSE, {}


@subject("gas")
def _gas(h: House) -> Asked:
    if h.job.grounding is not None and h.job.grounding.gas_piping not in (None, "none"):
        bond = f", {called(h.job.grounding.gas_bond)}" if h.job.grounding.gas_bond else ""
        yield HOUSE, {"gas": f"{h.job.grounding.gas_piping}{bond}"}


@subject("terminals-unmarked")
def _terminals_unmarked(h: House) -> Asked:
    for name, results in h.results("feeder"):
        if "unmarked_terminals_c" in results and next(run for run in h.job.runs if run.name == name).role != "branch":
            yield HOUSE, {"name": name, "taken": f"{results['unmarked_terminals_c']:g}"}


@subject("dry-throughout")
def _dry_throughout(h: House) -> Asked:
    for run in h.job.runs:
        if h.stands(run) and run.location == "dry-throughout" and (ends := way(h.job, h.code, run).outdoors):
            yield OUTDOORS, {"name": run.name, "ends": ends}
