"""Household cooking on one branch circuit: one range, one cooktop or oven, or a cooktop with up to two ovens."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.wiring.circuits import Branch
from calc.work import VA_PER_KW, Refused, Sheet, Value, constant, excess, smaller, total, whole


def cooking_circuit(sheet: Sheet, code: Codebook, branch: Branch) -> Value:
    """The load in VA. Columns A and B are never taken here: they are for several appliances on a feeder or service."""
    rating = sheet.line("cooking_together_kw", total(c.va for c in branch.cooking) / VA_PER_KW)
    if (rating > code["cooking_largest"]).holds:
        raise Refused(
            f"{branch.name}: over the largest size that the cooking table covers.", code.cite("cooking_largest")
        )
    if not _as_one_range(code, branch):
        sheet.find("cooking_reading", "at nameplate", cites=[code.cite("cooking_circuit")])
        return rating * VA_PER_KW
    limit = code["cooking_column_c_limit"]
    sheet.find("cooking_reading", "as one range", cites=[code.cite("cooking_circuit")])
    one = constant("taken as one range", 1, "")
    demand = sheet.line("cooking_column_c_row_kw", code.row("cooking_demand", appliances=one)["column_c_kw"])
    if (rating > limit).holds:
        beyond = sheet.line("cooking_excess_kw", whole(excess(rating, limit), "half up"))
        increase = sheet.line("cooking_increase_pct", beyond * code["cooking_increase"])
        demand = sheet.line("cooking_column_c_kw", demand + demand * increase)
    return sheet.line("cooking_circuit_kw", smaller(rating, demand)) * VA_PER_KW


def _as_one_range(code: Codebook, branch: Branch) -> bool:
    """Whether they go through column C: a range, or a cooktop with ovens. Refused for what no rule puts together."""
    number = {
        kind: sum(c.load.count for c in branch.cooking if c.load.kind == kind)
        for kind in ("range", "cooktop", "wall-oven")
    }
    together = sum(number.values())
    small = [c for c in branch.cooking if (c.each / VA_PER_KW <= code["cooking_least"]).holds]
    if together == 1:
        return number["range"] == 1 and not small
    ovens = constant("ovens", number["wall-oven"], "appliance")
    if number["range"] or number["cooktop"] > 1 or (ovens > code["cooking_circuit"]).holds:
        raise Refused(
            f"{branch.name}: one circuit takes one range, or one cooktop and up to two wall ovens; this one has more. "
            "Give the rest a circuit of its own.",
            code.cite("cooking_circuit"),
        )
    rooms = {c.load.room for c in branch.cooking} - {None}
    if len(rooms) > 1:
        raise Refused(
            f"{branch.name}: its appliances stand in different rooms ({', '.join(sorted(str(room) for room in rooms))}); "
            "only those of one room may be on one circuit.",
            code.cite("cooking_circuit"),
        )
    return number["cooktop"] == 1
