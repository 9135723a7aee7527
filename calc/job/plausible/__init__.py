"""Plausible mistakes: entries that can be right by themselves and look like a slip, or that contradict one another.

    for each in notices(job):       those that stand, and those that someone confirmed
        print(each)                 Load "Strip heat", nameplate load: 960 VA. Usual ... Perhaps 9,600, with a digit more?

Usual ranges are data (`usual.toml`); contradictions are small functions, one a rule. They judge what was written: what
breaks a rule of the code is for a sheet to show, and is not said here again.
"""

from collections.abc import Callable

from calc.job.model import Job
from calc.job.places import steps
from calc.job.plausible import circuits, house, loads, named, names, rooms, runs, usual
from calc.job.plausible.notice import Found, Notice, notice

__all__ = ["Notice", "notices"]

RULES: tuple[Callable[[Job], Found], ...] = (
    usual.out_of_the_usual,
    named.misfiled,
    *names.RULES,
    *loads.RULES,
    *circuits.RULES,
    *runs.RULES,
    *rooms.RULES,
    *house.RULES,
)


def notices(job: Job) -> tuple[Notice, ...]:
    """Every plausible mistake of a job, one an entry, in the order of the job's tables; the confirmed ones among them."""
    found: dict[str, Notice] = {}
    for rule in RULES:
        for odd in rule(job):
            said = notice(job, odd)
            found.setdefault(said.at, said)
    return tuple(sorted(found.values(), key=_in_order))


def _in_order(said: Notice) -> tuple[int, list[int], str]:
    first, *further = steps(said.at)
    return list(Job.model_fields).index(str(first)), [n for n in further if isinstance(n, int)], said.at
