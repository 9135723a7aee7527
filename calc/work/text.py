"""A sheet as plain text, for the terminal and for diffing."""

from __future__ import annotations

from textwrap import wrap

from calc.work.forms import LineForm, SheetForm, StepForm
from calc.work.signs import with_powers
from calc.work.status import FALLS_SHORT, NOT_SHOWN, NOT_WORKED, PASSES, loud
from calc.work.table import Table

WIDTH = 100


def as_text(sheet: SheetForm, reasons: bool = False) -> str:
    """The JSON form of a sheet as numbered lines; with ``reasons``, the plain words of each line and check too."""
    amended = f", amended by {', '.join(sheet['amendments'])}" if sheet["amendments"] else ""
    out = [sheet["title"], f"{sheet['subject']}   (edition {sheet['edition']}{amended})", ""]
    for line in sheet["lines"]:
        out += _wrapped(f"{line['number']:>3}  {_statement(line)}", _cited(line))
        if expected := line.get("expected_range"):
            out += _wrapped(f"         {expected['text']}", f" ({expected['mark']})")
        out += _reason(line) if reasons else []
    if sheet["checks"]:
        out.append("")
    for check in sheet["checks"]:
        verdict = loud(PASSES if check["passes"] else FALLS_SHORT)
        out += _wrapped(f"     {check['name']}: {check['text']}: {verdict}", _cited(check))
        if check["remedy"]:
            out += _wrapped(f"     to correct it: {check['remedy']}", "")
        out += _reason(check) if reasons else []
    for unknown in sheet["not_shown"]:
        out += _wrapped(
            f"     {unknown['name']}: {loud(NOT_SHOWN)}; to be entered: {unknown['missing']}", _cited(unknown)
        )
        out += _reason(unknown) if reasons else []
    if sheet["refused"]:
        cited = f"  [{', '.join(sheet['refused']['sections'])}]" if sheet["refused"]["sections"] else ""
        state = NOT_WORKED if sheet["refused"]["missing"] is None else NOT_SHOWN
        out += ["", *_wrapped(f"     {loud(state)}: {sheet['refused']['reason']}", cited)]
    if sheet["notes"]:
        out.append("")
    for note in sheet["notes"]:
        out += _wrapped(f" ({note['mark']}) {note['kind']}: {note['text']}", "")
    if sheet["cautions"]:
        out += ["", "     Cautions"]
    for caution in sheet["cautions"]:
        out += _wrapped(f"   - {caution}", "")
    return with_powers("\n".join(out)) + "\n"


def table_text(table: Table) -> str:
    """A table as columns of text with its notes."""
    rows = [[column.name for column in table.columns], *table.rows]
    widths = [max(map(len, column)) for column in zip(*(row for row in rows if len(row) > 1), strict=True)]
    out = [table.title, *wrap(table.intro, WIDTH), ""]
    out += [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=len(row) > 1)).rstrip() for row in rows
    ]
    for note in table.notes:
        out += wrap(f"- {note}", WIDTH, subsequent_indent="  ")
    return with_powers("\n".join(out)) + "\n"


def _statement(line: LineForm) -> str:
    parts = [line["name"], line["formula"], line["numbers"], line["result"]]
    if line["kind"] == "found":
        because = f"  ({line['numbers']})" if line["numbers"] else ""
        return f"{line['name']}: {line['result']}{because}"
    if line["kind"] == "replaced":
        return f"{line['name']} = {line['result']}  (stated, not worked)"
    if line["formula"] == line["name"]:
        parts.pop(1)
    if line["numbers"] == line["result"]:
        parts.remove(line["numbers"])
    return " = ".join(part for part in parts if part)


def _reason(part: StepForm) -> list[str]:
    return wrap(part["reason"], WIDTH - 9, initial_indent=" " * 9, subsequent_indent=" " * 9)


def _cited(part: StepForm) -> str:
    sections = f"  [{', '.join(part['sections'])}]" if part["sections"] else ""
    return sections + "".join(f" ({mark})" for mark in part["marks"])


def _wrapped(text: str, tail: str) -> list[str]:
    whole = text + tail
    if len(whole) <= WIDTH and whole.isprintable():
        return [whole.rstrip(" ")]  # as wrap leaves it, without its work
    return wrap(whole, WIDTH, subsequent_indent=" " * 9, break_long_words=False)
