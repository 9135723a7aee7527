"""One display to what the template prints of it: sheets, tables and charts, every text cleaned."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import Any

from calc.packet.alike import NOTHING, Kind, Notes, Shared
from calc.packet.collect import Display
from calc.packet.tables import column_heads, column_widths, lines_of, table_rows
from calc.packet.wording import clean, clean_drawing, clipped, printed, titled, told
from calc.work import FALLS_SHORT, NOT_SHOWN, NOT_WORKED, PASSES, loud

Json = dict[str, Any]

TEXT_WIDTH_PT = 7.2 * 72
_HALF_PT = (TEXT_WIDTH_PT - 16) / 2  # room for one of two drawings in a row
LEAST_SCALE = 0.71  # how small a drawing may be set: the 8.5 points of its words stay 6
_SCALE = 0.8  # a drawing that stands alone: words as large as those of the tables beside it
_LONG_ROW = 900
_MOST_WHOLE = 14  # lines of a row that stays on one page


class Once:
    """Words that are printed the first time they come up: fifty sheets of one kind needn't explain themselves fifty
    times. With ``never``, not at all."""

    def __init__(self, never: bool = False) -> None:
        self._never = never
        self._said: set[str] = set()

    def __call__(self, text: str) -> str:
        """The text, or '' where it has been printed before."""
        if self._never or not text or text in self._said:
            return ""
        self._said.add(text)
        return told(text)


def kind_head(kind: Kind, title: str, reason: Once) -> Json:
    """What the sheets of a kind share, as printed: how their lines are worked, and what their checks rest on."""
    reasons = {row["name"]: row["reason"] for sheet in kind.sheets
               for row in (*sheet["lines"], *sheet["checks"], *sheet["not_shown"])}  # fmt: skip

    def rows(shared: dict[str, Shared]) -> list[Json]:
        return [_shared(name, each, reason(reasons[name])) for name, each in shared.items()]

    return {"title": clipped(title, 200), "lines": rows(kind.lines), "checks": rows(kind.checks)}


def notes_block(notes: Notes) -> Json:
    """Notes and cautions as printed."""
    return {
        "notes": [
            {"mark": note["mark"], "kind": _sentence_case(note["kind"]) + ".", "text": told(note["text"])}
            for note in notes.rows()
        ],
        "cautions": [told(text) + (f" ({', '.join(map(clean, of))})" if of else "") for text, of in notes.cautions()],
    }


def sheet_page(
    data: Json, number: int, kind: Kind, notes: Notes, reason: Once, printed_at: Callable[[str, Json], str]
) -> Json:
    """A sheet as printed, numbered within the annex: what its kind's head says of its lines isn't said again.

    printed_at: says for a place that a number came from where a person finds it, '' where it is not in print.
    """
    refused = data["refused"]
    return {
        "number": number,
        "title": titled(data["title"], 200),
        "subject": titled(data["subject"], 300),
        "status": loud(data["status"]),
        "lines": [_line(line, kind.lines.get(line["name"], NOTHING), data, notes, reason) for line in data["lines"]],
        "checks": [
            _check(check, kind.checks.get(check["name"], NOTHING), notes.marks(data, check["marks"]), reason)
            for check in (*data["checks"], *data["not_shown"])
        ],
        "carried": [
            clean(f"{given['name']} ({at})") for given in data["givens"] if (at := printed_at(given["at"], data))
        ],
        "refused": refused
        and {
            "status": loud(NOT_WORKED if refused["missing"] is None else NOT_SHOWN),
            "reason": told(refused["reason"]),
            "sections": _joined(refused["sections"]),
        },
    }


def follower(display: Display) -> Json:
    """A table or chart as printed."""
    return table_page(display.data) if display.kind == "table" else _chart(display)


def table_page(data: Json) -> Json:
    """A table as printed."""
    rows = table_rows(data)
    cells = [[printed(cell) for cell in row.cells] for row in rows]
    names, aligns = column_heads(data)
    widths = column_widths(data)
    return {
        "kind": "table",
        "title": titled(data["title"], 200),
        "intro": clean(data.get("intro", "")),
        "columns": names,
        "aligns": aligns,
        "widths": widths,
        "rows": [
            {"cells": texts, "emphasis": row.emphasis, "heading": False, "long": lines_of(texts, widths) > _MOST_WHOLE}
            for texts, row in zip(cells, rows, strict=True)
        ],
        "notes": [told(note) for note in data.get("notes", ())],
    }


def _shared(name: str, shared: Shared, reason: str) -> Json:
    """A line of a kind's head."""
    return {
        "name": _sentence_case(name),
        "formula": printed(shared.formula),
        "rough": printed(shared.rough),
        "sections": _joined(shared.sections),
        "reason": reason,
    }


def _line(line: Json, shared: Shared, sheet: Json, notes: Notes, reason: Once) -> Json:
    """A line as printed: what is worked, in names where its kind's head doesn't have it, and in numbers."""
    name, result = clean(line["name"]), printed(line["result"])
    formula, numbers = printed(line["formula"]), printed(line["numbers"])
    own = formula if line["formula"] not in (line["name"], shared.formula) else ""
    expected = line.get("expected_range")
    rough = printed(expected["text"]) if expected and (expected["outside"] or expected["text"] != shared.rough) else ""
    sections = [section for section in line["sections"] if section not in own]
    return _row(
        {
            "number": line["number"],
            "name": _sentence_case(name),
            "formula": own,
            "numbers": "" if numbers in ("", result) else numbers if line["kind"] == "found" else f"= {numbers}",
            "how": "stated, not worked" if line["kind"] == "replaced" else "",
            "result": result,
            "rough": rough,
            "outside": bool(expected and expected["outside"]),
            "rough_marks": notes.marks(sheet, [expected["mark"]]) if expected else [],
            "sections": _own_sections(sections, shared, line["sections"]),
            "marks": notes.marks(sheet, line["marks"]),
            "reason": reason(line["reason"]),
        }
    )


def _check(check: Json, shared: Shared, marks: list[int], reason: Once) -> Json:
    """A check as printed, or what can't be told met or unmet until an entry is made."""
    missing = check.get("missing")
    return _row(
        {
            "status": loud(NOT_SHOWN if missing is not None else PASSES if check["passes"] else FALLS_SHORT),
            "name": _sentence_case(check["name"]),
            "text": printed(check["text"]) if missing is None else f"to be entered: {told(missing)}",
            "remedy": told(check.get("remedy", "")),
            "sections": _own_sections(check["sections"], shared, check["sections"]),
            "marks": marks,
            "reason": reason(check["reason"]),
        }
    )


def _row(row: Json) -> Json:
    """The row, told whether it is so long that it must be allowed to break across pages."""
    return row | {"long": sum(len(str(value)) for value in row.values()) > _LONG_ROW}


def _sentence_case(name: object) -> str:
    """Names of lines are written to stand inside a formula; at the head of a row they start with a capital."""
    text = clean(name)
    return text[:1].upper() + text[1:]


def _own_sections(sections: list[str], shared: Shared, all_of_them: list[str]) -> str:
    """The sections printed at a line: none where its kind's head has the same, and a dash where it has some and this none."""
    if tuple(all_of_them) == shared.sections:
        return ""
    return _joined(sections) if all_of_them else "—"


def _joined(sections: Iterable[str]) -> str:
    """Sections of the code as printed behind what rests on them."""
    return ", ".join(map(clean, sections))


def _chart(display: Display) -> Json:
    drawn = svg_width_pt(display.svg)
    half = drawn * LEAST_SCALE <= _HALF_PT
    return {
        "kind": "chart",
        "title": titled(display.data["title"], 200),
        "alt": clean(display.data["alt"]) or "A chart without a description.",
        "svg": clean_drawing(display.svg),
        "half": half,
        "share": min(1.0, drawn / _HALF_PT) if half else min(1.0, drawn * _SCALE / TEXT_WIDTH_PT),
    }


def svg_width_pt(svg: str) -> float:
    """The drawing's own width in points; the whole text width where it gives none."""
    found = re.search(r"<svg\b[^>]*?\swidth=[\"']([\d.]+)(pt|px|in)?[\"']", svg)
    if not found:
        return TEXT_WIDTH_PT
    return float(found.group(1)) * {"pt": 1.0, "in": 72.0}.get(found.group(2), 0.75)
