"""What does not pass, worst first, each with the smallest change that is proved to put it right."""

from __future__ import annotations

from collections.abc import Sequence

from calc.remedies.listed import Fix, listed
from calc.remedies.problem import grade_words
from calc.remedies.report import asked
from calc.remedies.survey import survey
from calc.verdict.standing import standing
from calc.wiring.house import House
from calc.wiring.places import in_words
from calc.work import FALLS_SHORT, loud
from calc.work.document import Part, Sentences
from calc.work.table import SheetName, Table, weighed


def corrections(house: House) -> list[Part]:
    """A table of corrections, and the entries to be confirmed."""
    fixes = listed(survey(house))
    rows: list[Sequence[str]] = []
    sheets: list[SheetName | None] = []
    for grade in dict.fromkeys(fix.problem.grade for fix in fixes):
        rows.append([grade_words(grade).capitalize()])
        sheets.append(None)
        for number, fix in enumerate(fixes, 1):
            if fix.problem.grade == grade:
                rows.append(_row(number, fix))
                sheets.append(fix.problem.mark[:3])
    heads = weighed(
        ("No.", 5, "right"),
        ("Where", 26),
        ("What is asked, and what is there", 52),
        ("Correction", 54),
        ("Section", 18),
    )
    parts: list[Part] = [Table("", heads, rows, sheets=sheets)] if rows else []
    odd = standing(house).odd
    return [*parts, Sentences([str(each) for each in odd], "Entries to be confirmed")] if odd else parts


def _row(number: int, fix: Fix) -> list[str]:
    problem = fix.problem
    where = in_words(problem.where)
    about = "" if problem.about in (*problem.where, "the house") else problem.about
    state = "" if problem.status == FALLS_SHORT else f"{loud(problem.status)}: "
    said = f"{state}{problem.what[:1].upper()}{problem.what[1:]}."
    said += f" There: {problem.there}." if problem.there else ""
    said += (
        f" {'Needed' if problem.status == FALLS_SHORT else 'Why'}: {problem.needed.rstrip('.')}."
        if problem.needed
        else ""
    )
    along = [f"{other.about}: {other.what}" for other in fix.along]
    remedy = fix.remedies[0].way.text if fix.remedies else asked(problem)
    more = f" Corrects with it: {'; '.join(along)}." if along else ""
    return [str(number), ". ".join(part for part in (where, about) if part), said,
            f"{remedy[:1].upper()}{remedy[1:].rstrip('.')}.{more}", ", ".join(problem.sections)]  # fmt: skip
