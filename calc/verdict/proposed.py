"""What rests on entries that nobody has accepted is not shown, whatever it comes to.

So it is with the circuit that a load needs and nobody has entered. The house is worked twice: as the job has it, and
without what is proposed. A sheet, or a row of a table, that says the same both times does not rest on a proposal; all else
does. So nothing has to be told which sheet reads what.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from calc.families import families
from calc.job import Job, JobError, Load, Proposal, place, proposals, withdrawn
from calc.wiring.circuits import branches
from calc.wiring.house import House
from calc.work import PASSES, Missing, Sheet, loud
from calc.work.status import NOT_SHOWN
from calc.work.table import Table

MOST_NAMED = 4
CIRCUITS = "branch-circuits"


class Waiting(Missing):
    """What stands between a sheet and its state: what it rests on is only proposed, and a person has to accept or enter it."""


def sheets_of(house: House, name: str) -> list[Sheet]:
    """The sheets of a family; those that rest on what is proposed are not shown. The family has what it needs."""
    family = families()[name]
    sheets = _entered(house, family.work(house)) if name == CIRCUITS else family.work(house)
    found = house.told(proposals)
    if not found:
        return sheets
    bare = house.beside(_without)
    known = [] if bare is None or family.needs(bare.job) else family.work(bare)
    same = {(s.title, s.subject): s for s in known}
    return [s if _alike(same.get((s.title, s.subject)), s) else waiting(s, found) for s in sheets]


def _entered(house: House, sheets: list[Sheet]) -> list[Sheet]:
    """Sheets of circuits; one that no entry describes, and that a load would only need, is not there to pass."""
    planned = {branch.name: branch.loads[0].load for branch in branches(house) if branch.planned}
    return [_no_circuit(s, planned[s.subject]) if s.subject in planned and s.status == PASSES else s for s in sheets]


def _no_circuit(sheet: Sheet, load: Load) -> Sheet:
    made = sheet.copied()
    made.refused = Waiting(
        f"No circuit is entered for {load.name} (circuit): the one shown is what it needs.", at=place(load, "circuit")
    )
    return made


def without_proposals(house: House) -> House | None:
    """The house without what is proposed; None where nothing is, and where it is no house without it."""
    return house.beside(_without) if house.told(proposals) else None


def tables_of(house: House, name: str) -> list[Table]:
    """The tables of a family; no row that rests on what is proposed says that it passes."""
    family = families()[name]
    tables = family.tables(house)
    if not house.told(proposals):
        return tables
    bare = house.beside(_without)
    known = [] if bare is None or family.needs(bare.job) else family.tables(bare)
    rows = {(table.title, *row) for table in known for row in table.rows}
    return [
        replace(
            table, rows=[row if (table.title, *row) in rows else [_open(cell) for cell in row] for row in table.rows]
        )
        for table in tables
    ]


def waiting(sheet: Sheet, found: Sequence[Proposal]) -> Sheet:
    """The sheet as not shown, with the entries to accept. What it shows as falling short or not worked stays so."""
    if sheet.refused is not None:
        return sheet
    made = sheet.copied()
    places = {given["at"] for given in sheet.as_json()["givens"]}
    mine = [each for each in found if each.name == sheet.subject or any(at.startswith(each.at) for at in places)]
    names = list(dict.fromkeys(each.name for each in mine or found))
    more = len(names) - MOST_NAMED
    listed = ", ".join(names[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
    made.refused = Waiting(
        f"It rests on what is proposed: accept it or change it ({listed}).", at=(mine or found)[0].at
    )
    return made


def _alike(bare: Sheet | None, sheet: Sheet) -> bool:
    """Whether a sheet says the same without what is proposed: the quick answers first."""
    if bare is None or bare is sheet:
        return bare is sheet
    if _outline(bare) != _outline(sheet):
        return False
    return bare == sheet or said(bare) == said(sheet)


def _outline(sheet: Sheet) -> Any:
    keys = [*(line.key for line in sheet.lines), *(c.key for c in sheet.checks), *(u.key for u in sheet.unknowns)]
    return sheet.status, keys


def said(sheet: Sheet) -> Any:
    """All that a sheet says but the places of the entries: those are counted on where something is taken out."""
    return _without_places(sheet.as_json())


def _without_places(node: Any) -> Any:
    if isinstance(node, dict):
        return {key: _without_places(value) for key, value in node.items() if key != "at"}
    return [_without_places(each) for each in node] if isinstance(node, list) else node


def _open(cell: str) -> str:
    return loud(NOT_SHOWN) if cell == PASSES else cell


def _without(job: Job) -> Job | None:
    try:
        return withdrawn(job)
    except JobError:
        return None
