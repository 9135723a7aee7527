"""The project's own houses, each worked once in a process for all the tests that only look at it."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from calc.job import read_job
from calc.wiring.house import House

JOBS = Path(__file__).parents[1] / "notebooks" / "jobs"


@cache
def at(path: Path) -> House:
    """The house of a job file that no test writes. What it is asked it remembers, so nobody changes what it gives."""
    return House.of(read_job(path))


def demo(name: str) -> House:
    """A demo house by its name."""
    return at(JOBS / f"{name}.toml")
