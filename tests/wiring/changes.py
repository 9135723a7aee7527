"""Random changes of a real house: a house made from the one before has to say what a house worked anew says.

python -m tests.wiring.changes --count 3000 --seed 1
"""

from __future__ import annotations

import argparse
import json
import re
import time
from collections.abc import Iterator
from pathlib import Path
from random import Random
from typing import Any

from calc.job import Job, JobError, changed, read_job
from calc.verdict.standing import standing
from calc.wiring.house import House

JOBS = sorted(Path("notebooks/jobs").glob("*.toml"))


def said(house: House) -> str:
    """All that a house says: its verdict and every sheet of its scope."""
    stands = standing(house)
    sheets = {name: [sheet.as_json() for sheet in sheets] for name, sheets in stands.sheets.items()}
    return json.dumps([stands.as_json(), sheets], sort_keys=True)


def compared(path: Path, seed: int, count: int) -> tuple[int, int]:
    """(changes after which both houses said the same, changes that no job takes). AssertionError names the change."""
    random = Random(f"{path.stem}/{seed}")
    first = read_job(path)
    house = House.of(first)
    said(house)
    same = refused = 0
    for _ in range(count):
        changes = one_change(random, house.whole_job)
        try:
            job = changed(house.whole_job, changes)
        except (JobError, KeyError):
            refused += 1
            continue
        house = house.after(job)
        assert said(house) == said(House.of(job)), f"{path.stem}, seed {seed}: {changes}"
        same += 1
        if random.random() < 0.2:
            house = house.after(first)  # and back again
    return same, refused


def one_change(random: Random, job: Job) -> dict[str, Any]:
    """A value somewhere in the job changed, an entry taken away, or one made twice under another name."""
    data = job.data
    lists = [key for key, value in data.items() if isinstance(value, list) and value and isinstance(value[0], dict)]
    if random.random() < 0.15:
        key = random.choice(lists)
        number = random.randrange(len(data[key])) + 1
        if random.random() < 0.5:
            return {f"{key}[{number}]": None}
        twin = dict(data[key][number - 1])
        twin["name"] = f"{twin.get('name', key)} twin"
        return {f"{key}[+]": twin}
    at, value = random.choice(list(_leaves(data)))
    return {at: _other(random, at, value, data)}


def _leaves(data: Any, at: str = "") -> Iterator[tuple[str, Any]]:
    if isinstance(data, dict):
        for key, value in data.items():
            yield from _leaves(value, f"{at}.{key}" if at else key)
    elif isinstance(data, list):
        for number, value in enumerate(data, 1):
            yield from _leaves(value, f"{at}[{number}]")
    elif not at.startswith(("code.edition", "code.amendments", "job.name")):
        yield at, data


def _other(random: Random, at: str, value: Any, data: Any) -> Any:
    key = re.sub(r"\[\d+\]", "", at).rpartition(".")[2]
    alike = [other for there, other in _leaves(data) if re.sub(r"\[\d+\]", "", there).endswith(f".{key}")]
    if random.random() < 0.6 and (others := [each for each in alike if each != value]):
        return random.choice(others)
    if isinstance(value, bool):
        return not value
    if isinstance(value, int):
        return max(value + random.choice([-1, 1, 5, 10, -5]), 0)
    if isinstance(value, float):
        return round(value * random.choice([0.5, 0.9, 1.1, 2.0]), 2)
    return None


def main() -> None:
    """Count."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    began, same, refused = time.monotonic(), 0, 0
    for number, path in enumerate(JOBS):
        share = asked.count // len(JOBS) + (number < asked.count % len(JOBS))
        found = compared(path, asked.seed, share)
        same, refused = same + found[0], refused + found[1]
        print(f"{path.stem}: {found[0]} changes said the same, {found[1]} make no job", flush=True)
    print(f"{same} the same, {refused} make no job, none differ; {time.monotonic() - began:.0f} s")


if __name__ == "__main__":
    main()
