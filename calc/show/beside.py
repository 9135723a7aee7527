"""The result beside the entry: of what is being edited, its tightest check, what the last edit changed, its sheet, its chart."""

from __future__ import annotations

from collections.abc import Sequence

from typing_extensions import TypedDict

from calc.work import Sheet, Status
from calc.work.forms import SheetForm
from calc.work.units import COUNTS

MOST_CHANGES = 6


class Beside(TypedDict):
    """What stands beside a form."""

    about: str
    """What it is about: a run, a box, the house."""
    state: Status
    tightest: str
    """The check with the least to spare, with its margin; '' where nothing is compared."""
    changed: list[tuple[str, str, str]]
    """Line, before and now, of what the last edit changed."""
    more: int
    """How many changes more there are."""
    sheet: str
    """The sheet as HTML."""
    chart: str
    """Its chart as HTML, once it was asked for."""


def sheet_about(sheets: Sequence[Sheet], name: str, else_at: int) -> Sheet | None:
    """The sheet about an entry by its name; of an entry that no sheet is about, the one that is in view."""
    named = next((sheet for sheet in sheets if name and name in sheet.subject), None)
    return named or next(iter(sheets[else_at : else_at + 1]), None)


def tightest(sheet: Sheet) -> str:
    """The check that falls short the most, or else the one with the least to spare, as a part of its limit."""
    used = []
    for check in sheet.checks:
        left, right = check.holds.left.base, check.holds.right.base
        most, least = (left, right) if check.holds.sign == "<=" else (right, left)
        counted = str(check.holds.left.unit) in COUNTS  # three conductors of three leave nothing to spare
        if check.holds.sign in ("<=", ">=") and least > 0 and not counted and not {left, right} <= {0, 1}:
            used.append((most / least, check.key))
    if not used:
        return ""
    part, key = max(used)
    check_form = next(each for each in sheet.as_json()["checks"] if each["key"] == key)
    spare = f"{1 - part:.0%} to spare" if part <= 1 else f"{part - 1:.0%} beyond"
    return f"{check_form['name']}: {check_form['text']} ({spare})"


def changes(before: SheetForm | None, now: SheetForm) -> list[tuple[str, str, str]]:
    """Each line of a sheet that says something else than before."""
    if before is None:
        return []
    was = {line["key"]: str(line["result"]) for line in before["lines"]}
    return [(line["name"], was[line["key"]], str(line["result"])) for line in now["lines"]
            if line["key"] in was and was[line["key"]] != str(line["result"])]  # fmt: skip
