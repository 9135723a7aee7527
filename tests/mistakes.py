"""The plausible mistakes of `job/mistakes.toml`: each typed into a demo house, and what came of it."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from calc.job import Job, JobError, changed, notices
from calc.job.edit import with_changes
from calc.verdict.standing import Open, standing
from calc.wiring.house import House
from tests import houses

ROOT = Path(__file__).parents[1]
OUTCOMES = ("noticed", "refused", "short", "not_shown", "not_worked", "silent")
STATES = {"short": "falls short", "not_shown": "not shown", "not_worked": "not worked"}
_BY_NAME = re.compile(r"([a-z_.]+)\[([^\]\d+][^\]]*)\]")


@dataclass(frozen=True)
class Mistake:
    """One edit to a demo house; exactly one of the outcomes is stated."""

    typed: str
    house: str = "fernhollow-lot-14"
    set: Mapping[str, Any] = field(default_factory=dict)
    remove: tuple[str, ...] = ()
    noticed: str = ""
    refused: str = ""
    short: str = ""
    not_shown: str = ""
    not_worked: str = ""
    silent: str = ""
    also: tuple[str, ...] = ()

    @property
    def outcome(self) -> str:
        """What must come of it."""
        (one,) = [name for name in OUTCOMES if getattr(self, name)]
        return one

    @property
    def changes(self) -> dict[str, Any]:
        """The edit, for `changed`."""
        data = home(self.house).data
        return {numbered(at, data): value for at, value in [*self.set.items(), *((at, None) for at in self.remove)]}


@cache
def mistakes() -> tuple[Mistake, ...]:
    """All of them."""
    text = (Path(__file__).parent / "job" / "mistakes.toml").read_text("utf-8")
    return tuple(Mistake(**one) for one in tomllib.loads(text)["mistake"])


def home(name: str) -> Job:
    """A demo house as it is kept."""
    return houses.demo(name).whole_job


def numbered(at: str, data: Mapping[str, Any]) -> str:
    """A place by names as a place by numbers: loads[Range].load_va -> loads[1].load_va."""
    while (named := _BY_NAME.search(at)) is not None:
        here: Any = data
        for key, number in re.findall(r"([a-z_]+)(?:\[(\d+)\])?", at[: named.start(2) - 1]):
            here = here[key][int(number) - 1] if number else here[key]
        at = f"{at[: named.start(2)]}{[one['name'] for one in here].index(named[2]) + 1}{at[named.end(2) :]}"
    return at


@dataclass(frozen=True)
class Came:
    """What came of a mistake: places refused, newly noticed, and what newly does not pass."""

    refused: frozenset[str] = frozenset()
    noticed: frozenset[str] = frozenset()
    open: frozenset[Open] = frozenset()


def came(mistake: Mistake, with_sheets: bool) -> Came:
    """Make the mistake and look."""
    before = home(mistake.house)
    try:
        after = changed(before, mistake.changes)
    except JobError as error:
        return Came(refused=frozenset(problem.at for problem in error.problems))
    known = {(said.at, said.read, said.odd) for said in notices(before)}
    new = frozenset(said.at for said in notices(after) if (said.at, said.read, said.odd) not in known)
    return Came(
        noticed=new,
        open=frozenset(standing(House.of(after)).open) - _open(mistake.house) if with_sheets else frozenset(),
    )


@cache
def _open(name: str) -> frozenset[Open]:
    """What does not pass in a demo house as it is kept."""
    return frozenset(standing(houses.demo(name)).open)


def named(mistake: Mistake, at: str) -> str:
    """A place that the file names, by the numbers that it has once the mistake is made."""
    return numbered(at, with_changes(home(mistake.house).data, mistake.changes))


def main() -> None:
    """How many of each, and the silent ones with their reasons."""
    counts = Counter(mistake.outcome for mistake in mistakes())
    print(f"{counts.total()} plausible mistakes: " + ", ".join(f"{counts[o]} {o.replace('_', ' ')}" for o in OUTCOMES))
    for mistake in mistakes():
        if mistake.silent:
            print(f"silent: {mistake.typed}: {mistake.silent}")


if __name__ == "__main__":
    main()
