"""Between what a person types in a form and what a job file says, by the job model's own field declarations."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from calc.job import Job
from calc.job.fields import Part, field_info, parts_of
from calc.job.texts import as_text, from_text, is_list

Group = tuple[str, tuple[str, ...]]  # where the part stands in the job, and the fields to show


def part_at(at: str) -> tuple[type[Part], bool]:
    """The type of the part at a place such as 'dwelling' or 'dwelling.units', and whether it is a list."""
    part: type[Part] = Job
    many = False
    for key in at.split("."):
        part, many = parts_of(part)[key]
    return part, many


def described(groups: Sequence[Group]) -> list[dict[str, Any]]:
    """What the form draws: each group with its title and its fields, as JSON."""
    found = []
    for at, names in groups:
        part, many = part_at(at)
        outer = at.rpartition(".")[0]
        title = field_info(part_at(outer)[0] if outer else Job, at.rpartition(".")[2]).title
        found.append({"title": title, "at": at, "list": many, "fields": [_field(part, name) for name in names]})
    return found


def _field(part: type[Part], name: str) -> dict[str, Any]:
    facts = field_info(part, name)
    return {
        "key": name,
        "label": facts.title,
        "unit": facts.unit,
        "help": facts.help,
        "required": facts.required,
        "standard": "" if isinstance(facts.default, Part) else as_text(facts.default),
        "choices": ["yes", "no"]
        if facts.kind == "yes or no"
        else []
        if is_list(facts)
        else [str(c) for c in facts.choices],
        "number": facts.kind in ("number", "whole number"),
        "type": "date" if facts.kind == "date" else "text",
    }


def texts(data: dict[str, Any], groups: Sequence[Group]) -> dict[str, str]:
    """Each shown place of a job's data as text, and how many entries each list has."""
    said: dict[str, str] = {}
    for at, names in groups:
        here = _at(data, at)
        if part_at(at)[1]:
            entries = here if isinstance(here, list) else []
            said[f"{at}.count"] = len(entries)  # type: ignore[assignment]
            for number, entry in enumerate(entries, 1):
                said |= {f"{at}[{number}].{name}": as_text(entry.get(name)) for name in names}
        else:
            table = here if isinstance(here, dict) else {}
            said |= {f"{at}.{name}": as_text(table.get(name)) for name in names}
    return said


def _at(data: dict[str, Any], at: str) -> Any:
    here: Any = data
    for key in at.split("."):
        here = here.get(key, {}) if isinstance(here, dict) else {}
    return here


def pasted(text: str, at: str, names: Sequence[str]) -> list[dict[str, Any]]:
    """Rows copied from a spreadsheet, tabs between cells. A first row of field names or labels sets the columns."""
    part, _ = part_at(at)
    rows = [line.split("\t") for line in text.splitlines() if line.strip()]
    labels = {field_info(part, name).title.lower(): name for name in names} | {name: name for name in names}
    columns = list(names)
    heading = [labels.get(cell.strip().lower().partition(",")[0]) for cell in rows[0]] if rows else []
    if heading and all(heading):
        columns, rows = [str(name) for name in heading], rows[1:]
    entries = []
    for row in rows:
        entry = {name: from_text(cell, part, name) for name, cell in zip(columns, row, strict=False)}
        entries.append({name: value for name, value in entry.items() if value is not None})
    return entries
