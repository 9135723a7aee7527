"""The worked house: a job under a code, where each thing is worked once and, for a changed job, only where it can differ.

A function marked ``@remembered`` takes a house and frozen values, and is remembered with what it read: parts of the job,
lines that are replaced, files beside the job, and results of other such functions. A house made from another takes over
each result of which all of that is as it was. So nothing has to be told what depends on what, and a result can't rest on
something that it did not read.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import wraps
from pathlib import Path
from threading import RLock, local
from types import FunctionType, MethodType
from typing import Any, Concatenate, ParamSpec, TypeVar, cast

from calc.codebook import Codebook
from calc.job import Job
from calc.wiring.reading import blank_sheet, codebook_for
from calc.work import Refused, Sheet

P = ParamSpec("P")
T = TypeVar("T")
Lines = Mapping[str, float | str]
NO_LINES: Lines = {}
Subject = tuple[str, str, Callable[..., None], *tuple[Any, ...]]
"""Title and subject of a sheet, what fills it, and what of: see `filled`."""
MOST_BEFORE = 5_000  # results of a dozen houses: a form that is edited all day keeps no more


class _Key:
    """A function with the values that it is asked for, or a part of the job by name; its hash is worked out once."""

    __slots__ = ("hashed", "of")

    def __init__(self, *of: Any) -> None:
        self.of = of
        self.hashed = hash(of)

    def __hash__(self) -> int:
        return self.hashed

    def __eq__(self, other: object) -> bool:
        return self is other or (isinstance(other, _Key) and self.hashed == other.hashed and self.of == other.of)


@dataclass(slots=True)
class _Result:
    """What a function gave, or the refusal that it ended in; and what it read, in the order of reading."""

    value: Any = None
    refused: Refused | None = None
    reads: dict[_Key, Any] = field(default_factory=dict)

    def like(self, other: _Result) -> bool:
        """Whether whoever used the other can't tell the two apart."""
        if self is other or (self.refused is None and other.refused is None and self.value is other.value):
            return True
        return self.refused == other.refused and bool(self.value == other.value)


def _scoped(family: str, subject: str) -> str:
    """The name of lines that are replaced: of a family, or of its sheet about one subject."""
    return f"{family}: {subject}" if subject else family


class _Reading(local):
    """What is being worked, each with what it has read so far. A page works its fix list in a thread of its own."""

    def __init__(self) -> None:
        self.open: list[dict[_Key, Any]] = []


_JOB = _Key("job")
_PARTS = {name: _Key("part", name) for name in (*Job.model_fields, "path")}


class House:
    """A job under a code, with lines of some families replaced where somebody asks 'what if'.

    ``job`` is to be read from inside functions marked ``@remembered``: each of its parts that is read is noted.
    """

    def __init__(self, job: Job, code: Codebook) -> None:
        self.code = code
        self._job = job
        self._lines: dict[str, Lines] = {}
        self._known: dict[_Key, _Result] = {}  # of this very house
        self._before: Mapping[_Key, _Result] = {}  # of the house that it was made from, to be looked at before use
        self._beside: dict[Callable[[Job], Job | None], House | None] = {}
        self._beside_before: Mapping[Callable[[Job], Job | None], House | None] = {}
        self._reading = _Reading()
        self._working = RLock()  # one thread at a time works here; houses made from this one work beside it
        self.job = cast(Job, _Read(self))

    @property
    def whole_job(self) -> Job:
        """The job itself, to be changed or saved: who asks for it depends on all of it."""
        self._note(_JOB, self._job)
        return self._job

    def with_job(self, job: Job) -> House:
        """The house as another job has it, under the same code."""
        return self._made(job, self._lines)

    def after(self, job: Job) -> House:
        """The house as a job has it under its own code: made from this one where that is the same code.

        CodebookError where edition and amendments don't go together.
        """
        code = codebook_for(job)
        return self.with_job(job) if code.in_full == self.code.in_full else House(job, code)

    def with_lines(self, family: str, lines: Lines, subject: str = "") -> House:
        """The house with lines of one family replaced by key: a slip, a learner's own number or size, a what-if.

        With ``subject`` only those of the sheet about it: what lies ahead of a run keeps its own lines of the same key.
        """
        return self._made(self._job, {**self._lines, _scoped(family, subject): lines})

    def beside(self, made: Callable[[Job], Job | None]) -> House | None:
        """The house with its job as a function makes it, None where that makes none: kept with this one, so that what is
        worked there is worked once, and carried over to the houses that are made from this one.
        """
        self._note(_JOB, self._job)
        with self._working:
            if made not in self._beside:
                job = made(self._job)
                start = self._beside_before.get(made) or self
                self._beside[made] = None if job is None else start._made(job, self._lines)
            return self._beside[made]

    @property
    def unchanged(self) -> House:
        """The house without any line replaced."""
        return self._made(self._job, {}) if self._lines else self

    def sheet(self, family: str, title: str, subject: str, lines_of: str = "", manner: Sequence[str] = ()) -> Sheet:
        """An empty sheet of a family under the code as it stands, with the lines that are replaced here.

        ``lines_of`` is a family whose lines it prints too; ``manner`` is how it is worked, for its words.
        """
        made = blank_sheet(family, title, subject, self.code, lines_of, manner)
        for name in (family, _scoped(family, subject)):
            lines = self._lines.get(name, NO_LINES)
            self._note(_Key("lines", name), lines)
            made.overrides = {**made.overrides, **lines}
        return made

    def told(self, function: Callable[Concatenate[Job, P], T], *args: P.args, **named: P.kwargs) -> T:
        """What a function of the job alone says, remembered like the rest: a sheet that asks so rests on the answer, and
        not on every entry that the function has looked through.
        """
        return cast(T, _told(self, function, *args, **named))

    def file(self, path: Path) -> Path:
        """A file beside the job that a result rests on; what was worked from it is worked again once it has changed."""
        self._note(_Key("file", path), _stamp(path))
        return path

    @classmethod
    def of(cls, job: Job, edition: str | None = None) -> House:
        """The house of a job under the code that it adopts, or under another edition without its amendments.

        CodebookError where edition and amendments don't go together.
        """
        return cls(job, codebook_for(job, edition))

    # -- inside ---------------------------------------------------------------------------------------------

    def _made(self, job: Job, lines: dict[str, Lines]) -> House:
        other = House(job, self.code)
        other._lines = lines
        with self._working:
            fits = len(self._before) < MOST_BEFORE
            other._before = {**self._before, **self._known} if fits else dict(self._known) or self._before
            other._beside_before = {**self._beside_before, **self._beside}
        return other

    def _note(self, key: _Key, value: Any) -> None:
        if self._reading.open:
            self._reading.open[-1].setdefault(key, value)

    def _asked(self, key: _Key) -> _Result:
        """The result of a function for these values: as known, taken over, or worked."""
        with self._working:
            found = self._known.get(key)
            if found is None:
                before = self._before.get(key)
                found = before if before is not None and self._still(before) else self._worked(key, before)
                self._known[key] = found
            return found

    def _still(self, result: _Result) -> bool:
        """Whether all that a result was worked from is as it was. In the order of reading: what was asked second may
        make no sense where the first was answered otherwise."""
        return all(self._same(key, value) for key, value in result.reads.items())

    def _same(self, key: _Key, value: Any) -> bool:
        if isinstance(value, _Result):
            return self._asked(key).like(value)
        kind, *name = key.of
        if kind == "part":
            now = getattr(self._job, name[0])
            return now is value or bool(now == value)
        if kind == "lines":
            return bool(self._lines.get(name[0], NO_LINES) == value)
        if kind == "file":
            return bool(_stamp(name[0]) == value)
        return self._job is value

    def _worked(self, key: _Key, before: _Result | None) -> _Result:
        result = _Result()
        self._reading.open.append(result.reads)
        try:
            work, *args = key.of
            result.value = work(self, *args)
        except Refused as refused:
            result.refused = refused
        finally:
            self._reading.open.pop()
        if before is not None:  # who compares it later finds the very same
            result.value = before.value if result.like(before) else _shared(result.value, before.value)
        return result


class _Read:
    """A job whose reading is noted."""

    def __init__(self, house: House) -> None:
        self._house = house

    def __getattr__(self, name: str) -> Any:
        house = self._house
        if name in _PARTS:
            value = getattr(house._job, name)
            house._note(_PARTS[name], value)
            return value
        found = getattr(Job, name)
        if isinstance(found, FunctionType):
            return MethodType(found, self)
        raise AttributeError(f"{name} is of a whole job: ask the house for its whole_job")


def _shared(new: Any, old: Any) -> Any:
    """What is new, of several things each that is as it was before as the very same."""
    if type(new) is not tuple or type(old) is not tuple:
        return new
    return (*(b if a == b else a for a, b in zip(new, old, strict=False)), *new[len(old) :])


def _stamp(path: Path) -> tuple[int, int] | None:
    try:
        facts = path.stat()
    except OSError:
        return None
    return facts.st_mtime_ns, facts.st_size


def remembered(work: Callable[Concatenate[House, P], T]) -> Callable[Concatenate[House, P], T]:
    """Remember what a function of a house and frozen values gives. What it gives is for reading: nobody writes on it.

    A refusal is remembered too, and raised for each who asks. TypeError for a value that may change, such as a list.
    """

    @wraps(work)
    def asked(house: House, *args: P.args, **named: P.kwargs) -> T:
        if named:
            raise TypeError(f"{work.__qualname__} is remembered by its values in their order: name none")
        key = _Key(work, *args)
        result = house._asked(key)
        house._note(key, result)
        if result.refused is not None:
            raise result.refused.with_traceback(None)
        return cast(T, result.value)

    return cast(Callable[Concatenate[House, P], T], asked)


@remembered
def _told(house: House, function: Callable[..., Any], *args: Any) -> Any:
    return function(house.job, *args)


@remembered
def filled(house: House, family: str, title: str, subject: str, fill: Callable[..., None], *of: Any) -> Sheet:
    """A sheet with what ``fill(sheet, house, *of)`` writes on it, up to a refusal, which then stands there."""
    made = house.sheet(family, title, subject)
    with made.up_to_a_refusal():
        fill(made, house, *of)
    made.caution("caution_who_decides")
    return made
