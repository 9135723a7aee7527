"""A job changed in memory: a what-if for a sheet, or an edit of a form before it is saved."""

import re
from collections.abc import Mapping
from copy import deepcopy
from typing import Any

from calc.job.model import Job
from calc.job.read import make_job

_STEP = re.compile(r"([^.\[\]]+)((?:\[(?:\d+|\+)\])*)")


def changed(job: Job, changes: Mapping[str, Any]) -> Job:
    """The same job with other values at the given places, checked as a whole.

    Places are those of `place`: 'dwelling.floor_area_ft2', 'loads[3].load_va'; 'loads[+]' adds an entry; the value
    None takes a key or an entry away. Values are as a job file writes them. Raises JobError when the result is no
    job, KeyError for a place that is not there. The job keeps its path and fingerprint, so that it can be saved.
    """
    new = make_job(with_changes(job.data, changes), job.path or "job")
    new._path, new._fingerprint = job.path, job.fingerprint
    return new


def with_changes(data: Mapping[str, Any], changes: Mapping[str, Any]) -> dict[str, Any]:
    """The data of a job with other values at the given places, checked by nobody yet."""
    new = deepcopy(dict(data))
    for at, value in changes.items():
        _set(new, at, deepcopy(value))
    whole: dict[str, Any] = _without_removed(new)
    return whole


_REMOVED: Any = object()


def _steps(at: str) -> list[str | int]:
    steps: list[str | int] = []
    for part in at.split("."):
        found = _STEP.fullmatch(part)
        if found is None:
            raise KeyError(f"{at!r} is not a place in a job")
        steps.append(found[1])
        steps += ["+" if n == "+" else int(n) - 1 for n in re.findall(r"\[(\d+|\+)\]", found[2])]
    return steps


def _set(data: dict[str, Any], at: str, value: Any) -> None:
    *path, last = _steps(at)
    here: Any = data
    for step, following in zip(path, [*path, last][1:], strict=True):
        if isinstance(here, dict):
            here = here.setdefault(step, {} if isinstance(following, str) and following != "+" else [])
        elif step == "+":
            here.append({})
            here = here[-1]
        else:
            here = _entry(here, step, at)
    if isinstance(here, dict) and value is None:
        here.pop(last, None)
    elif isinstance(here, dict):
        here[last] = value
    elif last == "+":
        here.append(value)
    else:
        _entry(here, last, at)
        here[last] = _REMOVED if value is None else value


def _entry(items: list[Any], number: Any, at: str) -> Any:
    if not isinstance(number, int) or not 0 <= number < len(items):
        raise KeyError(f"{at!r} is past the end: there are {len(items)}")
    return items[number]


def _without_removed(value: Any) -> Any:
    if isinstance(value, dict):
        return {k: _without_removed(v) for k, v in value.items()}
    if isinstance(value, list):
        return [_without_removed(v) for v in value if v is not _REMOVED]
    return value
