"""The dwelling load under several editions, side by side."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calc.work import Sheet

ROWS = (
    "general_demand_va", "fastened_demand_va", "small_fastened_va", "dryer_demand_va", "cooking_demand_va", "climate_va",
    "largest_motor_va", "standard_va", "standard_a", "standard_service_a", "neutral_a", "general_circuits_15a",
    "general_circuits_20a",
)  # fmt: skip


def by_edition(sheets: Mapping[str, Sheet]) -> dict[str, Any]:
    """A table of one dwelling's sheets: a row a result, a column an edition; a refused result says so."""
    shown = {name: sheet.as_json() for name, sheet in sheets.items()}
    first = next(iter(sheets.values()))
    rows = []
    for key in ROWS:
        cells = [_cell(sheet, key) for sheet in shown.values()]
        if any(cells):
            rows.append([first.words.text(key, "name"), *(cell or "-" for cell in cells)])
    notes = [
        f"{name}, ({note['mark']}) {note['kind']}: {note['text']}"
        for name, sheet in shown.items() for note in sheet["notes"] if note["kind"] != "choice"
    ]  # fmt: skip
    return {
        "title": "Dwelling load by edition",
        "intro": f"{first.subject}, standard method. The adopted edition decides; the others show what changes.",
        "columns": [{"name": "Result", "align": "left"}, *({"name": name, "align": "right"} for name in shown)],
        "rows": rows,
        "notes": notes,
    }


def _cell(sheet: dict[str, Any], key: str) -> str:
    line = next((line for line in sheet["lines"] if line["key"] == key), None)
    if line is None:
        return "refused" if sheet["refused"] else ""
    return str(line["result"]) + "".join(f" ({mark})" for mark in line["marks"])
