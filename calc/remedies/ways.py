"""A way to mend something: what is done, how it changes the job, and its rank in the order of what is safe."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import Any

from calc.job.places import value_at


class Kind(IntEnum):
    """Kinds of mends, in the order in which they are tried: what costs least comes first, of what is safe.

    A larger breaker comes last, but where a breaker alone is too small for its load: there it is what is asked for.
    """

    MOVE = 1  # a load, a wire or an outlet goes elsewhere
    PART = 2  # what is missing is put in, what is wrong is put right
    SMALLER_BREAKER = 3
    BREAKER_ASKED = 4  # the breaker that the load asks for, with nothing else changed
    CONDUCTOR = 5  # a larger conductor of the same make
    MAKE = 6  # another make of conductor, another panel
    LOAD = 7  # a smaller load, or a lower setting
    SERVICE = 8  # a larger service with everything that belongs to it
    LARGER_BREAKER = 9


GROWS_BREAKERS = (Kind.BREAKER_ASKED, Kind.SERVICE, Kind.LARGER_BREAKER)


@dataclass(frozen=True)
class Way:
    """One way to mend something, not proved yet. ``changes`` are places of the job with their new values."""

    kind: Kind
    text: str
    changes: Mapping[str, Any]
    trade: str = ""


def data_at(data: Any, at: str) -> list[dict[str, Any]]:
    """The list at a place of a job's data, as its file writes it."""
    return list(value_at(data, at) or [])


def laid_over(old: Mapping[str, Any], now: Mapping[str, Any], changes: Mapping[str, Any]) -> dict[str, Any]:
    """Changes that were made for an old job, for one that others have changed since.

    Of a list of entries only what they change and add is taken over, so that one mend doesn't undo another.
    """
    return {at: _merged(old, now, at, value) if _entries(value) else value for at, value in changes.items()}


def _entries(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(entry, dict) for entry in value)


def _merged(old: Mapping[str, Any], now: Mapping[str, Any], at: str, new: Sequence[Any]) -> list[Any]:
    before, current = data_at(old, at), data_at(now, at)
    kept = [entry if new[n] == before[n] else new[n] for n, entry in enumerate(current[: len(before)])]
    return [*kept, *current[len(before) :], *new[len(before) :]]
