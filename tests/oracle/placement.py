"""Receptacle placement in plain steps, inch by inch: a second way to find spaces, gaps and the fewest. Imports nothing of ours."""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce
from itertools import combinations
from operator import or_

Spans = Sequence[tuple[int, int]]  # from where to where along the wall line, in whole inches


def wall_spaces(around: int, breaks: Spans, least: int) -> list[list[int]]:
    """The spaces of a closed wall line, each the list of its inches in the order walked; short ones are left out.

    Inch 7 is the piece from 7 to 8 in from where the line begins.
    """
    wall = [not any(a <= inch < b for a, b in breaks) for inch in range(around)]
    if all(wall):
        return [list(range(around))]
    start = next(inch for inch in range(around) if not wall[inch])
    found: list[list[int]] = [[]]
    for step in range(around):
        inch = (start + step) % around
        if wall[inch]:
            found[-1].append(inch)
        elif found[-1]:
            found.append([])
    return [space for space in found if len(space) >= least]


def unserved(space: Sequence[int], around: int, outlets: Sequence[int], reach: int) -> list[int]:
    """Inches of a space whose middle is farther than ``reach`` along the space from each receptacle in it.

    A receptacle at 7 stands between inch 6 and inch 7; it is in the space if either is.
    """
    loop = len(space) == around
    along = {inch: at for at, inch in enumerate(space)}
    places: set[int] = set()
    for outlet in outlets:
        if outlet % around in along:
            places.add(along[outlet % around])
        if (outlet - 1) % around in along:
            places.add(along[(outlet - 1) % around] + 1)
    length = len(space)

    def far(at: int) -> bool:
        middle = at + 0.5
        ways = (abs(middle - place) for place in places)
        return all(min(way, length - way) > reach if loop else way > reach for way in ways)

    return [inch for at, inch in enumerate(space) if far(at)]


def enough(length: int, reach: int, count: int, loop: bool = False) -> bool:
    """Whether some choice of so many whole inches serves every inch of a length, by trying all of them.

    Places between whole inches need no trying: each serves the same inches as the nearest whole one.
    """
    every = (1 << length) - 1
    served = []
    for place in range(length + 1):
        mask = 0
        for at in range(length):
            way = abs(at + 0.5 - place)
            if (min(way, length - way) if loop else way) <= reach:
                mask |= 1 << at
        served.append(mask)
    return any(reduce(or_, chosen, 0) == every for chosen in combinations(served, count))


def fewest(length: int, reach: int) -> int:
    """The fewest receptacles that serve a length."""
    return next(count for count in range(1, length + 1) if enough(length, reach, count))


def fewest_for_basins(around: int, basins: Spans, doors: Spans, reach: int) -> int:
    """The fewest places on a closed line within ``reach`` of every basin, by trying all choices of whole inches."""

    def way(basin: tuple[int, int], at: int) -> int:
        return min(max(basin[0] - at - lap, at + lap - basin[1], 0) for lap in (-around, 0, around))

    free = [at for at in range(around) if not any(a < at < b for a, b in doors)]
    served = {frozenset(n for n, basin in enumerate(basins) if way(basin, at) <= reach) for at in free}
    for count in range(1, len(basins) + 1):
        for chosen in combinations(served, count):
            if len(frozenset().union(*chosen)) == len(basins):
                return count
    raise AssertionError("no wall within reach")
