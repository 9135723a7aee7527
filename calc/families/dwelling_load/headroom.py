"""How much more the service carries: each kind of load that people add, tried size by size and worked again.

Headroom is not a subtraction: a new load changes the group that it joins, the season that counts, even whether the
existing-dwelling rule takes heating in full.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import tomli

from calc.families.dwelling_load.methods import NAMES
from calc.families.dwelling_load.whatif import Tried, tried, without
from calc.job import Job, Load, changed
from calc.wiring.house import House
from calc.work.table import Table, figures

ADDITIONS = Path(__file__).parent / "additions.toml"


@cache
def additions() -> list[dict[str, Any]]:
    """What people add, with the sizes to try."""
    return list(tomli.loads(ADDITIONS.read_text(encoding="utf-8"))["addition"])


def room(house: House, method: str, rating: float, base: str) -> Table:
    """A table: of each kind, the largest size that still passes on top of the job, and what the next would make."""
    rows = []
    for kind in additions():
        unit = "A" if "amperes" in kind else "VA"
        outcomes = [
            (size, tried(house.with_job(with_load(house.whole_job, kind, size)), method, rating))
            for size in sizes(kind)
        ]
        passing = [at for at, (_, found) in enumerate(outcomes) if found.serves]
        best = max(passing, default=-1)
        rows.append([
            _title(house.whole_job, kind),
            _size(outcomes[best], unit) if passing else "none",
            outcomes[best][1].text if passing else "-",
            _next(outcomes[best + 1], unit) if best + 1 < len(outcomes) else "the largest tried fits",
        ])  # fmt: skip
    return Table(
        title="Room for one thing more",
        intro=f"On top of {base}, by the {NAMES[method]}, on a service of {rating:,.0f} A: of each "
        "kind the largest size that still fits, one at a time. Each was worked out again with the whole house.",
        columns=figures("What is added", "Largest that fits", "The house then", "Next size"),
        rows=rows,
        notes=["Sizes tried are those that equipment commonly comes in."],
    )  # fmt: skip


def sizes(kind: dict[str, Any]) -> list[float]:
    """The sizes to try, in amperes or VA."""
    return list(kind.get("amperes") or kind["va"])


def replaced(job: Job, kind: dict[str, Any]) -> list[Load]:
    """The loads that one of this kind would take the place of."""
    return [
        load for load in job.loads if kind.get("replaces") and load.kind == kind["kind"] and load.status != "removed"
    ]


def with_load(job: Job, kind: dict[str, Any], size: float) -> Job:
    """The job with one more load of this kind and size, in place of what it replaces."""
    volts = 208 if job.service and job.service.system == "208Y/120" else 240
    load = {"name": f"Added: {kind['name']}", "kind": kind["kind"], "volts": volts, "status": "new"}
    load["nameplate_a" if "amperes" in kind else "load_va"] = size
    if kind["kind"] == "other":
        load["fastened"] = True
    return changed(without(job, replaced(job, kind)), {"loads[+]": load})


def _title(job: Job, kind: dict[str, Any]) -> str:
    gone = replaced(job, kind)
    if not gone:
        return str(kind["name"])
    return f"{kind['name']}, in place of the {'gas' if all(load.fuel_burning for load in gone) else 'electric'} one"


def _size(outcome: tuple[float, Tried], unit: str) -> str:
    return f"{outcome[0]:,.0f} {unit}"


def _next(outcome: tuple[float, Tried], unit: str) -> str:
    return f"{_size(outcome, unit)}: {outcome[1].text}"
