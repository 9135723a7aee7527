"""Pull and junction boxes for large conductors: sized by the distances that the conductors need, not by volume."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import groupby

from calc.codebook import Codebook
from calc.families.box_fill.counting import awg
from calc.job import Box, Entry, place
from calc.wiring.reading import read
from calc.work import Missing, Sheet, Value, given, larger, total

ACROSS = {"left": "length_in", "right": "length_in", "top": "width_in", "bottom": "width_in"}
"""The inside dimension that runs from a wall to the wall opposite: length is left to right, width top to bottom."""


def pull_box(sheet: Sheet, code: Codebook, box: Box) -> None:
    """The least inside length and width, the distance between raceways of one run, and the checks."""
    if behind := _on(box, "back"):
        _deep(sheet, code, box, behind)
    straight = box.pull == "straight"
    for dimension in ("length_in", "width_in"):
        walls = [wall for wall in ACROSS if ACROSS[wall] == dimension and _on(box, wall)]
        needs = list(_straight(sheet, code, box, walls) if straight else _angle(sheet, code, box, walls))
        if needs:
            _checked(sheet, code, box, dimension, needs)
    if not straight:
        _apart(sheet, code, box)


def _deep(sheet: Sheet, code: Codebook, box: Box, behind: list[Entry]) -> None:
    """The least depth, from the wall that conductors come in by to the cover opposite."""
    needs = []
    for number, entry in enumerate(behind, 1):
        if entry.conductor is None:
            raise Missing("A raceway enters the back of this box: enter the largest conductor in it (conductor).",
                          code.cite("wire_bending"), at=place(entry, "conductor"))  # fmt: skip
        row = code.row("wire_bending", size=entry.conductor)
        needs.append(
            sheet.line("bending_in", row["bending_in"], item=f"{awg(entry.conductor)}, entry {number} in the back")
        )
    least = sheet.line("depth_least_in", larger(*needs))
    cites = [code.cite("wire_bending")]
    if box.depth_in is None:
        sheet.unknown(
            "depth_enough",
            f"its inside depth (depth_in); it needs {least.number:g} in",
            place(box, "depth_in"),
            cites=cites,
        )
        return
    sheet.check(
        "depth_enough", read(box, "depth_in") >= least, remedy=f"a box {least.number:g} in deep inside", cites=cites
    )


def _on(box: Box, wall: str) -> list[Entry]:
    return [entry for entry in box.entries if entry.wall == wall]


def _size(entry: Entry) -> Value:
    """The trade size, as inches."""
    number = float(sum(Fraction(part) for part in entry.trade_size.split("-")))
    return given(f"raceway of {entry.trade_size} on the {entry.wall}", number, "in", place(entry, "trade_size"))


def _straight(sheet: Sheet, code: Codebook, box: Box, walls: list[str]) -> Iterator[Value]:
    """Eight times the largest raceway of each wall."""
    for wall in walls:
        yield sheet.line("straight_in", code["pull_straight"] * larger(*map(_size, _on(box, wall))), item=wall)


def _angle(sheet: Sheet, code: Codebook, box: Box, walls: list[str]) -> Iterator[Value]:
    """Six times the largest raceway of a wall and row, with the others of that row added; each row by itself."""
    for wall in walls:
        rows = groupby(sorted(_on(box, wall), key=lambda entry: entry.row), key=lambda entry: entry.row)
        for row, entries in rows:
            sizes = sorted(map(_size, entries), key=lambda size: size.number, reverse=True)
            need = code["pull_angle"] * sizes[0]
            item = wall if len({entry.row for entry in _on(box, wall)}) == 1 else f"{wall}, row {row}"
            yield sheet.line("angle_in", total([need, *sizes[1:]], "in"), item=item)


def _checked(sheet: Sheet, code: Codebook, box: Box, dimension: str, needs: list[Value]) -> None:
    name = dimension.removesuffix("_in")
    least = sheet.line(f"{name}_least_in", larger(*needs))
    if getattr(box, dimension) is None:
        raise Missing(
            f"No inside {name} is stated for this box, so nothing can be checked: give {dimension}. "
            f"It needs {least.number:g} in.",
            *least.cites,
            at=place(box, dimension),
        )
    cites = [code.cite("pull_straight" if box.pull == "straight" else "pull_angle")]
    sheet.check(
        f"{name}_enough", read(box, dimension) >= least, remedy=f"a box {least.number:g} in {name} inside", cites=cites
    )


def _apart(sheet: Sheet, code: Codebook, box: Box) -> None:
    """How far raceways that hold the same conductors must be from each other."""
    for run in dict.fromkeys(entry.run for entry in box.entries if entry.run):
        sizes = [_size(entry) for entry in box.entries if entry.run == run]
        if len(sizes) > 1:
            sheet.line("apart_in", code["pull_apart"] * larger(*sizes), item=run)
            sheet.caution("caution_apart", run=run)
