"""The boxes of a house, one row each, the tightest first."""

from __future__ import annotations

from calc.documents.house import amounts
from calc.documents.house.found import Found, number, sheet_name, state, why, word
from calc.families.box_fill import FAMILY
from calc.job import Box
from calc.verdict.standing import Standing
from calc.wiring.house import House
from calc.work import Sheet
from calc.work.table import Table, weighed


def box_table(house: House, standing: Standing) -> Table | None:
    """One row for each sheet of a box in scope: volume required and provided, what is used; None where there is none."""
    found = Found(standing.sheets)
    sheets = sorted(found.sheets.get(FAMILY, ()), key=_used, reverse=True)
    if not sheets:
        return None
    boxes = {box.name: box for box in house.job.boxes}
    return Table(
        title="Boxes, the tightest first",
        columns=weighed(
            ("Box", 46), ("Room", 28), ("Requires, in³", 18, "right"), ("Has, in³", 15, "right"), ("Used, %", 13, "right"),
            ("Left, in³", 15, "right"), ("Smallest box that serves", 40), ("State", 17),
        ),
        rows=[_row(sheet, _box_of(boxes, sheet)) for sheet in sheets],
        sheets=[sheet_name(sheet) for sheet in sheets],
        notes=why((sheet.subject, [sheet]) for sheet in sheets),
    )  # fmt: skip


def _used(sheet: Sheet) -> float:
    """Share of the box that is taken; a box of which that is not known stands before all others."""
    required, provided = number(sheet, "required_in3"), number(sheet, "provided_in3")
    if sheet.refused is not None or required is None or not provided:
        return float("inf") if not sheet.passes else 0.0
    return required / provided


def _box_of(boxes: dict[str, Box], sheet: Sheet) -> Box | None:
    """The box that a sheet is about; a sheet of one compartment is called by box and compartment."""
    named = [name for name in boxes if sheet.subject == name or sheet.subject.startswith((f"{name}, ", f"{name}: "))]
    return boxes[max(named, key=len)] if named else None


def _row(sheet: Sheet, box: Box | None) -> list[str]:
    required, provided = number(sheet, "required_in3"), number(sheet, "provided_in3")
    alike = f" x {box.count}" if box is not None and box.count > 1 else ""
    inside = [number(sheet, key) for key in ("length_least_in", "width_least_in")]
    pull = " x ".join(f"{each:g} in" for each in inside if each is not None)
    known = sheet.refused is None and required is not None and bool(provided)
    return [
        sheet.subject + alike,
        (box.room if box is not None else None) or "",
        "" if required is None else amounts.volume(required),
        "" if provided is None else amounts.volume(provided),
        amounts.used(_used(sheet)) if known else "",
        amounts.volume(provided - required) if known and provided is not None and required is not None else "",
        f"{pull} inside" if pull else word(sheet, "smallest_box"),
        state([sheet]),
    ]
