"""The tables that stand beside the sheets of one calculation: its own, and the pages of the house that are about it."""

from __future__ import annotations

from calc.documents.house.schedules import schedules
from calc.families import branch_circuits
from calc.verdict.proposed import sheets_of, tables_of
from calc.verdict.scope import scope_of
from calc.verdict.standing import Standing
from calc.wiring.house import House
from calc.work.table import Table


def tables_beside(house: House, name: str) -> list[Table]:
    """The tables of a family; before those of the circuits the schedule of each panel. The family has what it needs."""
    own = tables_of(house, name)
    if name != branch_circuits.FAMILY:
        return own
    job = house.whole_job
    return [*schedules(house, Standing(job, scope_of(job), {name: sheets_of(house, name)})), *own]
