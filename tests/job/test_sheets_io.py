"""Lists of a job as spreadsheets: there and back unchanged, and one clear message for each thing that is wrong."""

from __future__ import annotations

import csv
import datetime
import io
import random
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from calc.families import box_fill
from calc.job import Job, JobError
from calc.job.read import make_job
from calc.job.sheets_io import copied, export_parts, import_parts
from calc.wiring.house import House
from tests.oracle.box_fill import random_box


def job_of(boxes: list[dict[str, Any]], **more: Any) -> Job:
    return make_job({"code": {"edition": "2023"}, "job": {"name": "test"}, "boxes": boxes, **more})


def hundred() -> Job:
    rng = random.Random(100)
    return job_of([random_box(rng, f"Box {number}, wall") for number in range(1, 101)])


EMPTY = job_of([])


@pytest.fixture
def table(tmp_path: Path) -> Callable[..., Path]:
    """Write a CSV of these lines."""

    def write(*lines: str, name: str = "boxes.csv", encoding: str = "utf-8") -> Path:
        path = tmp_path / name
        path.write_bytes("\r\n".join(lines).encode(encoding))
        return path

    return write


def workbook(path: Path, rows: list[list[Any]], change: Callable[[Any], None] = lambda sheet: None) -> Path:
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    change(book.active)
    book.save(path)
    return path


def refused(path: Path, job: Job = EMPTY, key: str = "boxes") -> str:
    with pytest.raises(JobError) as error:
        import_parts(job, key, path)
    return str(error.value)


# ---- there and back


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_a_hundred_boxes_go_out_and_come_back_the_same(tmp_path: Path, ending: str) -> None:
    job = hundred()
    path = export_parts(job, "boxes", tmp_path / f"boxes.{ending}")
    back = import_parts(EMPTY, "boxes", path)
    assert back.boxes == job.boxes
    fills = [sheet.results["required_in3"] for sheet in box_fill.work(House.of(job))]
    again = [sheet.results["required_in3"] for sheet in box_fill.work(House.of(back))]
    assert len(again) == 100
    assert again == fills


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_what_is_rare_comes_back_too(tmp_path: Path, ending: str) -> None:
    """Divided boxes, lists of names with commas, yes and no, lengths as taped, texts that look like numbers or dates."""
    box = {"name": "Tür, Küche", "marked_in3": 32.0, "gangs": 2, "neutral_at_switch": False,
           "barriers": [{"material": "metal", "marked_in3": 0.5}],
           "compartments": [{"name": "left", "cables": ["2 x 12/2 with ground", "14/2"],
                             "devices": [{"kind": "switch", "wire": 12}]}, {"name": "1/2", "low_voltage": True}]}  # fmt: skip
    pull = {
        "name": "12",
        "pull": "straight",
        "length_in": "2 ft 6 in",
        "entries": [{"wall": "left", "trade_size": "1/2"}],
    }
    circuit = {"name": "Lights", "purpose": "lighting", "rooms": ["Hall, upstairs", "Den"]}
    rooms = [{"name": "Hall, upstairs", "use": "hall"}, {"name": "Den", "use": "den"}]
    job = job_of([box, pull], circuits=[circuit], rooms=rooms)
    for key in ("boxes", "circuits"):
        path = export_parts(job, key, tmp_path / f"{key}.{ending}")
        assert getattr(import_parts(job, key, path), key) == getattr(job, key)


def test_an_empty_list_gives_a_form_to_fill_in(tmp_path: Path) -> None:
    path = export_parts(EMPTY, "boxes", tmp_path / "boxes.csv")
    columns = next(csv.reader(io.StringIO(path.read_text("utf-8-sig"))))
    assert {"name", "marked_in3", "ring_in3", "cables", "devices.1.kind", "devices.1.wire"} <= set(columns)


def test_columns_of_the_export_are_those_that_say_something(tmp_path: Path) -> None:
    job = job_of([{"name": "a", "marked_in3": 18.0, "cables": ["14/2"]}, {"name": "b", "box": "4 x 1-1/2 square"}])
    path = export_parts(job, "boxes", tmp_path / "boxes.csv")
    assert path.read_text("utf-8-sig").splitlines() == [
        "name,cables,box,marked_in3",
        "a,14/2,,18",
        "b,,4 x 1-1/2 square,",
    ]


def test_a_workbook_as_a_person_writes_it(tmp_path: Path) -> None:
    """Numbers as numbers, one size as a number, blank rows between, columns in any order."""
    rows = [["cables", "name", "devices.1.wire", "devices.1.kind", "gangs", "marked_in3", "canopy"],
            ["2 x 12/2 with ground", "Counter", 12, "receptacle", 1.0, 18, True], [], ["14/2", 7, None, None, 1, 14.0, None]]  # fmt: skip
    job = import_parts(EMPTY, "boxes", workbook(tmp_path / "b.xlsx", rows))
    first, second = job.boxes
    assert (first.name, first.devices[0].wire, first.marked_in3, first.canopy) == ("Counter", "12", 18.0, True)
    assert (second.name, second.devices) == ("7", ())


def test_entries_of_a_list_may_stand_one_below_the_other_in_a_cell(tmp_path: Path) -> None:
    rows = [["name", "cables"], ["a", "2 x 12/2\n14/3 with ground\n"]]
    (box,) = import_parts(EMPTY, "boxes", workbook(tmp_path / "b.xlsx", rows)).boxes
    assert [cable.text for cable in box.cables] == ["2 x 12/2", "14/3 with ground"]


def test_import_replaces_or_adds(table: Callable[..., Path]) -> None:
    job = job_of([{"name": "old"}])
    path = table("name,marked_in3", "new,18.0")
    assert [box.name for box in import_parts(job, "boxes", path).boxes] == ["new"]
    assert [box.name for box in import_parts(job, "boxes", path, add=True).boxes] == ["old", "new"]
    assert [box.name for box in job.boxes] == ["old"], "the job itself is as it was"


def test_one_entry_is_copied_to_many() -> None:
    job = job_of([{"name": "one", "cables": ["14/2"], "marked_in3": 18.0}, {"name": "last"}])
    more = copied(job, "boxes", "one", ["two", "three"])
    assert [box.name for box in more.boxes] == ["one", "two", "three", "last"]
    assert more.boxes[2].cables == more.boxes[0].cables
    with pytest.raises(KeyError, match="there are: one, last"):
        copied(job, "boxes", "none", ["x"])
    with pytest.raises(JobError, match="a name of its own"):
        copied(job, "boxes", "one", ["last"])


# ---- what is wrong, each with sheet, row and column


def test_a_wrong_cell_is_named_by_row_and_column(table: Callable[..., Path]) -> None:
    said = refused(table("name,cables,devices.1.kind,devices.1.wire,marked_in3", 'Counter,12/7,recepticle,12,"18,5"'))
    lines = said.splitlines()
    assert any('row 2, column cables is "12/7"' in line and "allowed: a cable" in line for line in lines)
    assert any(
        'row 2, column devices.1.kind is "recepticle"' in line and "did you mean receptacle" in line for line in lines
    )
    assert any('row 2, column marked_in3 is "18,5"' in line for line in lines), "18,5 is not taken for 185"
    assert len(lines) == 3
    assert all("boxes.csv" in line for line in lines)


def test_a_wrong_cell_of_a_workbook_is_named_by_sheet_too(tmp_path: Path) -> None:
    path = workbook(tmp_path / "b.xlsx", [["name", "gangs"], ["a", 1], [], ["b", 99]])
    assert 'sheet "Sheet", row 4, column gangs is 99; allowed: 1 to 10' in refused(path)


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (["name,cabels", "a,14/2"], "row 1, column B is 'cabels', which is no field of box; did you mean cables?"),
        (["name,colour", "a,red"], "row 1, column B is 'colour', which is no field of box; allowed: name, cables"),
        (["cables", "14/2"], "row 1 has no column name, which each box needs"),
        (["name,cables", '"a,14/2'], "row 2 is not CSV: unexpected end of data"),
        (["name,cables,cables", "a,14/2,14/2"], "row 1, column C is cables, as another column is"),
        (["name,", "a,14/2"], "row 2, column B stands under no heading"),
        (["name,devices.0.kind", "a,switch"], "no field of box"),
        (["name,cables", "a,=B1"], "row 2, column B is a formula: =B1; allowed: its value"),
        (["name;cables", "a;14/2"], "semicolons or tabs"),
        (["name", "a", "b", "a"], "row 4, column name is \"a\", as in boxes[1]"),
        (["name,room", "a,Attic"], "row 2, column room is \"Attic\", which is not the name of any of rooms"),
        ([""], "is empty"),
    ],
)  # fmt: skip
def test_each_wrong_table_has_one_clear_message(lines: list[str], said: str, table: Callable[..., Path]) -> None:
    found = refused(table(*lines))
    assert said in found
    assert len(found.splitlines()) == 1


def test_another_encoding_is_refused(table: Callable[..., Path]) -> None:
    assert "row 2 is not text in UTF-8; save it as CSV in UTF-8" in refused(table("name", "Küche", encoding="latin-1"))
    assert "not text" in refused(table("name", "Counter", encoding="utf-16"))


def test_ten_thousand_rows_are_refused(table: Callable[..., Path]) -> None:
    assert "has 10,000 rows; allowed: up to 2,000" in refused(table("name", *(f"box {n}" for n in range(10_000))))


def test_merged_cells_formulas_and_dates_of_a_workbook_are_refused(tmp_path: Path) -> None:
    def change(sheet: Any) -> None:
        sheet.merge_cells("A2:A3")
        sheet["C2"] = "=1+1"

    path = workbook(
        tmp_path / "b.xlsx",
        [["name", "cables", "gangs"], ["a", "14/2", 1], ["b", datetime.date(2026, 1, 2), 1]],
        change,
    )
    said = refused(path)
    assert 'sheet "Sheet", row 2, column A is merged (A2:A3)' in said
    assert "row 2, column C is a formula: =1+1" in said
    assert "row 3, column B is a date: 2026-01-02" in said


def test_a_workbook_with_several_sheets_needs_one_of_the_lists_name(tmp_path: Path) -> None:
    def second(sheet: Any) -> None:
        sheet.parent.create_sheet("Other")

    path = workbook(tmp_path / "b.xlsx", [["name"], ["a"]], second)
    assert 'has sheets "Sheet", "Other"; allowed: one sheet, or one named "boxes"' in refused(path)

    def named(sheet: Any) -> None:
        second(sheet)
        sheet.title = "Boxes"

    assert import_parts(EMPTY, "boxes", workbook(tmp_path / "c.xlsx", [["name"], ["a"]], named)).boxes[0].name == "a"


def test_files_that_are_no_spreadsheets(tmp_path: Path) -> None:
    (tmp_path / "a.xlsx").write_bytes(b"not a zip")
    (tmp_path / "a.ods").write_bytes(b"x")
    assert "not a workbook" in refused(tmp_path / "a.xlsx")
    assert "save it as one of .csv, .xlsx" in refused(tmp_path / "a.ods")
    assert "does not exist" in refused(tmp_path / "none.csv")
    with zipfile.ZipFile(tmp_path / "bomb.xlsx", "w", zipfile.ZIP_DEFLATED) as bomb:
        bomb.writestr("xl/worksheets/sheet1.xml", b"0" * 60_000_000)
    assert "unpacks to 60,000,000 bytes" in refused(tmp_path / "bomb.xlsx")


def test_a_partial_import_imports_nothing(table: Callable[..., Path]) -> None:
    job = job_of([{"name": "old"}])
    with pytest.raises(JobError):
        import_parts(job, "boxes", table("name,gangs", "good,1", "bad,99"), add=True)
    assert [box.name for box in job.boxes] == ["old"]


def test_a_text_that_a_spreadsheet_would_run_is_no_formula(tmp_path: Path) -> None:
    job = job_of([{"name": "=1+1"}])
    with pytest.raises(JobError, match="would take it as a formula"):
        export_parts(job, "boxes", tmp_path / "a.csv")
    path = export_parts(job, "boxes", tmp_path / "a.xlsx")
    assert openpyxl.load_workbook(path).active["A2"].data_type == "s"
    assert import_parts(EMPTY, "boxes", path).boxes[0].name == "=1+1"


def test_export_never_overwrites(tmp_path: Path) -> None:
    export_parts(EMPTY, "boxes", tmp_path / "a.csv")
    with pytest.raises(JobError, match="exists already"):
        export_parts(EMPTY, "boxes", tmp_path / "a.csv")
    with pytest.raises(KeyError, match="no list of a job"):
        export_parts(EMPTY, "code", tmp_path / "b.csv")
