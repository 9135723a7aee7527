"""Trade notation: quantities and choices as people write them, by `trade.toml`, wherever a person types.

    quantity("12 kW", "VA") -> 12000     quantity("1,700 sq ft", "ft2") -> 1700     quantity("50", "gal") -> 50
    choice("GFCI", choices) -> "ground-fault"                 choice("Water heater", choices) -> "water-heater"

A file keeps what the person wrote; the typed job has what it means.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction
from functools import cache
from importlib import resources
from typing import Any, NamedTuple

import tomli

LONGEST_TEXT = 40
_NUMBER = re.compile(
    r"(?P<sign>[+-]?)(?:(?P<whole>[0-9]+)[ -](?P<beside>[0-9]+/[0-9]+)|(?P<part>[0-9]+/[0-9]+)"
    r"|(?P<plain>[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?|[0-9]*\.[0-9]+|[0-9]+\.?))(?P<unit>.*)",
    re.DOTALL,
)
_SIGNS = str.maketrans({"²": "2", "³": "3", "Ω": "ω", "−": "-", "–": "-", "⁄": "/"})
_PASSED_OVER = re.compile(r"[\s.°^·-]+")
_APART = re.compile(r"[\s_-]+")
_SIZE_MARK = re.compile(r"(?<=\d)\s*(?:\"|″|in\.?|inch)$")


class Unit(NamedTuple):
    """A unit that a value may be written in: one of it makes `times` of the key's unit, and `plus`."""

    times: Fraction
    plus: Fraction


class Quantity(NamedTuple):
    """What was read of a text: the number as written, and its unit as told apart ('' for none)."""

    number: Fraction
    unit: str


def read_quantity(text: str) -> Quantity | None:
    """The number at the beginning of a text and the unit after it; None where the text is no quantity at all."""
    found = _NUMBER.fullmatch(text.strip().translate(_SIGNS)) if len(text) <= LONGEST_TEXT else None
    if found is None:
        return None
    try:
        number = Fraction((found["plain"] or found["part"] or found["whole"]).replace(",", ""))
        number += Fraction(found["beside"]) if found["beside"] else 0
    except ZeroDivisionError:
        return None
    return Quantity(-number if found["sign"] == "-" else number, unit_name(found["unit"]))


def unit_name(text: str) -> str:
    """A unit as `trade.toml` has it: without capitals, spaces, dots, hyphens and degree signs."""
    return _PASSED_OVER.sub("", text.translate(_SIGNS).casefold())


@cache
def units_of(unit: str) -> dict[str, Unit]:
    """The units that may be written for a key that ends in `unit`; of one that the file lacks, its own name and plural."""
    row = _file()["units"].get(unit)
    names: dict[str, Any] = row["names"] if row else dict.fromkeys((unit_name(unit), f"{unit_name(unit)}s"), 1)
    return {name: _unit(said) for name, said in names.items()}


def _unit(said: Any) -> Unit:
    row = said if isinstance(said, dict) else {"times": said}
    return Unit(Fraction(str(row["times"])), Fraction(str(row.get("plus", 0))))


def all_units() -> tuple[str, ...]:
    """The units that have other names."""
    return tuple(_file()["units"])


def units_shown(unit: str) -> str:
    """The units that may be written for a key that ends in `unit`, in words."""
    row = _file()["units"].get(unit)
    return str(row["shown"]) if row else unit


def quantity(text: str, unit: str) -> int | float:
    """The number that a text says in the unit of its key; a number without a unit stands as it is.

    Raises ValueError where it is no number, or has a unit that can't be turned into the key's: the message says what can.
    """
    read = read_quantity(text)
    if read is None:
        raise ValueError("")
    known = units_of(unit) if unit else {}
    if read.unit and read.unit not in known:
        raise ValueError(f"write it in {units_shown(unit)}" if unit else "write it without a unit")
    times, plus = known[read.unit] if read.unit else (Fraction(1), Fraction(0))
    made = read.number * times + plus
    return int(made) if made.denominator == 1 else round(float(made), 9)


def choice(text: str, choices: Iterable[Any]) -> Any:
    """The choice that a text means; the text itself where it means none of them."""
    return _meant(tuple(choices)).get(_plain(text), text)


@cache
def _meant(values: tuple[Any, ...]) -> dict[str, Any]:
    """What each text means that may be said for these choices, by the text as it is compared."""
    known = {said: means for means in values for said in (*_file()["said"].get(str(means), ()), str(means))}
    return {_plain(said): means for said, means in known.items()}


def names_of(choices: Iterable[Any]) -> dict[str, str]:
    """What may be said for some choices, besides themselves, each with what it means."""
    return {said: means for means in map(str, choices) for said in _file()["said"].get(means, ())}


def either_of(choices: Iterable[Any]) -> dict[str, tuple[str, ...]]:
    """What may be said for several of some choices alike, with all that it may mean: nobody can tell which."""
    found = {
        said: tuple(each for each in map(str, choices) if each in means) for said, means in _file()["either"].items()
    }
    return {said: means for said, means in found.items() if len(means) > 1}


def listed(choice: object, written: str) -> str:
    """A choice as a list of what is allowed has it, with its short name where the trade says that as much: "ground-fault" (GFCI)."""
    short = _file()["beside"].get(str(choice))
    return f"{written} ({short})" if short else written


def is_nominal(text: object, key: str) -> bool:
    """Whether a text is a name that stands for the only one of a list of the job, such as 'Panel', though none is entered."""
    return isinstance(text, str) and text.strip().casefold() in _file()["nominal"][key]


def _plain(text: str) -> str:
    return _APART.sub("-", _SIZE_MARK.sub("", text.strip().casefold()))


@cache
def _file() -> dict[str, Any]:
    return tomli.loads(resources.files(__package__).joinpath("trade.toml").read_text("utf-8"))
