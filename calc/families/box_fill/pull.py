"""Pull and junction boxes for large conductors: sized by the distances that the conductors need, not by volume."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import groupby

from calc.codebook import Codebook
from calc.families.reading import read
from calc.job import Box, Entry, place
from calc.work import Missing, Refused, Sheet, Value, given, larger, total

ACROSS = {"left": "length_in", "right": "length_in", "top": "width_in", "bottom": "width_in"}
"""The inside dimension that runs from a wall to the wall opposite: length is left to right, width top to bottom."""


def pull_box(s: Sheet, code: Codebook, box: Box) -> None:
    """The least inside length and width, the distance between raceways of one run, and the checks."""
    behind = [entry for entry in box.entries if entry.wall == "back"]
    if behind:
        raise Refused(
            "A raceway enters the back of this box; its distance goes by the table of bending space, which is not "
            "carried here. Have it worked by hand.",
            code.cite("pull_angle"),
        )
    straight = box.pull == "straight"
    for dimension in ("length_in", "width_in"):
        walls = [wall for wall in ACROSS if ACROSS[wall] == dimension and _on(box, wall)]
        needs = list(_straight(s, code, box, walls) if straight else _angle(s, code, box, walls))
        if needs:
            _checked(s, code, box, dimension, needs)
    if not straight:
        _apart(s, code, box)


def _on(box: Box, wall: str) -> list[Entry]:
    return [entry for entry in box.entries if entry.wall == wall]


def _size(entry: Entry) -> Value:
    """The trade size, as inches."""
    number = float(sum(Fraction(part) for part in entry.trade_size.split("-")))
    return given(f"raceway of {entry.trade_size} on the {entry.wall}", number, "in", place(entry, "trade_size"))


def _straight(s: Sheet, code: Codebook, box: Box, walls: list[str]) -> Iterator[Value]:
    """Eight times the largest raceway of each wall."""
    for wall in walls:
        yield s.line("straight_in", code["pull_straight"] * larger(*map(_size, _on(box, wall))), item=wall)


def _angle(s: Sheet, code: Codebook, box: Box, walls: list[str]) -> Iterator[Value]:
    """Six times the largest raceway of a wall and row, with the others of that row added; each row by itself."""
    for wall in walls:
        rows = groupby(sorted(_on(box, wall), key=lambda entry: entry.row), key=lambda entry: entry.row)
        for row, entries in rows:
            sizes = sorted(map(_size, entries), key=lambda size: size.number, reverse=True)
            need = code["pull_angle"] * sizes[0]
            item = wall if len({entry.row for entry in _on(box, wall)}) == 1 else f"{wall}, row {row}"
            yield s.line("angle_in", total([need, *sizes[1:]], "in"), item=item)


def _checked(s: Sheet, code: Codebook, box: Box, dimension: str, needs: list[Value]) -> None:
    name = dimension.removesuffix("_in")
    least = s.line(f"{name}_least_in", larger(*needs))
    if getattr(box, dimension) is None:
        raise Missing(
            f"No inside {name} is stated for this box, so nothing can be checked: give {dimension}. "
            f"It needs {least.number:g} in.",
            *least.cites,
            at=place(box, dimension),
        )
    by = [code.cite("pull_straight" if box.pull == "straight" else "pull_angle")]
    s.check(f"{name}_enough", read(box, dimension) >= least, mend=f"a box {least.number:g} in {name} inside", by=by)


def _apart(s: Sheet, code: Codebook, box: Box) -> None:
    """How far raceways that hold the same conductors must be from each other."""
    for run in dict.fromkeys(entry.run for entry in box.entries if entry.run):
        sizes = [_size(entry) for entry in box.entries if entry.run == run]
        if len(sizes) > 1:
            s.line("apart_in", code["pull_apart"] * larger(*sizes), item=run)
            s.caution("caution_apart", run=run)
