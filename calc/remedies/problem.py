"""One thing that falls short or is refused, as a person has to know it: where, how bad, what is there, what is needed."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import tomli

from calc.remedies.survey import Mark, Survey
from calc.wiring.places import Places, place_of, places
from calc.work import FALLS_SHORT, NOT_SHOWN, Check, Sheet, Status, Unknown
from calc.work.expressions import formula
from calc.work.keys import stem_and_item
from calc.work.units import DECIMALS

RANKING = Path(__file__).parent / "ranking.toml"
SIGNS = {">=": "at least", "<=": "at most", ">": "more than", "<": "less than"}


@dataclass(frozen=True)
class Problem:
    """What is not met, not shown or not worked.

    ``there`` and ``needed`` are as the sheet prints them; of what is open ``needed`` is the reason, or what to enter. ``grade`` is 1 for the
    worst; ``share`` is how much of what is needed is there, for the order within a grade.
    """

    mark: Mark
    what: str
    there: str
    needed: str
    sections: tuple[str, ...]
    asked: str
    where: Places
    trade: str
    grade: int
    share: float
    about: str
    status: Status = FALLS_SHORT
    fact: bool = False  # two entries disagree, and only a person can say which is true

    @property
    def open(self) -> bool:
        """Whether it is not shown or not worked; else a check falls short."""
        return self.status != FALLS_SHORT


def problems(found: Survey) -> list[Problem]:
    """Everything in the job's scope that does not pass, worst first."""
    where = places(found.job)
    made = [_problem(mark, s, check, where, found.job.job.name) for mark, (s, check) in found.falling.items()]
    return sorted(made, key=lambda p: (p.grade, p.share))


@cache
def ranking() -> dict[str, dict[str, Any]]:
    """Grade and trade by family, or by family and check; our own judgement."""
    return tomli.loads(RANKING.read_text(encoding="utf-8"))


def grade_words(grade: int) -> str:
    """What a grade means."""
    return str(ranking()["grades"][str(grade)])


def _problem(
    mark: Mark, sheet: Sheet, check: Check | Unknown | None, where: dict[str, Places], job_name: str
) -> Problem:
    family, _, subject, key = mark
    root, item = stem_and_item(key)
    ranks = {**ranking().get(family, {}), **ranking().get(f"{family}.{root}", {})}
    common: dict[str, Any] = {
        "fact": ranks.get("fact", False),
        "mark": mark, "where": place_of(where, item, subject), "trade": ranks.get("trade", "electrician"),
        "about": (item or "the house") if subject == job_name else subject,
    }  # fmt: skip
    if check is None:
        assert sheet.refused is not None
        sections = tuple(dict.fromkeys(cite.section for cite in sheet.refused.cites if cite.section))
        return Problem(what=f"{sheet.title.lower()} can't be worked", there="", needed=sheet.refused.reason, sections=sections, asked="",
                       grade=ranks.get("grade", 4), share=0.0, status=sheet.refused.status, **common)  # fmt: skip
    if isinstance(check, Unknown):
        sections = tuple(dict.fromkeys(cite.section for cite in check.cites if cite.section))
        return Problem(what=check.name, there="", needed=f"to be entered: {check.missing}", sections=sections, asked="",
                       grade=ranks.get("grade", 4), share=0.0, status=NOT_SHOWN, **common)  # fmt: skip
    ahead = check.holds.sign in (">=", ">")
    low, high = (
        (check.holds.left.base, check.holds.right.base) if ahead else (check.holds.right.base, check.holds.left.base)
    )
    there, needed = there_and_needed(sheet, check)
    sections = tuple(dict.fromkeys(cite.section for cite in check.cites if cite.section))
    return Problem(
        what=check.name, there=there, needed=needed, sections=sections, asked=check.remedy,
        grade=ranks.get("grade", 3), share=low / high if high else 1.0, **common,
    )  # fmt: skip


def there_and_needed(sheet: Sheet, check: Check) -> tuple[str, str]:
    """What a check found and what it asks for, as its sheet prints them; of yes and no only what was found."""
    if _yes_or_no(check):
        return _stated(check), ""
    if check.called is not None:
        return check.called[0], f"{SIGNS[check.holds.sign]} {check.called[1]}"
    shown = next(each for each in sheet.as_json()["checks"] if each["key"] == check.key)
    there, asked = (_said(side["name"], side["numbers"]) for side in (shown["provided"], shown["required"]))
    return there, f"{SIGNS[check.holds.sign]} {asked}"


def _yes_or_no(check: Check) -> bool:
    """Whether it asks for one of something or none, rather than for an amount."""
    right = check.holds.right
    counted = not right.unit.dims or right.unit.text not in DECIMALS
    return counted and right.number in (0, 1) and check.holds.left.number in (0, 1)


def _stated(check: Check) -> str:
    """What a question of yes or no found: a condition is met or not, of things there are one or none."""
    left = check.holds.left
    if left.unit.text == "condition":
        return f"{formula(left)} ({'met' if left.number else 'not met'})"
    return f"{formula(left)}: {left.number:g}"


def _said(name: str, numbers: str) -> str:
    return f"{numbers} ({name})" if name and name != numbers else numbers
