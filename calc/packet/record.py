"""What is kept beside a packet about how it was made: from which job file, so that another of its name is noticed."""

from __future__ import annotations

import json
import os
from pathlib import Path

from calc.intake import NotTaken, taken, text_of
from calc.job import JobError, read_job
from calc.job.problems import file_error

RECORD_NAME = "made.json"


def source_of(job_path: Path, folder: Path) -> str:
    """The job file as seen from the packet's folder, so that both may be moved together."""
    return os.path.relpath(job_path.resolve(), folder.resolve())


def check_source(folder: Path, job_path: Path, name: str) -> None:
    """JobError where the packet in a folder is of another job file that still has this name: a copied file is enough."""
    try:
        source = json.loads(text_of(taken(folder / RECORD_NAME)))["source"]
        other = Path(os.path.normpath(folder.resolve() / str(source)))
        if not source or other.samefile(job_path) or read_job(other).job.name != name:
            return
    except (NotTaken, OSError, JobError, ValueError, KeyError, TypeError, RecursionError):
        return
    raise file_error(job_path, f"is called '{name}', as is {other}, whose packet is in {folder}; nothing was made",
                     "change the name under [job] in one of them, or give another folder with --out")  # fmt: skip
