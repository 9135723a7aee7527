"""An answer put into a job: what it was worked from, as entries of the job, whose sheet then gives the same answer."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

from calc.job import Job, JobError, changed, save_job
from calc.job.checks import names_in, references_of, tables
from calc.job.edit import with_changes
from calc.job.problems import Problem
from calc.quick.answer import Answer

OF_NO_QUESTION = ("code", "job")
WHOLE = "job"
"""Where a question is about the whole house, the name is that of the job."""


def put_into(job: Job, name: str, answer: Answer) -> Job:
    """Save a job with the entries of an answer added, what it is about under a name.

    JobError where the name is taken, or the job says otherwise of what there is once, as its transformer. The file is written
    whole or not at all.
    """
    key = answer.reading.question.into
    data = with_changes(answer.job.data, dict.fromkeys(answer.reading.form.tried))
    made = {part: deepcopy(said) for part, said in data.items() if part not in OF_NO_QUESTION}
    changes: dict[str, Any] = {"job.name": name} if key == WHOLE else {}
    if key != WHOLE:
        _rename(made, key, name)
    problems = []
    if answer.job.data["code"] != job.data["code"]:
        problems.append(("code", f"adopts {job.code.edition}", "a question that was answered under the job's own code"))
    for part, said in made.items():
        there: Any = job.data.get(part, [] if isinstance(said, list) else {})
        if isinstance(said, list):
            taken = set(names_in(part, job.data)) & {entry["name"] for entry in said}
            problems += [(part, f'has "{each}" already', "a name of its own") for each in sorted(taken)]
            changes[part] = [*there, *said]
        else:
            other = [each for each, value in said.items() if there.get(each, value) != value]
            problems += [(f"{part}.{each}", f"is {there[each]!r} there", f"{said[each]!r} was asked") for each in other]
            changes[part] = {**there, **said}
    if any(run["role"] == "service" for run in made.get("runs", ())):
        problems += [("runs", f'has service conductors already: "{run.name}"', "a job without") for run in job.runs
                     if run.role == "service" and run.status != "removed"]  # fmt: skip
    if problems:
        raise JobError(
            [Problem(str(job.path), None, at, what, allowed, "nothing was written") for at, what, allowed in problems]
        )
    return save_job(changed(job, changes))


def _rename(made: dict[str, Any], key: str, name: str) -> None:
    """Give the entry that the answer is about its name, what belongs to it a name after that, and both to what names them."""
    old = made[key][0]["name"]
    new = {old: name}
    for part, entries in made.items():
        for entry in entries if isinstance(entries, list) else ():
            other = entry["name"]
            if part == key or other == old:
                entry["name"] = name
            elif other.endswith(old.lower()):
                entry["name"] = new[other] = other.removesuffix(old.lower()) + name
            else:
                entry["name"] = new[other] = f"{name}, {other[0].lower()}{other[1:]}"
    for table_part, table, _, _ in tables(Job, made):
        for reference in references_of(table_part):
            said = table.get(reference.key)
            if isinstance(said, str):
                table[reference.key] = new.get(said, said)
