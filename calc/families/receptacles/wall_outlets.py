"""Receptacles on the wall line: which count, which space they are in, and where on a wall a box can stand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calc.codebook import Codebook
from calc.families.receptacles.spacing import Piece
from calc.families.receptacles.tally import TAKEN_OUT, Left, name_of, said_of, too_high
from calc.families.receptacles.wall_line import TINY_IN, Space, WallLine
from calc.job import Outlet, format_length, place
from calc.work import IN_PER_FT, Sheet, Value, given


def counted_outlets(sheet: Sheet, code: Codebook, line: WallLine) -> list[Outlet]:
    """The receptacles that count along the walls, in a line that says which don't and why."""
    outlets = line.room.outlets
    if not outlets:
        return []
    height = sheet.line("outlet_height_in", code["outlet_height"] * IN_PER_FT)
    left = [_left(code, outlet, height) for outlet in outlets]
    if any(outlet.switched == "half" for outlet in outlets):
        sheet.remark("note_half_switched")
    names = [name_of(outlet, line, number) for number, outlet in enumerate(outlets, 1)]
    shown = [why.shown for why in left if why is not None and why.shown is not None]
    sheet.find("outlets_counted", said_of(names, left), shown, cites=[code.cite("outlet_left_out")])
    return [outlet for outlet, why in zip(outlets, left, strict=True) if why is None]


def _left(code: Codebook, outlet: Outlet, height: Value) -> Left | None:
    if outlet.status == "removed":
        return TAKEN_OUT
    if outlet.at_ft is None:
        return Left("its place on the wall is not entered")
    if outlet.in_cabinet:
        return Left("inside a cabinet")
    if outlet.dedicated:
        return Left("for one appliance, or part of one")
    if outlet.switched == "all":
        return Left("switched as a whole")
    if outlet.from_wall_in is not None and outlet.from_wall_in > code["floor_outlet"].number:
        away = given("its distance from the wall", outlet.from_wall_in, "in", place(outlet, "from_wall_in"))
        return Left(f"in the floor, {format_length(outlet.from_wall_in)} from the wall", away > code["floor_outlet"])
    return too_high(outlet, height, "the floor")


def inside(line: WallLine, space: Space, outlets: Sequence[Outlet]) -> list[tuple[float, Outlet]]:
    """The receptacles in a space, with their places along it, in order."""
    found = []
    for outlet in outlets:
        for lap in (0.0, line.around):
            along = round(line.of(outlet) + lap - space.begin, 6)
            if -TINY_IN <= along <= space.length + TINY_IN:
                found.append((min(max(along, 0.0), space.length), outlet))
                break
    return sorted(found, key=lambda pair: pair[0])


def box_room(line: WallLine, space: Space, margin: float) -> tuple[tuple[Piece, ...], tuple[Piece, ...]]:
    """The pieces of a space where a box suits, clear of their ends by the margin; and all that are as wide as it."""
    pieces = [piece for piece in _solid(line, space) if piece[1] - piece[0] >= margin]
    clear = tuple((a + margin, b - margin) for a, b in pieces if b - a >= 2 * margin)
    return clear, tuple(pieces)


def _solid(line: WallLine, space: Space) -> Iterator[Piece]:
    """Pieces of a space that are wall from the floor up, each on one wall."""
    offset = 0.0
    for stretch in space.stretches:
        begin = stretch.begin
        glass = sorted(
            (low - line.begins[stretch.wall], high - line.begins[stretch.wall])
            for low, high in (line.span(o) for o in line.room.openings if o.kind == "fixed-glass")
        )
        if line.walls[stretch.wall].kind == "wall":
            for low, high in [*glass, (stretch.end, stretch.end)]:
                if min(low, stretch.end) > begin:
                    yield offset + begin - stretch.begin, offset + min(low, stretch.end) - stretch.begin
                begin = max(begin, high)
        offset += stretch.end - stretch.begin


def special(line: WallLine, code: Codebook, at: float) -> str:
    """What to mind when a receptacle goes to a place: glass and railings hold no box, a cabinet's top is in the way."""
    at = at % line.around if at > line.around else at
    within = format_length(code["floor_outlet"].number)
    kind = line.walls[line.wall_at(at)].kind
    if kind != "wall":
        return f" (at the {kind}: in the floor, within {within} of it)"
    for opening in line.room.openings:
        low, high = line.span(opening)
        if low + TINY_IN < at < high - TINY_IN and opening.kind == "fixed-glass":
            return f" (at the fixed glass: in the floor, within {within} of it)"
        if low + TINY_IN < at < high - TINY_IN and opening.kind == "cabinet":
            return " (on the wall above the cabinet's top)"
    return ""
