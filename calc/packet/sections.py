"""A reader's document as the template prints it: its sections and their parts, every text cleaned."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calc.packet.displays import TEXT_WIDTH_PT, svg_width_pt, table_page
from calc.packet.document import FINGERPRINT_SHOWN
from calc.packet.wording import clean, clean_drawing, clipped, printed, told
from calc.work import loud

Json = dict[str, Any]
_ANNEX_SHARE = 0.06  # of a table's width
AnnexPlaces = Mapping[tuple[str, str, str], str]
"""Where the worked annex has a sheet, by its family, title and subject."""


def reader_pages(
    document: Json,
    places: AnnexPlaces,
    *,
    description: str,
    keywords: list[str],
    fingerprint: str,
    attachments: list[Json],
) -> Json:
    """A document as reader.typ reads it; ``fingerprint`` is the job file's, ``attachments`` what the PDF carries."""
    subject = clipped(document["subject"], 300)
    return {
        "title": f"{subject}: {clean(document['title'])}",
        "description": description,
        "keywords": keywords,
        "subject": subject,
        "kind": clean(document["title"]),
        "footer_name": clipped(subject, 60),
        "fingerprint": fingerprint[:FINGERPRINT_SHOWN],
        "attachments": attachments,
        "sections": section_pages(document, places),
    }


def section_pages(document: Json, places: AnnexPlaces) -> list[Json]:
    """The sections of a document in order; ``places`` fills the last column of tables whose rows rest on sheets."""
    return [
        {
            "title": clean(section["title"]),
            "new_page": section["new_page"],
            "one_page": section["one_page"],
            "across": section["across"],
            "parts": [_part(part, places) for part in section["parts"]],
        }
        for section in document["sections"]
    ]


def _part(part: Json, places: AnnexPlaces) -> Json:
    return _KINDS[part["kind"]](part, places)


def _table(part: Json, places: AnnexPlaces) -> Json:
    page = table_page(_with_places(part, places) if any(part["sheets"]) else part)
    for at, (row, given) in enumerate(zip(page["rows"], part["rows"], strict=True)):
        row["emphasis"], row["heading"] = at in part["strong"], len(given) == 1
    return page


def _with_places(part: Json, places: AnnexPlaces) -> Json:
    """The table with a last column that says where the worked annex has what a row rests on."""
    names = [places.get(tuple(name), "") if name else "" for name in part["sheets"]]
    rows = [[*row, name] if len(row) > 1 else row for row, name in zip(part["rows"], names, strict=True)]
    weights = [column["weight"] for column in part["columns"]]
    last = {
        "name": "Annex",
        "align": "right",
        "weight": round(sum(weights) * _ANNEX_SHARE) if all(weights) else 0,
    }
    return part | {"columns": [*part["columns"], last], "rows": rows}


def _chart(part: Json, places: AnnexPlaces) -> Json:
    return {
        "kind": "chart",
        "title": clipped(part["title"], 200),
        "alt": clean(part["alt"]),
        "svg": clean_drawing(part["svg"]),
        "width_pt": min(svg_width_pt(part["svg"]), TEXT_WIDTH_PT),
    }


def _verdict(part: Json, places: AnnexPlaces) -> Json:
    return {
        "kind": "verdict",
        "status": loud(part["status"]),
        "words": clean(part["words"]),
        "details": [told(text) for text in part["details"]],
    }


def _facts(part: Json, places: AnnexPlaces) -> Json:
    rows = [[clean(label), printed(text)] for label, text in part["rows"]]
    return {"kind": "facts", "title": clean(part["title"]), "rows": rows, "across": part["across"]}


def _sentences(part: Json, places: AnnexPlaces) -> Json:
    texts = [told(text) for text in part["texts"]]
    return {"kind": "sentences", "title": clean(part["title"]), "texts": texts, "listed": part["listed"]}


def _signing(part: Json, places: AnnexPlaces) -> Json:
    return {"kind": "signing", "preparer": [[clean(label), clean(text)] for label, text in part["preparer"]]}


_KINDS = {
    "table": _table, "chart": _chart, "verdict": _verdict, "facts": _facts, "sentences": _sentences,
    "signing": _signing,
}  # fmt: skip
