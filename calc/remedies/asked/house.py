"""The house as a whole, its service and its piping."""

from __future__ import annotations

from calc.remedies.asked.subjects import Asked, Walked, subject
from calc.wiring.places import HOUSE, OUTDOORS
from calc.wiring.way import way
from calc.wiring.wires import called


@subject("house")
def _house(walked: Walked) -> Asked:
    bundles = [
        f"{run.name}, {run.cables_bundled} together"
        for run in walked.job.runs
        if run.cables_bundled > 1 and walked.stands(run)
    ]
    yield HOUSE, {"bundles": f" ({'; '.join(bundles)})" if bundles else ""}


@subject("new-house")
def _new_house(walked: Walked) -> Asked:
    if walked.job.dwelling is not None and walked.job.dwelling.status == "new":
        yield HOUSE, {}


@subject("old-house")
def _old_house(walked: Walked) -> Asked:
    if walked.job.dwelling is not None and walked.job.dwelling.status == "existing":
        yield HOUSE, {}


@subject("house-grounding")
def _house_grounding(walked: Walked) -> Asked:
    if walked.job.grounding is not None:
        yield HOUSE, {}


@subject("service")
def _service(walked: Walked) -> Asked:
    if walked.job.service is not None and walked.job.service.work != "kept":
        yield HOUSE, {"kind": (walked.job.service.surge_protection or "not stated").replace("-", " ")}


@subject("outdoor-disconnect")
def _outdoor(walked: Walked) -> Asked:
    if walked.job.service is not None and walked.job.service.work != "kept":
        yield OUTDOORS, {"kind": (walked.job.service.emergency_disconnect or "not stated").replace("-", " ")}


@subject("water")
def _water(walked: Walked) -> Asked:
    if walked.job.grounding is not None and walked.job.grounding.water_piping in ("metal", "mixed"):
        yield HOUSE, {}


@subject("gas")
def _gas(walked: Walked) -> Asked:
    if walked.job.grounding is not None and walked.job.grounding.gas_piping not in (None, "none"):
        bond = f", {called(walked.job.grounding.gas_bond)}" if walked.job.grounding.gas_bond else ""
        yield HOUSE, {"gas": f"{walked.job.grounding.gas_piping}{bond}"}


@subject("terminals-unmarked")
def _terminals_unmarked(walked: Walked) -> Asked:
    for name, results in walked.results("feeder"):
        if (
            "unmarked_terminals_c" in results
            and next(run for run in walked.job.runs if run.name == name).role != "branch"
        ):
            yield HOUSE, {"name": name, "taken": f"{results['unmarked_terminals_c']:g}"}


@subject("dry-throughout")
def _dry_throughout(walked: Walked) -> Asked:
    for run in walked.job.runs:
        if walked.stands(run) and run.location == "dry-throughout" and (ends := way(walked.house, run).outdoors):
            yield OUTDOORS, {"name": run.name, "ends": ends}
