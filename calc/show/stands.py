"""How the sheets of a page stand: one verdict from all their checks, shortfalls first, each counted and named."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Any

from typing_extensions import TypedDict

from calc.job.forms import Group
from calc.show.glance import spoken
from calc.show.where import about, entry_of
from calc.verdict.proposed import Waiting
from calc.verdict.standing import Open, opened
from calc.wiring.house import House
from calc.work import FALLS_SHORT, PASSES, STATUSES, Sheet

PROPOSED = "proposed"
"""Worked for what nobody entered yet: it passes nothing, and it is no shortfall."""


class OpenThing(TypedDict):
    """One thing on a page that does not pass."""

    state: str
    what: str
    about: str
    at: str
    """The entry to go to, '' where the form has none."""


class Stands(TypedDict):
    """How a page stands."""

    state: str
    said: str
    open: list[OpenThing]


def told(text: str) -> Stands:
    """A page that can say no more than a sentence."""
    return {"state": "", "said": text, "open": []}


def stands_of(
    house: House, family: str, sheets: Sequence[Sheet], groups: Sequence[Group], covered: Collection[str]
) -> Stands:
    """How a page's sheets stand. ``covered`` are the subjects within the job's scope."""
    job = house.whole_job
    proposed = [sheet for sheet in sheets if isinstance(sheet.refused, Waiting)]
    found = [each for sheet in sheets if sheet not in proposed for each in opened(family, sheet)]
    found.sort(key=lambda each: STATUSES.index(each.status))
    passing = sum(check.holds.holds for sheet in sheets if sheet not in proposed for check in sheet.checks)
    counted = [_counted(found, state) for state in STATUSES if state != PASSES]
    if proposed:
        counted.append(f"{len(proposed)} proposed, with no entry of {'its' if len(proposed) == 1 else 'their'} own yet")
    if passing:
        counted.append(f"{passing} {'check passes' if passing == 1 else 'checks pass'}")
    state = found[0].status if found else PROPOSED if proposed else PASSES
    said = ", ".join(filter(None, counted)) or "worked, and nothing in it is to be checked"
    if not all(sheet.subject in covered for sheet in sheets):
        beyond = sum(sheet.subject not in covered for sheet in sheets)
        which = (
            "it" if len(sheets) == 1 else "all of it" if beyond == len(sheets) else f"{beyond} of {len(sheets)} sheets"
        )
        said += f"; {which} outside the scope of the job, which claims nothing of that"
    return {
        "state": state,
        "said": f"{said}.",
        "open": [opened_thing(each, job.data, groups, sheets) for each in found],
    }


def _counted(found: Sequence[Open], state: str) -> str:
    many = sum(each.status == state for each in found)
    if not many:
        return ""
    return f"{many} {'fall short' if state == FALLS_SHORT and many > 1 else state}"


def opened_thing(each: Open, data: dict[str, Any], groups: Sequence[Group], sheets: Sequence[Sheet]) -> OpenThing:
    """What does not pass on one of these sheets, in words, with the entry behind it."""
    sheet = about(each, sheets)
    text = next((c["text"] for c in sheet["checks"] if not c["passes"] and c["name"] == each.what), "")
    what = f"{each.what}: {text}" if text and each.status == FALLS_SHORT else spoken([each.what])
    return {"state": each.status, "what": what, "about": each.about, "at": entry_of(each, sheet, data, groups)}
