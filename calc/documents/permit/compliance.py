"""Every kind of check with how many pass, and the one of each that has least left of its limit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from calc.documents.house import amounts
from calc.families import families
from calc.verdict.standing import Standing
from calc.work import Check, Sheet, Value
from calc.work.document import Sentences
from calc.work.keys import stem_and_item
from calc.work.table import SheetName, Table, weighed

EACH = "each"


@dataclass(frozen=True)
class Kind:
    """The checks of one kind, each with its sheet; ``name`` is said of any of them."""

    name: str
    members: Sequence[tuple[Check, Sheet]]

    @property
    def governing(self) -> tuple[Check, Sheet] | None:
        """The one with the least left of its limit; None where they are only met or not."""
        shares = [
            (share, at)
            for at, (check, _) in enumerate(self.members)
            if (share := amounts.share_used(check)) is not None
        ]
        return self.members[max(shares, key=lambda each: (each[0], -each[1]))[1]] if shares else None

    @property
    def passed(self) -> str:
        """'9 of 10'."""
        return f"{sum(check.holds.holds for check, _ in self.members)} of {len(self.members)}"


def compliance(standing: Standing) -> Iterator[Table | Sentences]:
    """The table of what has a margin, then what is only met or not, by calculation."""
    rows: list[Sequence[str]] = []
    sheets: list[SheetName | None] = []
    met: list[str] = []
    for family, found in standing.sheets.items():
        kinds = list(_kinds(found))
        margins = [(kind, *kind.governing) for kind in kinds if kind.governing]
        if margins:
            rows.append([families()[family].TITLE])
            sheets.append(None)
        for kind, check, sheet in margins:
            rows.append(
                [
                    kind.name,
                    kind.passed,
                    _about(check, sheet),
                    *_sides(check),
                    amounts.left(amounts.share_used(check) or 0),
                ]
            )
            sheets.append((sheet.family, sheet.title, sheet.subject))
        others = [f"{kind.name} ({kind.passed})" for kind in kinds if not kind.governing]
        if others:
            met.append(f"{families()[family].TITLE}: {'; '.join(others)}.")
    if rows:
        heads = weighed(("Check", 34), ("Passed", 10, "right"), ("Governing", 26), ("Provided", 15, "right"), ("Required or allowed", 15, "right"),
                        ("Left, %", 8, "right"))  # fmt: skip
        yield Table("Checks with a margin, governing member of each kind", heads, rows, sheets=sheets)
    if met:
        yield Sentences(met, "Checks that are met or not", listed=False)


def _kinds(sheets: Sequence[Sheet]) -> Iterator[Kind]:
    found: dict[str, list[tuple[Check, Sheet]]] = {}
    for sheet in sheets:
        for check in sheet.checks:
            found.setdefault(stem_and_item(check.key)[0], []).append((check, sheet))
    for stem, members in found.items():
        check, sheet = members[0]
        name = check.name if len(members) == 1 else sheet.words.text(stem, "name", item=EACH)
        yield Kind(name[:1].upper() + name[1:], members)


def _about(check: Check, sheet: Sheet) -> str:
    """What the check is about: the item it is told apart by where the sheet is about the job as a whole."""
    item = stem_and_item(check.key)[1]
    return f"{sheet.subject}, {item}" if item and item != sheet.subject else sheet.subject


def _sides(check: Check) -> tuple[str, str]:
    if check.called is not None:
        return check.called
    return _amount(check.holds.left, up=False), _amount(check.holds.right, up=check.holds.sign in (">=", ">"))


def _amount(side: Value, up: bool) -> str:
    """An amount with its unit, rounded as its quantity is everywhere; what is needed never reads as less than it is."""
    unit, number = str(side.unit), side.number
    if unit == "A":
        text = amounts.fault_a(number) if number >= 1000 else amounts.load_a(number).removesuffix(".0")
    elif unit == "VA":
        text = amounts.whole_va(number)
    elif unit == "in3":
        text = amounts.volume(number)
    else:
        text = amounts.feet(number) if unit in ("ft", "in") else f"{round(number, 2):,g}"
    return f"{text} {unit}"
