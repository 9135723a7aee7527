"""Ranges that are usual for an entry, from `usual.toml`: outside them the entry is noticed, with what was likely meant."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from importlib import resources
from typing import Any

import tomli

from calc.job.fields import Part
from calc.job.loads import Load
from calc.job.model import Job
from calc.job.plausible.notice import Found, Odd, live, measured_in


@dataclass(frozen=True)
class Slip:
    """A way in which a value is written wrong: what is meant is the value, times `times`, plus `plus`."""

    times: float
    words: str
    plus: float = 0

    def meant(self, value: float) -> float:
        """What was meant by the value."""
        return value * self.times + self.plus


@dataclass(frozen=True)
class Usual:
    """A row of the file: an entry, when it holds, and its usual range."""

    entry: str
    low: float
    high: float
    when: dict[str, Any] = field(default_factory=dict)
    may_be: tuple[str, ...] = ()
    impossible_below: float = 0
    below: str = ""
    above: str = ""
    why: str = ""
    basis: str = "common practice, no source"

    def fits(self, part: Part) -> bool:
        """Whether the row speaks of this table's entry."""
        return all(
            getattr(part, key) in wanted if isinstance(wanted, list) else getattr(part, key) == wanted
            for key, wanted in self.when.items()
        )

    def slip(self, value: float) -> str:
        """The slip that leads from a value outside into the range, in words; '' where none does."""
        tried = [_slips()[name] for name in (*self.may_be, "few", "many")]
        fitting = [slip for slip in tried if self.low <= slip.meant(value) <= self.high]
        if isinstance(value, int):  # a whole number is meant as one
            fitting = [slip for slip in fitting if slip.meant(value) % 1 == 0]
        return fitting[0].words.format(read=value, meant=fitting[0].meant(value)) if fitting else ""

    def likely(self, value: float) -> str:
        """What a value outside the range may have been meant as, in words; '' where nothing suggests itself."""
        return " or ".join(said for said in (self.slip(value), self.below if value < self.low else self.above) if said)


@cache
def _file() -> dict[str, Any]:
    return tomli.loads(resources.files(__package__).joinpath("usual.toml").read_text("utf-8"))


@cache
def _slips() -> dict[str, Slip]:
    return {name: Slip(**slip) for name, slip in _file()["slips"].items()}


@cache
def usual() -> dict[str, tuple[Usual, ...]]:
    """The rows by entry, in the file's order."""
    found: dict[str, tuple[Usual, ...]] = {}
    for row in (Usual(**{**row, "may_be": tuple(row.get("may_be", ()))}) for row in _file()["usual"]):
        found[row.entry] = (*found.get(row.entry, ()), row)
    return found


def usual_of(part: Part, entry: str) -> Usual | None:
    """The row that decides for an entry of a table."""
    return next((row for row in usual().get(entry, ()) if row.fits(part)), None)


def parts(job: Job, path: str) -> Iterator[Part]:
    """The tables at a path such as 'rooms.walls', those that this job removes left out."""
    here: list[Part] = [job]
    for key in path.split("."):
        values = [getattr(part, key) for part in here]
        here = [p for v in values for p in (v if isinstance(v, tuple) else (v,)) if isinstance(p, Part)]
        here = list(live(here))
    yield from here


def out_of_the_usual(job: Job) -> Found:
    """Entries outside what is usual: a unit mistaken, a digit too many or too few."""
    for entry in usual():
        path, _, key = entry.rpartition(".")
        for part in parts(job, path):
            value, row = getattr(part, key), usual_of(part, entry)
            if value is None or row is None or row.low <= value <= row.high:
                continue
            if isinstance(part, Load) and key == "va":
                key_of, unit = part.rated_by, "VA"
            else:
                key_of, unit = key, measured_in(part, key)
            what = str(getattr(part, "kind", "")).replace("-", " ")
            made = f"makes {value:,g} VA; " if key_of == "nameplate_a" else ""
            yield Odd(part, key_of, f"{made}{_usually(row, what, unit)}", row.likely(value))


def _usually(row: Usual, what: str, unit: str) -> str:
    of = f" for {what}" if what and "kind" in row.when else ""
    of += " that burns fuel" if row.when.get("fuel_burning") else ""
    said = f"usual{of}: {row.low:,g} to {row.high:,g} {unit}".rstrip()
    return f"{said}; {row.why}" if row.why else said
