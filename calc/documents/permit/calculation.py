"""The load calculation in full: each line with its numbers, its result and its section, without prose."""

from __future__ import annotations

from calc.families import dwelling_load
from calc.verdict.standing import Standing
from calc.wiring.house import House
from calc.work import Sheet
from calc.work.document import Section
from calc.work.table import Table, weighed

LONGEST_RESULT = 18
KINDS = ("rule of thumb",)  # notes that decide nothing


def calculation(house: House, standing: Standing) -> list[Section]:
    """The sheet of the method that decides, line by line; none where the scope has no load.

    Of loads that are added to a house page 1 says all, and the lines stand in the annex.
    """
    found = standing.sheets.get(dwelling_load.FAMILY, ())
    dwelling = house.job.dwelling
    added = (
        dwelling is not None and dwelling.status == "existing" and len([s for s in standing.sheets.values() if s]) > 1
    )
    if not found or added:
        return []
    first, *others = found
    also = ", ".join(f"{s.title}, {s.subject}" if s.subject != first.subject else s.title for s in others)
    table = _in_full(first, [f"In the worked annex, in full: {also}."] if also else [])
    return [Section(f"Load calculation in full: {first.title.partition(', ')[2]}", [table])]


def _in_full(sheet: Sheet, more: list[str]) -> Table:
    data = sheet.as_json()
    rows = []
    for line in data["lines"]:
        numbers = line["numbers"] if line["numbers"] not in ("", line["result"]) else ""
        marks = "".join(f" ({mark})" for mark in line["marks"])
        name = f"{line['name'][:1].upper()}{line['name'][1:]}{marks}"
        work, result = numbers or (line["formula"] if line["lookup"] else ""), line["result"]
        if len(result) > LONGEST_RESULT:  # words, which take more room than a result has
            work, result = "; ".join(filter(None, (result, work))), ""
        rows.append([str(line["number"]), name, work, result, ", ".join(line["sections"])])
    for check in data["checks"]:
        state = "passes" if check["passes"] else "FALLS SHORT"
        rows.append(
            ["", f"{check['name'][:1].upper()}{check['name'][1:]}", check["text"], state, ", ".join(check["sections"])]
        )
    notes = [f"({n['mark']}) {n['kind'].capitalize()}: {n['text']}" for n in data["notes"] if n["kind"] not in KINDS]
    refused = data["refused"]
    if refused:
        notes.insert(0, refused["reason"])
    heads = weighed(("No.", 5, "right"), ("Line", 38), ("Work", 60), ("Result", 18, "right"), ("Section", 21))
    return Table("", heads, rows, notes=[*notes, *more])
