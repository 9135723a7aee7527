"""All rooms at a glance: spaces, the fewest receptacles, those there are, gaps, and how each stands."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from calc.families.receptacles.room import RoomWork
from calc.work import PASSES, STATUSES, Sheet, loud
from calc.work.keys import stem_of
from calc.work.table import Table, columns

PROPOSED = {"placed", "place_proposed", "island_place"}
"""Lines that say where receptacles are to come."""


def table(found: Sequence[RoomWork], rest: Sequence[Sheet], outdoors: bool) -> Table:
    """The summary table."""
    rows = [_row(room.sheet, room.room.use, room.worked) for room in found if room.room.use != "outdoors"]
    rows += [_row(s, "", True) for s in rest]
    sheets = [*(room.sheet for room in found if room.worked), *rest]
    counts = Counter(s.status for s in sheets)
    said = ", ".join(f"{status}: {counts[status]}" for status in STATUSES if status != PASSES and counts[status])
    notes = ["Fewest: the fewest receptacles that satisfy the rules; more are always allowed."]
    if not outdoors:
        notes.append("Nothing outdoors is entered, so front and back of the house are not checked.")
    notes += [f"{s.subject}: {s.refused.reason}" for s in sheets if s.refused]
    notes += [
        f"{s.subject}: not shown, for want of {'; '.join(dict.fromkeys(each.missing for each in s.unknowns))}."
        for s in sheets
        if s.unknowns
    ]
    return Table(
        title="Receptacles and lighting by room",
        intro=f"{len(rows)} places; {said or 'all pass'}.",
        columns=columns(
            "Room", "Use", "Spaces", "Fewest", "There", "Gaps", "Verdict", "To correct", right=(2, 3, 4, 5)
        ),
        rows=rows,
        notes=notes,
    )


def _row(sheet: Sheet, use: str, worked: bool) -> list[str]:
    values = {
        line.key: f"{line.value.number:g}"
        for line in sheet.lines
        if line.value is not None and not isinstance(line.value, str)
    }
    remedies = [check.remedy.partition("; or ")[0] for check in sheet.checks if not check.holds.holds]
    return [sheet.subject, use.replace("-", " "), *(values.get(key, "") for key in ("spaces", "fewest_needed", "provided", "gaps")),
            _verdict(sheet, worked), "; ".join(dict.fromkeys(remedies))]  # fmt: skip


def _verdict(sheet: Sheet, worked: bool) -> str:
    if not worked:
        return "nothing required"
    if not sheet.passes:
        return loud(sheet.status)
    keys = {stem_of(line.key) for line in sheet.lines}
    if keys & PROPOSED and sheet.results.get("fewest_needed") != 0:
        return "places proposed"
    if sheet.checks:
        return "passes"
    return "nothing required"
