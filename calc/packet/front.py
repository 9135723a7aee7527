"""Page 1: the load summary that an office reads, and the banner over it."""

from __future__ import annotations

from typing import Any

from calc.packet.collect import Collected
from calc.packet.displays import table_page
from calc.packet.summary import column_heads, column_widths, variants
from calc.packet.wording import clean, clipped, printed, told
from calc.work import NOT_SHOWN, PASSES, STATUSES, loud, worst

Json = dict[str, Any]

_BANNER_SHEETS = 6
_BANNER_ODD = 3
_SIGNING = ("Signature", "Date")


def front_pages(collected: Collected, name: str, sheets: list[Json]) -> list[Json]:
    """The load summaries shown, the first of them page 1; a plain cover where no notebook showed one."""
    return [_front(data) for data in collected.of("front")] or [_plain(name, sheets)]


def verdict_of(collected: Collected) -> Json:
    """The verdict of the whole as the notebooks showed it; where none did, what their sheets come to."""
    for shown in collected.of("verdict"):
        return shown
    statuses = [sheet["status"] for sheet in collected.of("sheet")]
    status = worst(statuses) if statuses else NOT_SHOWN
    return {"status": status, "verdict": f"What is shown: {status}", "outside": [], "to_confirm": []}


def banner(verdict: Json, sheets: list[Json]) -> Json:
    """What stands over page 1: the verdict of the whole, what nothing is claimed of, and the sheets to look at."""
    numbers = [sheet["number"] for sheet in sheets if sheet["status"] != PASSES]
    more = len(numbers) - _BANNER_SHEETS
    outside = ", ".join(map(clean, verdict["outside"]))
    return {
        "status": loud(verdict["status"]),
        "words": f"{clean(verdict['verdict'])}.",
        "outside": f"Nothing is claimed of {outside}." if outside else "",
        "to_confirm": [clipped(told(each["text"]), 200) for each in verdict["to_confirm"][:_BANNER_ODD]],
        "more_to_confirm": max(0, len(verdict["to_confirm"]) - _BANNER_ODD),
        "sheets": numbers[:_BANNER_SHEETS],
        "more": f" and {more} more" if more > 0 else "",
    }


def full_summary(collected: Collected, fronts: list[Json]) -> Json | None:
    """The first load table in full, for when page 1 puts rows together or had to cut a text."""
    if not collected.of("front"):
        return None
    given, shown = collected.of("front")[0], fronts[0]
    whole = [[clean(label), printed(text)] for label, text in given["facts"]]
    page = table_page(given["table"] | {"title": "Load summary in full"})
    cut = [row["cells"] for row in shown["variants"][0]] != [row["cells"] for row in page["rows"]]
    page["notes"] += [f"{label}: {text}" for label, text in whole]
    return page | {"needed": cut or shown["facts"] != whole}


def _front(data: Json) -> Json:
    choices = variants(data["table"])
    names, aligns = column_heads(data["table"])
    preparer = [[clipped(label, 20), clipped(text, 48)] for label, text in data["preparer"]]
    present = {label.lower() for label, _ in preparer}
    return {
        "title": clipped(data["title"], 60),
        "facts": [[clipped(label, 24), printed(clipped(text, 110))] for label, text in data["facts"]],
        "columns": names,
        "aligns": aligns,
        "widths": column_widths(data["table"]),
        "variants": [[row.as_json() for row in choice] for choice in choices],
        "totals": [[clipped(label, 40), printed(clipped(text, 24))] for label, text in data["totals"]],
        "verdict_title": "Load check" if data["table"]["columns"] else "Sheets",
        "verdict": data["verdict"],
        "verdict_detail": printed(clipped(data["verdict_detail"], 160)),
        "preparer": preparer + [[label, ""] for label in _SIGNING if label.lower() not in present],
    }


def _plain(name: str, sheets: list[Json]) -> Json:
    """Page 1 for a job whose notebooks show no load summary: what the packet holds, and what it comes to."""
    statuses = [sheet["status"] for sheet in sheets]
    return _front(
        {
            "title": "Permit packet",
            "facts": [["Job", name], ["Sheets", str(len(sheets))]],
            "table": {"columns": [], "rows": []},
            "totals": [[f"Sheets: {status}", str(statuses.count(status))] for status in dict.fromkeys(statuses)],
            "verdict": next((loud(status) for status in STATUSES if loud(status) in statuses), loud(NOT_SHOWN)),
            "verdict_detail": "This packet holds no load summary; the sheets are listed on page 2.",
            "preparer": [["Prepared by", ""], ["License", ""]],
        }
    )
