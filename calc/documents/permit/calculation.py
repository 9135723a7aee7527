"""The load calculation in full: each line with its numbers, its result and its section, without prose."""

from __future__ import annotations

from calc.families import dwelling_load
from calc.verdict.standing import Standing
from calc.work import Sheet
from calc.work.document import Section
from calc.work.table import Table, weighed

KINDS = ("rule of thumb",)  # notes that decide nothing


def calculation(standing: Standing) -> list[Section]:
    """A section with a table for each sheet of the dwelling load; none where the scope has none."""
    tables = [table for s in standing.sheets.get(dwelling_load.FAMILY, ()) for table in _in_full(s)]
    return [Section("Load calculation in full", tables)] if tables else []


def _in_full(sheet: Sheet) -> list[Table]:
    data = sheet.as_json()
    rows = []
    for line in data["lines"]:
        numbers = line["numbers"] if line["numbers"] not in ("", line["result"]) else ""
        marks = "".join(f" ({mark})" for mark in line["marks"])
        name = f"{line['name'][:1].upper()}{line['name'][1:]}{marks}"
        rows.append([str(line["number"]), name, numbers or (line["formula"] if line["lookup"] else ""), line["result"],
                     ", ".join(line["sections"])])  # fmt: skip
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
    title = sheet.title if sheet.subject in sheet.title else f"{sheet.title}: {sheet.subject}"
    return [Table(title, heads, rows, notes=notes)] if rows or notes else []
