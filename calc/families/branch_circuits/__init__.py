"""Branch circuits: what each carries, its breaker, conductors and protection, and how they stand in their panel."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calc.codebook import Codebook
from calc.families.branch_circuits import pictures, schedule
from calc.families.branch_circuits.breakers import breaker
from calc.families.branch_circuits.circuits import branches
from calc.families.branch_circuits.house import FAMILY, work_house
from calc.families.branch_circuits.loads import circuit_load
from calc.families.branch_circuits.replaced import replaced_in
from calc.families.charting import Chart
from calc.families.reading import sheet
from calc.job import Job, Run, place
from calc.work import Missing, Sheet

__all__ = ["FAMILY", "FORM", "PLACE", "TITLE", "charts", "needs", "tables", "work", "worked_load"]

TITLE = "Branch circuits"
PLACE = 6
FORM = (
    ("circuits", ("name", "panel", "poles", "breaker_a", "cable", "purpose", "positions", "tandem", "breaker_type",
                  "status", "first_outlet", "rooms", "outlets", "multiwire_with", "common_disconnect", "load_va",
                  "receptacle_a", "single_receptacle", "extended_ft", "extension_adds_outlets")),
    ("panels", ("name", "fed_from", "bus_a", "main_a", "spaces", "circuits_most", "location")),
    ("loads", ("name", "kind", "load_va", "volts", "circuit", "count", "nameplate_a", "status", "panel", "room", "outdoors",
               "connected_by", "cord_in", "receptacle_at", "mca_a", "mocp_a", "motor_hp", "motor_a", "individual_circuit")),
)  # fmt: skip


def needs(job: Job) -> list[str]:
    """What the job lacks for this family, in words; empty where it has all."""
    if any(circuit.status != "removed" for circuit in job.circuits) or any(load.status == "new" for load in job.loads):
        return []
    if any(replaced_in(job)):
        return []
    return ["[[circuits]] with a name and a purpose, or [[loads]] that ask for a circuit"]


def work(job: Job, code: Codebook, overrides: Mapping[str, float | str] | None = None) -> list[Sheet]:
    """Panels, what the house must have, multiwire circuits, then one sheet for each circuit."""
    return work_house(job, code, overrides).sheets


def charts(job: Job, code: Codebook, sheets: Sequence[Sheet]) -> list[Chart]:
    """The legs of each panel with circuits to the neutral, as they stand and at their best."""
    house = work_house(job, code)
    return [pictures.legs_chart(work, s) for work, s in house.panels if "best_unbalance_va" in s.results]


def tables(job: Job, code: Codebook) -> list[dict[str, Any]]:
    """The schedule of each panel, the circuits at a glance, and the protection that each place asks for."""
    house = work_house(job, code)
    schedules = [schedule.panel_schedule(job, code, house, work, s) for work, s in house.panels if s.refused is None]
    return [*schedules, schedule.summary(house), *schedule.by_place(job, code, branches(job, code))]


def worked_load(job: Job, code: Codebook, run: Run) -> Sheet:
    """The head of the sheet of the circuit that a run feeds: its load, and the breaker where equipment sets it apart.

    Refused where no circuit is fed.
    """
    b = next((b for b in branches(job, code) if run.feeds in (b.name, *(c.load.name for c in b.loads))), None)
    if b is None:
        raise Missing(
            f"{run.name} feeds no circuit of which the load is known: give its load in amperes (calculated_a).",
            at=place(run, "calculated_a"),
        )
    s = sheet(FAMILY, "Branch circuit", b.name, code, None)
    load = circuit_load(s, code, b)
    if load.apart:
        breaker(s, code, b, load)
    return s
