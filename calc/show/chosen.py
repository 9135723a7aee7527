"""The job that a person chose on the start page, remembered beside the jobs for the other notebooks."""

from __future__ import annotations

import contextlib
from pathlib import Path

JOBS = Path("jobs")
DEMO = "jobs/fernhollow-lot-12.toml"
_REMEMBERED = JOBS / ".chosen"


def chosen_job(given: str | Path | None, person: bool, demo: str = "") -> Path:
    """The job to open: the one given, else for a person the one chosen last that is still there, else the demo.

    Places are seen from the notebooks' folder. Without a person nothing is remembered: same notebook, same outputs.
    """
    if given is not None:
        return Path(given)
    if person:
        with contextlib.suppress(OSError, UnicodeDecodeError):
            found = JOBS / Path(_REMEMBERED.read_text(encoding="utf-8").strip()).name
            if found.suffix == ".toml" and found.is_file():
                return found
    return Path(demo or DEMO)


def choose(job: Path) -> None:
    """Remember a job of the jobs folder. A folder that can't be written costs no more than that."""
    with contextlib.suppress(OSError):
        _REMEMBERED.write_text(job.name, encoding="utf-8")
