"""The wall spaces of a room: what breaks them under the edition, how long they are, which of them count."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from calc.codebook import Codebook
from calc.families.receptacles.spaced import Served, Spaced
from calc.families.receptacles.spacing import Piece
from calc.families.receptacles.tally import Tally
from calc.families.receptacles.wall_line import TAPE_IN, TINY_IN, Break, Space, WallLine
from calc.families.receptacles.wall_outlets import box_room, counted_outlets, inside, special
from calc.job import Opening, Outlet, Room, format_length, place
from calc.work import IN_PER_FT, Citation, Sheet, Value, total


@dataclass(frozen=True)
class WallSpace:
    """A wall space: its piece of the line, and, where it is long enough to count, how it is served."""

    space: Space
    spaced: Spaced | None

    def on_line(self, along: float) -> float:
        """A place along the space as a place on the line."""
        return self.space.begin + along


@dataclass
class WallPlan:
    """What the rules make of the walls of a room, for its sheet and its drawing. Places are on the line."""

    line: WallLine
    closed: bool
    breaks: list[Break]
    spaces: list[WallSpace]
    counted: list[Outlet]
    gaps: list[Piece] = field(default_factory=list)
    placed: list[float] = field(default_factory=list)


def wall_spaces(
    sheet: Sheet,
    code: Codebook,
    room: Room,
    tally: Tally,
    least_rule: str,
    breaking: Sequence[Opening],
    cites: list[Citation],
) -> WallPlan:
    """The spaces between what breaks the wall line, long enough or not, with the receptacles in them that count."""
    line = WallLine(room)
    least = sheet.line("least_space_in", code[least_rule] * IN_PER_FT)
    closed = closing(sheet, line, least.number)
    breaks = line.breaks(breaking)
    said = "; ".join(f"{b.label} ({line.reach(b.begin, b.end)})" for b in breaks)
    sheet.find("breaks", said or "nothing", cites=cites)
    counted = counted_outlets(sheet, code, line)
    spaces = line.spaces(breaks, closed)
    lengths = [_length(sheet, line, number, space) for number, space in enumerate(spaces, 1)]
    longs = sheet.sort("spaces_counted", lengths, least, cites=[code.cite("wall_also")]) if spaces else []
    found = []
    for number, (space, length, counts) in enumerate(zip(spaces, lengths, longs, strict=True), 1):
        there = inside(line, space, counted)
        if space.loop and there:  # a line without ends is cut at a receptacle, so that no gap lies across the cut
            space = line.all_around(line.of(there[0][1]))
            there = inside(line, space, counted)
        served = tuple(
            Served(tally.mark(), along, line.where(line.of(o)), place(o, "at_ft")) for along, o in there if counts
        )
        name = f"wall space {number}"
        found.append(WallSpace(space, _spaced(code, line, name, space, length, served) if counts else None))
    return WallPlan(line, closed, breaks, found, counted)


def closing(sheet: Sheet, line: WallLine, least: float) -> bool:
    """Whether the walls close; where they are farther apart than a tape may be off, the sheet says by how much."""
    closed = line.closes(least)
    if len(line.walls) == 1:
        sheet.remark("note_running")
    elif line.apart > TAPE_IN + TINY_IN:
        ends = {"apart": format_length(line.apart), "first": line.label(0), "last": line.label(len(line.walls) - 1)}
        sheet.caution("caution_apart" if closed else "caution_open", **ends)
    return closed


def _length(sheet: Sheet, line: WallLine, number: int, space: Space) -> Value:
    where = "all around" if space.loop else line.reach(space.begin, space.begin + space.length)
    sheet.find("space_place", f"{where}: {format_length(space.length)}", item=f"wall space {number}")
    parts = [line.stretch_length(stretch, space) for stretch in space.stretches]
    return sheet.line("wall_space_in", total(parts, "in"), item=f"wall space {number}")


def _spaced(
    code: Codebook, line: WallLine, name: str, space: Space, length: Value, served: tuple[Served, ...]
) -> Spaced:
    return Spaced(
        name=name,
        length=length,
        served=served,
        where=lambda along: line.where(space.begin + along),
        span=lambda a, b: line.reach(space.begin + a, space.begin + b),
        remark=lambda along: special(line, code, space.begin + along),
        wanted=box_room(line, space, code["place_margin"].number),
        loop=space.loop,
    )
