"""The rooms of a house, one row each: wall spaces, counters, receptacles and lighting, the room that decides first."""

from __future__ import annotations

from calc.documents.house import amounts
from calc.documents.house.found import Found, checks, number, sheet_name, state, why
from calc.families.receptacles import FAMILY
from calc.verdict.standing import Standing
from calc.wiring.house import House
from calc.work import STATUSES, Sheet
from calc.work.table import Table, weighed

REACH = ("wall_reach", "counter_reach", "basin_served")
LIGHT = (
    "light", "storage_light", "storage_switch", "equipment_light", "entrance_light", "stair_light", "level_switch",
    "stair_switch",
)  # fmt: skip


def room_table(house: House, standing: Standing) -> Table | None:
    """One row for each room and stair in scope; None where there is none."""
    sheets = sorted(Found(standing.sheets).sheets.get(FAMILY, ()), key=_order)
    if not sheets:
        return None
    uses = {room.name: room.use for room in house.job.rooms}
    return Table(
        title="Rooms",
        columns=weighed(
            ("Room", 34), ("Use", 22), ("Wall spaces", 13, "right"), ("Counter spaces", 16, "right"),
            ("Receptacles required", 20, "right"), ("There", 12, "right"), ("Farthest point, in, of limit", 30),
            ("Left, %", 11, "right"), ("Lighting", 18), ("State", 17),
        ),
        rows=[_row(sheet, uses.get(sheet.subject, "")) for sheet in sheets],
        sheets=[sheet_name(sheet) for sheet in sheets],
        notes=[
            "Receptacles required: the fewest that the rules for this room come to. Farthest point: of a wall, counter or basin "
            "from the next receptacle, where the walls are entered.",
            *why((sheet.subject, [sheet]) for sheet in sheets),
        ],
    )  # fmt: skip


def _order(sheet: Sheet) -> tuple[int, float]:
    """Worst state first, then the one with least left."""
    reach = _tightest(sheet)
    return STATUSES.index(sheet.status), -reach[0] if reach is not None else 1.0


def _tightest(sheet: Sheet) -> tuple[float, float, float] | None:
    """Share used, distance and limit of the reach that has least left."""
    found = [
        (share, check.holds.left.number, check.holds.right.number)
        for check in checks(sheet, *REACH)
        if (share := amounts.share_used(check)) is not None
    ]
    return max(found, default=None)


def _row(sheet: Sheet, use: str) -> list[str]:
    reach = _tightest(sheet)
    keys = [line.key for line in sheet.lines]
    walls = sum(key.startswith("fewest_in_space[wall space") for key in keys)
    counters = sum(key.startswith("fewest_in_space[") for key in keys) - walls
    needed, there = number(sheet, "fewest_needed"), number(sheet, "provided")
    return [
        sheet.subject,
        use.replace("-", " "),
        str(walls) if walls else "",
        str(counters) if counters else "",
        "" if needed is None else f"{needed:g}",
        "" if there is None else f"{there:g}",
        f"{reach[1]:g} of {reach[2]:g}" if reach else "",
        amounts.left(reach[0]) if reach else "",
        _light(sheet),
        state([sheet]),
    ]


def _light(sheet: Sheet) -> str:
    """Whether its lighting outlets and their switches are there; '' where none is asked for."""
    asked = [check.holds.holds for check in checks(sheet, *LIGHT)]
    if any(unknown.key.partition("[")[0] in LIGHT for unknown in sheet.unknowns):
        return "not known"
    if not asked:
        return ""
    return "there" if all(asked) else f"{asked.count(False)} missing"
