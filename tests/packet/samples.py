"""Displays made by hand: the dwelling load of an invented house, as its notebook would show it, and ugly ones."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

from calc.packet.collect import MIME, SVG_MIME

Json = dict[str, Any]

JOB_TEXT = '[job]\nname = "Fernhollow Lot 12"\naddress = "118 Sorrel Bend, Marrow Creek"\n# ünïcode, kept\r\n'
FINGERPRINT = "3f9c1a77d0b25e64aa10c2f4e8b7d6953f9c1a77d0b25e64aa10c2f4e8b7d695"


def _rows(name: str) -> list[list[str]]:
    text = (Path(__file__).parent / "data" / name).read_text(encoding="utf-8")
    return [line.split("|") for line in text.splitlines()[1:]]


def lines() -> list[Json]:
    """The thirty lines of the dwelling load."""
    made = []
    for number, row in enumerate(_rows("lines.csv"), start=1):
        key, name, formula, numbers, result, section, kind, reason = row
        value, _, unit = result.partition(" ")
        made.append(
            {
                "number": number, "key": key, "kind": kind, "name": name, "formula": formula, "numbers": numbers,
                "result": result, "value": float(value.replace(",", "")), "unit": unit, "sections": [section],
                "marks": {"vehicle_va": [1], "standard_service_a": [2]}.get(key, []), "uses": [],
                "lookup": None, "reason": reason,
            }
        )  # fmt: skip
    return made


def dwelling_sheet(**changes: Any) -> Json:
    """The dwelling load sheet of the sample house."""
    sheet: Json = {
        "schema_version": 2, "family": "dwelling-load", "title": "Dwelling load, standard method",
        "subject": "Fernhollow Lot 12", "edition": "2023", "amendments": [], "lines": lines(),
        "checks": [
            check("service_serves", "the service carries the calculated current", "400 A provided, 252.0 A required", "230.42"),
            check("service_floor", "the service meets the least rating", "400 A provided, 100 A required", "230.79(C)"),
            check("main_serves", "the main breaker carries the calculated current", "400 A provided, 252.0 A required", "230.90"),
        ],
        "results": {"standard_va": 60485.5, "standard_a": 252.02, "standard_service_a": 400.0},
        "givens": [
            given("floor area", "3,240 ft2", "dwelling.floor_area_ft2"),
            given("small-appliance circuits", "3 circuit", "dwelling.small_appliance_circuits"),
            given("laundry circuits", "1 circuit", "dwelling.laundry_circuits"),
            given("cooktop", "7,400 VA", "loads[0].load_va"),
            given("wall ovens", "2 x 4,800 VA", "loads[1].load_va"),
            given("dryer", "4,600 VA", "loads[2].load_va"),
            given("water heater", "4,500 VA", "loads[3].load_va"),
            given("dishwasher", "1,200 VA", "loads[4].load_va"),
            given("disposer", "1,176 VA", "loads[5].load_va"),
            given("microwave-hood", "1,560 VA", "loads[6].load_va"),
            given("hot-water tap", "750 VA", "loads[7].load_va"),
            given("bath fans", "3 x 80 VA", "loads[8].load_va"),
            given("heat pump", "4,080 VA", "loads[9].load_va"),
            given("vehicle supply", "48 A", "loads[12].output_a"),
        ],
        "rules": [
            rule("220.41", "General lighting of a dwelling is counted at 3 VA for each square foot of floor area."),
            rule("220.45", "The first 3,000 VA of lighting load count in full; from there to 120,000 VA, 35 %."),
            rule("220.52(A)", "Each small-appliance circuit counts 1,500 VA."),
            rule("220.52(B)", "Each laundry circuit counts 1,500 VA."),
            rule("220.53", "Four or more fastened appliances on one service count at 75 %."),
            rule("220.54", "A dryer counts its rating, 5,000 VA at least."),
            rule("220.55", "Household cooking appliances count by the columns of their table."),
            rule("220.60", "Of loads that can't run together only the larger counts."),
            rule("220.57", "Vehicle supply counts its nameplate, 7,200 VA at least."),
            rule("430.24", "A quarter of the largest motor's load is added."),
            rule("230.79(C)", "A service to a one-family dwelling is rated 100 A or more."),
        ],
        "cautions": [
            "Spas, pools and their bonding are not part of this sheet; Article 680 applies and the inspector decides.",
            "The utility sets the meter equipment it accepts; ask before ordering a 320 A meter socket.",
        ],
        "not_shown": [], "status": "passes",
        "notes": [
            {"mark": 1, "kind": "from memory", "text": "Value from memory, check the code book."},
            {"mark": 2, "kind": "choice", "text": "Services sold: 100, 125, 150, 200, 400 A. Common practice, no source."},
        ],
        "refused": None,
    }  # fmt: skip
    return sheet | changes


def check(key: str, name: str, text: str, section: str, passes: bool = True, remedy: str = "") -> Json:
    """One check, of amperes."""
    provided, required = ({"name": "", "numbers": f"{side} A", "value": float(side), "unit": "A"}
                          for side in re.findall(r"([\d.]+) A", text))  # fmt: skip
    return {"key": key, "name": name, "text": text, "provided": provided, "sign": ">=", "required": required,
            "passes": passes, "sections": [section], "marks": [], "remedy": remedy, "reason": ""}  # fmt: skip


def given(name: str, text: str, at: str) -> Json:
    """One given."""
    return {"name": name, "value": 0, "text": text, "at": at}


def rule(section: str, words: str) -> Json:
    """One rule."""
    return {"rule": section, "section": section, "words": words, "confidence": "A", "set_by": "2023", "marks": []}


FRONT_COLUMNS = [
    {"name": "Item", "align": "left"},
    {"name": "Section", "align": "left"},
    {"name": "Existing VA", "align": "right"},
    {"name": "New VA", "align": "right"},
    {"name": "Removed VA", "align": "right"},
    {"name": "Demand factor", "align": "left"},
    {"name": "Demand VA", "align": "right"},
]


def front(extra_rows: int = 0, **changes: Any) -> Json:
    """Page 1 of the sample house, with more loads if wanted."""
    rows = _rows("front.csv")
    more = [[f"Sump pump {i + 1}", "220.53", "", str(100 + i), "", "100 %", str(100 + i)] for i in range(extra_rows)]
    made: Json = {
        "title": "Electrical load summary",
        "facts": [
            ["Site", "118 Sorrel Bend, Marrow Creek"], ["Permit", "MC-2024-00817"], ["Jurisdiction", "Town of Marrow Creek"],
            ["Dwelling", "One-family, new, 3,240 ft2"], ["Edition adopted", "2023, as adopted 2024-01-01"],
            ["Amendments", "none"], ["Method", "Standard method, Part III, 220.40"], ["System", "120/240 V, 1-phase, 3-wire"],
        ],
        "table": {
            "title": "Loads", "intro": "", "columns": FRONT_COLUMNS, "rows": rows[:-1] + more + rows[-1:], "notes": [],
        },
        "totals": [
            ["Total load", "60,486 VA"], ["Calculated current at 240 V", "252.0 A"], ["Panel bus", "400 A"],
            ["Main breaker", "400 A"], ["Service rating", "400 A"],
        ],
        "verdict": "passes", "verdict_detail": "400 A serves 252.0 A",
        "preparer": [["Prepared by", "R. Tamarind"], ["License", "EL-20418"]],
    }  # fmt: skip
    return made | changes


def document(**changes: Any) -> Json:
    """A permit set of the sample house, on one page."""
    parts = [
        {"kind": "verdict", "status": "passes", "words": "Load calculation: passes.", "details": []},
        {"kind": "facts", "title": "", "rows": front()["facts"], "across": 2},
        {"kind": "signing", "preparer": front()["preparer"]},
    ]  # fmt: skip
    section = {"title": "Verdict", "parts": parts, "new_page": False, "one_page": True, "across": 1}
    made: Json = {
        "schema_version": 1, "reader": "office", "title": "Permit set", "subject": "118 Sorrel Bend, Marrow Creek",
        "sections": [section], "figures": {"calculated_a": 252.0}, "verdict": {},
    }  # fmt: skip
    return made | changes


def chart_svg(title: str = "From connected load to demand load") -> str:
    """A small drawing with text in it, as a chart library writes it."""
    bars = "".join(
        f'<rect x="150" y="{20 + 26 * i}" width="{w}" height="16" fill="#1d4a73"/>'
        f'<text x="142" y="{33 + 26 * i}" text-anchor="end" font-family="DejaVu Sans" font-size="10">{n}</text>'
        for i, (n, w) in enumerate([("General", 180), ("Appliances", 160), ("Cooking", 220), ("Heating", 300)])
    )
    return (
        '<?xml version="1.0" encoding="utf-8"?><svg xmlns="http://www.w3.org/2000/svg" width="480pt" height="140pt" '
        f'viewBox="0 0 480 140"><title>{title}</title>{bars}</svg>'
    )


def chart(**changes: Any) -> Json:
    """A chart's data."""
    return {
        "title": "From connected load to demand load",
        "alt": "Bars for four groups of load. Heating is the largest, with 14,400 VA connected and as much demand.",
        "data": {},
    } | changes


def table(count: int = 6, **changes: Any) -> Json:
    """A table display."""
    return {
        "title": "The load by edition", "intro": "The same house worked under each edition.",
        "columns": [{"name": "Edition", "align": "left"}, {"name": "What differs", "align": "left"}, {"name": "Total VA", "align": "right"}],
        "rows": [[f"{2017 + 3 * i}", f"vehicle supply at nameplate, row {i}", f"{60000 + i:,}"] for i in range(count)],
        "notes": ["2026 is worked with 2 VA/ft2."],
    } | changes  # fmt: skip


def output(kind: str, data: Json, svg: str = "") -> Json:
    """A notebook output that displays it."""
    bundle: Json = {MIME[kind]: data, "text/plain": ["..."]}  # type: ignore[index]
    if svg:
        bundle[SVG_MIME] = svg.splitlines(keepends=True)
    return {"output_type": "display_data", "metadata": {}, "data": bundle}


def notebook(path: Path, *cells: list[Json], metadata: Json | None = None) -> Path:
    """Write an executed notebook whose code cells hold these outputs."""
    made = {
        "nbformat": 4, "nbformat_minor": 5, "metadata": metadata or {},
        "cells": [{"cell_type": "markdown", "metadata": {}, "source": "# A notebook", "id": "top"}]
        + [
            {"cell_type": "code", "metadata": {}, "source": "show()", "execution_count": i + 1, "outputs": outputs, "id": f"c{i}"}
            for i, outputs in enumerate(cells)
        ],
    }  # fmt: skip
    path.write_text(json.dumps(made), encoding="utf-8")
    return path
