"""How a job stands: for each family whether it has what it needs, what passes, what falls short, what is open."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from calc.codebook import CodebookError
from calc.families import Family, families
from calc.job import JobError, field_info, read_job
from calc.job.draft import drafts_of
from calc.job.model import field_at
from calc.show.notebooks import notebooks_of
from calc.verdict.scope import Scope, scope_of
from calc.verdict.standing import Standing, VerdictForm, in_scope, opened, standing
from calc.wiring.house import House
from calc.wiring.reading import blank_sheet
from calc.work import FALLS_SHORT, Refused, Sheet, loud, worst
from calc.work.table import Table, columns

_PARTS = re.compile(r"\[\[?([\w.]+)\]?\]")
OUTSIDE = "outside the scope"


def spoken(needs: Sequence[str]) -> str:
    """What a family says, at a page: '[[runs]]' is 'runs' there. Brackets mean something in the job file alone."""
    return _PARTS.sub(_titled, "; ".join(need.rstrip(".") for need in needs))


def _titled(found: re.Match[str]) -> str:
    try:
        return field_info(*field_at(found[1])).title.lower()
    except KeyError:
        return found[0]


def glance_table(job_path: Path) -> Table:
    """The state of a job as a plain table."""
    stands = _stands(job_path)
    title, intro, rows = _told(stands)
    return Table(title=title, intro=intro, columns=columns("Calculation", "State", "What it says"), rows=[row[1:] for row in rows],
            notes=_odd(stands))  # fmt: skip


def verdict(job_path: Path) -> VerdictForm:
    """The verdict of a job in its public form, for page 1 of the packet. JobError for a job that can't be used."""
    job = read_job(job_path)
    return standing(House.of(job)).as_json()


def glance(job_path: Path, folder: Path) -> dict[str, Any]:
    """The state of a job with the notebooks of each family, and the notebooks that belong to none of them."""
    stands = _stands(job_path)
    title, intro, rows = _told(stands)
    links: dict[str, list[tuple[str, str]]] = {}
    for notebook in notebooks_of(folder):
        links.setdefault(notebook.family, []).append((notebook.file, notebook.heading))
    links.pop("start", None)
    shown = [
        {"family": name, "title": title_, "state": state, "says": says, "notebooks": links.pop(name, [])}
        for name, title_, state, says in rows
    ]
    if drafts_of(job_path):
        intro += ". A form has unsaved entries for this job; this page and the packet show it as it was saved last"
    others = [each for many in links.values() for each in many]
    return {"title": title, "intro": intro, "rows": shown, "others": others, "notes": _odd(stands)}


def _stands(job_path: Path) -> Standing | str:
    """How the job stands, or why its file can't be used. A family at fault hides no other."""
    try:
        job = read_job(job_path)
        house = House.of(job)
        scope = scope_of(job)
    except (JobError, CodebookError) as error:
        return str(error)
    return Standing(job, scope, {name: worked(house, scope, name) for name in families()})


def worked(house: House, scope: Scope, name: str) -> list[Sheet]:
    """The sheets of a family that are in scope; one that says so where the program is at fault."""
    try:
        return in_scope(house, scope, name)
    except Exception as error:
        s = blank_sheet(name, families()[name].TITLE, house.whole_job.job.name, house.code)
        s.refused = Refused(f"could not be worked, by a fault of the program: {type(error).__name__}: {error}")
        return [s]


def _odd(stands: Standing | str) -> list[str]:
    """The entries that look like a slip, until someone confirms them."""
    return [] if isinstance(stands, str) else [f"To be confirmed: {each}" for each in stands.odd]


def _told(stands: Standing | str) -> tuple[str, str, list[tuple[str, str, str, str]]]:
    """Title, a line on the job, and for each family its name, title, state and what it says."""
    if isinstance(stands, str):
        return "This job file can't be used yet", stands, []
    rows = [(name, family.TITLE, *_state(name, family, stands)) for name, family in families().items()]
    intro = f"{stands.job.job.name}, edition {stands.job.code.edition}. {stands.verdict}"
    return "The job at a glance", intro, rows


def _state(name: str, family: Family, stands: Standing) -> tuple[str, str]:
    sheets = stands.sheets[name]
    if not sheets:
        missing = family.needs(stands.job)
        return OUTSIDE, f"needs {spoken(missing)}" if missing else ""
    said: dict[str, list[str]] = {}
    for each in (each for s in sheets for each in opened(name, s)):
        said.setdefault(each.about, []).append(f"not met: {each.what}" if each.status == FALLS_SHORT else each.what)
    # a requirement is named as what should hold, so beside 'falls short' it has to be said that it does not
    return loud(worst(s.status for s in sheets)), spoken(
        [_headed(about, ", ".join(what)) for about, what in said.items()]
    )


def _headed(subject: str, reason: str) -> str:
    """A reason with the name of what it is about, once."""
    return reason if reason.startswith(subject) else f"{subject}: {reason}"
