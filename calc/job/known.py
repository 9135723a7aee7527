"""What of a job is known to be right: the tables that are as they were in another job."""

from __future__ import annotations

import operator
from collections.abc import Iterator
from typing import Any

from calc.job.fields import Part, parts_of
from calc.job.model import Job
from calc.job.nominal import settled

Table = dict[str, Any]


class Known:
    """The data of a job, names settled, in which tables that are as in a job `before`, at the same place, stand as the parts of that job.

    `anew` holds the keys of what is not as it was: lists in which some entry is not, tables, other entries.
    """

    def __init__(self, data: Table, before: Job | None = None) -> None:
        data = settled(data)
        self.raw, self.before = data, before
        self.data = dict(data)
        self.anew = {*data, *Job.model_fields}
        if before is None:
            return
        data_before = settled(before.data)
        for key in parts_of(Job):
            new, old, was = data.get(key), data_before.get(key), getattr(before, key)
            if (key in data) == (key in data_before) and alike(new, old):
                self.anew.discard(key)
                if key in data:
                    self.data[key] = was
            elif isinstance(new, list) and isinstance(was, tuple):
                same = (part if alike(a, b) else a for a, b, part in zip(new, old or [], was, strict=False))
                self.data[key] = [*same, *new[len(was) :]]

    def parts(self) -> Iterator[Part]:
        """The tables, and the entries of lists, that are known to be right."""
        for value in self.data.values():
            yield from (one for one in (value if isinstance(value, list | tuple) else [value]) if isinstance(one, Part))


def alike(new: Any, old: Any) -> bool:
    """Whether two pieces of data say the same, in the same types: 1 is neither true nor 1.0."""
    if new is old:
        return True
    if type(new) is not type(old):
        return False
    if isinstance(new, dict):
        return new.keys() == old.keys() and all(alike(value, old[key]) for key, value in new.items())
    if isinstance(new, list | tuple):
        return len(new) == len(old) and all(map(alike, new, old))
    return bool(new == old)


def share(new: Part, old: Part) -> None:
    """Let each table in `new`, and each list of them, that is as in `old` be the very one of `old`."""
    for name, (_, many) in parts_of(type(new)).items():
        now, was = getattr(new, name), getattr(old, name)
        if now is was or not now or not was:
            continue
        if many:
            new.__dict__[name] = _shared_list(now, was)
        else:
            new.__dict__[name] = _shared(now, was)


def _shared(new: Part, old: Part) -> Part:
    if new is old:
        return old
    share(new, old)
    return old if new == old else new


def _shared_list(new: tuple[Part, ...], old: tuple[Part, ...]) -> tuple[Part, ...]:
    found = (*map(_shared, new, old), *new[len(old) :])
    return old if len(found) == len(old) and all(map(operator.is_, found, old)) else found
