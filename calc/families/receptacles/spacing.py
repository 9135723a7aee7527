"""Spacing along a length: what receptacles leave uncovered, the fewest that cover it, and sensible places for them.

Plain numbers in one unit; ``reach`` is how far a receptacle serves to either side.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

TINY = 1e-4
Piece = tuple[float, float]


def fewest(length: float, reach: float) -> int:
    """The fewest receptacles that serve a length."""
    return max(1, ceil(length / (2 * reach) - TINY))


def uncovered(length: float, reach: float, places: Sequence[float], loop: bool = False) -> list[Piece]:
    """The pieces of a length that no receptacle serves; on a loop, service goes around."""
    served = sorted(
        (at - reach + lap, at + reach + lap) for at in places for lap in ((-length, 0, length) if loop else (0,))
    )
    found, begin = [], 0.0
    for low, high in served:
        if low > begin + TINY and begin < length - TINY:
            found.append((begin, min(low, length)))
        begin = max(begin, high)
    if begin < length - TINY:
        found.append((begin, length))
    return found


def cover(gap: Piece, length: float, reach: float, wanted: Sequence[Sequence[Piece]]) -> list[float]:
    """The fewest places that serve ``gap``, a piece of a length: as even as ``wanted`` lets them be.

    ``wanted`` holds pieces of the length to be preferred, the best first; where none can be had, anywhere. From left to
    right each place stays close enough to the one before it, and far enough on that the rest can still reach the end.
    A gap at one end is served from further in, where the place does some good for its neighbour too.
    """
    begin, end = gap
    number = fewest(end - begin, reach)
    found: list[float] = []
    for at in range(1, number + 1):
        low = max(end - reach - 2 * reach * (number - at), found[-1] if found else 0.0)
        high = min(found[-1] + 2 * reach if found else begin + reach, length)
        middle = begin + (end - begin) * (2 * at - 1) / (2 * number)
        if begin < TINY < length - end:
            middle = max(middle, reach / 2)
        elif begin > TINY > length - end:
            middle = min(middle, length - reach / 2)
        found.append(_nearest(middle, low, max(low, high), wanted))
    return found


def move(length: float, reach: float, places: Sequence[float], loop: bool) -> tuple[int, float] | None:
    """The shortest move of one receptacle that leaves nothing uncovered: which, and where to; None if there is none."""
    ways = []
    for at, place in enumerate(places):
        rest = uncovered(length, reach, [other for number, other in enumerate(places) if number != at], loop)
        if not rest or (loop and rest[0][0] < TINY and rest[-1][1] > length - TINY):
            continue
        low, high = max(rest[-1][1] - reach, 0.0), min(rest[0][0] + reach, length)
        if low <= high + TINY:
            to = min(max(place, low), high)
            ways.append((abs(to - place), at, to))
    return min(ways)[1:] if ways else None


def _nearest(target: float, low: float, high: float, wanted: Sequence[Sequence[Piece]]) -> float:
    for pieces in wanted:
        inside = [(max(a, low), min(b, high)) for a, b in pieces if min(b, high) >= max(a, low)]
        if inside:
            return min((_whole(target, a, b) for a, b in inside), key=lambda at: abs(at - target))
    return _whole(target, low, high)


def _whole(target: float, low: float, high: float) -> float:
    """The whole number nearest to the target between two limits, or the nearest place where there is none."""
    held = min(max(target, low), high)
    for number in (round(held), round(held) - 1, round(held) + 1):
        if low - 1e-9 <= number <= high + 1e-9:
            return float(number)
    return held
