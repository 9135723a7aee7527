"""The questions that are answered without a house: what each takes, the small job that it makes, and what it says."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, cached_property
from importlib import resources
from typing import Any

import tomli

from calc.job.fields import FieldFacts, field_info
from calc.job.model import field_at

LENGTHS = ("ft", "in")
MOST_CHOICES = 4
"""Of what an entry takes, as many are named in a message."""

LIKE = {
    "size": "12 AWG",
    "cable": "12/2",
    "conductors": "9 12 THHN",
    "wire": "12 THHN",
    "box": "4 x 1-1/2 square",
    "trade": "3/4 in",
}
"""What each way of reading an entry looks like."""


@dataclass(frozen=True, eq=False)
class Entry:
    """Something that a question takes.

    `at` says where it goes in the job, by how it is read: a quantity, a size, a cable. `named` are words that may stand
    beside its number; with `only_named` they have to, and without `bare` a number has to have its unit; `free`
    are the units, where not all, that may stand without a name; a bare number below the one that stands there is `short_for` a
    larger unit. Left out, it could be each of `each`, and is not guessed; of `either` a word may mean each. `default` is put where it is left out, and said as `taken`,
    `taken_beside` one of some entries alone where it says so; `instead` is put where the default can't serve, or beside `instead_of`,
    and said as `instead_taken`.
    Of `many` each is one more in a list; what is `listed` stands in a list too, and is said once; with `table` it is an entry
    there, with what the table says besides.
    """

    name: str
    at: dict[str, str]
    unit: str = ""
    named: tuple[str, ...] = ()
    only_named: bool = False
    bare: bool = True
    free: tuple[str, ...] = ()
    short_for: tuple[tuple[str, float], ...] = ()
    words: tuple[tuple[str, Any], ...] = ()
    either: tuple[tuple[str, Any], ...] = ()
    default: Any = None
    each: tuple[Any, ...] = ()
    taken: str = ""
    taken_beside: tuple[str, ...] = ()
    instead: str = ""
    instead_taken: str = ""
    instead_of: tuple[str, ...] = ()
    unless: tuple[str, ...] = ()
    many: bool = False
    listed: bool = False
    table: tuple[tuple[str, Any], ...] = ()

    @property
    def place(self) -> str:
        """Where it goes in the job, however it is read."""
        return next(iter(self.at.values()))

    @cached_property
    def facts(self) -> FieldFacts:
        """What the job declares of its field: limits, choices, label."""
        part, name = field_at(self.place)
        return field_info(part, name)

    @property
    def like(self) -> str:
        """What it looks like where it is no quantity and no word: '12 AWG or 12/2'."""
        return " or ".join(LIKE[how] for how in self.at if how in LIKE)

    @property
    def shown(self) -> str:
        """What it takes, for a message: 'load in A', 'metal (copper, aluminum)', 'conductors such as 9 12 THHN'."""
        if self.unit:
            return f"{self.name} in {self.unit}"
        if self.like:
            return f"{self.name} such as {self.like}"
        choices = [word for word, _ in self.words] or [
            str(choice) for choice in self.facts.choices if set(self.at) == {""}
        ]
        more = ", ..." if len(choices) > MOST_CHOICES else ""
        return f"{self.name} ({', '.join(choices[:MOST_CHOICES])}{more})" if choices else self.name


@dataclass(frozen=True, eq=False)
class Form:
    """One way of asking a question: the entries that it needs, one of `any`, those that it can't have, and what it answers.

    `text` and `decides` name lines of the sheet in braces. `found` are lines whose result is put in the job, which is then
    worked again; `trial` is what stands there until it is found. `short` is a line, and the result of it that falls short of
    what was asked, beside the checks of the sheet. `rests` are the lines and checks whose sections are named, all that the
    text was worked from where there are none; `tells` are the checks that the text tells itself; `taken` is as given whatever
    was said; what stands `alone` tells nothing of what falls short beside it.
    """

    needs: tuple[str, ...]
    text: str
    without: tuple[str, ...] = ()
    any: tuple[str, ...] = ()
    decides: str = ""
    by: str = ""
    short: tuple[str, ...] = ()
    found: tuple[tuple[str, str], ...] = ()
    trial: tuple[tuple[str, Any], ...] = ()
    checks: tuple[str, ...] | None = None
    rests: tuple[str, ...] = ()
    tells: tuple[str, ...] = ()
    taken: tuple[str, ...] = ()
    alone: bool = False

    @property
    def tried(self) -> tuple[str, ...]:
        """The places where something stands on trial for good, to learn what is required there."""
        found = {at for at, _ in self.found}
        return tuple(at for at, _ in self.trial if at not in found)


@dataclass(frozen=True, eq=False)
class Must:
    """Checks of another family on the same small job, with what was not said taken as it serves most."""

    family: str
    checks: tuple[str, ...]
    best: dict[str, Any]


@dataclass(frozen=True, eq=False)
class Question:
    """A question: its name, how it is asked, and where its answer stands.

    `checks` are those of the sheet that it is about, all where none is named; those `passed_over` are another question's; `into` is the list of a job that an answer
    can be put in; `prepared` is a function of `preparing` that settles what the entries say together;
    `quiet` are notes of the sheet that say no more than the answer does. `must` names checks of another family that no
    answer may break, even at `best`: with what was not said taken as it serves most.
    """

    name: str
    title: str
    family: str
    subject: str
    examples: tuple[str, ...]
    entries: tuple[Entry, ...]
    forms: tuple[Form, ...]
    template: dict[str, Any]
    also: tuple[str, ...] = ()
    checks: tuple[str, ...] = ()
    passed_over: tuple[str, ...] = ()
    prepared: str = ""
    unchecked: tuple[str, ...] = ()
    into: str = ""
    quiet: tuple[str, ...] = ()
    must: Must | None = None

    def entry(self, name: str) -> Entry:
        """The entry of that name."""
        return next(entry for entry in self.entries if entry.name == name)

    @property
    def example(self) -> str:
        """How it is asked, as one would type it."""
        return f"studbay quick {self.name} {self.examples[0]}"


@cache
def questions() -> tuple[str, ...]:
    """The names of all questions, in the order of the list."""
    return tuple(_index())


@cache
def called() -> dict[str, str]:
    """Every name by which a question may be asked, with its own."""
    return {word: name for name, row in _index().items() for word in (name, *row.get("also", ()))}


def one_line(name: str) -> tuple[str, tuple[str, ...]]:
    """Title and examples of a question, for lists."""
    row = _index()[name]
    return row["title"], tuple(row["examples"])


@cache
def question(name: str) -> Question:
    """The question of that name. KeyError where there is none."""
    row = {**_index()[name]}
    data = _read(f"{row.pop('file', name)}.toml")
    row |= {key: value for key, value in data.items() if key not in row}
    lasting = {entry: {**said, **row.get("with", {}).get(entry, {})} for entry, said in row.pop("entries").items()}
    row.pop("with", None)
    left_out = row.pop("lacks", ())
    must = row.pop("must", None)
    return Question(
        name=name,
        entries=tuple(_entry(key, said) for key, said in lasting.items() if key not in left_out),
        forms=tuple(_form(said) for said in row.pop("forms")),
        template=_laid_over(row.pop("template"), row.pop("job", {})),
        must=Must(must["family"], tuple(must["checks"]), must["best"]) if must else None,
        **{key: tuple(value) if isinstance(value, list) else value for key, value in row.items()},  # type: ignore[arg-type]
    )


def _entry(name: str, said: dict[str, Any]) -> Entry:
    at = said["at"] if isinstance(said["at"], dict) else {"": said["at"]}
    return Entry(
        name, at, **{key: value if key == "default" else _frozen(value) for key, value in said.items() if key != "at"}
    )


def _form(said: dict[str, Any]) -> Form:
    return Form(**{"needs": (), **{key: _frozen(value) for key, value in said.items()}})


def _frozen(value: Any) -> Any:
    """Lists and tables of a file as tuples."""
    return tuple(value.items()) if isinstance(value, dict) else tuple(value) if isinstance(value, list) else value


def _laid_over(template: dict[str, Any], more: dict[str, Any]) -> dict[str, Any]:
    """A template with the entries of one question put into the tables of its lists."""
    made = dict(template)
    for key, entries in more.items():
        made[key] = [{**one, **said} for one, said in zip(made[key], entries, strict=True)]
    return made


@cache
def _index() -> dict[str, dict[str, Any]]:
    return _read("index.toml")


def _read(name: str) -> dict[str, Any]:
    return tomli.loads(resources.files(__package__).joinpath("questions", name).read_text("utf-8"))
