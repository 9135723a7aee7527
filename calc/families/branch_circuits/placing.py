"""Spaces of a panel: which leg a space is on, what stays where it is, and a place for what may be put anywhere.

Odd spaces are on the left, even ones on the right, numbered downward; each row below changes the leg.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from calc.families.branch_circuits.legs import Block, Leg, balance

MOST_SPACES = 84


@dataclass(frozen=True)
class Entry:
    """A breaker of the panel, with what it loads the neutral and both legs with."""

    name: str
    poles: int
    neutral_va: float
    between_va: float
    positions: tuple[int, ...] = ()
    stays: bool = False
    tandem: str | None = None
    partner: str | None = None


@dataclass(frozen=True)
class Layout:
    """Where each breaker stands. A breaker without a place has no entry in ``spaces``."""

    legs: dict[str, tuple[Leg, ...]]
    spaces: dict[str, tuple[int, ...]]
    taken: frozenset[int] = field(default_factory=frozenset)


def leg_of(space: int) -> Leg:
    """The leg of a space: two spaces side by side share one, each row below has the other."""
    return 1 if (space + 1) // 2 % 2 == 1 else 2


def laid_out(entries: Sequence[Entry], spaces: int | None, keep_stated: bool = True) -> Layout:
    """A place for each breaker: what stays keeps its spaces, the rest is balanced and put where there is room.

    ``keep_stated``: what the job gives a space stays there; without it only what exists stays, to see what moving
    the new breakers would gain.
    """
    fixed = [e for e in entries if e.positions and (keep_stated or e.stays)]
    found: dict[str, tuple[int, ...]] = {e.name: e.positions for e in fixed}
    legs: dict[str, tuple[Leg, ...]] = {e.name: tuple(leg_of(p) for p in e.positions) for e in fixed}
    taken = {p for e in fixed for p in e.positions}
    panel = range(1, (spaces or MOST_SPACES) + 1)
    for entry in entries:  # a half whose partner stays
        if entry.name not in found and entry.partner in found:
            (across,) = {1, 2} - set(legs[entry.partner][:1])
            legs[entry.name] = (1 if across == 1 else 2,)
            near = [found[entry.partner][0] + step for step in (2, -2)]
            free = [p for p in (*near, *panel) if p in panel and p not in taken and leg_of(p) == across]
            if free:
                found[entry.name] = (free[0],)
                taken.add(free[0])
    blocks = _blocks([e for e in entries if e.name not in legs])
    pairs = _free_pairs([p for p in panel if p not in taken], sum(block.spaces == 2 for block in blocks))
    left = [p for p in panel if p not in taken and not any(p in pair for pair in pairs)]
    ahead = sum(e.neutral_va * (1 if legs[e.name][0] == 1 else -1) for e in entries if e.name in legs and e.poles == 1)
    room = (sum(leg_of(p) == 1 for p in left), sum(leg_of(p) == 2 for p in left))
    chosen = balance(blocks, ahead, room if spaces else (len(blocks), len(blocks)))
    for block, leg in sorted(zip(blocks, chosen, strict=True), key=lambda pair: -pair[0].spaces):
        other: Leg = 2 if leg == 1 else 1
        legs.update(dict.fromkeys(block.first, (leg,)))
        legs.update({name: (1, 2) if name in block.first else (other,) for name in block.second})
        if block.spaces == 2 and pairs:
            pair = pairs.pop(0)
            near_leg = [p for p in pair if leg_of(p) == leg]
            far_leg = [p for p in pair if leg_of(p) != leg]
            for name in (*block.first, *block.second):
                both = name in block.first and name in block.second
                found[name] = tuple(pair) if both else tuple(near_leg if name in block.first else far_leg)
        elif block.spaces == 1 and (free := [p for p in left if leg_of(p) == leg]):
            left.remove(free[0])
            found.update(dict.fromkeys(block.first, (free[0],)))
    return Layout(legs, found, frozenset(p for spaces in found.values() for p in spaces))


def _free_pairs(free: Sequence[int], wanted: int) -> list[tuple[int, int]]:
    """Pairs of free spaces one above the other, from the top; as many as are wanted and there are."""
    pairs: list[tuple[int, int]] = []
    used: set[int] = set()
    for space in free:
        if len(pairs) < wanted and space not in used and space + 2 in free and space + 2 not in used:
            pairs.append((space, space + 2))
            used |= {space, space + 2}
    return pairs


def _blocks(entries: Sequence[Entry]) -> list[Block]:
    """Breakers that keep together, those of two spaces first, the heavier first."""
    by_name = {e.name: e for e in entries}
    blocks: list[Block] = []
    done: set[str] = set()
    halves = [e for e in entries if e.tandem and not e.partner and e.poles == 1]
    for entry in entries:
        if entry.name in done:
            continue
        other = by_name.get(entry.partner or "")
        beside = _other_half(entry, halves, done)
        if entry.poles == 2:
            blocks.append(Block((entry.name,), (entry.name,)))
        elif other is not None:
            blocks.append(Block((entry.name,), (other.name,), entry.neutral_va, other.neutral_va, _now(entry)))
            done.add(other.name)
        elif beside is not None:
            blocks.append(Block((entry.name, beside.name), (), entry.neutral_va + beside.neutral_va, now=_now(entry)))
            done.add(beside.name)
        else:
            blocks.append(Block((entry.name,), (), entry.neutral_va, now=_now(entry)))
        done.add(entry.name)
    size = {e.name: e.neutral_va + e.between_va for e in entries}
    return sorted(blocks, key=lambda b: (-b.spaces, -max(size[name] for name in b.first)))


def _other_half(entry: Entry, halves: Sequence[Entry], done: set[str]) -> Entry | None:
    """The other half of a tandem: the one in the same space or, without a place, the next one listed."""
    if entry not in halves:
        return None
    rest = [e for e in halves if e.name != entry.name and e.name not in done and e.tandem != entry.tandem]
    return next((e for e in rest if e.positions == entry.positions), None)


def _now(entry: Entry) -> Leg | None:
    return leg_of(entry.positions[0]) if entry.positions else None
