"""The fix list, with remedies that are proved, and the walk sheets: for the crew, never for the permit packet.

It has no sheets of its own. It works those of all families, and works them again with each remedy.
"""

from __future__ import annotations

from calc.remedies.lists import Checklist, Record
from calc.remedies.report import fixes_sheet, fixes_text
from calc.remedies.walk import findings_sheet, panel_faces, torque_record, walk_sheets
from calc.wiring.house import House

__all__ = ["TITLE", "fixes_sheet", "fixes_text", "panel_faces", "walk"]

TITLE = "Fix list and walk"


def walk(house: House) -> list[Checklist | Record]:
    """The walk sheets by stage, the torque record to fill in, and what was found before."""
    more = [torque_record(house), findings_sheet(house.job)]
    return [*walk_sheets(house), *(sheet for sheet in more if sheet is not None)]
