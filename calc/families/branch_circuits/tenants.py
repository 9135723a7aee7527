"""Houses of two or more units: a unit's panel feeds that unit alone."""

from __future__ import annotations

from calc.wiring.circuits import Branch, at
from calc.wiring.house import House
from calc.wiring.tree import panel_named
from calc.work import Sheet, constant, given

NOTHING_ELSE = constant("that may be on it", 0, "outlet")


def own_unit_only(sheet: Sheet, house: House, branch: Branch) -> None:
    """Check that a circuit of a unit's panel feeds nothing of the house or of another unit, as far as the job tells.

    A room without a unit is common where other rooms name theirs; where none does, nothing can be told.
    """
    panel = house.told(panel_named, branch.panel)
    unit = panel and panel.unit_group
    if unit is None or house.job.dwelling is None or not house.job.dwelling.units or not branch.new_work:
        return
    told = any(room.unit_group for room in house.job.rooms)
    common = [c.load.name for c in branch.loads if c.load.serves == "house"]
    common += [room.name for room in branch.rooms if told and room.unit_group is None]
    others = [room.name for room in branch.rooms if room.unit_group not in (None, unit)]
    others += [c.load.name for c in branch.loads if c.load.unit_group not in (None, unit)]
    for key, wrong, rule in (("no_common_area", common, "common_circuits"), ("no_other_unit", others, "unit_circuits")):
        number = given(f"on it ({', '.join(wrong)})" if wrong else "on it", len(wrong), "outlet", at(branch, "panel"))
        sheet.check(
            key,
            number <= NOTHING_ELSE,
            cites=[house.code.cite(rule)],
            remedy=f"feed {', '.join(wrong)} from a panel of its own",
        )
