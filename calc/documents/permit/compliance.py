"""The compliance matrix: every kind of check with how many pass and, where it has a margin, the one with the least left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from calc.documents.house import amounts
from calc.families import families
from calc.verdict.standing import Standing
from calc.work import Check, Sheet, Value
from calc.work.keys import stem_and_item
from calc.work.table import SheetName, Table, weighed

EACH = "each"
FEW_ROWS = 40


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


def margins(standing: Standing) -> Table | None:
    """The kinds of check that have a margin, a row each; None where none has."""
    rows: list[Sequence[str]] = []
    sheets: list[SheetName | None] = []
    for title, kinds in _by_family(standing):
        for kind in kinds:
            if kind.governing is not None and not _standard(kind.governing[0]):
                check, sheet = kind.governing
                about = _about(check, sheet, standing.job.job.name)
                rows.append([title, kind.name, kind.passed, about, *_sides(check), _left(check)])
                sheets.append((sheet.family, sheet.title, sheet.subject))
                title = ""
    if not rows:
        return None
    heads = weighed(("", 21), ("Check", 43), ("Passed", 11, "right"), ("The one with the least left", 32),
                    ("There", 13, "right"), ("Limit", 21, "right"), ("Left, %", 9, "right"))  # fmt: skip
    return Table("Checks with a margin, and of each kind the one with the least left", heads, rows, sheets=sheets)


def without_margin(standing: Standing) -> list[Table]:
    """The kinds of check that have none, by calculation, in tables to stand beside one another, about as tall: three where
    there are few, two wider ones where there are many."""
    rows: list[list[str]] = []
    for title, kinds in _by_family(standing):
        found = [kind for kind in kinds if kind.governing is None or _standard(kind.governing[0])]
        rows += [[title]] * bool(found) + [[kind.name, kind.passed] for kind in found]
    across = 3 if len(rows) <= FEW_ROWS else 2
    return [Table("", weighed(("Check", 60), ("Passed", 5 * across, "right")), part) for part in _parts(rows, across)]


def _parts(rows: Sequence[list[str]], across: int) -> Iterator[list[list[str]]]:
    """The rows in parts, none ending with a heading; one that begins below its heading has it again."""
    begin = 0
    for left in range(across, 0, -1):
        end = begin + -(-(len(rows) - begin) // left)
        while begin < end < len(rows) and len(rows[end - 1]) == 1:
            end += 1
        part = list(rows[begin:end])
        if part and len(part[0]) > 1:
            part.insert(0, next(row for row in reversed(rows[:begin]) if len(row) == 1))
        if part:
            yield part
        begin = end


def _by_family(standing: Standing) -> Iterator[tuple[str, list[Kind]]]:
    return ((families()[family].TITLE, list(_kinds(found))) for family, found in standing.sheets.items())


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
        name = check.name if len(members) == 1 else _of_each(sheet.words.text(stem, "name", item=EACH))
        yield Kind(name[:1].upper() + name[1:], members)


def _of_each(name: str) -> str:
    """'a switch at each' for 'a switch at the each'; of 'other cable is protected: each' the part in front."""
    plain = name.removesuffix(f": {EACH}").removesuffix(f", {EACH}")
    return plain.replace(f"{EACH}: ", f"{EACH} ").replace(f"the {EACH}", EACH)


def _about(check: Check, sheet: Sheet, job_name: str) -> str:
    """What the check is about: the item that it is told apart by where the sheet is about the job as a whole."""
    item = stem_and_item(check.key)[1]
    subject = sheet.subject.removeprefix(job_name).removeprefix(", ") or "the house"
    if subject == "the house":
        return item or subject
    return f"{subject}, {item}" if item and item != subject else subject


def _sides(check: Check) -> tuple[str, str]:
    """What is there, and its limit: 'at least 252 A', 'at most 3 %'."""
    at_least = check.holds.sign in (">=", ">")
    there, limit = check.called or (_amount(check.holds.left, up=False), _amount(check.holds.right, up=at_least))
    return there, f"{'at least' if at_least else 'at most'} {limit}"


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
