"""What a room's rules come to: spaces, the fewest receptacles, those there are, and gaps; totals of one sheet."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from calc.codebook import Codebook
from calc.families.receptacles.wall_line import WallLine
from calc.job import Outlet, Room, format_length, place
from calc.job.fields import Part
from calc.work import Comparison, Sheet, Value, constant, given, total


def ones(names: Iterable[str]) -> Value:
    """So many things, each named: '1 + 1 + 1'."""
    return total([constant(name, 1, "") for name in names], "")


@dataclass
class Tally:
    """Counts of a sheet, gathered rule by rule.

    ``spaced``: whether walls or counters are worked, even if none of their spaces counts. ``asked``: whether
    receptacles are entered, so that they are checked.
    """

    spaces: list[str] = field(default_factory=list)
    needed: list[Value] = field(default_factory=list)
    provided: list[Value] = field(default_factory=list)
    gaps: list[str] = field(default_factory=list)
    spaced: bool = False
    asked: bool = False
    marked: int = 0

    def mark(self) -> str:
        """The next mark, by which sheet and drawing name a receptacle: R1, R2."""
        self.marked += 1
        return f"R{self.marked}"

    def close(self, sheet: Sheet) -> None:
        """The totals, as lines of the sheet, where any rule was worked."""
        if not (self.needed or self.spaced):
            return
        if self.spaced:
            sheet.line("spaces", ones(self.spaces))
        sheet.line("fewest_needed", total(self.needed, ""))
        if self.asked:
            sheet.line("provided", total(self.provided, ""))
            if self.spaced:
                sheet.line("gaps", ones(self.gaps))


@dataclass(frozen=True)
class Left:
    """Why a receptacle doesn't count, and the comparison that shows it where it is one of numbers.

    ``at`` is the place of the entry without which nobody can say that it counts.
    """

    why: str
    shown: Comparison | None = None
    at: str = ""


TAKEN_OUT = Left("taken out")


def name_of(outlet: Outlet, line: WallLine | None, number: int) -> str:
    """A receptacle as people would point at it."""
    if outlet.at_ft is not None and line is not None:
        return line.where(line.of(outlet))
    said = f"bay {outlet.bay}" if outlet.bay else (outlet.purpose or "").replace("-", " ")
    return f"receptacle {number}" + (f", {said}" if said else "")


def not_entered(sheet: Sheet, code: Codebook, part: Part, where: str, rule: str) -> None:
    """Say that receptacles are proposed and none is entered, so that nobody reads the proposal as a pass."""
    if getattr(part, "status", "new") != "existing":
        sheet.unknown("outlets_entered", f"the receptacles {where} (outlets)", place(part, "outlets"), item=where,
                  cites=[code.cite(rule)])  # fmt: skip


def named(room: Room) -> list[tuple[str, Outlet]]:
    """The receptacles entered of a room, each with its name."""
    line = WallLine(room) if room.walls else None
    return [(name_of(outlet, line, number), outlet) for number, outlet in enumerate(room.outlets, 1)]


def present(outlets: Iterable[Outlet]) -> list[Outlet]:
    """The receptacles that stay or come."""
    return [outlet for outlet in outlets if outlet.status != "removed"]


def too_high(outlet: Outlet, limit: Value, above: str) -> Left | None:
    """Why a receptacle stands too high, or None. A height that isn't entered is taken to be right."""
    if outlet.height_in is None or outlet.height_in <= limit.number:
        return None
    height = given("its height", outlet.height_in, "in", place(outlet, "height_in"))
    return Left(f"{format_length(outlet.height_in)} above {above}", height > limit)


def said_of(names: Sequence[str], left: Sequence[Left | None]) -> str:
    """How many count, and which don't and why: '2 of 3; not north wall, 3 ft 0 in from its left end: in a cabinet'."""
    out = [f"; not {name}: {why.why}" for name, why in zip(names, left, strict=True) if why is not None]
    return f"{left.count(None)} of {len(left)}" + "".join(out)
