"""From what notebooks displayed to what the template prints: every text cleaned, statuses counted, rules merged."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from typing import Any

from calc.packet.collect import Collected, Display
from calc.packet.summary import column_heads, column_widths, table_rows, variants
from calc.packet.wording import clean, clipped, printed

Json = dict[str, Any]

PASSES, SHORT, REFUSED, WORKED = "PASS", "FALLS SHORT", "REFUSED", "WORKED"
JOB_ATTACHMENT = "job.toml"
SHEETS_ATTACHMENT = "sheets.json"
FINGERPRINT_SHOWN = 12

_TEXT_WIDTH_PT = 6.9 * 72
_LONG_ROW = 900
_CAUTION_LINE = (
    "This page states worked arithmetic on what the job file gives; the code as adopted and the office decide."
)


def document(collected: Collected, *, name: str, fingerprint: str, job_text: str, attachments: bool) -> Json:
    """Everything the template reads, as JSON.

    name: the job's name; fingerprint: of the job file, hexadecimal; job_text: the job file itself, attached
    together with the sheets when ``attachments``.
    """
    sheets, loose = _grouped(collected)
    fronts = [_front(front) for front in collected.of("front")] or [_plain_front(name, sheets)]
    cautions = _merged(sheets, lambda sheet: [{"text": c} for c in sheet["cautions"]], key=("text",))
    refusals = [{"where": s["title"], "reason": s["refused"]["reason"]} for s in sheets if s["refused"]]
    full = _full_summary(collected, fronts)
    document: Json = {
        "title": f"Permit packet: {clipped(name, 120)}",
        "description": "Worked calculations for a permit: load summary, sheets, rules used, inputs, cautions.",
        "keywords": ["electrical load summary", "permit packet"],
        "short_name": clipped(name, 70),
        "footer_name": clipped(name, 44),
        "fingerprint": fingerprint[:FINGERPRINT_SHOWN],
        "fronts": fronts,
        "banner": _banner(sheets),
        "banner_sheets": [s["number"] for s in sheets if s["status"] in (SHORT, REFUSED)],
        "caution_line": _CAUTION_LINE + " ",
        "attached_line": "This PDF carries the job file and the sheets as attachments."
        if attachments
        else "No attachments.",
        "attachments": _attachments(collected, name, fingerprint, job_text) if attachments else [],
        "full_summary": full,
        "loose": loose,
        "sheets": sheets,
        "rules": _merged(sheets, lambda sheet: sheet.pop("rules"), key=("section", "words", "set_by")),
        "givens": _merged(sheets, lambda sheet: sheet.pop("givens"), key=("name", "text", "at")),
        "cautions": cautions,
        "refusals": refusals,
        "has_cautions": bool(cautions or refusals),
    }
    document["rules"].sort(key=lambda rule: _section_order(rule["section"]))
    document["sections"] = _sections(document)
    return document


def sheets_json(collected: Collected, name: str, fingerprint: str) -> str:
    """The sheets as displayed, for machines: the file kept beside the packet and attached to it."""
    whole = {"schema_version": 1, "job": name, "fingerprint": fingerprint, "sheets": collected.of("sheet")}
    return json.dumps(whole, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def status_of(sheet: Json) -> str:
    """What a sheet comes to: refused before falling short before passing; without checks, worked."""
    if sheet["refused"]:
        return REFUSED
    if not sheet["checks"]:
        return WORKED
    return PASSES if all(check["passes"] for check in sheet["checks"]) else SHORT


def _grouped(collected: Collected) -> tuple[list[Json], list[Json]]:
    """Sheets, each with the tables and charts shown after it; and those shown before any sheet."""
    sheets: list[Json] = []
    loose: list[Json] = []
    last_family = ""
    for display in collected.displays:
        if display.kind == "sheet":
            sheets.append(_sheet(display.data, len(sheets) + 1, display.data["family"] != last_family))
            last_family = display.data["family"]
        elif display.kind in ("table", "chart"):
            followers = sheets[-1]["followers"] if sheets else loose
            followers.append(_table(display.data) if display.kind == "table" else _chart(display))
    return sheets, loose


def _sheet(data: Json, number: int, new_page: bool) -> Json:
    amendments = [clean(a) for a in data["amendments"]]
    refused = data["refused"]
    return {
        "number": number,
        "new_page": new_page,
        "title": clipped(data["title"], 200),
        "subject": clipped(data["subject"], 300),
        "edition_line": f"Edition {clean(data['edition'])}, "
        + (f"amended by {', '.join(amendments)}" if amendments else "no amendments"),
        "status": status_of(data),
        "lines": [_line(line) for line in data["lines"]],
        "checks": [_check(check) for check in data["checks"]],
        "notes": [
            {"mark": n["mark"], "kind": clean(n["kind"]).capitalize() + ".", "text": clean(n["text"])}
            for n in data["notes"]
        ],
        "cautions": [clean(caution) for caution in data["cautions"]],
        "refused": refused and {"reason": clean(refused["reason"]), "sections": [clean(s) for s in refused["sections"]]},
        "rules": [
            _marked({"section": clean(r["section"]), "words": clean(r["words"]), "set_by": clean(r["set_by"])})
            for r in data["rules"]
        ],
        "givens": [
            _marked({"name": clean(g["name"]), "text": printed(g["text"]), "at": clean(g["at"])})
            for g in data["givens"]
        ],
        "followers": [],
    }  # fmt: skip


def _line(line: Json) -> Json:
    name, result = clean(line["name"]), printed(line["result"])
    formula, numbers = printed(line["formula"]), printed(line["numbers"])
    how = {"looked up": "looked up", "found": "found by search", "replaced": "stated, not worked"}
    return _marked(
        {
            "number": line["number"],
            "name": name,
            "reason": clean(line["reason"]),
            "formula": "" if formula == name else formula,
            "numbers": "" if numbers == result else numbers,
            "how": how.get(line["kind"], ""),
            "result": result,
            "sections": [clean(s) for s in line["sections"]],
            "marks": line["marks"],
        }
    )


def _check(check: Json) -> Json:
    return _marked(
        {
            "status": PASSES if check["passes"] else SHORT,
            "name": clean(check["name"]),
            "holds": printed(check["holds"]),
            "mend": printed(check["mend"]),
            "reason": clean(check["reason"]),
            "sections": [clean(s) for s in check["sections"]],
            "marks": check["marks"],
        }
    )


def _marked(row: Json) -> Json:
    """The row, told whether it is so long that it may break across pages."""
    return row | {"long": sum(len(str(value)) for value in row.values()) > _LONG_ROW}


def _table(data: Json) -> Json:
    rows = [[printed(cell) for cell in row.cells] for row in table_rows(data)]
    names, aligns = column_heads(data)
    emphasis = set(data.get("emphasis", ()))
    return {
        "kind": "table",
        "title": clipped(data["title"], 200),
        "intro": clean(data.get("intro", "")),
        "columns": names,
        "aligns": aligns,
        "widths": column_widths(data, rows),
        "rows": [
            {"cells": row, "emphasis": i in emphasis, "long": sum(map(len, row)) > _LONG_ROW}
            for i, row in enumerate(rows)
        ],
        "notes": [clean(note) for note in data.get("notes", ())],
    }


def _chart(display: Display) -> Json:
    return {
        "kind": "chart",
        "title": clipped(display.data["title"], 200),
        "alt": clean(display.data["alt"]),
        "svg": display.svg,
        "width_pt": min(_svg_width_pt(display.svg), _TEXT_WIDTH_PT),
    }


def _svg_width_pt(svg: str) -> float:
    """The drawing's own width in points; the whole text width where it gives none."""
    found = re.search(r"<svg\b[^>]*?\bwidth=[\"']([\d.]+)(pt|px|in)?[\"']", svg, re.DOTALL)
    if not found:
        return _TEXT_WIDTH_PT
    return float(found.group(1)) * {"pt": 1.0, "in": 72.0}.get(found.group(2), 0.75)


def _front(data: Json) -> Json:
    choices = variants(data["table"])
    names, aligns = column_heads(data["table"])
    preparer = [[clipped(k, 40), clipped(v, 80)] for k, v in data["preparer"]]
    present = {label.lower() for label, _ in preparer}
    preparer += [[label, ""] for label in ("Signature", "Date") if label.lower() not in present]
    return {
        "title": clipped(data["title"], 80),
        "facts": [[clipped(k, 40), printed(clipped(v, 110))] for k, v in data["facts"]],
        "columns": names,
        "aligns": aligns,
        "widths": column_widths(data["table"], [row.cells for row in choices[0]]),
        "variants": [[row.as_json() for row in choice] for choice in choices],
        "totals": [[clipped(k, 48), printed(clipped(v, 48))] for k, v in data["totals"]],
        "verdict": data["verdict"],
        "verdict_detail": printed(clipped(data["verdict_detail"], 240)),
        "preparer": preparer,
    }


def _plain_front(name: str, sheets: list[Json]) -> Json:
    """Page 1 for a job whose notebooks show no load summary: what the packet holds, and what it comes to."""
    statuses = [sheet["status"] for sheet in sheets]
    verdict = next((s for s in (REFUSED, SHORT, PASSES) if s in statuses), WORKED)
    return _front(
        {
            "title": "Permit packet",
            "facts": [["Job", name], ["Sheets", str(len(sheets))]],
            "table": {"columns": [], "rows": []},
            "totals": [[status.capitalize(), str(statuses.count(status))] for status in dict.fromkeys(statuses)],
            "verdict": verdict,
            "verdict_detail": "No load summary was worked for this job.",
            "preparer": [["Prepared by", ""], ["Licence", ""]],
        }
    )


def _full_summary(collected: Collected, fronts: list[Json]) -> Json | None:
    """The first load table in full, for when page 1 may have put rows together or shortened a text."""
    if not collected.of("front"):
        return None
    front, shown = collected.of("front")[0], fronts[0]["variants"]
    full = _table({"title": "Load summary in full", **{k: v for k, v in front["table"].items() if k != "title"}})
    facts = [[clean(k), printed(v)] for k, v in front["facts"]]
    shortened = [row["cells"] for row in shown[0]] != [row["cells"] for row in full["rows"]]
    if len(shown) == 1 and not shortened and facts == fronts[0]["facts"]:
        return None
    full["notes"] += [f"{label}: {text}" for label, text in facts if [label, text] not in fronts[0]["facts"]]
    return full


def _banner(sheets: list[Json]) -> str:
    short = sum(check["status"] == SHORT for sheet in sheets for check in sheet["checks"])
    refused = sum(sheet["status"] == REFUSED for sheet in sheets)
    parts = []
    if short:
        parts.append(f"{short} requirement{'s fall' if short > 1 else ' falls'} short")
    if refused:
        parts.append(f"{refused} sheet{'s are' if refused > 1 else ' is'} refused")
    return f"Not ready for approval: {' and '.join(parts)}. See" if parts else ""


def _merged(sheets: list[Json], rows_of: Any, key: tuple[str, ...]) -> list[Json]:
    """Rows of all sheets, each once, with the sheets where they stand."""
    merged: dict[tuple[str, ...], Json] = {}
    for sheet in sheets:
        for row in rows_of(sheet):
            known = merged.setdefault(tuple(row[k] for k in key), row | {"on": []})
            if sheet["number"] not in known["on"]:
                known["on"].append(sheet["number"])
    for row in merged.values():
        row["sheets"] = spans(row.pop("on"))
        row["where"] = f"sheet{'s' if not row['sheets'].isdigit() else ''} {row['sheets']}"
    return list(merged.values())


def spans(numbers: Iterable[int]) -> str:
    """'1-3, 7' for 1, 2, 3, 7."""
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(str(a) if a == b else f"{a}–{b}" for a, b in runs)


def _section_order(section: str) -> list[tuple[int, str]]:
    """220.53 before 220.103: numbers compare as numbers."""
    return [(int(part), "") if part.isdigit() else (10**9, part) for part in re.findall(r"\d+|\D+", section)]


def _sections(document: Json) -> list[dict[str, str]]:
    """The contents' entries after the sheets."""
    entries = [
        ("full-summary", "Load summary in full", document["full_summary"]),
        ("loose", "Tables and charts", document["loose"]),
        ("rules", "Rules used", document["rules"]),
        ("inputs", "Inputs", document["givens"]),
        ("cautions", "Cautions and refusals", document["has_cautions"]),
    ]
    return [{"target": target, "title": title} for target, title, present in entries if present]


def _attachments(collected: Collected, name: str, fingerprint: str, job_text: str) -> list[Json]:
    return [
        {
            "path": JOB_ATTACHMENT,
            "text": job_text,
            "mime": "application/toml",
            "relationship": "source",
            "description": "The job file from which this packet was made",
        },
        {
            "path": SHEETS_ATTACHMENT,
            "text": sheets_json(collected, name, fingerprint),
            "mime": "application/json",
            "relationship": "data",
            "description": "The sheets of this packet, for machines",
        },
    ]
