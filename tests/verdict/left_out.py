"""Silence is no pass: an entry is taken out of a house in order, and a check that goes with it has to be missed.

`python -m tests.verdict.left_out` takes out each entry of the demo house, one after the other; the test takes some.
"""

from __future__ import annotations

import re
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from calc.job import Job, JobError, changed, read_job
from calc.verdict.standing import Standing, standing
from calc.wiring.house import House
from calc.work import PASSES
from calc.workplace import shipped_notebooks

DESIGNED = Path(__file__).with_name("left_out.toml")
NOT_WORKED_WITH = ("job.", "findings", "scope")
Check = tuple[str, str, str]  # family, subject, key


def entries(data: Any, at: str = "") -> Iterator[str]:
    """The places of all entries, rows of lists and what is in them too."""
    if isinstance(data, dict):
        for key, value in data.items():
            yield from entries(value, f"{at}.{key}" if at else key)
    elif isinstance(data, list) and data and all(isinstance(row, dict) for row in data):
        for number, row in enumerate(data, 1):
            yield f"{at}[{number}]"
            yield from entries(row, f"{at}[{number}]")
    else:
        yield at


def house_in_order() -> House:
    """The demo house that passes."""
    return House.of(read_job(shipped_notebooks() / "jobs" / "fernhollow-lot-14.toml"))


def asked(house: House) -> list[str]:
    """The entries of its job that calculations read."""
    places = entries(house.whole_job.data)
    return [at for at in places if not at.startswith(NOT_WORKED_WITH) and not at.endswith(".name")]


def silently_lost(house: House, at: str) -> set[Check]:
    """The checks that went with an entry though their sheet is there and all still passes."""
    bare = _without(house.whole_job, at)
    if bare is None:
        return set()
    now = standing(house.after(bare))
    if now.status != PASSES:
        return set()
    kept = {(family, sheet.subject) for family, sheets in now.sheets.items() for sheet in sheets}
    return {lost for lost in _checks(standing(house)) - _checks(now) if lost[:2] in kept}


def unexplained(at: str, lost: set[Check]) -> set[Check]:
    """Those of them that no line of the list accounts for."""
    rows = tomllib.loads(DESIGNED.read_text(encoding="utf-8"))["left_out"]
    place = re.sub(r"\[\d+\]", "[]", at)
    known = {key for row in rows if row["entry"] == place for key in row["checks"]}
    return {each for each in lost if re.sub(r"\[.*", "", each[2]) not in known}


def _without(job: Job, at: str) -> Job | None:
    try:
        return changed(job, {at: None})
    except JobError:
        return None


def _checks(found: Standing) -> set[Check]:
    return {(family, s.subject, c.key) for family, sheets in found.sheets.items() for s in sheets for c in s.checks}


if __name__ == "__main__":
    house, bad = house_in_order(), 0
    for at in asked(house):
        if left := unexplained(at, silently_lost(house, at)):
            bad += 1
            print(at, sorted(left), flush=True)
    sys.exit(1 if bad else 0)
