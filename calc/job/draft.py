"""A job being edited: entries right or wrong, undo and redo, saving, and a draft on disk that outlives the kernel.

The last good job stands while an entry is wrong, so that a sheet can stay in view, marked as not current.
"""

import contextlib
import datetime
import glob
import json
import os
import secrets
import socket
from collections.abc import Mapping
from copy import deepcopy
from itertools import count
from pathlib import Path
from typing import Any

import tomlkit

from calc.intake import NotTaken, taken, text_of
from calc.job.edit import with_changes
from calc.job.fields import CONFIRMED
from calc.job.merge import Conflict, merged
from calc.job.model import Job
from calc.job.places import value_at
from calc.job.problems import JobError, Problem, SaveConflict
from calc.job.read import fingerprint, make_job, read_bytes, read_job
from calc.job.spoken import at_a_form
from calc.job.write import PREVIOUS, create_job, save_job

MOST_STEPS = 200
"""How far undo reaches back."""
MOST_DRAFT_BYTES = 10_000_000
"""The data of a job file as JSON takes more room than the file."""


class Draft:
    """A job file opened for editing.

    `job` is the last good job, `data` what the form says now, `problems` what is wrong with it by place. `restored`
    says that unsaved edits of an earlier time were taken up. What another hand saved is taken in place by place;
    `conflicts` are the places that both changed, for a person to decide. `kept` says when the draft on disk was written
    last, and is None where it could not be.
    """

    def __init__(self, path: str | Path) -> None:
        self.path = Path(path)
        self.job = read_job(self.path)
        self.data: dict[str, Any] = self.job.data
        self.problems: dict[str, str] = {}
        self._undo: list[dict[str, Any]] = []
        self._redo: list[dict[str, Any]] = []
        self._joining: object = None
        self._saved = self.job.data
        self.conflicts: list[Conflict] = []
        self.kept: datetime.datetime | None = None
        self._mark = secrets.token_hex(4)
        self.restored = self.adopt()

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
    def before(self) -> dict[str, Any]:
        """What the form said before the last step, to which undo goes back."""
        return self._undo[-1] if self._undo else self.data

    @property
    def can_redo(self) -> bool:
        """Whether a step was taken back."""
        return bool(self._redo)

    def change(self, changes: Mapping[str, Any], joining: object = None) -> None:
        """Set places to values, as `changed` does; None takes a key or an entry away.

        Changes in a row that are `joining` by the same mark are one step for undo: the keystrokes of one entry.
        """
        new = with_changes(self.data, changes)
        for at, value in changes.items():
            new = _unconfirmed(_without_empty(new, at) if value is None else new, at)
        self._step(new, joining)

    def put_list(self, at: str, entries: list[dict[str, Any]]) -> None:
        """Put a whole list, such as loads after a row was moved, in one step."""
        self.change({at: entries or None})

    def rows(self, at: str) -> list[dict[str, Any]]:
        """A copy of the list at a place, as the form has it now."""
        found = value_at(self.data, at)
        return deepcopy(found) if isinstance(found, list) else []

    def undo(self) -> None:
        """Take the last step back."""
        if self._undo:
            self._redo.append(self.data)
            self._joining = None
            self._take(self._undo.pop())

    def redo(self) -> None:
        """Take a step forward again."""
        if self._redo:
            self._undo.append(self.data)
            self._joining = None
            self._take(self._redo.pop())

    def discard(self) -> None:
        """Go back to what was saved, as a step that can be taken back."""
        self._step(self._saved)

    def save(self) -> None:
        """Write the job file, with what another hand saved meanwhile where that is at other places.

        JobError while an entry is wrong, SaveConflict while a place that both changed is undecided.
        """
        self.look()
        self._error_free()
        if self.conflicts:
            raise SaveConflict(
                [Problem(str(self.path), None, each.at, "was changed by two people") for each in self.conflicts]
            )
        self._saved_as(save_job(self.job))

    def decide(self, mine: bool, at: str | None = None) -> None:
        """Decide a conflict, or all of them: what is here stays, or what the file says comes in its place, undoable."""
        decided = [each for each in self.conflicts if at is None or each.at == at]
        self.conflicts = [each for each in self.conflicts if each not in decided]
        if not mine and decided:
            self.change({each.at: each.theirs for each in reversed(decided)})

    def keep_both(self) -> Path:
        """Save beside the file, under a name of its own, and go on with that one."""
        self._error_free()
        names = ((number, self.path.with_name(f"{self.path.stem}-{number}.toml")) for number in count(2))
        number, path = next((number, name) for number, name in names if not name.exists())
        # reports are kept in a folder of the job's name: two jobs of one name would overwrite each other's
        named = f"{self.job.job.name[:76]}-{number}"
        job = make_job(with_changes(self.data, {"job.name": named}), path)
        self._write_beside(job, path)
        self._forget()
        self.path = path
        self._saved_as(read_job(path))
        return path

    def look(self) -> bool:
        """Take in what another hand saved since, place by place; whether there was anything. Undo reaches no further
        back than to entries of one's own: what others saved stays."""
        try:
            if fingerprint(read_bytes(self.path)) == self.job.fingerprint:
                return False
            job = read_job(self.path)
        except JobError:  # half written, or gone: saving will say so
            return False
        self._take_in(self._saved, job)
        return True

    def adopt(self) -> bool:
        """Take up the drafts that nobody works at any more, even where the file was changed since; whether there was one."""
        found = False
        for path in drafts_of(self.path):
            try:
                left = json.loads(text_of(taken(path, MOST_DRAFT_BYTES)), object_hook=_dates)
                base, data, owner = left["base"], left["data"], str(left["owner"])
            except (NotTaken, ValueError, KeyError, TypeError, RecursionError):
                continue
            if path == self._draft_path or not (isinstance(base, dict) and isinstance(data, dict)) or _at_work(owner):
                continue
            try:
                together, conflicts = merged(base, data, self.data)
            except (AttributeError, TypeError):  # a draft that is none
                continue
            if together != self.data:
                self._step(together)
                self.conflicts += conflicts
                found = True
            with contextlib.suppress(OSError):
                path.unlink()
        return found

    # -- inside ---------------------------------------------------------------------------------------------

    _error: JobError

    def _take_in(self, base: dict[str, Any], job: Job) -> None:
        """Go on from what the file says now, with the entries made since ``base`` on top of it."""
        data, found = merged(base, self.data, job.data)
        self._undo, self._redo = (
            [merged(base, each, job.data)[0] for each in steps] for steps in (self._undo, self._redo)
        )
        self.conflicts = [*self.conflicts, *found]
        self.job, self._saved, self._joining = job, job.data, None
        self._take(data)

    def _error_free(self) -> None:
        if self.problems:
            raise JobError(self._error.problems)

    def _step(self, data: dict[str, Any], joining: object = None) -> None:
        if data == self.data:
            return
        if joining is None or joining != self._joining:
            self._undo = [*self._undo[-MOST_STEPS + 1 :], self.data]
        self._joining = joining
        self._redo = []
        self._take(data)
        self.conflicts = [
            each for each in self.conflicts if value_at(data, each.at) == each.mine
        ]  # the others are decided

    def _write_beside(self, job: Job, path: Path) -> None:
        """The job as a new file, with the comments of the file that it was opened from where that can be read."""
        try:
            copied = create_job(path, read_bytes(self.path).decode("utf-8"))
        except (JobError, UnicodeDecodeError):
            create_job(path, tomlkit.dumps(job.data))
            return
        save_job(job, path, seen=copied.fingerprint)
        path.with_name(path.name + PREVIOUS).unlink(missing_ok=True)

    def _take(self, data: dict[str, Any]) -> None:
        self.data = data
        try:
            job = make_job(data, self.path, before=self.job)
        except JobError as error:
            self._error = error
            self.problems = {p.at: at_a_form(p) for p in reversed(error.problems)}
        else:
            job._path, job._fingerprint = self.job.path, self.job.fingerprint
            self.job, self.problems = job, {}
        self._keep()

    def _saved_as(self, job: Job) -> None:
        self.job, self.data, self._saved = job, job.data, job.data
        self.problems, self.conflicts, self._joining = {}, [], None
        self._forget()

    @property
    def _draft_path(self) -> Path:
        return self.path.with_name(f".{self.path.name}.{self._mark}.draft")

    def _keep(self) -> None:
        """Put the unsaved data where another kernel finds it. A disk that can't take it costs no more than that."""
        if not self.dirty:
            self._forget()
            return
        left = {"owner": _me(), "base": self._saved, "data": self.data}
        beside = self._draft_path.with_name(self._draft_path.name + ".new")
        self.kept = None
        with contextlib.suppress(OSError):
            beside.write_text(json.dumps(left, default=_as_text), encoding="utf-8")
            os.replace(beside, self._draft_path)
            self.kept = datetime.datetime.now()

    def _forget(self) -> None:
        with contextlib.suppress(OSError):
            self._draft_path.unlink()


def drafts_of(path: Path) -> list[Path]:
    """The drafts of a job file, one for each form that has unsaved entries, the oldest first."""
    found = path.parent.glob(f".{glob.escape(path.name)}.*.draft")
    return sorted(found, key=lambda each: each.stat().st_mtime)


def _me() -> str:
    return f"{socket.gethostname()} {os.getpid()}"


def _at_work(owner: str) -> bool:
    """Whether another process than this one has the form of a draft open. Of another machine nobody can tell: it may."""
    host, _, process = owner.rpartition(" ")
    if host != socket.gethostname():
        return True
    if owner == _me() or not process.isdecimal():
        return False
    try:
        os.kill(int(process), 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    return True


def _without_empty(data: dict[str, Any], at: str) -> dict[str, Any]:
    """The data without the optional tables that clearing a place left empty: a form has no other way to remove them."""
    table = at.rpartition(".")[0]
    while table and "[" not in table and value_at(data, table) == {}:
        if table in Job.model_fields and Job.model_fields[table].is_required():
            break
        data = with_changes(data, {table: None})
        table = table.rpartition(".")[0]
    return data


def _unconfirmed(data: dict[str, Any], at: str) -> dict[str, Any]:
    """An entry that is changed has to be looked at again: whoever confirmed it saw another value."""
    outer, _, key = at.rpartition(".")
    where = f"{outer}.{CONFIRMED}".lstrip(".")
    listed = value_at(data, where)
    if not isinstance(listed, list) or key not in listed:
        return data
    return with_changes(data, {where: [name for name in listed if name != key] or None})


def _as_text(value: object) -> Any:
    return {"date": value.isoformat()} if isinstance(value, datetime.date) else str(value)


def _dates(found: dict[str, Any]) -> Any:
    if set(found) == {"date"} and isinstance(found["date"], str):
        with contextlib.suppress(ValueError):
            return datetime.date.fromisoformat(found["date"])
    return found
