"""Sizes side by side: the smallest that serves and the next two, in copper and in aluminum."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from calc.families.feeder.sizing import Sizing
from calc.families.feeder.wires import called
from calc.job import Run
from calc.work import Refused

SHOWN = 3


def sizes_table(found: Sequence[tuple[Run, Sizing]]) -> dict[str, Any]:
    """A table: a row for each run and metal, with the ampacity of each size."""
    names = ["Run", "Metal", "Smallest that serves", "Next", "And next"]
    return {
        "title": "Sizes that serve",
        "intro": "Ungrounded conductors for the load, breaker and surroundings of each run, each with its ampacity.",
        "columns": [{"name": name, "align": "left"} for name in names],
        "rows": [row for run, sizing in found for row in _rows(run, sizing)],
        "notes": ["Voltage drop may ask for more; see the sheet on voltage drop."],
    }


def _rows(run: Run, sizing: Sizing) -> list[list[str]]:
    rows = []
    for metal in ("copper", "aluminum"):
        other = replace(sizing, wires=replace(sizing.wires, metal=metal, given=None))
        other = replace(other, needed=replace(other.needed, listed=None)) if metal != sizing.wires.metal else other
        try:
            sizes = other.serving()[:SHOWN]
        except Refused:
            continue  # a cable that nobody makes of this metal
        cells = [f"{called(size)}, {other.tried(size)[0].ampacity.number:,.10g} A" for size in sizes]
        rows.append([run.name, f"{metal} {sizing.wires.kind}", *(cells + ["-"] * SHOWN)[:SHOWN]])
    return rows
