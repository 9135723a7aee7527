"""Work that several families, or the sheets, charts and tables of one, ask of the same job: done once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache, wraps
from typing import Any, ParamSpec, TypeVar

P = ParamSpec("P")
T = TypeVar("T")
KEPT = 64  # the runs of a few jobs; what is older is worked again


class _Same:
    """A thing that equals only itself. A job never changes, and comparing two by their parts costs more than it saves."""

    __slots__ = ("thing",)

    def __init__(self, thing: object) -> None:
        self.thing = thing  # held, so that no later thing is taken for it

    def __hash__(self) -> int:
        return id(self.thing)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and self.thing is other.thing


def once(work: Callable[P, T]) -> Callable[P, T]:
    """Keep what ``work`` gave for the last jobs; with lines replaced (a mapping ``overrides``) it is worked each time.

    What is given back is for reading: nobody writes on a sheet once it is made.
    """

    @lru_cache(KEPT)
    def kept(*things: _Same) -> Any:
        return work(*(one.thing for one in things))  # type: ignore[call-arg, arg-type]

    @wraps(work)
    def worked(*args: P.args, **named: P.kwargs) -> T:
        if named or any(isinstance(one, Mapping) for one in args):
            return work(*args, **named)
        return kept(*map(_Same, args))  # type: ignore[no-any-return]

    return worked
