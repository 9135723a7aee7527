"""Job files to begin from: templates/jobs/*.toml."""

import re
from functools import cache
from pathlib import Path

from calc.job.problems import JobError, Problem
from calc.job.read import make_job


@cache
def _folder() -> Path:
    """templates/jobs, inside the package of an install and beside it in a clone."""
    package = Path(__file__).resolve().parents[1]
    return next(f for base in (package, package.parent) if (f := base / "templates" / "jobs").is_dir())


def starters() -> dict[str, str]:
    """The starters: name -> what it is for, from its first line."""
    files = sorted(_folder().glob("*.toml"))
    return {f.stem: f.read_text("utf-8").partition("\n")[0].lstrip("# ") for f in files}


def new_job(name: str, starter: str = "one-family") -> str:
    """Text of a new job file called `name`, from a starter. JobError for a bad name or an unknown starter."""
    if starter not in starters():
        raise JobError([Problem(starter, None, "", "is not a starter", ", ".join(starters()))])
    import tomlkit  # what writes alone needs it: an answer to a question starts without

    document = tomlkit.parse((_folder() / f"{starter}.toml").read_text("utf-8"))
    document["job"]["name"] = name
    make_job(document.unwrap(), "new job")
    return tomlkit.dumps(document)


def file_stem(name: str) -> str:
    """A file name, without its ending, for a job of that name: 'Fernhollow Lot 12' -> 'fernhollow-lot-12'."""
    plain = re.sub(r"['’]", "", name.lower())
    return re.sub(r"\W+", "-", plain).strip("-_") or "job"
