"""Where something of a job is entered: the page whose form shows it, and the place there."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any

from calc.job.forms import Group, form_of, forms, recorded_in
from calc.job.model import field_at, part_at
from calc.job.places import around, keys, value_at
from calc.show.entries import spread
from calc.show.notebooks import Notebook, notebooks_of
from calc.verdict.standing import Open
from calc.work import Sheet
from calc.work.forms import SheetForm


def entry_of(each: Open, sheet: SheetForm, data: dict[str, Any], groups: Sequence[Group]) -> str:
    """The entry behind what does not pass: the one that is missing, the one it is about, or one the sheet rests on."""
    given = next((given["at"] for given in sheet["givens"] if _is_place(given["at"])), "")
    return each.at or entry_named(each.about, data, groups) or given


def page_with(at: str, family: str, pages: Sequence[Notebook]) -> tuple[str, str]:
    """The file of the page whose form shows a place, a family's own before others, and the place; '' where none does.

    Of a place that no form shows, the family's page.
    """
    files = {page.family: page.file for page in reversed(pages)}
    found = next((name for name in (family, *forms()) if name in files and _shows(name, at)), "")
    return (files[found], at) if found else (files.get(family, ""), "")


@cache
def pages_of(folder: Path = Path()) -> tuple[Notebook, ...]:
    """The pages of a working folder: read once, for they don't change while one of them is open."""
    return tuple(notebooks_of(folder))


def about(each: Open, sheets: Sequence[Sheet]) -> SheetForm:
    """The sheet that something which does not pass stands on, in its public form."""
    return next(sheet for sheet in sheets if sheet.subject == each.about).as_json()


def _shows(family: str, at: str) -> bool:
    """Whether the form of a family has the place, or the entry around it."""
    if not at:
        return False
    here = [(table, field) for table, field in ((at, ""), (around(at), at.rpartition(".")[2])) if table]
    return any((".".join(keys(table)), field) in _places(family) for table, field in here)


@cache
def _places(family: str) -> frozenset[tuple[str, str]]:
    """What a person finds there by its place; what stands in another entry's record is looked for on its own page."""
    groups = spread(form_of(family))
    return frozenset((at, name) for at, names in groups if not recorded_in(at, groups) for name in ("", *names))


def entry_named(name: str, data: dict[str, Any], groups: Sequence[Group]) -> str:
    """The entry of that name in a list of the form."""
    for at, _ in groups:
        if "." not in at and part_at(at)[1]:
            for number, entry in enumerate(value_at(data, at) or [], 1):
                if isinstance(entry, dict) and entry.get("name") == name:
                    return f"{at}[{number}]"
    return ""


def _is_place(at: str) -> bool:
    try:
        field_at(at)
    except KeyError:  # carried from another sheet
        return False
    return True
