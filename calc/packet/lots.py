"""One job, many lots: a table with a row a lot, each cell a place in the job file, and named options as overlays."""

from __future__ import annotations

import hashlib
import json
import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from calc.intake import NotTaken, taken, text_of, toml_of
from calc.job import Job, JobError, changed, parse_job
from calc.job.grid import read_grid
from calc.job.model import field_at
from calc.job.read import read_bytes
from calc.job.texts import from_text
from calc.job.write import rewritten

OPTIONS = "options"
CARD = ("job.address", "job.permit_number")
"""What is a lot's own, and in no annex that it shares."""
MOST_ROWS = 5000
_BY_NAME = re.compile(r"(\w+)\[([^\]]*[^\]\d+][^\]]*)\]")


class LotsError(Exception):
    """A table of lots can't be used. Each line names the file, the row and the column."""


@dataclass(frozen=True)
class Lot:
    """A row that makes a job. Its job file is written when it is asked for: that takes longer than to look at the row."""

    name: str
    where: str
    write: Callable[[], bytes]
    variant: str
    """The same for lots that differ in nothing but who and where they are: they share an annex."""
    plan: Callable[[], bytes]
    """The job file of that annex: this lot's without its address and permit number, under a name of its own."""


def lots(job_path: Path, table: Path, options: Path | None = None) -> list[Lot]:
    """Each lot of a table, all of them looked at: LotsError tells of every bad row at once.

    A column's heading is a place such as `job.name`, `dwelling.floor_area_ft2` or `loads[Range].load_va`; an empty
    cell leaves the job's own value. The column `options` names overlays of the options file, commas between them.
    """
    raw = read_bytes(job_path)
    job = parse_job(raw, job_path)
    overlays = _overlays(options) if options else {}
    wrong: list[str] = []
    found: list[Lot] = []
    for number, row in rows(table):
        where = f"{table.name}, row {number}"
        try:
            variant, plan = _variant(job, row)
            found.append(
                Lot(_lot(job, row, overlays).job.name, where, partial(_written, job, raw, job_path, row, overlays), variant,
                    partial(_written, job, raw, job_path, plan, overlays, CARD))
            )  # fmt: skip
        except (JobError, KeyError, ValueError) as error:
            wrong.append(f"{where}: {_said(error)}")
    names = Counter(lot.name for lot in found)
    wrong += [f"{table.name}: two lots are named '{name}'" for name, number in names.items() if number > 1]
    if wrong:
        raise LotsError("\n".join(wrong))
    return found


def rows(table: Path) -> Iterator[tuple[int, dict[str, str]]]:
    """The rows of a CSV or XLSX table by heading, each with its number as a person counts it."""
    try:
        grid = read_grid(table, "lots")
    except JobError as error:  # no job's fault: without its table there is no batch
        raise LotsError(str(error)) from None
    if not grid.rows:
        raise LotsError(f"{table.name}: has no headings; the first row names a place of the job file in each column")
    if len(grid.rows) > MOST_ROWS:
        raise LotsError(f"{table.name}: has {len(grid.rows) - 1:,} rows; allowed: up to {MOST_ROWS - 1:,}")
    heads = [head.strip() for head in grid.rows[0][1]]
    for number, row in grid.rows[1:]:
        if any(cell.strip() for cell in row[len(heads) :]):
            raise LotsError(f"{table.name}, row {number}: has more cells than there are headings")
        yield number, {head: cell.strip() for head, cell in zip(heads, row, strict=False) if head}


def _overlays(path: Path) -> dict[str, dict[str, Any]]:
    """Named options: a TOML table each, from places of the job file to values."""
    try:
        found = toml_of(text_of(taken(path, kind="file of options")))
    except NotTaken as error:
        raise LotsError(f"{path}: {error}") from None
    wrong = [name for name, overlay in found.items() if not isinstance(overlay, dict)]
    if wrong:
        raise LotsError(f"{path.name}: {wrong[0]} is not a table of places and values")
    return found


def _written(
    job: Job, raw: bytes, job_path: Path, row: Mapping[str, str], overlays: Mapping[str, Mapping[str, Any]],
    without: Sequence[str] = (),
) -> bytes:  # fmt: skip
    """The job file of a lot; it keeps the comments of the plan."""
    return rewritten(raw, changed(_lot(job, row, overlays), dict.fromkeys(without)), job_path)


def _variant(job: Job, row: Mapping[str, str]) -> tuple[str, dict[str, str]]:
    """What tells the sheets of a row's lot from those of others, and the row of the annex that they share."""
    plan = {at: text for at, text in row.items() if text and not at.startswith("job.")}
    variant = hashlib.sha256(json.dumps(sorted(plan.items())).encode()).hexdigest()[:6]
    return variant, plan | {"job.name": f"{job.job.name[:60].rstrip(' .')} annex {variant}"}


def _lot(job: Job, row: Mapping[str, str], overlays: Mapping[str, Mapping[str, Any]]) -> Job:
    current = job
    for name in filter(None, (part.strip() for part in row.get(OPTIONS, "").split(","))):
        if name not in overlays:
            raise ValueError(f"option '{name}' is not known; there are {', '.join(overlays) or 'none'}")
        current = changed(current, {_numbered(current, at): value for at, value in overlays[name].items()})
    cells = {_numbered(current, at): text for at, text in row.items() if text and at != OPTIONS}
    return changed(current, {at: _typed(at, text) for at, text in cells.items()})


def _numbered(job: Job, at: str) -> str:
    """A place whose entries are given by name, with their numbers: loads[Range].load_va -> loads[3].load_va."""

    def number(found: re.Match[str]) -> str:
        items = getattr(job, found[1], ())
        names = [getattr(item, "name", "") for item in items]
        if found[2] not in names:
            raise KeyError(f"{at}: there is no {found[2]!r} in {found[1]}; there are {', '.join(names) or 'none'}")
        return f"{found[1]}[{names.index(found[2]) + 1}]"

    return _BY_NAME.sub(number, at)


def _typed(at: str, text: str) -> Any:
    """A cell's text as the job file would say it, by the field's declaration."""
    return from_text(text, *field_at(at))


def _said(error: Exception) -> str:
    if isinstance(error, JobError):
        return "; ".join(
            f"{p.place} {p.read}" + (f", allowed: {p.allowed}" if p.allowed else "") for p in error.problems
        )
    return str(error.args[0] if error.args else error)
