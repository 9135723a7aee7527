"""Lists of a job as tables: fifty boxes are quicker entered in a spreadsheet than one by one.

    export_parts(job, "boxes", "boxes.xlsx")      a row an entry, a column a field; with no entries, an empty form
    job = import_parts(job, "boxes", "boxes.csv") all of it, or nothing and every reason at once
    job = copied(job, "boxes", "Bedroom 1, window wall", ["Bedroom 1, closet wall", ...])

Columns are the field names of the job file, which end in their unit. A table inside an entry has numbered columns,
such as devices.1.kind and devices.1.wire. The file's ending says whether it is CSV or XLSX.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from copy import deepcopy
from pathlib import Path
from typing import Any

from calc.job.edit import changed
from calc.job.fields import CONFIRMED, MOST_ITEMS, Part, field_info, keys_of, parts_of, toml_value
from calc.job.grid import FORMATS, Grid, letters, read_grid
from calc.job.model import Job
from calc.job.places import Loc, steps
from calc.job.problems import JobError, Problem, file_error, nearest
from calc.job.texts import as_text, from_text
from calc.job.write import write_new
from calc.letters import FORMULA

MOST_INSIDE = 50
"""The highest number in a column such as devices.12.kind."""


def export_parts(job: Job, key: str, path: str | Path) -> Path:
    """Write the entries of a list of the job, such as 'boxes', as a table. JobError when it can't be written."""
    where = Path(path)
    if where.suffix.lower() not in FORMATS:
        raise file_error(where, "is no kind of spreadsheet", f"end its name with one of {', '.join(FORMATS)}")
    part = _list_of(key)
    rows = [dict(_cells(part, entry)) for entry in job.data.get(key, [])]
    present = {column for row in rows for column in row}
    columns = [column for column in _columns(part, present) if not rows or column in present]
    table = [[row.get(column, "") for column in columns] for row in rows]
    raw = _as_csv(where, columns, table) if where.suffix.lower() == ".csv" else _as_xlsx(part, key, columns, table)
    write_new(where, raw)
    return where


def import_parts(job: Job, key: str, path: str | Path, add: bool = False) -> Job:
    """The job with the table's entries in place of its own, or, with ``add``, after them.

    JobError names sheet, row and column of everything that is wrong; then nothing was taken in.
    """
    part = _list_of(key)
    grid = read_grid(Path(path), key)
    if len(grid.rows) - 1 > MOST_ITEMS:
        raise JobError([grid.problem(0, "", f"has {len(grid.rows) - 1:,} rows", f"up to {MOST_ITEMS:,}")])
    columns = heading(grid, part)
    entries = [(number, entry_of(part, columns, cells)) for number, cells in grid.rows[1:]]
    if not entries and (here := job.data.get(key)):
        raise JobError([grid.problem(0, "", f"holds a heading alone, and the job has {len(here):,} {key}",
                                     "a row for each entry", "to take them all out, do so in the job file")])  # fmt: skip
    kept = list(job.data.get(key, [])) if add else []
    try:
        return changed(job, {key: [*kept, *(entry for _, entry in entries)]})
    except JobError as error:
        places: dict[Loc, int] = {(key, at): number for at, (number, _) in enumerate(entries, len(kept))}
        raise JobError([_placed(grid, places, problem) for problem in error.problems]) from None


def copied(job: Job, key: str, name: str, names: Iterable[str]) -> Job:
    """The job with the entry of that name copied to new names, each after the one before. KeyError without it."""
    _list_of(key)
    entries: Sequence[Mapping[str, Any]] = job.data.get(key, [])
    at = next((at for at, entry in enumerate(entries) if entry.get("name") == name), None)
    if at is None:
        known = ", ".join(str(entry.get("name")) for entry in entries) or "none"
        raise KeyError(f"no {name!r} in {key}; there are: {known}")
    copies = [{**deepcopy(dict(entries[at])), "name": new} for new in names]
    return changed(job, {key: [*entries[: at + 1], *copies, *entries[at + 1 :]]})


def _list_of(key: str) -> type[Part]:
    part, many = parts_of(Job).get(key, (Job, False))
    if not many:
        lists = ", ".join(name for name, (_, several) in parts_of(Job).items() if several)
        raise KeyError(f"{key!r} is no list of a job; there are: {lists}")
    return part


def _cells(part: type[Part], entry: Mapping[str, Any], front: str = "") -> Iterator[tuple[str, Any]]:
    """An entry as columns and their cells, tables inside it numbered."""
    inside = parts_of(part)
    for name, value in entry.items():
        inner, many = inside.get(name, (part, False))
        if name in inside and many:
            for number, one in enumerate(value, 1):
                yield from _cells(inner, one, f"{front}{name}.{number}.")
        elif name in inside:
            yield from _cells(inner, value, f"{front}{name}.")
        else:
            yield front + name, value


def _columns(part: type[Part], present: set[str], front: str = "") -> Iterator[str]:
    """All columns, the name first; tables inside as often as present, once in an empty form. Confirmed: where present."""
    inside = parts_of(part)
    own = [CONFIRMED] if front + CONFIRMED in present else []
    for name in [*sorted(keys_of(part), key=lambda field: field != "name"), *own]:
        inner, many = inside.get(name, (part, False))
        if name not in inside:
            yield front + name
        elif not many:
            yield from _columns(inner, present, f"{front}{name}.")
        else:
            begin = f"{front}{name}."
            numbers = [int(column[len(begin) :].partition(".")[0]) for column in present if column.startswith(begin)]
            for number in range(1, max(numbers, default=1) + 1):
                yield from _columns(inner, present, f"{begin}{number}.")


def _as_csv(path: Path, columns: Sequence[str], table: Sequence[Sequence[Any]]) -> bytes:
    """CSV with a mark that tells a spreadsheet that it is UTF-8. A text that it would run as a formula is refused."""
    for row in table:
        for column, cell in zip(columns, row, strict=True):
            if isinstance(cell, str) and cell.startswith(FORMULA):
                raise file_error(path, f'can\'t hold {column} {toml_value(cell)}: a spreadsheet would take it as a formula',
                                 "give it another beginning, or export to .xlsx")  # fmt: skip
    out = io.StringIO()
    csv.writer(out).writerows([columns, *([as_text(cell) for cell in row] for row in table)])
    return out.getvalue().encode("utf-8-sig")


def _as_xlsx(part: type[Part], key: str, columns: Sequence[str], table: Sequence[Sequence[Any]]) -> bytes:
    """One sheet with its heading kept in view; numbers as numbers, all else as text, so that 1/2 stays no date."""
    import openpyxl
    from openpyxl.styles import Font

    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = key
    sheet.freeze_panes = "B2"
    for at, column in enumerate(columns, 1):
        cells = [column, *(row[at - 1] for row in table)]
        for number, value in enumerate(cells, 1):
            cell = sheet.cell(number, at)
            if isinstance(value, int | float) and not isinstance(value, bool):
                cell.value = value
            elif value != "":
                cell.value, cell.data_type, cell.number_format = as_text(value), "s", "@"
        sheet.cell(1, at).font = Font(bold=True)
        widest = max(len(as_text(value)) for value in cells)
        sheet.column_dimensions[letters(at)].width = min(max(widest + 2, 8), 48)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def heading(grid: Grid, part: type[Part], beside: Sequence[str] = ()) -> list[str]:
    """The columns by name; ``beside`` are those that may stand there besides the fields of a part, and have to.

    JobError for names that the model lacks, that stand twice, or that are missing.
    """
    if not grid.rows:
        raise JobError([grid.problem(0, "", "is empty", "a heading of field names, then a row for each entry")])
    number, cells = grid.rows[0]
    names = [cell.strip() for cell in cells]
    widest = max(len(row) for _, row in grid.rows)
    names += [""] * (widest - len(names))
    wrong = []
    for at, name in enumerate(names, 1):
        filled = [row for row, texts in grid.rows[1:] if at <= len(texts) and texts[at - 1].strip()]
        if not name and filled:
            wrong.append(grid.problem(filled[0], letters(at), "stands under no heading", "a field name in row 1"))
        elif name and name in names[: at - 1]:
            wrong.append(grid.problem(number, letters(at), f"is {name}, as another column is", "each name once"))
        elif name and name not in beside and not _known(part, name):
            wrong.append(_unknown(grid, number, at, name, part))
    needed = [*beside, *(f for f in part.model_fields if field_info(part, f).required)]
    missing = [f for f in needed if f not in names]
    wrong += [
        grid.problem(number, "", f"has no column {name}, which each {part.__name__.lower()} needs") for name in missing
    ]
    if wrong:
        raise JobError(wrong)
    return names


def _known(part: type[Part], column: str) -> bool:
    """Whether the model has this column."""
    name, dot, rest = column.partition(".")
    inner, many = parts_of(part).get(name, (None, False))
    if inner is None:
        return not dot and name in part.model_fields
    if many:
        number, dot, rest = rest.partition(".")
        if not (number.isdigit() and 1 <= int(number) <= MOST_INSIDE):
            return False
    return bool(rest) and _known(inner, rest)


def _unknown(grid: Grid, number: int, at: int, name: str, part: type[Part]) -> Problem:
    known = list(_columns(part, set()))
    near = nearest(name, known)
    allowed = "" if near else ", ".join(column for column in known if "." not in column)
    return grid.problem(number, letters(at), f"is {name[:60]!r}, which is no field of {part.__name__.lower()}", allowed,
                        f"did you mean {near}?" if near else "")  # fmt: skip


def entry_of(part: type[Part], columns: Sequence[str], cells: Sequence[str]) -> dict[str, Any]:
    """A row as an entry of the job file; empty cells say nothing."""
    found: dict[str, Any] = {}
    for column, cell in zip(columns, cells, strict=False):
        if column and cell.strip():
            _put(found, part, column, cell)
    return found


def _put(into: dict[str, Any], part: type[Part], column: str, cell: str) -> None:
    name, _, rest = column.partition(".")
    inner, many = parts_of(part).get(name, (part, False))
    if name not in parts_of(part):
        into[name] = from_text(cell, part, name)
    elif not many:
        _put(into.setdefault(name, {}), inner, rest, cell)
    else:
        number, _, rest = rest.partition(".")
        entries = into.setdefault(name, [])
        while len(entries) < int(number):
            entries.append({})
        _put(entries[int(number) - 1], inner, rest, cell)


def _placed(grid: Grid, places: Mapping[Loc, int], problem: Problem) -> Problem:
    """A problem of the job, told by the row and the column that it came from."""
    loc = steps(problem.at)
    row = places.get(loc[:2])
    if row is None:
        return problem
    cell = loc[2:-1] if isinstance(loc[-1], int) else loc[2:]  # an item of a list stands in the list's own cell
    column = ".".join(str(step + 1 if isinstance(step, int) else step) for step in cell)
    return grid.problem(row, column, problem.read, problem.allowed, problem.hint)
