"""Published worked examples as data: read them, work them by our families, compare to the digits printed."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from calc.families import families
from calc.job import read_job
from calc.wiring.house import House
from calc.work import Sheet

FOLDER = Path(__file__).parent
SEEN = {"full", "partly", "community", "recalled", "inputs-only"}


@dataclass(frozen=True)
class Example:
    """One published example. ``aside`` gives the reason for each key that is not compared."""

    topic: str
    id: str
    source: str
    seen: str
    family: str
    job: str
    worked_under: str = "2023"
    subject: str = ""
    expect: dict[str, Any] = field(default_factory=dict)
    within: dict[str, float] = field(default_factory=dict)
    aside: dict[str, str] = field(default_factory=dict)
    aside_all: str = ""
    refused: str = ""
    note: str = ""


@dataclass(frozen=True)
class Outcome:
    """What came of one expected value."""

    example: Example
    key: str
    expected: Any
    got: Any
    passed: bool
    aside: str


def examples() -> list[Example]:
    """Every example of every topic file."""
    found = [_example(path.stem, entry) for path in sorted(FOLDER.glob("*.toml")) for entry in _entries(path)]
    ids = [(example.topic, example.id, example.subject) for example in found]
    assert len(ids) == len(set(ids)), "two examples with one id and subject"
    return found


def _entries(path: Path) -> Iterator[dict[str, Any]]:
    """The entries of a file; one with ``each``, such as a printed table of counts, stands for many on one job."""
    # floats as text: 5.70 says two decimals, and that is how closely it is compared
    for entry in tomllib.loads(path.read_text(encoding="utf-8"), parse_float=_Printed)["example"]:
        several = entry.pop("each", [{}])
        yield from ({**entry, **one} for one in several)


class _Printed(float):
    """A number that remembers how many decimals it was printed with."""

    decimals: int

    def __new__(cls, text: str) -> _Printed:
        self = super().__new__(cls, text)
        self.decimals = len(text.partition(".")[2])
        return self


def _example(topic: str, entry: dict[str, Any]) -> Example:
    example = Example(topic=topic, **entry)
    assert example.seen in SEEN, f"{example.id}: seen is {example.seen!r}"
    assert example.expect or example.refused, f"{example.id}: nothing expected"
    assert not set(example.within) or example.note, f"{example.id}: a wider tolerance needs its reason in note"
    return example


def job_text(example: Example) -> str:
    """The job file of the example: its own text, headed by edition and name where it has no heading."""
    head = "" if "[code]" in example.job else f'[code]\nedition = "{example.worked_under}"\n'
    head += "" if "[job]" in example.job else f'[job]\nname = "{example.id}"\n'
    return head + example.job


def sheet_of(example: Example) -> Sheet:
    """The sheet that our family makes of the example's job."""
    sheets = _worked(job_text(example), example.family)
    fitting = [sheet for sheet in sheets if example.subject in sheet.subject]
    assert fitting, f"{example.id}: no sheet about {example.subject!r}; there are {[s.subject for s in sheets]}"
    sheet = fitting[0]
    sheet.as_json()  # replayed by the tests' hook
    return sheet


@cache
def _worked(text: str, family: str) -> list[Sheet]:
    """All sheets of a job; examples of one table share a job."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "job.toml"
        path.write_text(text, encoding="utf-8")
        job = read_job(path)
        return families()[family].work(House.of(job))


def outcomes(example: Example) -> Iterator[Outcome]:
    """Each expected value against ours."""
    if example.aside_all:
        for key, value in (example.expect or {"refused": example.refused}).items():
            yield Outcome(example, key, value, None, False, example.aside_all)
        return
    sheet = sheet_of(example)
    if example.refused:
        said = sheet.refused.reason if sheet.refused else "not refused"
        yield Outcome(example, "refused", example.refused, said, example.refused in said, "")
        return
    for key, value in example.expect.items():
        if key in example.aside:
            yield Outcome(example, key, value, sheet.results.get(key), False, example.aside[key])
        else:
            got = sheet.results.get(key)
            yield Outcome(example, key, value, got, _agrees(value, got, example.within.get(key)), "")


def _agrees(expected: Any, got: Any, within: float | None) -> bool:
    if got is None or isinstance(expected, str | bool):
        return bool(got == expected)
    reach = within if within is not None else 0.5 * 10 ** -getattr(expected, "decimals", 0)
    return bool(abs(got - expected) <= reach + 1e-9)
