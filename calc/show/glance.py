"""How a job stands: for each family whether it has what it needs, what passes, what falls short, what is open."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from calc.codebook import Codebook, CodebookError
from calc.families import Family, families
from calc.families.reading import codebook_for
from calc.job import Job, JobError, field_info, read_job
from calc.job.model import part_at
from calc.show.notebooks import notebooks_of
from calc.work import NOT_WORKED, loud, worst

_PARTS = re.compile(r"\[\[?([\w.]+)\]?\]")
NOT_THERE = "not in this job"
NO_SHEETS = "see its page"


def spoken(needs: Sequence[str]) -> str:
    """What a family says, at a page: '[[runs]]' is 'runs' there. Brackets mean something in the job file alone."""
    return _PARTS.sub(_titled, "; ".join(need.rstrip(".") for need in needs))


def _titled(found: re.Match[str]) -> str:
    outer, _, key = found[1].rpartition(".")
    try:
        part = part_at(outer)[0] if outer else Job
    except KeyError:
        return found[0]
    return field_info(part, key).title.lower() if key in part.model_fields else found[0]


def glance_table(job_path: Path) -> dict[str, Any]:
    """The state of a job as a plain table."""
    title, intro, rows = _states(job_path)
    columns = [{"name": name, "align": "left"} for name in ("Calculation", "State", "What it says")]
    return {"title": title, "intro": intro, "columns": columns, "rows": [row[1:] for row in rows], "notes": []}


def glance(job_path: Path, folder: Path) -> dict[str, Any]:
    """The state of a job with the notebooks of each family, and the notebooks that belong to none of them."""
    title, intro, rows = _states(job_path)
    links: dict[str, list[tuple[str, str]]] = {}
    for notebook in notebooks_of(folder):
        links.setdefault(notebook.family, []).append((notebook.file, notebook.heading))
    links.pop("start", None)
    shown = [
        {"family": name, "title": title_, "state": state, "says": says, "notebooks": links.pop(name, [])}
        for name, title_, state, says in rows
    ]
    if (job_path.parent / f".{job_path.name}.draft").exists():
        intro += ". A form has unsaved entries for this job; this page and the packet show it as it was saved last"
    others = [each for many in links.values() for each in many]
    return {"title": title, "intro": intro, "rows": shown, "others": others}


def _states(job_path: Path) -> tuple[str, str, list[tuple[str, str, str, str]]]:
    """Title, a line on the job, and for each family its name, title, state and what it says."""
    try:
        job = read_job(job_path)
        code = codebook_for(job)
    except (JobError, CodebookError) as error:
        return "This job file can't be used yet", str(error), []
    rows = [(name, family.TITLE, *_state(family, job, code)) for name, family in families().items()]
    return "The job at a glance", f"{job.job.name}, edition {job.code.edition}", rows


def _state(family: Family, job: Job, code: Codebook) -> tuple[str, str]:
    if missing := family.needs(job):
        return NOT_THERE, f"needs {spoken(missing)}"
    try:
        sheets = family.work(job, code)
    except Exception as error:  # one family at fault must not hide the others
        return loud(NOT_WORKED), f"could not be worked, by a fault of the program: {type(error).__name__}: {error}"
    if not sheets:
        return NO_SHEETS, ""
    open_ = [_headed(s.subject, s.refused.reason) for s in sheets if s.refused]
    open_ += [f"{s.subject}, {u.name}: to be entered: {u.missing}" for s in sheets for u in s.unknowns]
    failed = [(s.subject, [check.name for check in s.checks if not check.holds.holds]) for s in sheets]
    # a requirement is named as what should hold, so beside 'falls short' it has to be said that it does not
    short = [f"{subject}, not met: {', '.join(names)}" for subject, names in failed if names]
    return loud(worst(s.status for s in sheets)), spoken([*short, *open_])


def _headed(subject: str, reason: str) -> str:
    """A reason with the name of what it is about, once."""
    return reason if reason.startswith(subject) else f"{subject}: {reason}"
