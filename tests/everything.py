"""Everything that the families can say, worked once: what it asked of the codebook and which words it used.

Job files of the notebooks, the starters and ``tests/samples`` are worked by every family that they have parts for, under
every edition; with each other reading, the published examples and the random houses too, under their own. A word or rule that none of them uses needs a job in
``tests/samples`` that does.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from calc import remedies
from calc.codebook import editions
from calc.codebook.book import Codebook
from calc.families import Family, families
from calc.job import Job, Readings, changed, field_info, parse_job, read_job
from calc.job.read import make_job
from calc.wiring.house import House
from calc.work import Words
from tests.oracle.jobs import random_job
from tests.published.harness import examples, job_text

ROOT = Path(__file__).parents[1]
FOLDERS = ("notebooks/jobs", "templates/jobs", "tests/samples")
RANDOM_HOUSES = 25


@dataclass
class Recorded:
    """What was used: (words file, entry) and (edition, rule)."""

    words: set[tuple[str, str]] = field(default_factory=set)
    rules: set[tuple[str, str]] = field(default_factory=set)


@cache
def recorded() -> Recorded:
    """All jobs worked by all families, with what they used written down."""
    found = Recorded()
    with pytest.MonkeyPatch.context() as patch:
        plain_text, plain_known = Words.text, Codebook._known

        def text(self: Words, key: str, part: str, **fill: str) -> str:
            found.words.add((self.path.stem, key))
            if manner := next((m for m in self.manner if part in self.entries.get(key, {}).get(m, ())), ""):
                found.words.add((self.path.stem, f"{key}.{manner}"))
            return plain_text(self, key, part, **fill)

        def known(self: Codebook, rule: str) -> Any:
            found.rules.add((self.edition, rule))
            return plain_known(self, rule)

        patch.setattr(Words, "text", text)
        patch.setattr(Codebook, "_known", known)
        working = list(families().values())
        for job in job_files():
            houses = {edition: House.of(job, edition) for edition in editions()}
            own = House.of(job)
            for family in working:
                if not family.needs(job):
                    show(family, own, houses)
            for house in houses.values():
                remedies.walk(house)
            for job_read_otherwise in (changed(job, others) for others in other_readings()):
                work_plainly(job_read_otherwise, working)
        for job in other_jobs():
            work_plainly(job, working)
    return found


def job_files() -> Iterator[Job]:
    """The job files of the project."""
    for folder in FOLDERS:
        yield from (read_job(path) for path in sorted((ROOT / folder).glob("*.toml")))


def other_jobs() -> Iterator[Job]:
    """The published examples and random houses, which say what the job files leave out."""
    for text in dict.fromkeys(job_text(example) for example in examples() if not example.aside_all):
        yield parse_job(text.encode())
    yield from (make_job(random_job(seed)) for seed in range(RANDOM_HOUSES))


def finished(family: str) -> bool:
    """Whether the family is complete: it is when it has its notebook."""
    return any(path.stem.partition("-")[2] == family for path in (ROOT / "notebooks").glob("*.ipynb"))


def other_readings() -> Iterator[dict[str, str]]:
    """Choices of all readings at once that are not the usual ones, until each choice has been taken."""
    found = {name: field_info(Readings, name) for name in Readings.model_fields}
    others = {name: [str(choice) for choice in info.choices if choice != info.default] for name, info in found.items()}
    for turn in range(max(map(len, others.values()))):
        yield {f"code.readings.{name}": choices[turn] for name, choices in others.items() if turn < len(choices)}


def work_plainly(job: Job, working: list[Family]) -> None:
    """All sheets of a job under its own edition."""
    house = House.of(job)
    for family in working:
        if not family.needs(job):
            family.work(house)


def show(family: Family, own: House, houses: Mapping[str, House]) -> None:
    """All that a notebook shows of a family: sheets under each edition, charts, tables, and page 1 where it has one."""
    for house in houses.values():
        family.work(house)
    family.charts(own, family.work(own))
    family.tables(own)
    if front := getattr(family, "front", None):
        front(own)
