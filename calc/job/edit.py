"""A job changed in memory: a what-if for a sheet, or an edit of a form before it is saved."""

from collections.abc import Mapping
from copy import deepcopy
from itertools import pairwise
from typing import Any, TypeVar

from calc.job.model import Job
from calc.job.places import ANOTHER, steps
from calc.job.read import make_job

T = TypeVar("T")


def changed(job: Job, changes: Mapping[str, Any]) -> Job:
    """The same job with other values at the given places, checked as a whole.

    Places are those of `place`: 'dwelling.floor_area_ft2', 'loads[3].load_va'; 'loads[+]' adds an entry; the value
    None takes a key or an entry away. Values are as a job file writes them. Raises JobError when the result is no
    job, KeyError for a place that is not there. The job keeps its path and fingerprint, so that it can be saved.
    """
    new = make_job(with_changes(job.data, changes), job.path or "job", before=job)
    new._path, new._fingerprint = job.path, job.fingerprint
    return new


def with_changes(data: Mapping[str, Any], changes: Mapping[str, Any]) -> dict[str, Any]:
    """The data of a job with other values at the given places, checked by nobody yet.

    What is not on the way to a place is not copied: both hold the same tables, so neither may be changed in place.
    """
    new = _Copy(data)
    for at, value in changes.items():
        new.put(at, deepcopy(value))
    return new.done()


_REMOVED: Any = object()


class _Copy:
    """Data in which the tables and lists that lead to a changed place are copies, each made once."""

    def __init__(self, data: Mapping[str, Any]) -> None:
        self.data = dict(data)
        self._mine: dict[int, dict[str, Any] | list[Any]] = {id(self.data): self.data}

    def put(self, at: str, value: Any) -> None:
        """Set a place to a value; None takes it away."""
        along = steps(at) or (ANOTHER,)
        here: Any = self.data
        for step, following in pairwise(along):
            here = self._into(here, step, {} if _is_key(following) else [], at)
        last = along[-1]
        if _is_key(last):
            table = _of(dict, here, at)
            if value is None:
                table.pop(last, None)
            else:
                table[last] = value
        elif last == ANOTHER:
            _of(list, here, at).append(value)
        else:
            here[_number(here, last, at)] = _REMOVED if value is None else value

    def done(self) -> dict[str, Any]:
        """The data, without the entries that were taken away; till then the others keep their numbers."""
        for copied in self._mine.values():
            if isinstance(copied, list):
                copied[:] = [entry for entry in copied if entry is not _REMOVED]
        return self.data

    def _into(self, here: Any, step: str | int, new: dict[str, Any] | list[Any], at: str) -> Any:
        """The table or list at a step from here, as one of our own; a new one where there is none."""
        if _is_key(step):
            key, inner = step, _of(dict, here, at).get(step, new)
        elif step == ANOTHER:
            _of(list, here, at).append(new)
            key, inner = -1, new
        else:
            key = _number(here, step, at)
            inner = here[key]
        if id(inner) not in self._mine and isinstance(inner, dict | list):
            inner = inner.copy()
            self._mine[id(inner)] = inner
        here[key] = inner
        return inner


def _is_key(step: str | int) -> bool:
    return isinstance(step, str) and step != ANOTHER


def _number(items: Any, number: Any, at: str) -> int:
    if not 0 <= number < len(_of(list, items, at)):
        raise KeyError(f"{at!r} is past the end: there are {len(items)}")
    return int(number)


def _of(kind: type[T], here: Any, at: str) -> T:
    if not isinstance(here, kind):
        raise KeyError(f"{at!r} is not a place in this job: no {'table' if kind is dict else 'list'} stands there")
    return here
