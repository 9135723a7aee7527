"""The public form of a sheet: as JSON has it, with each number in the digits that it prints with."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from calc.work import expected_range, expressions, printing
from calc.work.forms import CheckForm, ExpectedForm, GivenForm, LineForm, NoteForm, SheetForm, SideForm
from calc.work.keys import stem_of
from calc.work.values import EXACT_DECIMALS, Citation, Missing, Value

if TYPE_CHECKING:
    from calc.work.sheet import Check, Line, Sheet


def form_of(sheet: Sheet) -> SheetForm:
    """The public form of a sheet."""
    digits = printing.settle(sheet.lines, sheet.checks)
    operands = _operands(sheet)
    notes, note_of = _notes(sheet, operands)
    expected = _expected_ranges(sheet, notes, operands)

    def marks(cites: Sequence[Citation]) -> list[int]:
        return sorted({note_of[cite] for cite in cites if cite in note_of})

    return {
        "schema_version": 2,
        "family": sheet.family,
        "title": sheet.title,
        "subject": sheet.subject,
        "edition": sheet.edition,
        "amendments": list(sheet.amendments),
        "lines": [_line_json(line, digits, marks(line.cites), expected.get(line.key)) for line in sheet.lines],
        "checks": [_check_json(check, digits, marks(check.rests_on)) for check in sheet.checks],
        "not_shown": [
            {"key": each.key, "name": each.name, "missing": each.missing, "at": each.at,
             "sections": _sections(each.cites), "marks": marks(each.cites), "reason": each.reason}
            for each in sheet.unknowns
        ],
        "status": sheet.status,
        "results": sheet.results,
        "givens": _givens(operands, digits),
        "rules": [
            {"rule": c.rule, "section": c.section, "words": c.words, "confidence": c.confidence,
             "set_by": c.set_by, "marks": marks([c])}
            for c in sheet.cited
        ],
        "cautions": list(dict.fromkeys(sheet.cautions)),
        "notes": notes,
        "refused": None if sheet.refused is None else
        {"reason": sheet.refused.reason, "sections": _sections(sheet.refused.cites),
         "missing": sheet.refused.at if isinstance(sheet.refused, Missing) else None},
    }  # fmt: skip


def _sections(cites: Sequence[Citation]) -> list[str]:
    return list(dict.fromkeys(cite.section for cite in cites if cite.section))


def _operands(sheet: Sheet) -> list[Value]:
    """All that its lines and checks are worked out from, in their order."""
    pairs = [pair for line in sheet.lines for pair in line.compared] + [check.holds for check in sheet.checks]
    made = [line.made for line in sheet.lines if line.made is not None]
    expressions = [*made, *(side for pair in pairs for side in (pair.left, pair.right))]
    return [leaf for expression in expressions for leaf in printing.leaves(expression)]


def _notes(sheet: Sheet, operands: Sequence[Value]) -> tuple[list[NoteForm], dict[Citation, int]]:
    carried = [cite for operand in operands for cite in operand.rests_on]
    marked = [cite for cite in dict.fromkeys([*sheet.cited, *sorted(set(carried), key=lambda c: c.rule)]) if cite.mark]
    alike: dict[tuple[str, str], list[Citation]] = {}
    for cite in marked:
        alike.setdefault((cite.mark, cite.note), []).append(cite)
    notes: list[NoteForm] = []
    numbers: dict[Citation, int] = {}
    for mark, ((kind, note), cites) in enumerate(alike.items(), 1):
        about = ", ".join(
            dict.fromkeys(f"{cite.name} ({cite.section})" if cite.section else cite.name for cite in cites)
        )
        notes.append({"mark": mark, "kind": kind, "text": f"{about}: {note}"})
        numbers.update(dict.fromkeys(cites, mark))
    for kind, text in dict.fromkeys(sheet.remarks):
        notes.append({"mark": len(notes) + 1, "kind": kind, "text": text})
    return notes, numbers


def _expected_ranges(
    sheet: Sheet, notes: list[NoteForm], operands: Sequence[Value]
) -> dict[str, ExpectedForm]:  # fmt: skip
    """The rough range of each line that has a rule of thumb, in its public form; their basis goes among the notes."""
    found: dict[str, ExpectedForm] = {}
    for line in sheet.lines:
        rule = sheet.words.expected_range(stem_of(line.key))
        rough = expected_range.expected(line.value, rule, operands)
        if rough is not None:
            text = f"{line.name}: {rough.note}"
            mark = next((note["mark"] for note in notes if note["text"] == text), len(notes) + 1)
            if mark > len(notes):
                notes.append({"mark": mark, "kind": expected_range.NOTE, "text": text})
            found[line.key] = {**rough.as_json(), "mark": mark}
    return found


def _givens(operands: Sequence[Value], digits: printing.Digits) -> list[GivenForm]:
    seen: dict[tuple[str, str], GivenForm] = {}
    for one in operands:
        if one.origin in ("given", "carried") and (one.name, one.at) not in seen:
            text = printing.quantity(one.number, one.unit, printing.leaf_decimals(one, digits))
            seen[one.name, one.at] = {"name": one.name, "value": one.number, "text": text, "at": one.at}
    return list(seen.values())


def _check_json(check: Check, digits: printing.Digits, marks: list[int]) -> CheckForm:
    holds = check.holds
    return {
        "key": check.key,
        "name": check.name,
        "text": expressions.required(holds, digits, check.called),
        "provided": _side_json(holds.left, digits),
        "sign": holds.sign,
        "required": _side_json(holds.right, digits),
        "passes": holds.holds,
        "sections": _sections(check.cites),
        "marks": marks,
        "remedy": "" if holds.holds else check.remedy,
        "reason": check.reason,
    }


def _side_json(side: Value, digits: printing.Digits) -> SideForm:
    """One side of a check: what it is, and how much."""
    return {"name": expressions.formula(side), "numbers": expressions.numbers(side, digits),
            "value": round(side.number, EXACT_DECIMALS), "unit": str(side.unit)}  # fmt: skip


def _line_json(line: Line, digits: printing.Digits, marks: list[int], expected: ExpectedForm | None) -> LineForm:
    number: float | str | None = None
    unit = ""
    if isinstance(line.value, Value):
        number, unit = line.value.number, str(line.value.unit)
        result = printing.quantity(line.value.number, line.value.unit, digits[line.key])
    else:
        number = line.value
        result = line.value if line.value is not None else line.found
    if line.lookup is not None:
        formula, shown = line.lookup.text, ""
    elif line.made is not None:
        formula, shown = expressions.formula(line.made), expressions.numbers(line.made, digits)
    else:
        formula = ""
        shown = "; ".join(expressions.comparison(pair, digits) for pair in line.compared)
    sources = [line.made] if line.made is not None else [s for p in line.compared for s in (p.left, p.right)]
    operands = [leaf for source in sources for leaf in printing.leaves(source)]
    if line.lookup is not None:
        operands += line.lookup.chosen_by
    uses = [leaf.at for leaf in operands if leaf.origin == "line"]
    return {
        "number": line.number,
        "key": line.key,
        "kind": line.kind,
        "name": line.name,
        "formula": formula,
        "numbers": shown,
        "result": result,
        "value": number,
        "unit": unit,
        "sections": _sections(line.cites),
        "marks": marks,
        "uses": list(dict.fromkeys(uses)),
        "lookup": None if line.lookup is None else
        {"table": line.lookup.table, "file": line.lookup.file, "row": dict(line.lookup.row),
         "column": line.lookup.column},
        "reason": line.reason,
        "expected_range": expected,
    }  # fmt: skip
