"""What the form of a family shows of a job, from `forms.toml`: every field stands in a form there, or among those left out."""

from collections.abc import Sequence
from functools import cache
from importlib import resources
from typing import Any

import tomli

Group = tuple[str, tuple[str, ...]]
"""Where a table stands in the job, and the fields of it to show."""
LEFT_OUT = "left-out"
SHOWN_FOR = "shown-for"
RECORDED_IN = "recorded-in"


def form_of(name: str) -> tuple[Group, ...]:
    """The groups of the form of a family, in order; none for a family that has no form."""
    return tuple((at, tuple(fields)) for at, fields in _file().get(name, {}).items())


def forms() -> dict[str, tuple[Group, ...]]:
    """All forms by name."""
    return {name: form_of(name) for name in _file() if name not in (LEFT_OUT, SHOWN_FOR, RECORDED_IN)}


def left_out() -> dict[str, tuple[str, ...]]:
    """What no form shows, by table: it is entered in the job file."""
    return dict(form_of(LEFT_OUT))


def recorded_in(at: str, groups: Sequence[Group]) -> dict[str, Any]:
    """The list of the form in whose records the entries of a list stand, the field ``by`` which they name theirs, and what is
    ``entered`` by that; {} for a list that stands by itself.
    """
    found: dict[str, Any] = _file().get(RECORDED_IN, {}).get(at, {})
    return found if any(each == found.get("list") for each, _ in groups) else {}


def shown_for(at: str, name: str) -> dict[str, list[str]]:
    """What a field means something for, by the key beside it that decides: {'use': ['foyer']}; {} for one that always does."""
    return dict(_shown_for().get(f"{at}.{name}", {}))


def _shown_for() -> dict[str, Any]:
    found: dict[str, Any] = dict(_file().get(SHOWN_FOR, {}))
    return found


@cache
def _file() -> dict[str, dict[str, Any]]:
    return tomli.loads(resources.files(__package__).joinpath("forms.toml").read_text("utf-8"))
