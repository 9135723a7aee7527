"""The fix list as people and machines read it."""

from __future__ import annotations

from collections.abc import Sequence

from calc.remedies.listed import Fix, listed, together
from calc.remedies.lists import FixList, Grade, Item, Numbers
from calc.remedies.problem import Problem, grade_words
from calc.remedies.survey import survey
from calc.remedies.walk import in_order
from calc.verdict.standing import standing
from calc.wiring.house import House
from calc.wiring.places import in_words
from calc.work import FALLS_SHORT, NOT_SHOWN, NOT_WORKED

INTRO = (
    "Worst first. Each correction was proved by working the whole job again with it: it corrects what it says, and nothing that "
    "was right goes wrong. The first is the safest and smallest change; others are listed where they do as much."
)
TOGETHER = "With the first correction of each made, all in one job, and the whole worked again:"
SILENT = "Nothing is claimed here of:"
FIND_OUT = "To find out, and to put right in the job, which of its two entries is true"
NO_MEND = "No single change was found that corrects it and harms nothing."


def fixes_sheet(house: House) -> FixList:
    """The fix list of a job: items worst first, then who goes where."""
    found = survey(house)
    fixes = listed(found)
    items = [_item(number, fix) for number, fix in enumerate(fixes, 1)]
    stands = standing(house)
    silent = f" {SILENT} {', '.join(stands.outside)}." if stands.outside else ""
    return FixList(
        title="Fix list", subject=house.job.job.name, edition=house.code.edition, status=stands.status, verdict=stands.verdict,
        intro=INTRO if fixes else f"{stands.verdict}.{silent}",
        closing=f"{_closing(*together(found, fixes))}{silent}" if fixes else "",
        to_confirm=[str(each) for each in stands.odd],
        groups=[Grade(grade_words(grade).capitalize(), [item for item in items if item.grade == grade])
                for grade in dict.fromkeys(item.grade for item in items)],
        by_room=_numbers(in_order(house.job, [room for fix in fixes for room in fix.problem.where]), [fix.problem.where for fix in fixes]),
        by_trade=_numbers(sorted({fix.problem.trade for fix in fixes}), [(fix.problem.trade,) for fix in fixes]),
    )  # fmt: skip


def _numbers(names: Sequence[str], of_each: Sequence[Sequence[str]]) -> list[Numbers]:
    return [(name, [number for number, each in enumerate(of_each, 1) if name in each]) for name in names]


def _item(number: int, fix: Fix) -> Item:
    problem = fix.problem
    remedies = [proof.way.text for proof in fix.remedies]
    return Item(
        number=number, grade=problem.grade, where=in_words(problem.where),
        about="" if problem.about in (*problem.where, "the house") else problem.about, what=problem.what,
        family=problem.mark[0], check=problem.mark[3], status=problem.status, there=problem.there,
        needed=problem.needed, sections=problem.sections, remedy=remedies[0] if remedies else "", others=remedies[1:],
        asked="" if remedies else asked(problem), trade=problem.trade, along=[_along(other) for other in fix.along],
        changes=dict(fix.remedies[0].way.changes) if fix.remedies else {},
    )  # fmt: skip


def _closing(left: Sequence[Problem], more: Sequence[Fix]) -> str:
    """What the job comes to with everything mended, and what that takes beside the list."""
    also = "; ".join(f"{fix.problem.about}, {fix.remedies[0].way.text}" for fix in more)
    taken = f"{TOGETHER} this is wanted too: {also}. With it" if also else TOGETHER
    if not left:
        return f"{taken} everything in the scope passes."
    return f"{taken} still open are {'; '.join(_along(problem) for problem in left)}."


def asked(problem: Problem) -> str:
    """What to do where no mend is proved."""
    if problem.status == NOT_SHOWN:
        return "Enter what is missing, then work it again."
    if problem.status == NOT_WORKED:
        return "Have it worked by hand, or change the job so that it can be worked."
    if problem.fact:
        return f"{FIND_OUT}: {problem.asked}."
    return f"{NO_MEND} Its sheet says: {problem.asked}." if problem.asked else NO_MEND


def _along(problem: Problem) -> str:
    return f"{problem.about}: {problem.what}"


def fixes_text(sheet: FixList) -> str:
    """The fix list for the terminal."""
    odd = [f"To be confirmed: {each}" for each in sheet.to_confirm]
    if not sheet.groups:
        return "\n".join([f"{sheet.title}, {sheet.subject}: {sheet.intro}", *odd]) + "\n"
    lines = [f"{sheet.title}, {sheet.subject} (edition {sheet.edition})", ""]
    for group in sheet.groups:
        lines += [group.name.upper(), ""]
        for item in group.items:
            lines += _item_text(item)
    lines += [sheet.closing, "", *odd]
    lines += [f"{name}: {', '.join(map(str, numbers))}" for name, numbers in (*sheet.by_room, *sheet.by_trade)]
    return "\n".join(lines) + "\n"


def _item_text(item: Item) -> list[str]:
    sections = f"  [{', '.join(item.sections)}]" if item.sections else ""
    about = f". {item.about}" if item.about else ""
    short = item.status == FALLS_SHORT
    entries = [("asked" if short else item.status, f"{item.what}{sections}"), ("there", item.there),
               ("needed" if short else "why", item.needed),
               ("remedy", f"{item.remedy or item.asked}  ({item.trade})"),
               *(("or", other) for other in item.others), *(("with it", other) for other in item.along)]  # fmt: skip
    lines = [f"     {label:11}{text}" for label, text in entries if text]
    return [f"{item.number:3}. {item.where}{about}", *lines, ""]
