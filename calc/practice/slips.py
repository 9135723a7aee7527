"""Slips: the wrong answers that people come to, each one statement of a lesson's file, and what reads them.

A slip says at which lines it shows, which rule was missed and, in one of these ways, what it gives there:

    wrong     arithmetic on the sheet's lines: "required_in3 - clamps_in3"
    with      the family worked again with lines replaced: { limit_pct = 100 }
    job       the family worked again with fields of the part changed: { kind = "PVC-40" }
    edition   the family worked by another edition: "2017"
    by        a function of the lesson's module, where it takes more than a statement

``when`` keeps it to some questions. A line's key is its number or size, that of the same item where there are several;
``this`` is the line's own, ``item`` its item, ``each("key")`` the numbers of every item, ``part`` and ``job`` what is
entered, ``rule("name")`` a rule's number, ``cell("rule", "column", row=...)`` a cell of a table, ``size`` one that is text,
``below("rule", a)`` and ``above("rule", a)`` the ratings beside a number, ``beside(1)`` the cell a row on in the line's table, ``load("kind")`` volt-amperes. What isn't there makes no slip.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from calc.job import JobError, place
from calc.work import Refused, WorkError, constant
from calc.work.keys import item_of, keyed, stem_of

if TYPE_CHECKING:
    from calc.practice.lesson import Again

Answer = float | str  # a size, such as '4/0 AWG', and the outcome of a check are text
NOWHERE = (Refused, WorkError, JobError, ArithmeticError, ValueError, LookupError, NameError, TypeError, AttributeError)
"""What working a sheet with a learner's numbers, or a slip that has nothing to act on, may end in."""


@dataclass(frozen=True)
class Slip:
    """A mistake that people make: at which lines it shows, which rule was missed, and the wrong answer."""

    name: str
    lines: tuple[str, ...]
    rule: str
    missed: str
    said: Mapping[str, Any]
    function: Callable[[Again, str], Answer | None] | None = None

    @property
    def changes(self) -> str:
        """How it changes the line's own number: by a 'factor', by a 'part' taken off or added, or '' in another way."""
        said = str(self.said.get("wrong", ""))
        return "factor" if said[:6] in ("this *", "this /") else "part" if said[:6] in ("this +", "this -") else ""

    def wrong(self, again: Again, key: str) -> Answer | None:
        """The wrong answer at a line; None, or one of ``NOWHERE``, where the slip has nothing to act on."""
        names = _names(again, key)
        if "when" in self.said and not _worked(self.said["when"], names):
            return None
        if self.function is not None:
            return self.function(again, key)
        if "with" in self.said:
            return again.replaced(key, {at: _worked(said, names) for at, said in self.said["with"].items()})
        if "job" in self.said:
            return again.of_job(key, {place(again.part, field): value for field, value in self.said["job"].items()})
        if "edition" in self.said:
            return again.of_edition(key, self.said["edition"])
        answer: Answer | None = _worked(self.said["wrong"], names)
        return answer if answer is None or isinstance(answer, str) else float(answer)


def _names(again: Again, key: str) -> dict[str, Any]:
    """What a slip's arithmetic may name."""
    answers = {**again.numbers, **again.texts}
    item = item_of(key)
    alike = {stem_of(at): each for at, each in answers.items() if item and item_of(at) == item}
    return {
        "__builtins__": {}, **FUNCTIONS, **alike, **{at: each for at, each in answers.items() if "[" not in at},
        "this": answers[key], "item": item, "part": again.part, "job": again.job, "edition": again.code.edition,
        "rule": again.rule,
        "each": lambda stem: [each for at, each in again.numbers.items() if at.startswith(f"{stem}[")],
        "at": lambda stem, of: answers[keyed(stem, of)],
        "cell": lambda rule, column, **by: float(_cell(again, rule, column, by)),
        "size": lambda rule, column, **by: _cell(again, rule, column, by),
        "below": lambda rule, amount: again.code.at_most(rule, constant("amount", amount, "A")).number,
        "above": lambda rule, amount: again.code.at_least(rule, constant("amount", amount, "A")).number,
        "beside": lambda step: float(_beside(again, key, step)),
        "load": lambda kind: {load.kind: load.total_va for load in reversed(again.job.loads)}[kind],
    }  # fmt: skip


FUNCTIONS: Mapping[str, Any] = {
    "ceil": lambda number: math.ceil(number - 1e-9), "floor": lambda number: math.floor(number + 1e-9),
    "min": min, "max": max, "sum": sum, "len": len, "abs": abs, "any": any, "all": all, "root": math.sqrt,
    "PASSES": "passes", "SHORT": "falls short",
}  # fmt: skip


def _cell(again: Again, rule: str, column: str, by: Mapping[str, Any]) -> str:
    row = {key: value if isinstance(value, str) else constant(key, value, "") for key, value in by.items()}
    return again.code.row(rule, **row).text(column).text


def _beside(again: Again, key: str, step: int) -> str:
    """The cell so many rows on in the table of a line, among the rows that are alike but for their size or number."""
    line = next(line for line in again.sheet.lines if line.key == key)
    if line.lookup is None:
        raise LookupError(key)
    column, by = line.lookup.column, dict(line.lookup.row)
    size = by.pop("size", None)
    rows = [
        row
        for row in again.code.rows(line.cites[0].rule)
        if row[column] and all(row.get(name, each) == each for name, each in by.items())
    ]
    at = next(
        at for at, row in enumerate(rows) if (row["size"] == size if size else float(row[column]) == again.numbers[key])
    )
    if at + step < 0:
        raise LookupError(key)
    return rows[at + step][column]


@cache
def _compiled(text: str) -> Any:
    return compile(text, "slip", "eval")


def _worked(said: Any, names: dict[str, Any]) -> Any:
    return eval(_compiled(said), names) if isinstance(said, str) else said
