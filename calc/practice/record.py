"""A learner's record: a plain file that is theirs, a line of JSON for each line that they answered.

Nothing of it leaves the machine. A file is put in place whole, the one before is kept beside it, and what another tab wrote
meanwhile is taken in: two records are one by the answers in both.
"""

from __future__ import annotations

import fcntl
import json
import os
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass, field, fields
from datetime import UTC, datetime
from pathlib import Path
from tempfile import NamedTemporaryFile
from uuid import uuid4

from calc.intake import NotTaken, taken, text_of

PREVIOUS = ".previous"
KIND = "learner's record"


class RecordError(Exception):
    """A record can't be read; the message names the file and the line. Nothing is changed then."""


@dataclass(frozen=True)
class Answered:
    """One line as it was answered: which question, which skill (a family's line), how, with how many hints, and the rule
    that it rests on or that was missed.
    """

    question: str  # 'box-fill/7/2'
    skill: str  # 'box-fill/grounds_in3'
    right: bool
    slip: str = ""
    hints: int = 0
    rule: str = ""
    when: str = field(default_factory=lambda: datetime.now(UTC).isoformat(timespec="seconds"))
    id: str = field(default_factory=lambda: uuid4().hex)

    @property
    def family(self) -> str:
        """The family that was practised."""
        return self.skill.partition("/")[0]

    @property
    def at(self) -> datetime:
        """When it was answered."""
        return datetime.fromisoformat(self.when)


def read_record(path: Path) -> list[Answered]:
    """What a learner answered, in order; nothing where there is no file yet. RecordError names what can't be read."""
    if not path.exists():
        return []
    try:
        text = text_of(taken(path, kind=KIND), KIND)
    except NotTaken as error:
        raise RecordError(f"{path}: {error}") from None
    return [_answered(path, number, line) for number, line in enumerate(text.splitlines(), 1) if line.strip()]


def _answered(path: Path, number: int, line: str) -> Answered:
    try:
        said = json.loads(line)
        one = Answered(**said)
        one.at  # noqa: B018  it must be a time
        must = {each.name for each in fields(Answered)} - {"rule"}  # a record of before rules were kept lacks it
        texts = (one.question, one.skill, one.slip, one.rule, one.when, one.id)
        kinds = isinstance(one.right, bool) and type(one.hints) is int and all(isinstance(text, str) for text in texts)
        good = must <= set(said) and kinds and one.at.tzinfo
    except (ValueError, TypeError, RecursionError):
        good = False
    if not good:
        raise RecordError(f"{path}, line {number}: is no answer of a {KIND}; the file before is {path.name}{PREVIOUS}")
    return one


def add_to_record(path: Path, answers: Iterable[Answered]) -> list[Answered]:
    """Put answers into a record, with what the file has by now. RecordError where that can't be read: it stays as it is."""
    with _alone(path):
        there = read_record(path)
        merged = {one.id: one for one in [*answers, *there]}
        if len(merged) == len(there):  # nothing new: the file before this one stays the one before
            return there
        whole = sorted(merged.values(), key=lambda one: (one.at, one.id))
        if path.exists():
            _put(path.with_name(path.name + PREVIOUS), path.read_text(encoding="utf-8"))
        _put(path, "".join(json.dumps(asdict(one), ensure_ascii=False) + "\n" for one in whole))
    return whole


def _put(path: Path, text: str) -> None:
    """Put a file in place whole: what was there stays until the disk has all of the new one."""
    with NamedTemporaryFile("w", dir=path.parent, prefix=f".{path.name}-", delete=False, encoding="utf-8") as file:
        try:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
            os.replace(file.name, path)
        except OSError:
            Path(file.name).unlink()
            raise


@contextmanager
def _alone(path: Path) -> Iterator[None]:
    """While no other process or tab writes this record."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with open(path.with_name(f".{path.name}.lock"), "w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield
