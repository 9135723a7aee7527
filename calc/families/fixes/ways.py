"""A way to mend something: what is done, how it changes the job, and its rank in the order of what is safe."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import IntEnum
from typing import Any


class Kind(IntEnum):
    """Kinds of mends, in the order in which they are tried. A larger breaker comes last."""

    MOVE = 1  # a load, a wire or an outlet goes elsewhere
    PART = 2  # what is missing is put in, what is wrong is put right
    CONDUCTOR = 3  # a larger conductor of the same make
    MAKE = 4  # another make of conductor
    LOAD = 5  # a smaller load, or a lower setting
    SMALLER_BREAKER = 6
    SERVICE = 7  # a larger service with everything that belongs to it
    LARGER_BREAKER = 8


@dataclass(frozen=True)
class Way:
    """One way to mend something, not proved yet. ``changes`` are places of the job with their new values."""

    kind: Kind
    text: str
    changes: Mapping[str, Any]
    trade: str = ""
