"""What is recommended for a run, and whether it is kept: advice, or a check where it was adopted as a requirement."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.job import Panel, Run, place
from calc.wiring.reading import read
from calc.work import Sheet, Value


def supply(run: Run) -> bool:
    """Whether the run belongs to the supply of the service, which the recommendations don't speak of."""
    return run.role in ("utility", "service")


def limit(code: Codebook, run: Run) -> Value | None:
    """The most drop for the run: what the job wants, else what is recommended; None for service conductors."""
    if run.drop_limit_pct is not None:
        return read(run, "drop_limit_pct")
    return None if supply(run) else code[f"drop_{run.role}"]


def judge(sheet: Sheet, code: Codebook, run: Run, total: Value, remedy: str, unsaid: Run | Panel | None) -> None:
    """Compare the run's own drop and the total with what is wanted and recommended.

    ``unsaid`` is what doesn't say what feeds it: then the total isn't that from the service on.
    """
    own = sheet.value("drop_pct")
    if run.drop_limit_pct is not None:
        _say(sheet, "wanted_advice", own, read(run, "drop_limit_pct"), "above what is wanted")
    if supply(run):
        return
    _say_or_check(sheet, code, "own", own, f"drop_{run.role}", remedy)
    if unsaid is not None:
        sheet.remark("note_upstream_unsaid", name=unsaid.name)
        if code.method("drop_total") == "required":
            missing, at = f"what feeds {unsaid.name}, and what is lost on the way", place(unsaid, "fed_from")
            sheet.unknown("total_within", missing=missing, at=at, cites=[code.cite("drop_total")])
    elif run.role == "branch" or total.number > own.number:
        _say_or_check(sheet, code, "total", total, "drop_total", "less drop in this run or upstream of it")


def _say_or_check(sheet: Sheet, code: Codebook, what: str, drop: Value, rule: str, remedy: str) -> None:
    if code.method(rule) == "required":
        sheet.check(f"{what}_within", drop <= code[rule], remedy)
    else:
        _say(sheet, f"{what}_advice", drop, code[rule], "above what is recommended: advice, not a requirement")


def _say(sheet: Sheet, key: str, drop: Value, most: Value, above: str) -> None:
    within = drop <= most
    sheet.find(key, "within" if within.holds else above, [within if within.holds else drop > most])
