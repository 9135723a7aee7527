"""A job as one workbook: there and back the same, entered in any order, every fault told by its cell at once."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from click.testing import CliRunner

from calc.cli import main
from calc.job import Job, JobError, export_workbook, import_workbook, new_job, parse_job, read_job, starters
from calc.verdict.standing import standing
from calc.wiring.house import House

ROOT = Path(__file__).parents[2]
EMPTY = parse_job(b'[code]\nedition = "2023"\n[job]\nname = "A house"\n')


def changed_book(path: Path, change: Callable[[Any], None]) -> Path:
    book = openpyxl.load_workbook(path)
    change(book)
    book.save(path)
    return path


def refused(job: Job, path: Path) -> list[str]:
    with pytest.raises(JobError) as error:
        import_workbook(job, path)
    return [str(problem) for problem in error.value.problems]


def at(sheet: Any, name: str) -> int:
    return next(cell.column for cell in sheet[1] if cell.value == name)


@pytest.mark.parametrize("name", ["fernhollow-lot-14", "cask-lane-27", "tinkers-row-4"])
def test_a_house_goes_out_and_comes_back_the_same(tmp_path: Path, name: str) -> None:
    job = read_job(ROOT / "notebooks" / "jobs" / f"{name}.toml")
    path = export_workbook(job, tmp_path / "house.xlsx")
    assert import_workbook(job, path).model_dump() == job.model_dump()
    assert import_workbook(EMPTY, path).model_dump() == job.model_dump()


@pytest.mark.parametrize("name", starters())
def test_a_starter_goes_out_and_comes_back_the_same(tmp_path: Path, name: str) -> None:
    job = parse_job(new_job("A house", name).encode())
    assert import_workbook(EMPTY, export_workbook(job, tmp_path / "h.xlsx")).model_dump() == job.model_dump()


def test_a_house_is_entered_in_an_empty_workbook_in_any_order(tmp_path: Path) -> None:
    """Circuits name panels and rooms of sheets that come later: all sheets are taken together."""
    path = export_workbook(EMPTY, tmp_path / "house.xlsx")

    def fill(book: Any) -> None:
        def row(title: str, **cells: Any) -> None:
            sheet = book[title]
            number = sheet.max_row + 1
            for name, value in cells.items():
                sheet.cell(
                    number, at(sheet, name.replace("in_", "in ", 1) if name.startswith("in_r") else name)
                ).value = value

        row("circuits", name="Bedrooms", panel="Panel", poles=1, breaker_a=15, breaker_type="AFCI", cable="14/2 NM",
            rooms="Bed, Den", purpose="general", outlets="receptacles, lighting")  # fmt: skip
        row("rooms.outlets", in_rooms="Bed", wall="north", at_ft="5 ft 6 in", circuit="Bedrooms")
        row("rooms.walls", in_rooms="Bed", name="north", length_ft=11)
        row("rooms", name="Den", use="den")
        row("rooms", name="Bed", use="bedroom")
        row("panels", name="Panel", bus_a=200, spaces=40)
        row("loads", name="Heater", kind="space-heat", load_va="1.5 kW", volts=240, room="Den")
        book._sheets.reverse()

    job = import_workbook(EMPTY, changed_book(path, fill))
    assert job.circuits[0].rooms == ("Bed", "Den")
    assert job.circuits[0].breaker_type == "arc-fault"
    assert job.room("Bed").outlets[0].at_ft == 5.5
    assert job.load("Heater").load_va == 1500
    assert standing(House.of(job)).sheets


def test_every_fault_is_told_by_its_cell_at_once_and_nothing_is_taken(tmp_path: Path) -> None:
    job = read_job(ROOT / "notebooks" / "jobs" / "fernhollow-lot-14.toml")
    path = export_workbook(job, tmp_path / "house.xlsx")

    def spoil(book: Any) -> None:
        book["loads"].cell(2, at(book["loads"], "load_va")).value = "many"
        book["circuits"].cell(3, at(book["circuits"], "panel")).value = "Indoor pannel"
        book["rooms.walls"].cell(4, 1).value = "Nowhere"
        book["job"].cell(2, 2).value = "1999"
        book["job"].cell(3, 1).value = "code.editon"
        book["boxes"].cell(2, at(book["boxes"], "marked_in3")).value = "=1+1"
        book.create_sheet("lodas")

    hidden = refused(job, changed_book(path, spoil))
    assert len(hidden) == 1
    assert "is a formula" in hidden[0]
    book = openpyxl.load_workbook(path)
    book["boxes"].cell(2, at(book["boxes"], "marked_in3")).value = 18
    book.save(path)
    found = refused(job, path)
    letter = openpyxl.utils.get_column_letter(at(openpyxl.load_workbook(path)["loads"], "load_va"))
    for said in (
        f'sheet "loads", row 2, column load_va ({letter}) is "many"',
        'sheet "circuits", row 3, column panel',
        "sheet \"rooms.walls\", row 4, column in rooms (A) is 'Nowhere', which no entry there is called",
        'sheet "job", row 2, column value (B) is "1999"',
        "row 3, column entry (A) is 'code.editon', which no job has; did you mean code.edition?",
        'sheet "lodas" is no list of a job; did you mean loads?',
    ):
        assert any(said in line for line in found), (said, found)
    assert len(found) <= 10, "one line for each, and no others because of them"


def test_cells_offer_what_is_allowed(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(export_workbook(EMPTY, tmp_path / "house.xlsx"))
    loads, allowed = book["loads"], book["allowed"]
    by_cell = {str(v.sqref).split(":")[0].rstrip("0123456789"): v for v in loads.data_validations.dataValidation}
    kind = by_cell[openpyxl.utils.get_column_letter(at(loads, "kind"))]
    column = next(cell.column for cell in allowed[1] if cell.value == "loads: kind")
    offered = [
        allowed.cell(row, column).value for row in range(2, allowed.max_row + 1) if allowed.cell(row, column).value
    ]
    assert {"range", "ev-supply", "heat-pump"} <= set(offered)
    assert (
        kind.formula1
        == f"allowed!${openpyxl.utils.get_column_letter(column)}$2:${openpyxl.utils.get_column_letter(column)}${len(offered) + 1}"
    )
    room = by_cell[openpyxl.utils.get_column_letter(at(loads, "room"))]
    assert room.formula1.startswith("'rooms'!$A$2")
    assert not kind.showErrorMessage, "what the trade says otherwise may be typed"
    assert "nameplate" in by_cell[openpyxl.utils.get_column_letter(at(loads, "load_va"))].prompt


def test_what_has_no_sheet_stays_and_a_sheet_left_empty_takes_nothing_away(tmp_path: Path) -> None:
    job = read_job(ROOT / "notebooks" / "jobs" / "fernhollow-lot-14.toml")
    path = export_workbook(job, tmp_path / "house.xlsx")

    def cut(book: Any) -> None:
        for title in ("rooms.walls", "boxes", "boxes.devices", "job"):
            del book[title]

    assert import_workbook(job, changed_book(path, cut)).model_dump() == job.model_dump()
    changed_book(path, lambda book: book["alarms"].delete_rows(2, 99))
    assert "holds a heading alone, and the job has 2 alarms" in refused(job, path)[0]


@pytest.mark.parametrize(
    "text", ["=HYPERLINK(1)", "+1-2", "<script>", "Bed\x1b[31m".replace("\x1b", "^"), "a'b\"c", "[[x]]"]
)
def test_a_hostile_name_stays_text(tmp_path: Path, text: str) -> None:
    job = parse_job(new_job("A house", "bathroom").encode())
    from calc.job import changed

    named = changed(job, {"boxes[1].name": text})
    path = export_workbook(named, tmp_path / "h.xlsx")
    sheet = openpyxl.load_workbook(path)["boxes"]
    assert (sheet["A2"].value, sheet["A2"].data_type) == (text, "s")
    assert import_workbook(EMPTY, path).boxes[0].name == text


def test_the_command_takes_a_workbook_both_ways(tmp_path: Path) -> None:
    file, book = tmp_path / "house.toml", tmp_path / "house.xlsx"
    file.write_text(new_job("A house", "kitchen"))
    assert CliRunner().invoke(main, ["table", str(file), "--workbook", str(book)]).exit_code == 0
    changed_book(book, lambda made: made["loads"].cell(2, at(made["loads"], "load_va")).__setattr__("value", 13000))
    said = CliRunner().invoke(main, ["table", str(file), "--workbook", str(book), "--read"])
    assert said.exit_code == 0, said.output
    assert read_job(file).load("Range").load_va == 13000
    assert "# change: nameplate" in file.read_text(), "comments are kept"
    for wrong in (
        ["--workbook", str(book), "--add"],
        ["boxes", str(book), "--workbook", str(book)],
        ["boxes"],
        ["--workbook", "h.csv"],
    ):
        assert CliRunner().invoke(main, ["table", str(file), *wrong]).exit_code == 2
