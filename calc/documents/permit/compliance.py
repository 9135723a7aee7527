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

ANY = "…"


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
    def counted(self) -> list[str]:
        """'panel has space for all (2)', of those that pass; a short form such as 'GFCI' keeps its capitals."""
        name = self.name if self.name[1:2].isupper() else self.name[:1].lower() + self.name[1:]
        passing = sum(check.holds.holds for check, _ in self.members)
        return [f"{name} ({passing})" if passing > 1 else name] if passing else []

    @property
    def passed(self) -> str:
        """'9 of 10'."""
        return f"{sum(check.holds.holds for check, _ in self.members)} of {len(self.members)}"


def compliance(standing: Standing, briefly: bool) -> Iterator[Table | Sentences]:
    """The table of what has a margin; unless it is to be brief, then what is met exactly as standard sizes are, and what
    is only met or not."""
    rows: list[Sequence[str]] = []
    sheets: list[SheetName | None] = []
    exact: list[str] = []
    met: list[str] = []
    for family, found in standing.sheets.items():
        title, first = families()[family].TITLE, True
        at_limit, others = [], []
        for kind in _kinds(found):
            if kind.governing is None:
                others += kind.counted
                continue
            check, sheet = kind.governing
            about = _about(check, sheet, standing.job.job.name)
            if _standard(check):
                at_limit += kind.counted
                continue
            rows.append([title if first else "", kind.name, kind.passed, about, *_sides(check), _left(check)])
            sheets.append((sheet.family, sheet.title, sheet.subject))
            first = False
        exact += [f"{title}: {'; '.join(at_limit)}."] if at_limit else []
        met += [f"{title}: {'; '.join(others)}."] if others else []
    if rows:
        heads = weighed(("", 17), ("Check", 42), ("Passed", 11, "right"), ("Governing", 34), ("Provided", 15, "right"),
                        ("Needed, allowed", 15, "right"), ("Left, %", 8, "right"))  # fmt: skip
        yield Table(
            "Each kind of check with a margin: how many pass, and the one with least left", heads, rows, sheets=sheets
        )
    if exact and not briefly:
        yield Sentences(
            [" ".join(exact)],
            "Met by the very rating or size that is needed, with how many of each",
            listed=False,
        )
    if met and not briefly:
        yield Sentences([" ".join(met)], "Met, and without a margin, with how many of each", listed=False)


def tightest(standing: Standing) -> tuple[str, float] | None:
    """The check of all with the least left of its limit, what is met by a standard size aside, and how much that is, in
    percent; -100 where nothing of what is needed is there. None without a check that has a margin."""
    found = [
        (amounts.share_used(check) or 0.0, f"{_about(check, sheet, standing.job.job.name)}: {kind.name[:1].lower()}{kind.name[1:]}")
        for sheets in standing.sheets.values() for kind in _kinds(sheets)
        for check, sheet in ([kind.governing] if kind.governing else []) if not _standard(check)
    ]  # fmt: skip
    if not found:
        return None
    share, name = max(found, key=lambda each: each[0])
    return name[:1].upper() + name[1:], max(-100.0, float(amounts.left(min(share, 2.0)).replace(",", "")))


def _standard(check: Check) -> bool:
    """Whether it is met by the very size or rating that is needed, as sizes and ratings that are sold are."""
    holds = check.holds
    return (
        holds.holds
        and holds.left.number == holds.right.number
        and (str(holds.left.unit) == "A" or check.called is not None)
    )


def _left(check: Check) -> str:
    return amounts.left(amounts.share_used(check) or 0.0)


def _kinds(sheets: Sequence[Sheet]) -> Iterator[Kind]:
    found: dict[str, list[tuple[Check, Sheet]]] = {}
    for sheet in sheets:
        for check in sheet.checks:
            found.setdefault(stem_and_item(check.key)[0], []).append((check, sheet))
    for stem, members in found.items():
        check, sheet = members[0]
        name = check.name if len(members) == 1 else sheet.words.text(stem, "name", item=ANY)
        name = name.replace(f": {ANY}", "").replace(f", {ANY}", "").removeprefix(f"{ANY}: ").removeprefix(f"{ANY} ")
        yield Kind(name[:1].upper() + name[1:], members)


def _about(check: Check, sheet: Sheet, job_name: str) -> str:
    """What the check is about: the item that it is told apart by where the sheet is about the job as a whole."""
    item = stem_and_item(check.key)[1]
    subject = sheet.subject.removeprefix(job_name).removeprefix(", ") or "the house"
    if subject == "the house":
        return item or subject
    return f"{subject}, {item}" if item and item != subject else subject


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
