"""Receptacles along the walls: of rooms with the spacing rule, and of large foyers."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.receptacles.spaced import SIDES, Reach, check, fewest, has_one, propose
from calc.families.receptacles.tally import Tally, not_entered, ones
from calc.families.receptacles.wall_line import TINY_IN
from calc.families.receptacles.wall_spaces import WallPlan, wall_spaces
from calc.job import Opening, Room
from calc.job.fields import entered
from calc.work import IN_PER_FT, Sheet, constant


def spaced_walls(sheet: Sheet, code: Codebook, room: Room, tally: Tally) -> WallPlan:
    """No point along a wall space too far from a receptacle: the fewest, and the check or the places."""
    cites = (code.cite("wall_reach"),)
    one_side = sheet.line("wall_reach_in", code["wall_reach"] * IN_PER_FT)
    reach = Reach("wall_reach", one_side, sheet.line("wall_serves_in", SIDES * one_side), cites)
    plan = wall_spaces(sheet, code, room, tally, "wall_least", _breaking(sheet, code, room), [code.cite("wall_breaks")])
    for found in plan.spaces:
        if found.spaced is None:
            continue
        fewest(sheet, found.spaced, reach, tally)
        if entered(room, "outlets"):
            gaps = check(sheet, found.spaced, reach, tally)
            plan.gaps += [(found.on_line(a), found.on_line(b)) for a, b in gaps]
        else:
            plan.placed += map(found.on_line, propose(sheet, found.spaced, one_side, cites))
    _provide(sheet, code, plan, room, tally)
    if code.has("divider_below") and any(wall.kind == "divider" for wall in room.walls):
        sheet.caution("caution_divider", clear=f"{code['divider_below'].number:g}")
    return plan


def foyer_walls(sheet: Sheet, code: Codebook, room: Room, tally: Tally) -> WallPlan:
    """A receptacle in each wall space of a large foyer."""
    cites = [code.cite("foyer_wall")]
    plan = wall_spaces(sheet, code, room, tally, "foyer_wall", _foyer_breaking(code, room), [code.cite("foyer_breaks")])
    for found in plan.spaces:
        if found.spaced is None:
            continue
        tally.spaces.append(found.spaced.name)
        tally.needed.append(constant(f"in {found.spaced.name}", 1, ""))
        length = found.spaced.length
        if not entered(room, "outlets"):
            plan.placed += map(found.on_line, propose(sheet, found.spaced, length, cites))
        elif not has_one(
            sheet, found.spaced, cites, f"add a receptacle at {found.spaced.span(0, length.number)}", tally
        ):
            plan.gaps.append((found.on_line(0), found.on_line(length.number)))
    _provide(sheet, code, plan, room, tally)
    return plan


def _provide(sheet: Sheet, code: Codebook, plan: WallPlan, room: Room, tally: Tally) -> None:
    tally.spaced = True
    if entered(room, "outlets"):
        tally.asked = True
        tally.provided.append(ones(o.mark for f in plan.spaces if f.spaced for o in f.spaced.served))
    elif any(found.spaced for found in plan.spaces):
        not_entered(sheet, code, room, "along its walls", "wall_reach")


def _breaking(sheet: Sheet, code: Codebook, room: Room) -> list[Opening]:
    """The openings that break a wall space. A cabinet with a top is the edition's choice, save in a kitchen."""
    kinds = code.members("wall_breaks")
    tops = [o for o in room.openings if o.kind == "cabinet" and o.work_surface]
    counting: list[Opening] = []
    if tops:
        sheet.find("cabinet_tops", code.method("wall_cabinet_top"), cites=[code.cite("wall_cabinet_top")])
        if code.method("wall_cabinet_top") == "counts" and room.use == "kitchen":
            sheet.remark("note_kitchen_cabinets")
        elif code.method("wall_cabinet_top") == "counts":
            counting = tops
    if any(o.kind == "bookcase" for o in room.openings):
        sheet.remark("note_bookcase")
    return [o for o in room.openings if o.kind in kinds and o not in counting]


def _foyer_breaking(code: Codebook, room: Room) -> list[Opening]:
    """Openings, and fixed glass that touches one of them."""
    kinds = code.members("foyer_breaks")
    doors = [o for o in room.openings if o.kind in kinds]
    return [o for o in room.openings if o in doors or (o.kind == "fixed-glass" and any(_touch(o, d) for d in doors))]


def _touch(a: Opening, b: Opening) -> bool:
    """Whether two openings of one wall stand side by side."""
    gaps = (a.at_ft - b.at_ft - b.width_ft, b.at_ft - a.at_ft - a.width_ft)
    return a.wall == b.wall and min(abs(gap) for gap in gaps) * 12 < 1 + TINY_IN
