"""The parameters of a family's notebook beside the job's path, each checked before anything is worked with it.

Papermill writes what it is given into a cell as plain data; here each is held against what it may be, by type and by value.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from math import isfinite
from pathlib import Path

from calc.codebook import editions
from calc.job import Job
from calc.letters import visible
from calc.work import Sheet

LONGEST = 200
MOST_READ = 60
MOST_NAMED = 8
_KEY = re.compile(r"[a-z][a-z0-9_]*(\[[^\n]+\])?")
_SIZE = re.compile(r"[0-9][0-9/.-]*")
Line = float | str


class ParameterError(ValueError):
    """A parameter that can't be used: which one, what was read, and what is allowed."""

    def __init__(self, name: str, read: object, allowed: str) -> None:
        super().__init__(f"parameter {name}: read {_read(read)}; allowed: {allowed}")


@dataclass(frozen=True)
class Parameters:
    """What a notebook is asked for beside its job: nothing of it where nobody asks."""

    edition: str | None = None
    """Another edition of the code than the job's."""
    subject: str = ""
    """The one run, circuit, box, room or panel to show."""
    overrides: Mapping[str, Line] = field(default_factory=dict)
    """Lines replaced by key: numbers in the unit that the key ends in, or sizes."""

    def notes(self, job: Job) -> Iterable[str]:
        """What a reader must know before all else: how this differs from the job as it stands."""
        if self.edition is not None and self.edition != job.code.edition:
            yield f"Worked under edition {self.edition}, without amendments; the job adopts {job.code.edition}."
        if self.overrides:
            said = ", ".join(f"{key} = {value}" for key, value in self.overrides.items())
            yield f"Stated here, not worked: {said}. What follows is not a verdict on the job."


def checked(job_path: object, edition: object, subject: object, overrides: object) -> Parameters:
    """The parameters as they may be used. ParameterError for the first that may not."""
    if job_path is not None and not isinstance(job_path, str | Path):
        raise ParameterError("job_path", job_path, "the path of a job file, as text")
    return Parameters(_edition(edition), _subject(subject), _overrides(overrides))


def about(sheets: Sequence[Sheet], asked: Parameters) -> list[Sheet]:
    """The sheets that are asked for. ParameterError where there are some, but none about the subject."""
    kept = [sheet for sheet in sheets if asked.subject in ("", sheet.subject)]
    if sheets and not kept:
        raise ParameterError("subject", asked.subject, _listed(sheet.subject for sheet in sheets))
    return kept


def fitting(sheets: Sequence[Sheet], asked: Parameters) -> Mapping[str, Line]:
    """The overrides, each of which a line of the sheets as they are has the key and the kind of. Else ParameterError."""
    results = {line.key: line.result for sheet in sheets for line in sheet.lines}
    for key, value in asked.overrides.items():
        if key not in results:
            near = get_close_matches(key, results, MOST_NAMED, 0.4) or sorted(results)
            raise ParameterError("overrides", key, f"a line of these sheets, such as {_listed(near)}")
        if isinstance(value, str) != isinstance(results[key], str):
            allowed = (
                "a size, as text" if isinstance(results[key], str) else f"a number from 0 up, as {results[key]:,.6g}"
            )
            raise ParameterError(f"overrides, {key}", value, allowed)
    return asked.overrides


def _edition(read: object) -> str | None:
    if read is None:
        return None
    if isinstance(read, int | str) and not isinstance(read, bool) and str(read) in editions():
        return str(read)
    raise ParameterError("edition", read, f"{', '.join(editions())}, or None for the job's own")


def _subject(read: object) -> str:
    if read is None:
        return ""
    if isinstance(read, str) and 0 < len(read) <= LONGEST and read.isprintable():
        return read
    raise ParameterError("subject", read, f"the name of one sheet, text of 1 to {LONGEST} letters, or None for all")


def _overrides(read: object) -> dict[str, Line]:
    allowed = 'a table of lines by key with a number or a size each, such as {"length_kft": 0.2}, or None'
    if read is None:
        return {}
    if not isinstance(read, Mapping):
        raise ParameterError("overrides", read, allowed)
    for key, value in read.items():
        if not (isinstance(key, str) and len(key) <= LONGEST and key.isprintable() and _KEY.fullmatch(key)):
            raise ParameterError("overrides", key, allowed)
        number = isinstance(value, int | float) and not isinstance(value, bool) and isfinite(value) and value >= 0
        if not (number or (isinstance(value, str) and len(value) <= LONGEST and _SIZE.fullmatch(value))):
            raise ParameterError(f"overrides, {key}", value, "a number from 0 up, or a size such as 4/0 or 1-1/4")
    return {key: value if isinstance(value, str) else float(value) for key, value in read.items()}


def _read(value: object) -> str:
    text = visible(repr(value))
    return text if len(text) <= MOST_READ else f"{text[: MOST_READ - 3]}..."


def _listed(names: Iterable[str]) -> str:
    found = list(dict.fromkeys(names))
    more = len(found) - MOST_NAMED
    return ", ".join(found[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
