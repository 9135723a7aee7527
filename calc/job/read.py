"""Reading a job file: every problem at once, each with its line."""

import hashlib
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from calc.intake import NotTaken, taken, text_of, toml_of
from calc.job.checks import check_data
from calc.job.consistency import check_values
from calc.job.fields import toml_value
from calc.job.known import Known, share
from calc.job.lines import key_lines
from calc.job.model import Job
from calc.job.places import Loc
from calc.job.problems import JobError, Trouble, file_error, located, nearest, printable, troubles_of
from calc.job.tree import check_tree


def read_job(path: str | Path) -> Job:
    """The job in a file. JobError holds every problem of the file, with its lines."""
    raw = read_bytes(path)
    try:
        job = _sound(raw).model_copy()
    except JobError:
        job = parse_job(raw, path)  # again, for problems that name the file
    job._path = Path(path)
    return job


@lru_cache(maxsize=1)
def _sound(raw: bytes) -> Job:
    """The job in bytes that hold one: each notebook of a packet reads the same file."""
    return parse_job(raw)


def parse_job(raw: bytes, file: object = "job") -> Job:
    """The job in the bytes of a file called `file`. JobError as for `read_job`."""
    text, data = parse_toml(raw, file)
    job = make_job(data, file, key_lines(text))
    job._fingerprint = fingerprint(raw)
    return job


def make_job(
    data: dict[str, Any], file: object = "job", lines: Mapping[Loc, int] | None = None, before: Job | None = None
) -> Job:
    """The job that the data of a file describes, checked as a whole.

    What is as in the job `before` is taken from there as it is, entry by entry, and only the rest is looked at; the
    job and the problems are the same without. The data becomes the job's own: nobody may change it any more.
    """
    job: Job | None = None
    troubles: list[Trouble] = []
    known = Known(data, before)
    try:
        job = Job.model_validate(known.data)
    except ValidationError as error:
        troubles = troubles_of(error, Job)
        if any(e["type"] == "too_long" for e in error.errors(include_url=False, include_input=False)):
            raise _error(troubles, file, data, lines) from None
    troubles += [*check_data(known), *check_values(job, known), *check_tree(known)]
    if job is None or troubles:
        raise _error(troubles, file, data, lines)
    if before is not None:
        share(job, before)
    job._data = data
    return job


def _error(troubles: list[Trouble], file: object, data: dict[str, Any], lines: Mapping[Loc, int] | None) -> JobError:
    problems = dict.fromkeys(located(t, file, data, lines or {}) for t in troubles)
    return JobError(sorted(problems, key=lambda p: p.line or 0))


def not_known(job: Job, loc: Loc, said: str, known: list[str]) -> JobError:
    """The error for a name in a job that is none of those known, found once the whole job is understood."""
    path = job.path
    lines = key_lines(path.read_text(encoding="utf-8-sig")) if path is not None and path.is_file() else {}
    near = nearest(said, known)
    trouble = Trouble(loc, f"is {toml_value(said)}, which is not known here", ", ".join(known),
                      f'did you mean "{near}"?' if near else "")  # fmt: skip
    return JobError([located(trouble, path or "job", job.data, lines)])


def fingerprint(raw: bytes) -> str:
    """SHA-256 of a file's bytes, in hexadecimal."""
    return hashlib.sha256(raw).hexdigest()


def read_bytes(path: str | Path) -> bytes:
    """The bytes of a file that may be a job file. JobError says why when they can't be had."""
    try:
        return taken(path)
    except NotTaken as error:
        raise file_error(path, error.read, error.hint, error.line) from None


def parse_toml(raw: bytes, file: object) -> tuple[str, dict[str, Any]]:
    """Text and data of TOML bytes. JobError when they are empty, binary or not TOML."""
    if not raw.strip():
        raise file_error(file, "is empty", "begin from a starter: studbay new NAME")
    try:
        text = text_of(raw)
        return text, toml_of(text)
    except NotTaken as error:
        raise file_error(file, printable(error.read), error.hint, error.line) from None


def amendments_file(job: Path, name: str) -> Path:
    """Where an amendments file lies: beside the job, or in a folder ``amendments`` there, where none is taken for a job."""
    apart = job.parent / "amendments" / name
    return apart if apart.exists() else job.parent / name
