"""A whole job as one workbook: a sheet for its facts and one for each list, filled in in any order, with pickers.

    export_workbook(job, "house.xlsx")
    job = import_workbook(job, "house.xlsx")      all of it, or nothing and every reason at once, by sheet, row and column

The sheet `job` has a row for each entry that a house has once. Every list has a sheet of its name; a list inside an entry
has one too, `rooms.walls`, whose first columns say by name which entry each row belongs to. Cells offer what is allowed:
kinds, and the names that stand in other sheets.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from calc.job.edit import changed
from calc.job.fields import CONFIRMED, MOST_ITEMS, Part, field_info, keys_of, parts_of
from calc.job.forms import forms
from calc.job.grid import Grid, letters, read_grids
from calc.job.model import Job
from calc.job.places import Loc, steps
from calc.job.problems import JobError, Problem, file_error, nearest
from calc.job.sheets_io import entry_of, heading
from calc.job.texts import as_text, from_text, is_list
from calc.job.write import write_new

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

FACTS = "job"
ALLOWED = "allowed"
FACTS_HEADING = ("entry", "value", "unit", "what it is")
ROWS_WITH_PICKERS = 300
WIDEST = 40


@dataclass(frozen=True)
class _List:
    """A list of a job with the lists around it: rooms.counters.outlets stands in rooms and in counters."""

    keys: tuple[str, ...]
    part: type[Part]
    around: tuple[str, ...]

    @property
    def title(self) -> str:
        return ".".join(self.keys)

    @property
    def columns(self) -> list[str]:
        """Those that say where a row belongs, then the fields: the name, those of the forms, the rest."""
        inside = parts_of(self.part)
        shown = [name for form in forms().values() for at, names in form if at == self.title for name in names]
        fields = [
            *dict.fromkeys([*(["name"] if "name" in self.part.model_fields else []), *shown, *keys_of(self.part)])
        ]
        return [*self.around_columns, *(name for name in fields if name not in inside), CONFIRMED]

    @property
    def around_columns(self) -> list[str]:
        return [f"in {key}" for key in self.around]


def _lists(part: type[Part] = Job, keys: tuple[str, ...] = (), around: tuple[str, ...] = ()) -> Iterator[_List]:
    for name, (inner, many) in parts_of(part).items():
        path = (*keys, name)
        if many:
            yield _List(path, inner, around)
        yield from _lists(inner, path, (*around, name) if many else around)


def _facts(part: type[Part] = Job, front: str = "") -> Iterator[tuple[str, type[Part], str]]:
    """(place, table, field) of each entry that a house has once."""
    inside = parts_of(part)
    for name in keys_of(part):
        if name not in inside:
            yield f"{front}{name}", part, name
        elif not inside[name][1]:
            yield from _facts(inside[name][0], f"{front}{name}.")


# ---- out


def export_workbook(job: Job, path: str | Path) -> Path:
    """Write a job as a workbook. JobError when it can't be written."""
    import openpyxl

    where = Path(path)
    if where.suffix.lower() != ".xlsx":
        raise file_error(where, "is no workbook", "end its name with .xlsx")
    book = openpyxl.Workbook()
    allowed = book.create_sheet(ALLOWED)
    pickers = _Pickers(allowed)
    _write_facts(book.active, job, pickers)
    for each in _lists():
        _write_list(book.create_sheet(each.title, len(book.sheetnames) - 1), job, each, pickers)
    out = io.BytesIO()
    book.save(out)
    write_new(where, out.getvalue())
    return where


class _Pickers:
    """What may stand in a cell, offered when it is entered; what the trade says otherwise may be typed all the same."""

    def __init__(self, sheet: Worksheet) -> None:
        self.sheet = sheet
        self.columns = 0

    def put(self, on: Worksheet, cells: str, part: type[Part], name: str) -> None:
        from openpyxl.worksheet.datavalidation import DataValidation

        facts = field_info(part, name)
        lists = [path for path in facts.refers_to if not path.startswith(".")]
        choices = ("yes", "no") if facts.kind == "yes or no" else facts.choices
        formula = None
        if not is_list(facts) and choices:
            self.columns += 1
            for row, text in enumerate([f"{on.title}: {name}", *map(str, choices)], 1):
                _set(self.sheet, row, self.columns, text)
            column = letters(self.columns)
            formula = f"{ALLOWED}!${column}$2:${column}${len(choices) + 1}"
        elif not is_list(facts) and len(lists) == 1:
            formula = f"'{lists[0]}'!$A$2:$A${ROWS_WITH_PICKERS}"
        made = DataValidation(
            type="list" if formula else None, formula1=formula, allow_blank=True, showErrorMessage=False
        )
        made.promptTitle, made.prompt = facts.title[:32], f"{facts.help}. Allowed: {facts.allowed}"[:250]
        made.showInputMessage = True
        on.add_data_validation(made)
        made.add(cells)


def _write_facts(sheet: Worksheet, job: Job, pickers: _Pickers) -> None:
    sheet.title = FACTS
    _head(sheet, FACTS_HEADING)
    for row, (at, part, name) in enumerate(_facts(), 2):
        facts = field_info(part, name)
        value: Any = job.data
        for step in steps(at):
            value = value.get(step) if isinstance(value, dict) else None
        for column, cell in enumerate((at, value, facts.unit, facts.help), 1):
            _set(sheet, row, column, cell)
        pickers.put(sheet, f"B{row}", part, name)
    for letter, width in zip("ABCD", (34, 30, 10, 70), strict=True):
        sheet.column_dimensions[letter].width = width


def _write_list(sheet: Worksheet, job: Job, each: _List, pickers: _Pickers) -> None:
    _head(sheet, each.columns)
    for row, (names, entry) in enumerate(_entries(job.data, each.keys, Job), 2):
        for column, name in enumerate(each.columns, 1):
            value = names[column - 1] if column <= len(names) else entry.get(name)
            _set(sheet, row, column, value)
    for column, name in enumerate(each.columns, 1):
        cells = f"{letters(column)}2:{letters(column)}{ROWS_WITH_PICKERS}"
        if name in keys_of(each.part):
            pickers.put(sheet, cells, each.part, name)
        sheet.column_dimensions[letters(column)].width = min(max(len(name) + 2, 10), WIDEST)


def _entries(
    table: Mapping[str, Any], keys: Sequence[str], part: type[Part]
) -> Iterator[tuple[list[str], Mapping[str, Any]]]:
    """Each entry of a list with the names of the entries around it."""
    inner, many = parts_of(part)[keys[0]]
    value = table.get(keys[0])
    for entry in (value or []) if many else [value or {}]:
        if len(keys) == 1:
            yield [], entry
            continue
        for names, found in _entries(entry, keys[1:], inner):
            yield ([str(entry.get("name", "")), *names] if many else names), found


def _head(sheet: Worksheet, names: Sequence[str]) -> None:
    from openpyxl.styles import Font

    for column, name in enumerate(names, 1):
        _set(sheet, 1, column, name)
        sheet.cell(1, column).font = Font(bold=True)
    sheet.freeze_panes = "B2"


def _set(sheet: Worksheet, row: int, column: int, value: Any) -> None:
    """Numbers as numbers, all else as text, so that 1/2 stays no date and = no formula."""
    if value is None or value == "":
        return
    cell = sheet.cell(row, column)
    if isinstance(value, int | float) and not isinstance(value, bool):
        cell.value = value
    else:
        cell.value, cell.data_type, cell.number_format = as_text(value), "s", "@"


# ---- in


def import_workbook(job: Job, path: str | Path) -> Job:
    """The job as a workbook says it: facts and lists of the sheets that are there, all taken together.

    Lists whose sheets are missing stay as they are. JobError names sheet, row and column of everything that is wrong.
    """
    grids = {grid.sheet.lower(): grid for grid in read_grids(Path(path))}
    known = {each.title: each for each in _lists()}
    wrong = [_unknown_sheet(grid, known) for title, grid in grids.items() if title not in (*known, FACTS, ALLOWED)]
    taken = [each for title, each in known.items() if title in grids]
    before = _emptied(job.data, [each for each in taken if each.around])
    data = _emptied(before, [each for each in taken if not each.around])
    places: dict[Loc, tuple[Grid, int, dict[str, str]]] = {}
    if FACTS in grids:
        wrong += _take_facts(data, grids[FACTS], places)
    for title, each in known.items():
        if title in grids:
            wrong += _take_list(data, before, each, grids[title], places)
    try:
        read = changed(job, {key: data.get(key) for key in {*job.data, *data} if data.get(key) != job.data.get(key)})
    except JobError as error:
        wrong += [_placed(problem, places) for problem in error.problems]
    if wrong:
        raise JobError(dict.fromkeys(wrong))
    return read


def _unknown_sheet(grid: Grid, known: Mapping[str, _List]) -> Problem:
    near = nearest(grid.sheet, [*known, FACTS])
    return grid.problem(
        0,
        "",
        "is no list of a job",
        "" if near else ", ".join([FACTS, *known]),
        f"did you mean {near}?" if near else "",
    )


def _emptied(data: Mapping[str, Any], taken: Sequence[_List]) -> dict[str, Any]:
    """The job's data without the lists that the workbook brings. A list entered empty stays: it says that there is none."""
    kept = deepcopy(dict(data))
    for each in taken:
        for table in _tables(kept, each.keys[:-1], Job):
            if table.get(each.keys[-1]):
                del table[each.keys[-1]]
    return kept


def _tables(table: dict[str, Any], keys: Sequence[str], part: type[Part]) -> Iterator[dict[str, Any]]:
    if not keys:
        yield table
        return
    inner, many = parts_of(part)[keys[0]]
    value = table.get(keys[0])
    for entry in (value or []) if many else ([value] if value is not None else []):
        yield from _tables(entry, keys[1:], inner)


def _take_facts(data: dict[str, Any], grid: Grid, places: dict[Loc, Any]) -> Iterator[Problem]:
    known = {at: (part, name) for at, part, name in _facts()}
    heading_row = [cell.strip() for cell in grid.rows[0][1]] if grid.rows else []
    if tuple(heading_row[:2]) != FACTS_HEADING[:2]:
        yield grid.problem(1, "", "does not begin with entry and value", ", ".join(FACTS_HEADING))
        return
    for number, cells in grid.rows[1:]:
        at, text = (cells[n].strip() if n < len(cells) else "" for n in range(2))
        if at not in known:
            near = nearest(at, known)
            yield grid.problem(
                number, "entry (A)", f"is {at[:60]!r}, which no job has", "", f"did you mean {near}?" if near else ""
            )
            continue
        table, along = data, steps(at)
        for step in along[:-1]:
            if text or step in table:
                table = table.setdefault(str(step), {})
        value = from_text(text, *known[at]) if text else None
        if value is not None:
            table[str(along[-1])] = value
        elif table is not data:
            table.pop(str(along[-1]), None)
        places[along] = (grid, number, {"": "value (B)"})
    for name, (_, many) in parts_of(Job).items():
        if not many and data.get(name) == {} and not Job.model_fields[name].is_required():
            del data[name]


def _take_list(
    data: dict[str, Any], before: dict[str, Any], each: _List, grid: Grid, places: dict[Loc, Any]
) -> list[Problem]:
    if len(grid.rows) - 1 > MOST_ITEMS:
        return [grid.problem(0, "", f"has {len(grid.rows) - 1:,} rows", f"up to {MOST_ITEMS:,}")]
    if len(grid.rows) <= 1:
        here = sum(1 for _ in _entries(before, each.keys, Job))
        return [grid.problem(0, "", f"holds a heading alone, and the job has {here:,} {each.title}", "a row for each entry",
                             "to take them all out, do so in the job file")] if here else []  # fmt: skip
    try:
        columns = heading(grid, each.part, each.around_columns)
    except JobError as error:
        return list(error.problems)
    shown = {name: f"{name} ({letters(at)})" for at, name in enumerate(columns, 1) if name}
    wrong = []
    for number, cells in grid.rows[1:]:
        said = dict(zip(columns, cells, strict=False))
        names = [said.get(column, "").strip() for column in each.around_columns]
        found = _holder(data, each, names)
        if isinstance(found, str):
            column = next((c for c in each.around_columns if c == found), found)
            wrong.append(grid.problem(number, shown.get(column, column), f"is {said.get(column, '')[:60]!r}, which no entry there is called",
                                      "the name of one"))  # fmt: skip
            continue
        table, loc = found
        fields = [name if name not in each.around_columns else "" for name in columns]
        entry = _with_kept(entry_of(each.part, fields, cells), before, each, names)
        entries = table.setdefault(each.keys[-1], [])
        places[(*loc, each.keys[-1], len(entries))] = (grid, number, shown)
        entries.append(entry)
    return wrong


def _holder(data: dict[str, Any], each: _List, names: Sequence[str]) -> tuple[dict[str, Any], Loc] | str:
    """The table that holds a list, found by the names of the entries around it; else the column that names none."""
    table, at = data, 0
    loc: Loc = ()
    part: type[Part] = Job
    for key in each.keys[:-1]:
        part, many = parts_of(part)[key]
        if not many:
            table, loc = table.setdefault(key, {}), (*loc, key)
            continue
        entries = table.get(key, [])
        number = next((n for n, entry in enumerate(entries) if str(entry.get("name", "")) == names[at]), None)
        if number is None:
            return each.around_columns[at]
        table, loc, at = entries[number], (*loc, key, number), at + 1
    return table, loc


def _with_kept(entry: dict[str, Any], before: dict[str, Any], each: _List, names: Sequence[str]) -> dict[str, Any]:
    """An entry with the lists inside it that the job has under its name; sheets of their own take their place later."""
    old = next((found for around, found in _entries(before, each.keys, Job)
                if around == list(names) and found.get("name") is not None and found.get("name") == entry.get("name")), {})  # fmt: skip
    return entry | {key: deepcopy(old[key]) for key in parts_of(each.part) if key in old and key not in entry}


def _placed(problem: Problem, places: Mapping[Loc, tuple[Grid, int, dict[str, str]]]) -> Problem:
    """A problem of the job, told by the sheet, the row and the column that it came from."""
    loc = steps(problem.at)
    for end in range(len(loc), 0, -1):
        if loc[:end] in places:
            grid, row, shown = places[loc[:end]]
            rest = [str(step) for step in loc[end:] if isinstance(step, str)]
            column = shown.get("") or (shown.get(rest[0], rest[0]) if rest else "")
            return grid.problem(row, column, problem.read, problem.allowed, problem.hint)
    return problem
