"""Which leg each circuit stands on: the best balance that moves nothing that has to stay.

Plain numbers in volt-amperes to the neutral. A circuit between the legs loads both alike and weighs nothing here. What
belongs together is one block: the halves of a multiwire circuit on opposite legs, the halves of a tandem on one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import Literal

Leg = Literal[1, 2]
MOST_BLOCKS = 168
"""Half spaces of the largest panel."""
MOST_BITS = 400_000_000


@dataclass(frozen=True)
class Block:
    """Circuits that move together.

    ``first`` and ``second`` name those of its one or two spaces, with what they load the neutral with. A block of two
    spaces lies on both legs, either way up; a block of one space on one leg. ``second`` is empty for a block of one
    space; both are the same names for a two-pole breaker. ``now`` is the leg that its first space is on.
    """

    first: tuple[str, ...]
    second: tuple[str, ...] = ()
    first_va: float = 0.0
    second_va: float = 0.0
    now: Leg | None = None

    @property
    def spaces(self) -> int:
        """Spaces that it takes."""
        return 2 if self.second else 1

    @property
    def weight_va(self) -> int:
        """What it adds to one leg above the other, in whole volt-amperes, when its first space is on that leg."""
        return round(self.first_va - self.second_va)


def balance(blocks: Sequence[Block], ahead_va: float, room: tuple[int, int]) -> list[Leg]:
    """The leg of each block's first space, so that the difference between the legs is as small as it can be.

    ``ahead_va`` is what leg 1 has above leg 2 by circuits that stay. ``room`` is how many blocks of one space each leg
    has space for. Where there is not room for all, the room is not looked at.

    Every reachable sum is tried: bit b of ``reached[c]`` says that some choice puts c single blocks and b volt-amperes on
    leg 1, so the result is the best there is, to the volt-ampere; where that takes too many bits, to the least grain that
    doesn't. Among equals, blocks stay where they are now. More blocks than any panel takes are put on leg 1 untried.
    """
    if len(blocks) > MOST_BLOCKS:
        return [block.now or 1 for block in blocks]
    takes = [int(block.spaces == 1) for block in blocks]
    singles = sum(takes)
    whole = sum(abs(block.weight_va) for block in blocks)
    grain = max(1, ceil(whole * (singles + 1) * len(blocks) / MOST_BITS))
    weights = [round(abs(block.weight_va) / grain) for block in blocks]
    ahead_va /= grain
    low, high = singles - room[1], room[0]
    if low > high:
        low, high = 0, singles
    layers = [{0: 1}]
    for weight, take in zip(weights, takes, strict=True):
        layers.append(_with(layers[-1], weight, take))
    on_one, sum_va = _nearest(layers[-1], (sum(weights) - ahead_va) / 2, max(low, 0), high)
    return _chosen(blocks, layers, weights, takes, on_one, sum_va)


def _with(reached: dict[int, int], weight: int, take: int) -> dict[int, int]:
    """What can be reached with one block more, on leg 2 or on leg 1."""
    more = dict(reached)
    for count, sums in reached.items():
        more[count + take] = more.get(count + take, 0) | (sums << weight)
    return more


def _nearest(reached: dict[int, int], wanted: float, low: int, high: int) -> tuple[int, int]:
    """The count and the sum nearest to what is wanted on leg 1."""
    found = [
        (abs(sum_va - wanted), count, sum_va)
        for count, sums in reached.items()
        if low <= count <= high
        for sum_va in _around(sums, wanted)
    ]
    _, count, sum_va = min(found)
    return count, sum_va


def _around(sums: int, wanted: float) -> list[int]:
    """The set bits of ``sums`` next below and next above what is wanted."""
    at = max(int(wanted), 0)
    below = sums & ((1 << (at + 1)) - 1)
    above = sums >> (at + 1)
    found = [below.bit_length() - 1] if below else []
    return found + ([at + (above & -above).bit_length()] if above else [])


def _chosen(
    blocks: Sequence[Block], layers: Sequence[dict[int, int]], weights: Sequence[int], takes: Sequence[int],
    count: int, sum_va: int,
) -> list[Leg]:  # fmt: skip
    """Walk back from the sum reached to the choice of each block."""
    legs: list[Leg] = []
    for at in range(len(blocks) - 1, -1, -1):
        before = layers[at]
        possible: list[Leg] = [2] if before.get(count, 0) >> sum_va & 1 else []
        if sum_va >= weights[at] and before.get(count - takes[at], 0) >> (sum_va - weights[at]) & 1:
            possible.append(1)
        now = _other(blocks[at].now, blocks[at].weight_va < 0)
        heavy = now if now in possible else possible[0]
        if heavy == 1:
            count, sum_va = count - takes[at], sum_va - weights[at]
        chosen = _other(heavy, blocks[at].weight_va < 0)
        assert chosen is not None
        legs.append(chosen)
    return legs[::-1]


def _other(leg: Leg | None, turned: bool) -> Leg | None:
    """The leg, or the other one where the block is turned."""
    return leg if leg is None or not turned else 2 if leg == 1 else 1
