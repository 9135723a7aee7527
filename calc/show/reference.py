"""The page of a family in the reference: its words, and the small job that it works. The family's notebook opens with it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache
from pathlib import Path

from calc.families import families
from calc.job import Job, parse_job
from calc.wiring.house import House
from calc.work import Sheet
from calc.work.forms import CheckForm, LineForm, SheetForm
from calc.work.keys import stem_of

BLANK = re.compile(r"{{ ([^{}|]+?)(?: \| (\w+))? }}")
_JOB = re.compile(r"```toml\n(.*?)```", re.DOTALL)


@cache
def _folder() -> Path:
    """templates/site, inside the package of an install and beside it in a clone."""
    package = Path(__file__).resolve().parents[1]
    return next(f for base in (package, package.parent) if (f := base / "templates" / "site").is_dir())


def page_of(family: str) -> str:
    """The words of a family's page, with its job and its blanks; '' for a family that has none."""
    path = _folder() / "families" / f"{family}.md"
    return path.read_text(encoding="utf-8") if path.exists() else ""


def job_of(page: str) -> Job:
    """The small job that stands in a page."""
    return parse_job(_JOB.findall(page)[0].encode())


@cache
def small_house(family: str, edition: str) -> House:
    """The small job of a family's page as a house, under an edition."""
    return House.of(job_of(page_of(family)), edition)


def small_sheets(family: str, edition: str) -> list[Sheet]:
    """The sheets of the small job."""
    return families()[family].work(small_house(family, edition))


def part_of(sheets: Sequence[SheetForm], key: str) -> LineForm | CheckForm:
    """The line or check of a key, with or without its item, on the last sheet that has one. KeyError where none has."""
    found: list[LineForm | CheckForm] = [part for sheet in sheets for part in sheet["lines"]]
    found += [part for sheet in sheets for part in sheet["checks"]]
    named = [part for part in found if part["key"] == key] or [p for p in found if stem_of(p["key"]) == key]
    if not named:
        raise KeyError(f"no line or check '{key}'")
    return named[-1]
