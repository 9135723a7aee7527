"""Rooms for the tests of receptacles, and what the family makes of them."""

from __future__ import annotations

from typing import Any

from calc.families import receptacles
from calc.families.receptacles.room import RoomWork, rooms
from calc.job import Job
from calc.job.read import make_job
from calc.wiring.house import House
from calc.work import Sheet

NAMES = ("north", "east", "south", "west")


def box(wide_ft: float, deep_ft: float) -> list[dict[str, Any]]:
    """Four walls, north wall first."""
    return [{"name": n, "length_ft": ft} for n, ft in zip(NAMES, (wide_ft, deep_ft) * 2, strict=True)]


def job_of(*found: dict[str, Any], edition: str = "2023", readings: dict[str, str] | None = None, **tables: Any) -> Job:
    """A job with these rooms."""
    code = {"edition": edition, **({"readings": readings} if readings else {})}
    named = [{"name": f"Room {number}", "light": "wall-switched", **room} for number, room in enumerate(found, 1)]
    return make_job({"code": code, "job": {"name": "test"}, "rooms": named, **tables})


def sheets(job: Job) -> dict[str, Sheet]:
    """Every sheet by its subject, replayed."""
    found = {s.subject: s for s in receptacles.work(House.of(job))}
    for s in found.values():
        s.as_json()
    return found


def sheet(edition: str = "2023", readings: dict[str, str] | None = None, **room: Any) -> Sheet:
    """The sheet of one room."""
    return sheets(job_of(room, edition=edition, readings=readings))["Room 1"]


def results(edition: str = "2023", readings: dict[str, str] | None = None, **room: Any) -> dict[str, Any]:
    """The results of one room."""
    return sheet(edition, readings, **room).results


def work(edition: str = "2023", **room: Any) -> RoomWork:
    """One room with what there is to draw of it."""
    job = job_of(room, edition=edition)
    return rooms(House.of(job))[0]


def found(s: Sheet, key: str) -> str:
    """What a found line says."""
    return next(line.found for line in s.lines if line.key == key)
