"""Multiwire circuits: two halves that share a neutral, which only their standing on opposite legs keeps cool."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from calc.codebook import Codebook
from calc.families.branch_circuits.legs import Leg
from calc.job import Circuit, place
from calc.wiring.circuits import Branch
from calc.wiring.conditions import MET
from calc.wiring.reading import carry
from calc.work import Sheet, Value, constant, given, larger, root, smaller

LEGS = constant("legs that they need", 2, "leg")
TOGETHER = ("two-pole", "handle-tie")
SENSES_NEUTRAL = ("ground-fault", "dual-function")
ROW = 2  # spaces from one breaker to the next one down its column


@dataclass(frozen=True)
class Half:
    """One half of a multiwire circuit: its branch, its sheet, the leg that it stands on and its space."""

    branch: Branch
    sheet: Sheet
    legs: tuple[Leg, ...]
    spaces: tuple[int, ...] = ()

    def line(self, key: str, what: str) -> Value:
        """A line of its own sheet, used here as a given."""
        return carry(self.sheet, key, f"{what} of {self.branch.name}")


def pairs(branches: Sequence[Branch]) -> list[tuple[Branch, Branch]]:
    """The multiwire circuits of a job, each once, by whichever half names the other."""
    by_name = {b.name: b for b in branches}
    found: dict[frozenset[str], tuple[Branch, Branch]] = {}
    for b in branches:
        other = by_name.get(b.circuit.multiwire_with or "")
        if other is not None:
            found.setdefault(frozenset({b.name, other.name}), (b, other))
    return list(found.values())


def multiwire(sheet: Sheet, code: Codebook, one: Half, two: Half, wye: bool) -> None:
    """Print the current of the shared neutral and check what keeps it in bounds."""
    apart = bool(set(one.legs) ^ set(two.legs)) if one.legs and two.legs else True
    first = sheet.line("half_a", one.line("load_a", "current"), item=one.branch.name)
    second = sheet.line("half_a", two.line("load_a", "current"), item=two.branch.name)
    breakers = [
        sheet.line("half_breaker_a", half.line("breaker_a", "breaker"), item=half.branch.name) for half in (one, two)
    ]
    cites = [code.cite("multiwire")]
    said = [f"{half.branch.name} on leg {half.legs[0]}" for half in (one, two) if half.legs]
    sheet.find("legs", ", ".join(said) or "not placed; they will stand on opposite legs", cites=cites)
    if apart:
        shared = root(first * first + second * second - first * second) if wye else (
            larger(first, second) - smaller(first, second)
        )  # fmt: skip
        most = larger(*breakers)
    else:
        shared, most = first + second, breakers[0] + breakers[1]
    sheet.line("shared_neutral_a", shared, cites=cites)
    worst = sheet.line("shared_neutral_most_a", most, cites=cites)
    where = place(one.branch.circuit, "positions")
    sheet.check("opposite_legs", given("legs that they stand on", 2 if apart else 1, "leg", where) >= LEGS, cites=cites,
            remedy=_move(one, two))  # fmt: skip
    if all(any(line.key == "ampacity_a" for line in half.sheet.lines) for half in (one, two)):
        carries = smaller(one.line("ampacity_a", "ampacity"), two.line("ampacity_a", "ampacity"))
        ampacity = sheet.line("neutral_ampacity_a", carries)
        sheet.check("neutral_carries", ampacity >= worst, cites=cites, remedy=_move(one, two) if not apart else
                "larger conductors, or smaller breakers")  # fmt: skip
    if any(half.branch.new_work for half in (one, two)):
        _opened_together(sheet, code, one, two)


def _one_device(sheet: Sheet, code: Codebook, halves: tuple[Circuit, Circuit]) -> None:
    """Breakers that compare leg and neutral: on a shared neutral only one of two poles can."""
    sensing = [c for c in halves if c.breaker_type in SENSES_NEUTRAL]
    two_pole = any(c.common_disconnect == "two-pole" for c in halves)
    if sensing:
        device = given(f"one device for both: {'two-pole' if two_pole else 'two single poles'}", float(two_pole),
                       "condition", place(sensing[0], "breaker_type"))  # fmt: skip
        sheet.check("one_device", device >= MET, cites=[code.cite("multiwire_device")],
                remedy=f"one two-pole {sensing[0].breaker_type} breaker for both halves (common_disconnect)")  # fmt: skip
    elif not two_pole and any(c.breaker_type == "arc-fault" for c in halves):
        sheet.caution("caution_arc_fault_shared")


def _move(one: Half, two: Half) -> str:
    spaces = two.branch.circuit.positions
    beside = f", to the space above or below that of {one.branch.name}" if spaces else ""
    return f"move {two.branch.name} to the other leg{beside}, and tie both handles"


def _opened_together(sheet: Sheet, code: Codebook, one: Half, two: Half) -> None:
    halves = (one.branch.circuit, two.branch.circuit)
    cite = code.cite("multiwire_disconnect")
    stated = [(c, c.common_disconnect) for c in halves if c.common_disconnect is not None]
    if stated:
        circuit, how = min(stated, key=lambda said: said[1] in TOGETHER)  # where the halves disagree, the worse
        tied = given(
            f"common disconnect: {how}", float(how in TOGETHER), "condition", place(circuit, "common_disconnect")
        )
    else:
        tied = given(
            "common disconnect, which the job does not state", 0, "condition", place(halves[0], "common_disconnect")
        )
    sheet.check(
        "common_disconnect", tied >= MET, cites=[cite], remedy="a two-pole breaker, or a handle tie over both halves"
    )
    _one_device(sheet, code, halves)
    if tied.number and one.spaces and two.spaces:
        first, second = one.spaces[0], two.spaces[0]
        beside = given(f"spaces {first} and {second}: one above the other", float(abs(first - second) == ROW), "condition",
                       place(halves[0], "positions"))  # fmt: skip
        sheet.check("tie_reaches", beside >= MET, cites=[cite], remedy=_move(one, two))
    pigtailed = next((c for c in halves if c.neutral_pigtailed is not None), None)
    if pigtailed is None:
        sheet.unknown("neutral_pigtailed", "whether the neutral is spliced apart from the devices (neutral_pigtailed)",
                  place(halves[0], "neutral_pigtailed"), cites=[code.cite("multiwire_neutral")])  # fmt: skip
    else:
        there = given("neutral pigtailed", float(bool(pigtailed.neutral_pigtailed)), "condition",
                      place(pigtailed, "neutral_pigtailed"))  # fmt: skip
        sheet.check("neutral_pigtailed", there >= MET, remedy="a pigtail to each device, the neutral spliced through",
                cites=[code.cite("multiwire_neutral")])  # fmt: skip
