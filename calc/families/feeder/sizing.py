"""The size of the ungrounded conductors: check the one that is given, or find the smallest that serves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from calc.codebook import Codebook
from calc.job import SIZES, Run, parse_size, place
from calc.wiring.ampacity import Rung, rung
from calc.wiring.conditions import MET, Conditions
from calc.wiring.protection import Needed, Requirement, first_failing, requirements
from calc.wiring.wires import Wires, called, sizes, smaller_and_larger
from calc.work import Comparison, Refused, Sheet, constant, given, larger
from calc.work.values import Sign

OPPOSITE: dict[Sign, Sign] = {">=": "<", "<": ">=", ">": "<=", "<=": ">"}


@dataclass(frozen=True)
class Sizing:
    """Everything that decides the size of a run's ungrounded conductors."""

    sheet: Sheet
    code: Codebook
    run: Run
    wires: Wires
    at: Conditions
    needed: Needed

    @cached_property
    def choices(self) -> list[str]:
        """The sizes to be had, smallest first."""
        return sizes(self.code, self.wires, self.run.sets)

    def tried(self, size: str) -> tuple[Rung, list[Requirement]]:
        """A size worked on a sheet that nobody sees."""
        unseen = Sheet(self.sheet.family, "", "", self.sheet.edition, self.sheet.words)
        of = rung(unseen, self.code, self.wires.metal, size, self.at)
        return of, requirements(unseen, self.code, self.needed, of, self.at)

    def serving(self) -> Iterator[str]:
        """The sizes that serve, smallest first; none where the tables or the list of made cables end before."""
        return (size for size in self.choices if first_failing(self.tried(size)[1]) is None)

    @property
    def smallest(self) -> str | None:
        """The smallest size that serves."""
        return next(self.serving(), None)

    def uncorrected(self) -> Sizing:
        """The same run as if nothing had to be corrected or adjusted."""
        plain = replace(self.at, factor=constant("no correction", 1, ""), share=None)
        return replace(self, at=plain)


def sized(sizing: Sizing) -> Rung:
    """Print the size of the run with its ampacity and its checks. Refused where no size serves."""
    run, stated = sizing.run, sizing.run.given_size
    size = _given(sizing, stated) if stated else _found(sizing)
    s, code = sizing.sheet, sizing.code
    size = parse_size(s.find("size" if stated else "size_tried", called(size)))
    of = rung(s, code, sizing.wires.metal, size, sizing.at)
    _governing(s, sizing.at, of)
    found = requirements(s, code, sizing.needed, of, sizing.at)
    if not stated:
        _why(sizing, of, found)
    for test in found:
        sizes = (called(test.sizes[0]), called(test.sizes[1])) if test.sizes else None
        s.check(test.key, test.holds, remedy=_remedy(sizing, test), cites=test.cites, called=sizes)
    if sizing.needed.share is not None and sizing.at.corrected:
        s.remark("note_share_corrected")
    if sizing.needed.share is not None and not (of.ampacity >= sizing.needed.load.calculated).holds:
        s.remark("note_share_below_load", run=run.name)
    return of


def _given(sizing: Sizing, size: str) -> str:
    rows = [row["size"] for row in sizing.code.rows("ampacity") if row[f"{sizing.wires.metal}_75_a"]]
    if size not in rows:
        raise Refused(
            f"{sizing.run.name}: {sizing.wires.metal} {called(size)} is not in the ampacity table, which has "
            f"{called(rows[0])} to {called(rows[-1])} of {sizing.wires.metal}.",
            sizing.code.cite("ampacity"),
        )
    least = next(iter(sizing.code.members("parallel_least")))
    if sizing.run.sets > 1 and SIZES.index(size) < SIZES.index(least):
        large = given(f"{called(size)} is large enough to run in parallel", 0, "condition", place(sizing.run, "sets"))
        sizing.sheet.check("parallel_large_enough", large >= MET, remedy=f"{called(least)} or larger in each set, or one set",
                           cites=[sizing.code.cite("parallel_least")])  # fmt: skip
    if sizing.wires.cable and not sizing.wires.given and size not in sizing.choices:
        made = ", ".join(called(each) for each in sizing.choices)
        raise Refused(
            f"{sizing.wires.cable} of {sizing.wires.metal} is not made in {called(size)} for this run: {made}."
        )
    return size


def _found(sizing: Sizing) -> str:
    if (smallest := sizing.smallest) is not None:
        return smallest
    load = sizing.needed
    largest = sizing.choices[-1]
    what = f"{sizing.wires.cable} cable of {sizing.wires.metal} is made up to {called(largest)}" if sizing.wires.cable else (
        f"the ampacity table ends at {called(largest)}"
    )  # fmt: skip
    raise Refused(
        f"{what[0].upper()}{what[1:]}, and that does not serve {load.load.calculated.number:,.10g} A behind "
        f"{load.breaker.number:,.0f} A in {sizing.run.sets} set(s): take more sets in parallel, or another make.",
        sizing.code.cite("ampacity"),
    )


def _why(sizing: Sizing, of: Rung, found: Sequence[Requirement]) -> None:
    """Print the size found, with what it satisfies and where the next smaller fails."""
    s, code = sizing.sheet, sizing.code
    compared = [_as_it_is(test.holds) for test in found]
    below, _ = smaller_and_larger(sizing.choices, of.size)
    if below is not None:
        s.find("smaller_size", called(below))
        by_area = sizing.needed.share is not None and sizing.needed.listed is not None
        less = sizing.tried(below)[0] if by_area else rung(s, code, sizing.wires.metal, below, sizing.at, "smaller_")
        failing = first_failing(requirements(s, code, sizing.needed, less, sizing.at, "smaller_"))
        if failing is not None:
            compared.append(_as_it_is(failing.holds))
    s.find("size", called(of.size), compared)


def _as_it_is(asked: Comparison) -> Comparison:
    """What was asked where it holds, else its opposite: a size that is stated, as a learner's, may not serve."""
    return asked if asked.holds else Comparison(asked.left, OPPOSITE[asked.sign], asked.right)


def _governing(sheet: Sheet, at: Conditions, of: Rung) -> None:
    capped = of.limit <= of.adjusted
    if capped.holds:
        what = f"{at.limited_by}, {at.limit_c.number:.0f} °C"
        sheet.find("governing_limit", what, [capped], cites=at.limit_cites)
    else:
        sheet.find("governing_limit", "correction and adjustment", [of.adjusted < of.limit])


def _remedy(sizing: Sizing, failed: Requirement) -> str:
    """The smallest changes that mend a requirement: a smaller breaker where the load allows it, a larger size."""
    if failed.holds.holds:
        return ""
    ways = []
    load, at = sizing.needed.load, sizing.at
    if failed.key in ("breaker_protects", "small_conductor"):
        breaker = sizing.code.at_least("standard_ratings", larger(load.design, sizing.code["branch_least"]))
        if breaker.number <= failed.holds.right.number:
            ways.append(f"a breaker of {breaker.number:g} A")
    kind = f"{sizing.wires.metal} {sizing.wires.kind}"
    smallest = sizing.smallest
    ways.append(f"{called(smallest)} {kind}" if smallest else "more sets in parallel, or another make")
    if at.share is not None and at.share.number < 100:
        ways.append("fewer wires together")
    if at.factor.number < 1:
        ways.append("a cooler route")
    return ", or ".join([*ways, "less load"])
