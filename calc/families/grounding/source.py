"""The ungrounded conductors that electrode conductors and bonds are sized by."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from calc.codebook import Codebook
from calc.job import Run, parse_size
from calc.wiring.ampacity import area
from calc.wiring.house import House
from calc.wiring.reading import read
from calc.wiring.wires import called, wires
from calc.work import Refused, Sheet, Value, given, total

Place = dict[str, Value]


@dataclass(frozen=True)
class Source:
    """Size, metal and area of the ungrounded conductors; ``whole_cmil`` is that of all sets together."""

    size: str
    metal: str
    sets: int
    sets_at: str
    whole_cmil: Value | None = None

    @property
    def called(self) -> str:
        """'4/0 AWG aluminum', '2 sets of 250 kcmil copper'."""
        return f"{f'{self.sets} sets of ' if self.sets > 1 else ''}{called(self.size)} {self.metal}"

    def printed(self, sheet: Sheet, code: Codebook) -> Source:
        """The same with its areas as lines of the sheet."""
        one = area(sheet, code, self.size, "one_set_cmil")
        number = given("parallel sets", self.sets, "", self.sets_at)
        whole = sheet.line("ungrounded_cmil", one * number if self.sets > 1 else one)
        return replace(self, whole_cmil=whole)

    @property
    def cites(self) -> Place:
        """How the tables by area are entered, all sets together."""
        assert self.whole_cmil is not None
        return {f"{self.metal}_cmil": self.whole_cmil}


def from_run(house: House, run: Run, size: str) -> Source:
    """The conductors of a run, given the size that its own sheet found."""
    return Source(parse_size(size), house.told(wires, run).metal, run.sets, read(run, "sets").at)


def together(sheet: Sheet, code: Codebook, sources: Mapping[str, Source]) -> Source:
    """Several sets of service conductors, by the sum of their areas."""
    first, *others = sources.values()
    if any(other.metal != first.metal for other in others):
        raise Refused("Service conductors of copper and of aluminum are not added up here: have it worked by hand.",
                      code.cite("electrode_conductor"))  # fmt: skip
    areas = []
    for name, source in sources.items():
        one = sheet.line("one_set_cmil", _cmil(code, source.size), item=name)
        number = given("parallel sets", source.sets, "", source.sets_at)
        areas.append(one * number if source.sets > 1 else one)
    return replace(first, whole_cmil=sheet.line("ungrounded_cmil", total(areas, "cmil")))


def at_least(sheet: Sheet, code: Codebook, key: str, have: str, need: str, item: str = "") -> None:
    """Check that one size has the area of another or more."""
    own = sheet.line(f"{key}_have_cmil", _cmil(code, have), item=item)
    least = sheet.line(f"{key}_need_cmil", _cmil(code, need), item=item)
    sheet.check(f"{key}_serves", own >= least, remedy=f"{called(need)} copper or larger", item=item,
            called=(called(have), called(need)))  # fmt: skip


def _cmil(code: Codebook, size: str) -> Value:
    return code.row("conductor_properties", size=size, stranding="stranded")["cmil"]
