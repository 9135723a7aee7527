"""A job being edited: entries right or wrong, undo and redo, saving, and a draft on disk that outlives the kernel.

The last good job stands while an entry is wrong, so that a sheet can stay in view, marked as not current.
"""

import contextlib
import datetime
import json
import os
from collections.abc import Mapping
from copy import deepcopy
from itertools import count
from pathlib import Path
from typing import Any

import tomlkit

from calc.job.edit import with_changes
from calc.job.model import Job
from calc.job.problems import JobError
from calc.job.read import fingerprint, make_job, read_bytes, read_job
from calc.job.write import create_job, save_job

MOST_STEPS = 200
"""How far undo reaches back."""


class Draft:
    """A job file opened for editing.

    `job` is the last good job, `data` what the form says now, `problems` what is wrong with it by place.
    """

    def __init__(self, path: str | Path) -> None:
        self.path = Path(path)
        self.job = read_job(self.path)
        self.data: dict[str, Any] = deepcopy(self.job.data)
        self.problems: dict[str, str] = {}
        self._undo: list[dict[str, Any]] = []
        self._redo: list[dict[str, Any]] = []
        self.restored = self._restore()

    @property
    def current(self) -> bool:
        """Whether the last good job is what the form says."""
        return not self.problems

    @property
    def dirty(self) -> bool:
        """Whether there is something to save."""
        return self.data != self._saved

    @property
    def can_undo(self) -> bool:
        """Whether there is a step to take back."""
        return bool(self._undo)

    @property
    def can_redo(self) -> bool:
        """Whether a step was taken back."""
        return bool(self._redo)

    def change(self, changes: Mapping[str, Any]) -> None:
        """Set places to values, as `changed` does; None takes a key or an entry away."""
        self._step(with_changes(self.data, changes))

    def put_list(self, at: str, entries: list[dict[str, Any]]) -> None:
        """Put a whole list, such as loads after a row was moved, in one step."""
        new = deepcopy(self.data)
        here: Any = new
        *path, last = at.split(".")
        for key in path:
            here = here.setdefault(key, {})
        here[last] = deepcopy(entries)
        if not entries:
            del here[last]
        self._step(new)

    def rows(self, at: str) -> list[dict[str, Any]]:
        """A copy of the list at a place, as the form has it now."""
        here: Any = self.data
        for key in at.split("."):
            here = here.get(key, {}) if isinstance(here, dict) else {}
        return deepcopy(here) if isinstance(here, list) else []

    def undo(self) -> None:
        """Take the last step back."""
        if self._undo:
            self._redo.append(self.data)
            self._take(self._undo.pop())

    def redo(self) -> None:
        """Take a step forward again."""
        if self._redo:
            self._undo.append(self.data)
            self._take(self._redo.pop())

    def save(self) -> None:
        """Write the job file. JobError while an entry is wrong, SaveConflict when the file changed on disk."""
        self._error_free()
        self._saved_as(save_job(self.job))

    def overwrite(self) -> None:
        """Save over a file that changed on disk; what it said is kept as the previous version."""
        self._error_free()
        self._saved_as(save_job(self.job, seen=fingerprint(read_bytes(self.path))))

    def keep_both(self) -> Path:
        """Save beside the file that changed on disk, under a name of its own, and go on with that one."""
        self._error_free()
        names = (self.path.with_name(f"{self.path.stem}-{number}.toml") for number in count(2))
        path = next(name for name in names if not name.exists())
        job = create_job(path, tomlkit.dumps(self.data))
        self._forget()
        self.path = path
        self._saved_as(job)
        return path

    def reload(self) -> None:
        """Take what the file says now; the edits stay one undo away."""
        self.job = read_job(self.path)
        self._step(deepcopy(self.job.data))
        self._saved = deepcopy(self.job.data)
        self._forget()

    # -- inside ---------------------------------------------------------------------------------------------

    _saved: dict[str, Any]
    _error: JobError

    def _error_free(self) -> None:
        if self.problems:
            raise JobError(self._error.problems)

    def _step(self, data: dict[str, Any]) -> None:
        if data == self.data:
            return
        self._undo = [*self._undo[-MOST_STEPS + 1 :], self.data]
        self._redo = []
        self._take(data)

    def _take(self, data: dict[str, Any]) -> None:
        self.data = data
        try:
            job = make_job(deepcopy(data), self.path)
        except JobError as error:
            self._error = error
            self.problems = {p.at: _said(p.read, p.allowed, p.hint) for p in reversed(error.problems)}
        else:
            job._path, job._fingerprint = self.job.path, self.job.fingerprint
            self.job, self.problems = job, {}
        self._keep()

    def _saved_as(self, job: Job) -> None:
        self.job, self.data = job, deepcopy(job.data)
        self._saved = deepcopy(job.data)
        self._forget()

    @property
    def _draft_path(self) -> Path:
        return self.path.with_name(f".{self.path.name}.draft")

    def _keep(self) -> None:
        """Put the unsaved data where another kernel finds it. A disk that can't take it costs no more than that."""
        if not self.dirty:
            self._forget()
            return
        text = json.dumps({"fingerprint": self.job.fingerprint, "data": self.data}, default=_as_text)
        beside = self._draft_path.with_name(self._draft_path.name + ".new")
        with contextlib.suppress(OSError):
            beside.write_text(text, encoding="utf-8")
            os.replace(beside, self._draft_path)

    def _forget(self) -> None:
        with contextlib.suppress(OSError):
            self._draft_path.unlink()

    def _restore(self) -> bool:
        """Take up a draft that was left, where it belongs to the file as it stands."""
        self._saved = deepcopy(self.job.data)
        try:
            left = json.loads(self._draft_path.read_text(encoding="utf-8"), object_hook=_dates)
            data, seen = left["data"], left["fingerprint"]
        except (OSError, ValueError, KeyError, TypeError):
            return False
        if seen != self.job.fingerprint or not isinstance(data, dict) or data == self.data:
            self._forget()
            return False
        self._step(data)
        return True


def _said(read: str, allowed: str, hint: str) -> str:
    return "; ".join(p for p in (read, allowed and f"allowed: {allowed}", hint) if p)


def _as_text(value: object) -> Any:
    if isinstance(value, datetime.date):
        return {"date": value.isoformat()}
    raise TypeError(type(value).__name__)


def _dates(found: dict[str, Any]) -> Any:
    if set(found) == {"date"} and isinstance(found["date"], str):
        with contextlib.suppress(ValueError):
            return datetime.date.fromisoformat(found["date"])
    return found
