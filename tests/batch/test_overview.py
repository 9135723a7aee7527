"""What a batch made, in one look: the same rows for machines, for offices and for people."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from calc.packet import overview
from calc.packet.batch import Done
from calc.packet.overview import HEADINGS, as_csv, as_pdf, as_xlsx, summary_rows, write_summary
from tests.packet.reading import text_of

FIGURES = {"calculated_a": 124.04, "service_a": 200.0, "method": "standard method", "address": "4 Elm", "permit_number": "P-7",
           "margin_pct": -3.0, "tightest": "Disposer: breaker carries the load"}  # fmt: skip
MARGIN = ["-3", "Disposer: breaker carries the load"]
FOUND = [
    Done("Lot 1", "made", "", 1.234, "passes", "All: passes", FIGURES),
    Done("Lot 2", "unchanged", "", 0.5, "falls short", "All: 1 falls short", FIGURES, ("Load: serves", "Box: fits")),
    Done("Lot 3", "failed", "no such\nnotebook", 0.0),
    Done("=Lot 4", "made", "", 2.0, "not shown", "All: 1 not shown"),
]
ROWS = [
    ["Lot 1", "4 Elm", "P-7", "made", "All: passes", *MARGIN, "124.0", "200", "standard method", "", "", "1.23"],
    ["Lot 2", "4 Elm", "P-7", "unchanged", "All: 1 falls short", *MARGIN, "124.0", "200", "standard method",
     "Load: serves; Box: fits", "", "0.50"],
    ["Lot 3", "", "", "failed", "failed", "", "", "", "", "", "", "no such notebook", "0.00"],
    ["=Lot 4", "", "", "made", "All: 1 not shown", "", "", "", "", "", "", "", "2.00"],
]  # fmt: skip


def test_a_row_says_how_a_job_stands_and_why_it_failed() -> None:
    assert summary_rows(FOUND) == ROWS


def test_a_packet_passes_only_where_it_was_made_and_its_scope_passes() -> None:
    assert [done.passes for done in FOUND] == [True, False, False, False]
    assert not Done("x", "failed", status="passes").passes
    assert Done("x", "unchanged", status="passes").passes


def test_in_a_spreadsheet_the_figures_are_numbers_and_the_rest_is_text() -> None:
    head, *rows = list(csv.reader(io.StringIO(as_csv(FOUND).decode())))
    assert (head, rows[:3], rows[3][0]) == (list(HEADINGS), ROWS[:3], "'=Lot 4")
    sheet = openpyxl.load_workbook(io.BytesIO(as_xlsx(FOUND))).active
    assert sheet.title == "Packets"
    cells = [[cell.value for cell in row] for row in sheet.iter_rows()]
    assert cells[0] == list(HEADINGS)
    assert cells[1] == [
        "Lot 1",
        "4 Elm",
        "P-7",
        "made",
        "All: passes",
        -3,
        MARGIN[1],
        124.0,
        200,
        "standard method",
        None,
        None,
        1.23,
    ]
    assert cells[3][5:9] == [None] * 4
    assert (cells[4][0], sheet["A5"].data_type) == ("=Lot 4", "s")


def test_for_people_the_outcomes_are_counted_and_amperes_drawn_against_their_service(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    content: dict[str, Any] = {}

    def kept(template: str, given: dict[str, Any]) -> bytes:
        content.update(given["overview"])
        return b"%PDF"

    monkeypatch.setattr(overview, "set_pdf", kept)
    as_pdf(FOUND, "Lots")
    assert content["counts"] == [["made", 2], ["unchanged", 1], ["failed", 1]]
    assert [(bar["name"], bar["amperes"], bar["service"]) for bar in content["bars"]] == [
        ("Lot 1", 124.04, 200), ("Lot 2", 124.04, 200),
    ]  # fmt: skip
    assert content["top"] == 200
    assert content["headings"] == [
        "Job",
        "Address",
        "Permit number",
        "Stands",
        "Least margin, %",
        "Of",
        "What does not pass",
    ]
    assert [row[:3] for row in content["rows"][:2]] == [["Lot 1", "4 Elm", "P-7"], ["Lot 2", "4 Elm", "P-7"]]
    assert content["rows"][1][3:] == ["All: 1 falls short", *MARGIN, "Load: serves; Box: fits"]
    assert content["failures"] == [["Lot 3", "no such notebook"]]
    for figures, top in (({"calculated_a": 90.0}, 90.0), ({}, 1.0)):
        as_pdf([Done("x", "made", figures=figures)], "Lots")
        assert content["top"] == top


def test_on_paper_a_long_list_of_what_does_not_pass_is_counted_and_in_a_spreadsheet_it_is_whole() -> None:
    long = [
        Done("Lot 5", "made", "", 1.0, "falls short", "House: 5 fall short", {}, tuple(f"Box: {n}" for n in range(5)))
    ]
    assert summary_rows(long, 3)[0][10] == "Box: 0; Box: 1; Box: 2; and 2 more"
    assert summary_rows(long)[0][10] == "Box: 0; Box: 1; Box: 2; Box: 3; Box: 4"


def test_the_three_files_are_written_whole(tmp_path: Path) -> None:
    made = write_summary(FOUND, tmp_path, "Lots of Sorrel Bend")
    assert [path.name for path in made] == ["packets.csv", "packets.xlsx", "packets.pdf"]
    assert sorted(path.name for path in tmp_path.iterdir()) == ["packets.csv", "packets.pdf", "packets.xlsx"]
    assert (tmp_path / "packets.csv").read_bytes() == as_csv(FOUND)
    text = text_of((tmp_path / "packets.pdf").read_bytes())
    for said in ("Lots of Sorrel Bend", "Lot 2", "Load: serves; Box: fits", "no such notebook"):
        assert said in text
