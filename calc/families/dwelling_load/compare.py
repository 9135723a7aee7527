"""The dwelling load under several editions, side by side."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from calc.families import dwelling_load
from calc.families.reading import codebook_for
from calc.job import Job
from calc.work import Sheet

ROWS = (
    "general_demand_va", "fastened_demand_va", "small_fastened_va", "dryer_demand_va", "cooking_demand_va", "climate_va",
    "largest_motor_va", "standard_va", "standard_a", "standard_service_a", "neutral_a", "general_circuits_15a",
    "general_circuits_20a",
)  # fmt: skip


def by_edition(job: Job, editions: Sequence[str]) -> dict[str, Any]:
    """A table: a row a result, a column an edition; a refused result says so."""
    sheets = {name: dwelling_load.work(job, codebook_for(job, name))[0] for name in editions}
    shown = {name: sheet.as_json() for name, sheet in sheets.items()}
    rows = []
    for key in ROWS:
        cells = {name: _cell(shown[name], key) for name in editions}
        if any(cells.values()):
            rows.append([_name(list(sheets.values()), key), *(cells[name] or "-" for name in editions)])
    notes = [
        f"{name}: {note['kind']}: {note['text']}" for name in editions for note in shown[name]["notes"]
        if note["kind"] != "choice"
    ]  # fmt: skip
    return {
        "title": "Dwelling load by edition",
        "intro": f"{sheets[editions[0]].subject}, standard method. The adopted edition decides; the others show what changes.",
        "columns": [{"name": "Result", "align": "left"}, *({"name": name, "align": "right"} for name in editions)],
        "rows": rows,
        "notes": notes,
    }


def _cell(sheet: dict[str, Any], key: str) -> str:
    line = next((line for line in sheet["lines"] if line["key"] == key), None)
    if line is None:
        return "refused" if sheet["refused"] else ""
    return str(line["result"]) + "".join(f" ({mark})" for mark in line["marks"])


def _name(sheets: Sequence[Sheet], key: str) -> str:
    return sheets[0].words.text(key, "name", item="")
