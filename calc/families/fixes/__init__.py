"""The fix list, with mends that are proved, and the walk sheets: for the crew, never for the permit packet.

This family has no sheets of its own. It works all others, and works them again with each mend.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calc.codebook import Codebook
from calc.families.charting import Chart
from calc.families.fixes.report import fixes_sheet, fixes_text
from calc.families.fixes.walk import findings_sheet, torque_record, walk_sheets
from calc.job import Job
from calc.work import Sheet

__all__ = ["FAMILY", "FORM", "PLACE", "TITLE", "charts", "fixes_sheet", "fixes_text", "needs", "tables", "walk", "work"]

FAMILY = "fixes"
TITLE = "Fix list and walk"
PLACE = 12
FORM = (("findings", ("stage", "room", "text", "section", "who", "found_on", "closed_on", "closed_by")),)


def needs(job: Job) -> list[str]:
    """Nothing: whatever the job has is looked at."""
    return []


def work(job: Job, code: Codebook, overrides: Mapping[str, float | str] | None = None) -> list[Sheet]:
    """No sheets: what the others' sheets say is listed, not worked a second time."""
    return []


def charts(job: Job, code: Codebook, sheets: Sequence[Sheet]) -> list[Chart]:
    """None."""
    return []


def tables(job: Job, code: Codebook) -> list[dict[str, Any]]:
    """None: the lists have boxes to tick, and are shown as walk sheets."""
    return []


def walk(job: Job, code: Codebook) -> list[dict[str, Any]]:
    """The walk sheets by stage, the torque record to fill in, and what was found before."""
    more = [torque_record(job, code), findings_sheet(job)]
    return [*walk_sheets(job, code), *(sheet for sheet in more if sheet is not None)]
