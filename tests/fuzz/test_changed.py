"""A job changed in a few places is the job that the changed data makes, and what was not touched is the very same."""

import random
from collections import Counter
from collections.abc import Callable, Iterator
from copy import deepcopy
from functools import partial
from typing import Any

import pytest

from calc.job import Job, JobError, Part, changed, field_info, place
from calc.job.edit import with_changes
from calc.job.fields import parts_of
from calc.job.known import alike
from calc.job.read import make_job
from tests.drawn import drawn
from tests.fuzz.mutants import CHANGES, NUMBERS, TEXTS, bases, good

COUNT = drawn(1500)
"""How many changes each test makes."""


def _at_places(job: Job, draw: random.Random) -> dict[str, Any]:
    """A few changes as a form or a what-if makes them: entries set, taken away, added."""
    changes: dict[str, Any] = {}
    for _ in range(draw.choice((1, 1, 1, 1, 2, 3))):
        part = draw.choice(list(_parts(job)))
        key = draw.choice(list(type(part).model_fields))
        lists = [name for name, (_, many) in parts_of(type(part)).items() if many]
        value: Any = good(type(part), key, job.data, draw)
        kind = draw.random()
        if kind < 0.1 and lists:
            key, value = f"{draw.choice(lists)}[+]", {"name": f"another {draw.randrange(9)}"}
        elif kind < 0.2:
            value = None
        elif kind < 0.3:
            value = draw.choice((*NUMBERS, *TEXTS, True, [], {}, [1], [{}]))
        elif kind < 0.4 and (entry := draw.choice(list(_parts(job)))._place):
            changes[entry] = None
            continue
        elif kind < 0.7 and field_info(part, key).kind in ("number", "length", "whole number"):
            value = (getattr(part, key) or 1) * draw.choice((1, 2, 0.5))
        changes[place(part, key)] = value
    return changes


def _parts(part: Part) -> Iterator[Part]:
    yield part
    for key in parts_of(type(part)):
        value = getattr(part, key)
        for one in value if isinstance(value, tuple) else [value]:
            if isinstance(one, Part):
                yield from _parts(one)


def _result(make: Callable[[], Job]) -> Job | tuple[object, ...]:
    try:
        return make()
    except JobError as error:
        return error.problems


def _agree(new: Job, plain: Job) -> None:
    """A changed job and one made anew of the same data can't be told apart."""
    assert new == plain
    assert hash(new) == hash(plain)
    assert new.model_dump() == plain.model_dump()
    assert new.data == plain.data
    for one, other in zip(_parts(new), _parts(plain), strict=True):
        assert (one._place, one.model_fields_set) == (other._place, other.model_fields_set)


def _shared(new: Part, old: Part) -> Iterator[bool]:
    """Table by table: whether it is the very one of the job before, which it is where it says the same."""
    for key, (_, many) in parts_of(type(new)).items():
        now, was = getattr(new, key), getattr(old, key)
        if many:
            assert (now is was) == (now == was)
        for one, other in zip(now, was, strict=False) if many else [(now, was)]:
            if one is not None and other is not None:
                assert (one is other) == (one == other)
                yield one is other
                yield from _shared(one, other) if one is not other else ()


@pytest.mark.drawn
@pytest.mark.parametrize("by", ["places", "data"])
def test_a_changed_job_is_the_one_that_its_data_makes(by: str) -> None:
    draw, counted = random.Random(by), Counter[str]()
    jobs = [make_job(deepcopy(data)) for _, data in (*bases(True), *bases(False))]
    for _ in range(COUNT):
        at = draw.randrange(len(jobs))
        job = jobs[at]
        before = deepcopy(job.data)
        if by == "places":
            changes = _at_places(job, draw)
            try:
                data = with_changes(before, changes)
            except KeyError:
                continue
            found = _result(partial(changed, job, changes))
        else:
            data = deepcopy(job.data)
            draw.choices(*zip(*CHANGES, strict=True))[0](data, draw)
            found = _result(partial(make_job, deepcopy(data), before=job))
        plain = _result(partial(make_job, deepcopy(data)))
        assert alike(job.data, before)
        if not isinstance(found, Job) or not isinstance(plain, Job):
            assert found == plain
            counted["refused"] += 1
            counted["faults"] += len(found) if isinstance(found, tuple) else 0
            continue
        _agree(found, plain)
        counted["made"] += 1
        counted["shared"] += sum(_shared(found, job))
        _same_where_the_data_is(found, job)
        if len(data) < 40 and draw.random() < 0.7:
            jobs[at] = found
    assert counted["made"] > COUNT / 4
    assert counted["refused"] > COUNT / 4
    assert counted["shared"] > COUNT * 10


def _same_where_the_data_is(new: Job, old: Job) -> None:
    for key, (_, many) in parts_of(Job).items():
        said, before = new.data.get(key), old.data.get(key)
        now, was = getattr(new, key), getattr(old, key)
        assert now is was or not alike(said, before)
        for n, (one, other) in enumerate(zip(said or [], before or [], strict=False)) if many else ():
            assert now[n] is was[n] or not alike(one, other)
