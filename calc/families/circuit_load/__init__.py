"""The load of one branch circuit and the breaker that it asks for: what conductors and circuits both begin with."""

from __future__ import annotations

from calc.families.circuit_load.breaker import breaker
from calc.families.circuit_load.load import circuit_load
from calc.job import Run, place
from calc.wiring.circuits import Branch, branches
from calc.wiring.house import House, remembered
from calc.wiring.reading import blank_sheet
from calc.work import Missing, Sheet

FAMILY = "branch-circuits"  # whose sheets begin with these lines


def worked_load(house: House, run: Run) -> Sheet:
    """The head of the sheet of the circuit that a run feeds: its load, and the breaker where equipment sets it apart.

    Refused where no circuit is fed.
    """
    b = _fed(house, run)
    if b is None:
        raise Missing(
            f"{run.name} feeds no circuit of which the load is known: give its load in amperes (calculated_a).",
            at=place(run, "calculated_a"),
        )
    s = blank_sheet(FAMILY, "Branch circuit", b.name, house.code)
    load = circuit_load(s, house, b)
    if load.apart:
        breaker(s, house.code, b, load)
    return s


@remembered
def _fed(house: House, run: Run) -> Branch | None:
    """The circuit that a run feeds: what rests on it does not rest on all the others."""
    return next((b for b in branches(house) if run.feeds in (b.name, *(c.load.name for c in b.loads))), None)
