"""An answer put into a job: what it was worked from, as an entry of a name of its own."""

from __future__ import annotations

from calc.job import Job, JobError, changed, save_job
from calc.job.problems import Problem
from calc.quick.answer import Answer


def put_into(job: Job, name: str, answer: Answer) -> Job:
    """Save a job with the entry of an answer added under a name. JobError where the name is taken, or nothing can be put in.

    The file is written whole or not at all.
    """
    key = answer.reading.question.into
    if not key:
        listed = f"the answer to {answer.reading.question.name} is about the whole house, and changes no list of it"
        raise JobError([Problem(str(job.path), None, "", "can't take this in", "", listed)])
    if name in (entry.get("name") for entry in job.data.get(key, [])):
        raise JobError(
            [Problem(str(job.path), None, key, f'has "{name}" already', "a name of its own", "nothing was written")]
        )
    entry = {**answer.job.data[key][0], "name": name}
    return save_job(changed(job, {f"{key}[+]": entry}))
