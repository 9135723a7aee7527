"""The steps of a plan, in the order of the work: each sees the house with what the steps before it proposed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from calc.job import Job, changed
from calc.propose.boxes import boxes
from calc.propose.circuits import circuits, finished, placed
from calc.propose.equipment import electrodes, interrupting, panels, raceways, runs
from calc.propose.receptacles import receptacles
from calc.wiring.house import House

Step = Callable[[House], dict[str, Any]]
STEPS: tuple[Step, ...] = (
    panels,
    circuits,
    receptacles,
    finished,
    raceways,
    placed,
    boxes,
    electrodes,
    runs,
    interrupting,
)


def laid_out(house: House) -> Job:
    """The job with entries proposed for what it lacks; the very same job where it lacks nothing that can be laid out.

    Each proposed entry has `proposed = true`. JobError where the code that the job adopts can't be used.
    """
    for step in STEPS:
        if changes := step(house):
            house = house.with_job(changed(house.whole_job, changes))
    return house.whole_job
