"""Common practice, from `practice.toml`; and what the steps of a plan share."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from importlib import resources
from typing import Any

import tomli

from calc.job import Job, Panel, Room
from calc.job.fields import PROPOSED
from calc.wiring.tree import live_panels

Table = dict[str, Any]


@cache
def practice(part: str) -> Table:
    """A table of common practice."""
    found: Table = tomli.loads(resources.files(__package__).joinpath("practice.toml").read_text("utf-8"))[part]
    return found


def entry(**fields: Any) -> Table:
    """An entry of a job file, proposed; what is None or empty is left out, and whole numbers stand as such."""
    said = {
        key: int(value) if isinstance(value, float) and value.is_integer() else value for key, value in fields.items()
    }
    return {key: value for key, value in said.items() if value not in (None, [], "")} | {PROPOSED: True}


def added(job: Job, key: str, entries: Iterable[Mapping[str, Any]]) -> dict[str, Any]:
    """The change that adds entries to a list of the job; none where there is nothing to add."""
    new = list(entries)
    return {key: [*job.data.get(key, []), *new]} if new else {}


def live_rooms(job: Job) -> list[Room]:
    """The rooms that this job brings or wires anew: nothing is laid out for what is there, or is taken out."""
    return [room for room in job.rooms if room.status == "new"]


def panel_for_circuits(job: Job) -> Panel | None:
    """The panel that new circuits go to: the one with most spaces, as far as they are stated."""
    found = live_panels(job)
    return max(found, key=lambda panel: panel.spaces or 0) if found else None


def free_name(name: str, taken: Iterable[str]) -> str:
    """The name, with a number where another entry has it already."""
    names = set(taken)
    return next(n for n in (name, *(f"{name} {count}" for count in range(2, 10_000))) if n not in names)
