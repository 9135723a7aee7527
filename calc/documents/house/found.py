"""The worked sheets of a house by what they are about, for the pages that take results from several of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from calc.families import dwelling_load
from calc.job import Run
from calc.verdict.standing import opened
from calc.wiring.house import House
from calc.wiring.tree import whole_dwelling
from calc.work import FALLS_SHORT, Check, Sheet, Status, Value, loud, worst
from calc.work.keys import stem_of
from calc.work.table import SheetName


class Found:
    """Sheets by family, as a standing has those of the scope. A page of the house says nothing that none of them says."""

    def __init__(self, sheets: Mapping[str, Sequence[Sheet]]) -> None:
        self.sheets = sheets
        self._by = {
            (family, sheet.title.partition(",")[0], sheet.subject): sheet
            for family, of_family in sheets.items()
            for sheet in reversed(of_family)
        }

    def of(self, family: str, title: str, subject: str) -> Sheet | None:
        """The sheet of a family about a subject, told apart by the title up to its comma; None outside the scope."""
        return self._by.get((family, title, subject))

    def all_of(self, family: str, title: str) -> list[Sheet]:
        """The sheets of a family of one title, in order."""
        return [s for s in self.sheets.get(family, ()) if s.title.partition(",")[0] == title]


def number(sheet: Sheet | None, key: str) -> float | None:
    """A number of a sheet by its name; None where there is no such line."""
    if sheet is None or key not in sheet:
        return None
    found = sheet[key]
    return None if isinstance(found, str) else float(found)


def word(sheet: Sheet | None, key: str) -> str:
    """A result in words by its name; '' where there is no such line."""
    return str(sheet[key]) if sheet is not None and key in sheet else ""


def checks(sheet: Sheet | None, *stems: str) -> Iterator[Check]:
    """The checks of a sheet that have one of these names."""
    return (check for check in (sheet.checks if sheet is not None else ()) if stem_of(check.key) in stems)


def needed(check: Check) -> Value:
    """The side of a check that is required or allowed."""
    return check.holds.right


def state(sheets: Iterable[Sheet | None]) -> str:
    """What several sheets come to together, as printed; '' where there is none."""
    found = [sheet.status for sheet in sheets if sheet is not None]
    return loud(worst(found)) if found else ""


def carries_the_dwelling(house: House, run: Run) -> bool:
    """Whether a run carries the load of the whole dwelling, as its sheet works it, and none that the job states for it."""
    return run.calculated_a is None and bool(house.told(whole_dwelling, run).holds)


def of_the_dwelling(house: House, found: Found) -> tuple[str, float, float] | None:
    """The load of the dwelling as page 1 has it, before it is rounded to whole amperes: method, VA, A. None where no sheet in
    scope works it."""
    method = house.job.service.load_method if house.job.service else "standard"
    for sheet in found.sheets.get(dwelling_load.FAMILY, ()):
        va, amperes = number(sheet, f"{method}_va"), number(sheet, f"{method}_a")
        if va is not None and amperes is not None:
            return method, va, amperes
    return None


def sheet_name(*sheets: Sheet | None) -> SheetName | None:
    """The first of the sheets that is there, as a row of a table names the one that it rests on."""
    return next(((s.family, s.title, s.subject) for s in sheets if s is not None), None)


def why(members: Iterable[tuple[str, Iterable[Sheet | None]]]) -> list[str]:
    """What of the sheets of each member does not pass, a note for each state, like ones together: 'R2 feeder FALLS SHORT:
    neutral is large enough: 2 AWG provided, 1 AWG required.'"""
    said: dict[tuple[Status, str], list[str]] = {}
    for about, sheets in members:
        for status, what in _open(sheets).items():
            said.setdefault((status, "; ".join(dict.fromkeys(what)).rstrip(".")), []).append(about)
    return [f"{', '.join(dict.fromkeys(names))} {loud(status)}: {what}." for (status, what), names in said.items()]


def _open(sheets: Iterable[Sheet | None]) -> dict[Status, list[str]]:
    """What does not pass, by state."""
    found: dict[Status, list[str]] = {}
    for sheet in sheets:
        if sheet is None or sheet.passes:
            continue
        form = sheet.as_json()
        failed = [f"{check['name']}: {check['text']}" for check in form["checks"] if not check["passes"]]
        if failed:
            found.setdefault(FALLS_SHORT, []).extend(failed)
        for each in opened(sheet.family, sheet):
            if each.status != FALLS_SHORT:
                found.setdefault(each.status, []).append(each.what)
    return found
