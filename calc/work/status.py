"""What a calculation comes to: four states, and which of several decides."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

Status = Literal["passes", "falls short", "not shown", "not worked"]

PASSES: Status = "passes"
FALLS_SHORT: Status = "falls short"
NOT_SHOWN: Status = "not shown"  # an entry is missing, and is named
NOT_WORKED: Status = "not worked"  # outside what the program supports, with the reason
STATUSES: tuple[Status, ...] = (FALLS_SHORT, NOT_WORKED, NOT_SHOWN, PASSES)
"""Worst first: a shortfall is known to be one, what isn't worked has to be done by hand, what isn't shown may yet pass."""


def loud(status: Status) -> str:
    """The state as a page prints it: whatever does not pass in capitals."""
    return status if status == PASSES else status.upper()


def worst(found: Iterable[Status]) -> Status:
    """The one that decides for the whole; passes where there is nothing."""
    return min(found, key=STATUSES.index, default=PASSES)
