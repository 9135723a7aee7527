"""The whole packet as the template reads it: pages in order, rules and inputs merged, what is attached."""

from __future__ import annotations

import hashlib
import json
import re
from collections import Counter
from collections.abc import Callable, Iterable
from itertools import groupby
from typing import Any, Literal

from typing_extensions import TypedDict

from calc.packet.collect import Collected, Display
from calc.packet.displays import (
    Once,
    follower,
    given_rows,
    rule_rows,
    sheet_page,
    table_page,
)
from calc.packet.front import banner, front_pages, full_summary, verdict_of
from calc.packet.wording import clipped, told
from calc.work import PASSES
from calc.work.forms import SheetForm

Json = dict[str, Any]

JOB_ATTACHMENT = "job.toml"
SHEETS_ATTACHMENT = "sheets.json"
FINGERPRINT_SHOWN = 12
MOST_SHEETS = 6  # of one family, before those that pass are left to sheets.json

_CAUTION_LINE = (
    "This page states worked arithmetic on what the job file gives; the code as adopted and the office decide."
)
_ATTACHED_LINE = {True: "This PDF carries the job file and sheets as attachments.", False: "No attachments."}


def document(
    collected: Collected,
    *,
    name: str,
    fingerprint: str,
    job_text: str,
    attachments: bool,
    reasons: bool,
    every_sheet: bool,
) -> Json:
    """Everything the template reads, as JSON.

    name: the job's name; fingerprint: of the job file, hexadecimal; job_text: the job file itself, attached
    together with the sheets when ``attachments``; reasons: print the reason of a line or check where it first comes up;
    every_sheet: print those that pass too, however many a family has.
    """
    on_paper = collected if every_sheet else printed_of(collected)
    sheets, loose = _grouped(on_paper, reasons)
    left_out = None if every_sheet else _left_out(collected)
    fronts = front_pages(collected, name, sheets)
    refusals = [{"where": page["title"]} | page["refused"] for page in sheets if page["refused"]]
    rules = _merged(collected, on_paper, rule_rows)
    document: Json = {
        "title": f"Permit packet: {clipped(name, 120)}",
        "description": "Worked calculations for a permit: load summary, sheets, rules used, inputs, cautions.",
        "keywords": ["electrical load summary", "permit packet"],
        "short_name": clipped(name, 70),
        "footer_name": clipped(name, 44),
        "fingerprint": fingerprint[:FINGERPRINT_SHOWN],
        "fronts": fronts,
        "banner": banner(verdict_of(collected), sheets),
        "caution_line": _CAUTION_LINE,
        "attached_line": _ATTACHED_LINE[attachments],
        "attachments": _attached(job_text, sheets_json(collected, name, fingerprint)) if attachments else [],
        "full_summary": full_summary(collected, fronts),
        "loose": [*loose, *([table_page(left_out)] if left_out else [])],
        "sheets": sheets,
        "rules": sorted(rules, key=lambda rule: _section_order(rule["section"])),
        "givens": _merged(on_paper, on_paper, given_rows),
        "cautions": _merged(
            collected, on_paper, lambda sheet: [{"text": told(caution)} for caution in sheet["cautions"]]
        ),
        "refusals": refusals,
        "to_confirm": [told(each["text"]) for each in verdict_of(collected)["to_confirm"]],
    }
    return document | {"sections": _sections(document)}


class SheetsForm(TypedDict):
    """The file sheets.json beside a packet, which the PDF carries too."""

    schema_version: Literal[1]
    job: str
    fingerprint: str
    """SHA-256 of the job file."""
    sheets: list[SheetForm]
    """As the notebooks showed them."""


def sheets_json(collected: Collected, name: str, fingerprint: str) -> str:
    """The sheets as displayed, for machines: the file kept beside the packet and attached to it. A sheet a line."""
    head = _compact({"schema_version": 1, "job": name, "fingerprint": fingerprint})
    sheets = ",\n".join(map(_compact, collected.of("sheet")))
    text = f'{head[:-1]}, "sheets": [\n{sheets}\n]}}\n'
    return text.encode("utf-8", "replace").decode("utf-8")  # half a character, as JSON allows, can't be written


def _compact(part: Json) -> str:
    return json.dumps(part, ensure_ascii=False, allow_nan=False)


def printed_of(collected: Collected) -> Collected:
    """What goes on paper. Of a family with many sheets: those that don't pass, and one that does as the example, with
    the charts of these; an office reads those and the family's tables. Every sheet is in sheets.json."""
    left = _passing_of_many(collected)
    subjects = {(display.notebook, display.data["subject"]) for display in left}

    def stays(display: Display) -> bool:
        if display.kind == "chart":
            return (display.notebook, display.data.get("subject")) not in subjects
        return display not in left

    return Collected([display for display in collected.displays if stays(display)])


def _passing_of_many(collected: Collected) -> list[Display]:
    sheets = [display for display in collected.displays if display.kind == "sheet"]
    counts = Counter(display.data["family"] for display in sheets)
    left: list[Display] = []
    shown: set[str] = set()
    for display in sheets:
        family = display.data["family"]
        if counts[family] <= MOST_SHEETS or display.data["status"] != PASSES:
            continue
        if family in shown:
            left.append(display)
        shown.add(family)
    return left


def _left_out(collected: Collected) -> Json | None:
    """The sheets that are not printed, as a table."""
    left = _passing_of_many(collected)
    if not left:
        return None
    return {
        "title": "Sheets not printed",
        "intro": "These pass, or have no requirement to meet, and are worked like the printed one of their kind. Each is "
        "in sheets.json with every line.",
        "columns": [{"name": "Sheet", "align": "left"}, {"name": "Subject", "align": "left"}],
        "rows": [[display.data["title"], display.data["subject"]] for display in left],
        "notes": [],
    }


def _grouped(collected: Collected, reasons: bool) -> tuple[list[Json], list[Json]]:
    """Sheets, each with the tables and charts shown after it; and those of notebooks without a sheet.

    What a notebook shows before its first sheet follows that one: on paper it would stand under the family before.
    """
    sheets: list[Json] = []
    loose: list[Json] = []
    family = ""
    reason, caution = Once(never=not reasons), Once()
    for _, shown in groupby(collected.displays, key=lambda display: display.notebook):
        early: list[Json] = []
        here = early
        for display in shown:
            if display.kind == "sheet":
                new_family, family = display.data["family"] != family, display.data["family"]
                page = sheet_page(display.data, len(sheets) + 1, new_family=new_family, reason=reason, caution=caution)
                page["followers"] = [*early] if here is early else []
                sheets.append(page)
                here = page["followers"]
            elif display.kind in ("table", "chart"):
                here.append(follower(display))
        if here is early:
            loose += early
    return sheets, loose


def _merged(collected: Collected, on_paper: Collected, rows_of: Callable[[Json], list[Json]]) -> list[Json]:
    """Rows of all sheets, each once, with the numbers of the printed sheets where they stand."""
    numbered = {id(sheet): number for number, sheet in enumerate(on_paper.of("sheet"), start=1)}
    merged: dict[str, Json] = {}
    numbers: dict[str, set[int]] = {}
    for sheet in collected.of("sheet"):
        for row in rows_of(sheet):
            key = json.dumps(row)
            merged.setdefault(key, row)
            numbers.setdefault(key, set()).update({numbered[id(sheet)]} if id(sheet) in numbered else ())
    return [row | {"sheets": spans(numbers[key]) or "not printed"} for key, row in merged.items()]


def spans(numbers: Iterable[int]) -> str:
    """'1–3, 7' for 1, 2, 3, 7."""
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(str(first) if first == last else f"{first}–{last}" for first, last in runs)


def _section_order(section: str) -> list[tuple[int, str]]:
    """220.53 before 220.103: numbers compare as numbers, before any letters; a rule of no section comes last."""
    parts = re.findall(r"[0-9]+|[^0-9]+", section)
    return [(int(part), "") if part[0] in "0123456789" else (10**9, part) for part in parts]


def _sections(document: Json) -> list[Json]:
    """What the contents list after the sheets; targets are the template's labels."""
    cautions = "Cautions, and what is not worked" if document["refusals"] else "Cautions"
    entries = [
        ("loose", "Tables and charts", document["loose"]),
        ("rules", "Rules used", document["rules"]),
        ("inputs", "Inputs", document["givens"]),
        ("cautions", cautions, document["cautions"] or document["refusals"] or document["to_confirm"]),
    ]
    return [{"target": target, "title": title} for target, title, present in entries if present]


def _attached(job_text: str, sheets_text: str) -> list[Json]:
    return [
        job_attached(job_text),
        {
            "path": SHEETS_ATTACHMENT,
            "text": sheets_text,
            "mime": "application/json",
            "relationship": "data",
            "description": "The sheets of this packet, for machines",
        },
    ]


def job_attached(job_text: str) -> Json:
    """The job file as an attachment, from which the job is restored."""
    return {
        "path": JOB_ATTACHMENT,
        "text": job_text,
        "mime": "application/toml",
        "relationship": "source",
        "description": "The job file from which this was made",
    }


def sheets_fingerprint(sheets: str) -> str:
    """What the worked annex is known by, printed in it and in the permit set: of the sheets as they are attached."""
    return hashlib.sha256(sheets.encode()).hexdigest()[:FINGERPRINT_SHOWN]


def annex_places(collected: Collected) -> dict[tuple[str, str, str], str]:
    """Where the worked annex has each sheet that it prints, by family, title and subject."""
    return {
        (sheet["family"], sheet["title"], sheet["subject"]): str(number)
        for number, sheet in enumerate(printed_of(collected).of("sheet"), start=1)
    }
