"""What a notice is: an entry that can be right and looks like a slip of the pen."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass, field
from typing import Any, NamedTuple, TypeVar

from calc.job.fields import CONFIRMED, Part, field_info
from calc.job.model import Job
from calc.job.places import inside, place, steps
from calc.job.texts import as_text

P = TypeVar("P", bound=Part)
_MEASURES = ("VA", "kVA", "kW", "A", "V", "hp", "ft", "ft2", "in", "in3", "gal", "%", "°C", "°F", "min", "ohm", "deg")


@dataclass(frozen=True, slots=True)
class Notice:
    """An entry that may be a mistake: where it stands, what was read, why it is odd, what is likely meant ('' if unknown).

    `place` is for people (Load "Range", nameplate load), `at` for forms and files (loads[3].load_va). `confirming` is the
    change, for `changed` or a draft, by which someone says that the entry is right: {"loads[3].confirmed": ["load_va"]}.
    A notice changes no number and stops nothing.
    """

    place: str
    at: str
    read: str
    odd: str
    likely: str = ""
    confirmed: bool = False
    confirming: dict[str, list[str]] = field(default_factory=dict, hash=False)

    def __str__(self) -> str:
        end = "Confirmed." if self.confirmed else f"Perhaps {self.likely}?" if self.likely else ""
        return f"{self.place}: {self.read}. {self.odd[0].upper()}{self.odd[1:]}. {end}".rstrip()

    def as_json(self) -> dict[str, Any]:
        """The notice for machines."""
        return asdict(self)


class Odd(NamedTuple):
    """What a rule found at a key of a table, before it is a notice."""

    part: Part
    key: str
    odd: str
    likely: str = ""


Found = Iterator[Odd]


def live(parts: Iterable[P]) -> Iterator[P]:
    """The tables that this job does not remove."""
    return (part for part in parts if getattr(part, "status", "") != "removed")


def notice(job: Job, found: Odd) -> Notice:
    """The notice of what a rule found in a job."""
    part, key, odd, likely = found
    at, listed = place(part, key), list(part.confirmed)
    confirming = {place(part, CONFIRMED): [*listed, key]}
    return Notice(_place(job, at), at, read(part, key), odd, likely, key in listed, confirming)


def measured_in(part: Part, key: str) -> str:
    """The unit of an entry; '' for a count, whose label says what is counted."""
    unit = field_info(part, key).unit
    return unit if unit in _MEASURES else ""


def read(part: Part, key: str) -> str:
    """What an entry says, with its unit: '9.6 VA', 'left out', '4 entries' where it is a list of tables."""
    value = getattr(part, key)
    if value is None or value == ():
        return "left out"
    if isinstance(value, tuple) and isinstance(value[0], Part):
        return f"{len(value)} entries"
    if isinstance(value, int | float) and not isinstance(value, bool):
        return f"{value:,.10g} {measured_in(part, key)}".rstrip()
    return as_text([str(v) for v in value]) if isinstance(value, tuple) else as_text(value)


def _place(job: Job, at: str) -> str:
    """A place by the labels of the forms: Room "Bedroom", outlets 2, height."""
    here: Any = job
    said: list[str] = []
    *outer, last = steps(at)
    for step in outer:
        within, here = here, inside(here, step)
        if isinstance(step, str):
            said.append(field_info(within, step).title)
        elif name := getattr(here, "name", ""):
            said[-1] = f'{field_info(here, "name").title} "{name}"'
        else:
            said[-1] += f" {step + 1}"
    said.append(field_info(here, str(last)).title)
    return ", ".join([said[0], *(words[0].lower() + words[1:] for words in said[1:])])
