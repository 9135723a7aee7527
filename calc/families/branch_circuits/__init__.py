"""Branch circuits: what each carries, its breaker, conductors and protection, and how they stand in their panel."""

from __future__ import annotations

from collections.abc import Sequence

from calc.families.branch_circuits import pictures, schedule
from calc.families.branch_circuits.replaced import replaced_in
from calc.families.branch_circuits.worked import all_circuits
from calc.families.circuit_load import FAMILY
from calc.job import Job
from calc.wiring.circuits import branches
from calc.wiring.house import House
from calc.work import Sheet
from calc.work.chart import Chart
from calc.work.table import Table

__all__ = ["FAMILY", "PLACE", "TITLE", "charts", "needs", "tables", "work"]

TITLE = "Branch circuits"
PLACE = 6


def needs(job: Job) -> list[str]:
    """What the job lacks for this family, in words; empty where it has all."""
    if any(circuit.status != "removed" for circuit in job.circuits) or any(load.status == "new" for load in job.loads):
        return []
    if any(replaced_in(job)):
        return []
    return ["[[circuits]] with a name and a purpose, or [[loads]] that ask for a circuit"]


def work(house: House) -> list[Sheet]:
    """Panels, what the house must have, multiwire circuits, then one sheet for each circuit."""
    return all_circuits(house).sheets


def charts(house: House, sheets: Sequence[Sheet]) -> list[Chart]:
    """The legs of each panel with circuits to the neutral, as they stand and at their best."""
    circuits = all_circuits(house)
    return [pictures.legs_chart(work, s) for work, s in circuits.panels if "best_unbalance_va" in s]


def tables(house: House) -> list[Table]:
    """The circuits at a glance, and the protection that each place asks for."""
    return [schedule.summary(all_circuits(house)), *schedule.by_place(house, branches(house))]
