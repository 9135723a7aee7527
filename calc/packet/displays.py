"""One display to what the template prints of it: sheets, tables and charts, every text cleaned."""

from __future__ import annotations

import re
from typing import Any

from calc.job.spoken import place_for_a_reader
from calc.packet.collect import Display
from calc.packet.summary import column_heads, column_widths, table_rows
from calc.packet.wording import clean, clean_drawing, clipped, printed, told
from calc.work import FALLS_SHORT, NOT_SHOWN, NOT_WORKED, PASSES, loud

Json = dict[str, Any]

TEXT_WIDTH_PT = 7.0 * 72
_LONG_ROW = 900
_SHORT_SHEET_LINES = 6


class Once:
    """Words that are printed the first time they come up: fifty sheets of one kind needn't explain themselves fifty
    times. With ``never``, not at all."""

    def __init__(self, never: bool = False) -> None:
        self._never = never
        self._said: set[str] = set()

    def __call__(self, text: str) -> str:
        """The text, or '' where it has been printed before."""
        words = told(text)
        if self._never or words in self._said:
            return ""
        self._said.add(words)
        return words


def sheet_page(data: Json, number: int, *, new_family: bool, reason: Once, caution: Once) -> Json:
    """A sheet as printed, numbered within the packet; a long one of another family starts a page."""
    amendments = ", ".join(map(clean, data["amendments"]))
    refused = data["refused"]
    return {
        "number": number,
        "new_page": number == 1 or (new_family and len(data["lines"]) > _SHORT_SHEET_LINES),
        "title": clipped(data["title"], 200),
        "subject": clipped(data["subject"], 300),
        "edition_line": f"Edition {clean(data['edition'])}, "
        + (f"amended by {amendments}" if amendments else "no amendments"),
        "status": loud(data["status"]),
        "lines": [_line(line, reason) for line in data["lines"]],
        "checks": [
            *(_check(check, reason) for check in data["checks"]),
            *(_unknown(each, reason) for each in data["not_shown"]),
        ],
        "notes": [
            {"mark": note["mark"], "kind": _sentence_case(note["kind"]) + ".", "text": told(note["text"])}
            for note in data["notes"]
        ],
        "cautions": [words for text in data["cautions"] if (words := caution(text))],
        "refused": refused
        and {
            "status": loud(NOT_WORKED if refused["missing"] is None else NOT_SHOWN),
            "reason": told(refused["reason"]),
            "sections": _all_clean(refused["sections"]),
        },
        "followers": [],
    }


def rule_rows(sheet: Json) -> list[Json]:
    """The rules that a sheet used, each as a row."""
    return [
        _row({"section": clean(rule["section"]) or "—", "words": told(rule["words"]), "set_by": clean(rule["set_by"])})
        for rule in sheet["rules"]
    ]


def given_rows(sheet: Json) -> list[Json]:
    """What was given to a sheet, each as a row."""
    return [
        _row(
            {
                "name": _sentence_case(given["name"]),
                "text": printed(given["text"]),
                "at": clean(place_for_a_reader(given["at"])),
            }
        )
        for given in sheet["givens"]
    ]


def follower(display: Display) -> Json:
    """A table or chart as printed."""
    return table_page(display.data) if display.kind == "table" else _chart(display)


def table_page(data: Json) -> Json:
    """A table as printed."""
    rows = table_rows(data)
    cells = [[printed(cell) for cell in row.cells] for row in rows]
    names, aligns = column_heads(data)
    return {
        "kind": "table",
        "title": clipped(data["title"], 200),
        "intro": clean(data.get("intro", "")),
        "own_page": data.get("own_page") is True,
        "columns": names,
        "aligns": aligns,
        "widths": column_widths(data),
        "rows": [
            {"cells": texts, "emphasis": row.emphasis, "long": sum(map(len, texts)) > _LONG_ROW}
            for texts, row in zip(cells, rows, strict=True)
        ],
        "notes": [told(note) for note in data.get("notes", ())],
    }


def _line(line: Json, reason: Once) -> Json:
    name, result = clean(line["name"]), printed(line["result"])
    formula, numbers = printed(line["formula"]), printed(line["numbers"])
    return _row(
        {
            "number": line["number"],
            "name": _sentence_case(name),
            "formula": "" if formula == name else formula,
            "numbers": "" if numbers in ("", result) else numbers if line["kind"] == "found" else f"= {numbers}",
            "how": "stated, not worked" if line["kind"] == "replaced" else "",
            "result": result,
            "expected": _expected_ranges(line),
            "sections": _all_clean(line["sections"]),
            "marks": line["marks"],
            "reason": reason(line["reason"]),
        }
    )


def _expected_ranges(line: Json) -> Json | None:
    """What the result roughly comes to, where there is a rule of thumb."""
    expected = line.get("expected_range")
    return expected and {"text": printed(expected["text"]), "outside": expected["outside"], "marks": [expected["mark"]]}


def _check(check: Json, reason: Once) -> Json:
    return _row(
        {
            "status": loud(PASSES if check["passes"] else FALLS_SHORT),
            "name": _sentence_case(check["name"]),
            "text": printed(check["text"]),
            "remedy": told(check["remedy"]),
            "sections": _all_clean(check["sections"]),
            "marks": check["marks"],
            "reason": reason(check["reason"]),
        }
    )


def _unknown(asked: Json, reason: Once) -> Json:
    """What can't be told met or unmet until an entry is made."""
    return _row(
        {
            "status": loud(NOT_SHOWN),
            "name": _sentence_case(asked["name"]),
            "text": f"To be entered: {told(asked['missing'])}",
            "remedy": "",
            "sections": _all_clean(asked["sections"]),
            "marks": asked["marks"],
            "reason": reason(asked["reason"]),
        }
    )


def _row(row: Json) -> Json:
    """The row, told whether it is so long that it must be allowed to break across pages."""
    return row | {"long": sum(len(str(value)) for value in row.values()) > _LONG_ROW}


def _sentence_case(name: object) -> str:
    """Names of lines are written to stand inside a formula; at the head of a row they start with a capital."""
    text = clean(name)
    return text[:1].upper() + text[1:]


def _all_clean(texts: list[str]) -> list[str]:
    return [clean(text) for text in texts]


def _chart(display: Display) -> Json:
    return {
        "kind": "chart",
        "title": clipped(display.data["title"], 200),
        "alt": clean(display.data["alt"]) or "A chart without a description.",
        "svg": clean_drawing(display.svg),
        "width_pt": min(svg_width_pt(display.svg), TEXT_WIDTH_PT),
    }


def svg_width_pt(svg: str) -> float:
    """The drawing's own width in points; the whole text width where it gives none."""
    found = re.search(r"<svg\b[^>]*?\swidth=[\"']([\d.]+)(pt|px|in)?[\"']", svg)
    if not found:
        return TEXT_WIDTH_PT
    return float(found.group(1)) * {"pt": 1.0, "in": 72.0}.get(found.group(2), 0.75)
