"""What is wrong with a job file, said so that the person who wrote it can mend it."""

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from pydantic import ValidationError

from calc.job.fields import FieldFacts, Part, field_info, keys_of, parts_of, toml_value
from calc.job.places import Loc, dotted
from calc.job.trade import either_of, names_of
from calc.letters import visible

MOST_SHOWN = 100


class Trouble(NamedTuple):
    """Something wrong at a place in the data; the file and the line are not known yet."""

    loc: Loc
    read: str
    allowed: str = ""
    hint: str = ""


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong: where it stands, what was read, what is allowed, and a hint.

    `place` is for people (loads[3] "Range": load_va), `at` for forms (loads[3].load_va). Entries count from 1.
    """

    file: str
    line: int | None
    place: str
    read: str
    allowed: str = ""
    hint: str = ""
    at: str = ""

    def __str__(self) -> str:
        where = f"{self.file}:{self.line}: " if self.line else f"{self.file}: "
        said = " ".join(p for p in (self.place, self.read) if p)
        return where + "; ".join(p for p in (said, self.allowed and f"allowed: {self.allowed}", self.hint) if p)


class JobError(Exception):
    """A job file can't be used. `problems` holds every reason; printed, one a line."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__(self.problems)

    def __str__(self) -> str:
        shown = [str(p) for p in self.problems[:MOST_SHOWN]]
        more = len(self.problems) - len(shown)
        return "\n".join([*shown, f"and {more:,} more"] if more else shown)


class SaveConflict(JobError):
    """The file on disk is no longer the one that was read; nothing was written."""


def file_error(file: object, read: str, hint: str = "", line: int | None = None) -> JobError:
    """The error for a file that can't be read as a job at all."""
    return JobError([Problem(printable(file), line, "", read, "", hint)])


def printable(said: object) -> str:
    """Words from outside, cut short, with nothing in them that could move the cursor of a terminal."""
    return visible(str(said)[:300]).replace("\n", "?")


def located(trouble: Trouble, file: object, data: Mapping[str, Any], lines: Mapping[Loc, int]) -> Problem:
    """A trouble with its file, line and place."""
    loc = trouble.loc
    line = next((lines[loc[:n]] for n in range(len(loc), 0, -1) if loc[:n] in lines), None)
    return Problem(printable(file), line, _label(loc, data), trouble.read, trouble.allowed, trouble.hint, dotted(loc))


def _label(loc: Loc, data: Any) -> str:
    """The tables around a place, with their names, and the key there: loads[3] "Range": load_va."""
    along = [data]
    for step in loc:
        try:
            along.append(along[-1][step])
        except (KeyError, IndexError, TypeError):
            along.append(None)
    entry = isinstance(loc[-1], int) and isinstance(along[-1], dict)
    last = len(loc) if entry else max(i for i, p in enumerate(loc) if isinstance(p, str))
    tables: list[str] = []
    for step, here in zip(loc[:last], along[1:], strict=False):
        if isinstance(step, int):
            name = here.get("name") if isinstance(here, dict) else None
            tables[-1] += f"[{step + 1}]" + (f" {toml_value(name)}" if isinstance(name, str) else "")
        else:
            tables.append(step)
    field = dotted(loc[last:])
    safe = field if field.isprintable() and len(field) < 80 else toml_value(field)
    return ": ".join(p for p in (" ".join(tables), safe) if p)


def _declared(loc: Loc, root: type[Part]) -> tuple[type[Part], str]:
    """The table type and the key that a location speaks of."""
    part = root
    keys = [p for p in loc if isinstance(p, str)]
    for key in keys[:-1]:
        part = parts_of(part)[key][0]
    return part, keys[-1]


def troubles_of(error: ValidationError, root: type[Part]) -> list[Trouble]:
    """Each of pydantic's errors in words of ours. The nearest known word is looked for in those that are shown."""
    return [
        _trouble(e["type"], e["loc"], e["input"], dict(e.get("ctx", {})), root, number < MOST_SHOWN)
        for number, e in enumerate(error.errors(include_url=False))
    ]


def _trouble(kind: str, loc: Loc, value: Any, context: dict[str, Any], root: type[Part], shown: bool) -> Trouble:
    part, key = _declared(loc, root)
    if kind == "extra_forbidden":
        table = isinstance(value, dict) or (isinstance(value, list) and value and isinstance(value[0], dict))
        near = nearest(key, part.model_fields) if shown else ""
        return Trouble(
            loc,
            f"is not a known {'table' if table else 'key'}",
            "" if near else ", ".join(keys_of(part)),
            near and f"did you mean {near}?",
        )
    facts = field_info(part, key)
    if kind == "missing":
        return Trouble(loc, "is missing", f"a table [{key}]" if facts.kind == "table" else facts.allowed, facts.help)
    if kind == "refused":
        return Trouble(loc, f"is {toml_value(value)}", context["allowed"], printable(context["hint"]))
    if kind == "too_long" and isinstance(value, list):
        return Trouble(loc, f"has {len(value):,} entries", f"up to {context['max_length']:,}")
    return Trouble(loc, f"is {toml_value(value)}", facts.allowed, _hint(value, facts, key) if shown else "")


def _hint(value: Any, facts: FieldFacts, key: str) -> str:
    if facts.kind == "list of table" and isinstance(value, dict):
        return f"write [[{key}]] with double brackets"
    if facts.kind == "table" and isinstance(value, list):
        return f"write [{key}] with single brackets"
    if facts.kind.startswith("list of") and not isinstance(value, list):
        return "put it in square brackets" if isinstance(value, str | int | float) else ""
    if facts.choices:
        if not isinstance(value, str) and str(value) in facts.choices:
            return f'put it in quotes: {key} = "{value}"'
        if meant := either_of(facts.choices).get(str(value).strip().casefold().replace(" ", "-")):
            return f"write which: {' or '.join(meant)}"
        said = names_of(facts.choices)
        near = nearest(str(value), [*map(str, facts.choices), *said])
        return near and f"did you mean {said.get(near, near)}?"
    if isinstance(value, str) and facts.kind == "yes or no" and value in ("true", "false"):
        return "write it without quotes"
    return ""


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word that is most like `word`, or ''."""
    by_lower = {k.lower(): k for k in known}
    found = difflib.get_close_matches(word[:60].lower(), by_lower, 1, 0.6)
    return by_lower[found[0]] if found else ""
