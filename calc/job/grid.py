"""The cells of a spreadsheet as text, from CSV or XLSX: what a spreadsheet can hide is refused, with its place."""

from __future__ import annotations

import datetime
import io
import re
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from calc.intake import MOST_COLUMNS, NotTaken, rows_of, taken, text_of
from calc.job.problems import JobError, Problem, file_error, printable
from calc.job.texts import as_text

T = TypeVar("T")
FORMATS = (".csv", ".xlsx")
MOST_ROWS = 10_000
MOST_UNPACKED_BYTES = 20_000_000
"""The most that a workbook may unpack to: one of a hundred kilobytes can be made to fill any memory."""


@dataclass(frozen=True)
class Grid:
    """A table of text: its sheet ('' in CSV) and the rows that have anything in them, numbered as a person counts."""

    file: str
    sheet: str
    rows: list[tuple[int, list[str]]]

    def problem(self, row: int, column: str, read: str, allowed: str = "", hint: str = "") -> Problem:
        """Something wrong in a cell, a row (no column) or the whole table (row 0)."""
        sheet = f'sheet "{printable(self.sheet)}"' if self.sheet else ""
        where = [sheet, f"row {row}" if row else "", f"column {column}" if column else ""]
        return Problem(self.file, None, ", ".join(part for part in where if part), printable(read), allowed, hint)


def read_grid(path: Path, sheet: str) -> Grid:
    """The cells of a file; of a workbook with several sheets, those of the one named. JobError for all else."""
    if path.suffix.lower() not in FORMATS:
        raise file_error(path, "is no spreadsheet that can be read", f"save it as one of {', '.join(FORMATS)}")
    try:
        raw = taken(path, kind="table")
        return _csv(text_of(raw, "CSV"), path) if path.suffix.lower() == ".csv" else _xlsx(raw, path, sheet)
    except NotTaken as error:
        raise JobError(
            [Grid(printable(path), "", []).problem(error.line or 0, "", error.read, "", error.hint)]
        ) from None


def read_grids(path: Path) -> list[Grid]:
    """The cells of every sheet of a workbook. JobError names everything in them that a spreadsheet can hide."""
    if path.suffix.lower() != ".xlsx":
        raise file_error(path, "is no workbook that can be read", "save it as .xlsx")
    try:
        raw = taken(path, kind="table")
        return _guarded(path, lambda: _all_sheets(raw, path))
    except NotTaken as error:
        raise JobError(
            [Grid(printable(path), "", []).problem(error.line or 0, "", error.read, "", error.hint)]
        ) from None


def letters(column: int) -> str:
    """The name that a spreadsheet gives a column: 1 is A, 27 is AA."""
    name = ""
    while column:
        column, rest = divmod(column - 1, 26)
        name = chr(ord("A") + rest) + name
    return name


def _csv(text: str, path: Path) -> Grid:
    grid = Grid(printable(path), "", rows_of(text))
    first = grid.rows[0][1] if grid.rows else []
    if len(first) == 1 and any(sign in first[0] for sign in ";\t"):
        raise JobError([grid.problem(1, "", "has semicolons or tabs between its cells", "commas, or .xlsx")])
    rows = [(number, at, cell) for number, cells in grid.rows for at, cell in enumerate(cells, 1)]
    wrong = [_formula(grid, number, at, cell) for number, at, cell in rows if cell.startswith("=")]
    if wrong:
        raise JobError(wrong)
    return grid


def _xlsx(raw: bytes, path: Path, wanted: str) -> Grid:
    return _guarded(path, lambda: _workbook(raw, path, wanted))


def _guarded(path: Path, read: Callable[[], T]) -> T:
    try:
        return read()
    except (JobError, NotTaken):
        raise
    except Exception as error:  # the library has no error of its own: a broken workbook raises whatever it met
        raise file_error(path, "is not a workbook that can be read", f"save it as .xlsx again ({error})") from None


def _opened(raw: bytes) -> tuple[Any, zipfile.ZipFile]:
    """A workbook to be read row by row: a whole sheet is laid out as far as its last cell, however far off that is."""
    import openpyxl

    unpacked = zipfile.ZipFile(io.BytesIO(raw))
    size = sum(entry.file_size for entry in unpacked.infolist())
    if size > MOST_UNPACKED_BYTES:
        raise NotTaken(f"unpacks to {size:,} bytes", f"up to {MOST_UNPACKED_BYTES:,}")
    return openpyxl.load_workbook(io.BytesIO(raw), read_only=True), unpacked


def _all_sheets(raw: bytes, path: Path) -> list[Grid]:
    book, unpacked = _opened(raw)
    found = [_sheet(path, sheet, unpacked) for sheet in book.worksheets]
    if wrong := [problem for _, problems in found for problem in problems]:
        raise JobError(wrong)
    return [grid for grid, _ in found]


def _workbook(raw: bytes, path: Path, wanted: str) -> Grid:
    book, unpacked = _opened(raw)
    names = [sheet.title for sheet in book.worksheets]
    named = [sheet for sheet in book.worksheets if sheet.title.lower() == wanted]
    if not named and len(names) != 1:
        listed = ", ".join(f'"{name}"' for name in names)
        raise file_error(path, f"has sheets {listed}", f'allowed: one sheet, or one named "{wanted}"')
    grid, wrong = _sheet(path, (named or book.worksheets)[0], unpacked)
    if wrong:
        raise JobError(wrong)
    return grid


def _sheet(path: Path, sheet: Any, unpacked: zipfile.ZipFile) -> tuple[Grid, list[Problem]]:
    """The cells of one sheet, and what is wrong with them."""
    grid = Grid(printable(path), str(sheet.title), [])
    wrong = _merged(grid, unpacked.read(sheet._worksheet_path))
    sheet.reset_dimensions()  # what the file says of its size may be wrong
    for number, row in enumerate(sheet.iter_rows(), 1):
        if number > MOST_ROWS:
            raise NotTaken(f"has rows after row {MOST_ROWS:,}", "delete the rows below the table, empty ones too")
        if len(row) > MOST_COLUMNS:
            raise NotTaken(
                f"has columns after column {letters(MOST_COLUMNS)}", "delete the columns beside the table", number
            )
        wrong += [found for cell in row if (found := _hidden(grid, number, cell)) is not None]
        cells = [_text(cell.value) for cell in row]
        if any(cell.strip() for cell in cells):
            grid.rows.append((number, cells))
    return grid, wrong


def _merged(grid: Grid, sheet: bytes) -> list[Problem]:
    """The cells of a sheet, as it is packed in a workbook, that were put together."""
    found = []
    for ref in re.findall(rb"<mergeCell\s[^>]*?ref=\"([A-Z]+[0-9]+:[A-Z]+[0-9]+)\"", sheet):
        column, row = re.findall(r"[A-Z]+|[0-9]+", ref.decode())[:2]
        found.append(grid.problem(int(row), column, f"is merged ({ref.decode()})", "one cell for each entry"))
    return found


def _text(value: Any) -> str:
    return as_text(value if value is None or isinstance(value, bool | int | float) else str(value))


def _hidden(grid: Grid, number: int, cell: Any) -> Problem | None:
    """What a cell shows but doesn't hold: a formula's result, or a date that was typed as 1/2."""
    if cell.data_type == "f":
        return _formula(grid, number, cell.column, str(cell.value))
    if isinstance(cell.value, datetime.date | datetime.time):
        hint = "format the column as text and write it again"
        return grid.problem(number, letters(cell.column), f"is a date: {cell.value}", "text", hint)
    return None


def _formula(grid: Grid, number: int, column: int, said: str) -> Problem:
    return grid.problem(number, letters(column), f"is a formula: {said[:40]}", "its value")
