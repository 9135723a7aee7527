"""Balancing: against exhaustive search on small panels, and by what may never happen on any panel."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.families.branch_circuits.legs import Block, balance
from calc.families.branch_circuits.placing import Entry, Layout, laid_out, leg_of


def one(name: str, va: int, **keys: object) -> Entry:
    return Entry(name, 1, va, 0, **keys)  # type: ignore[arg-type]


def test_a_panel_of_any_weight_is_balanced_within_its_grain_and_soon() -> None:
    """168 breakers of a million volt-amperes would take gigabytes to the volt-ampere."""
    blocks = [Block((f"C{n}",), (), 1_000_000 + 7919 * n) for n in range(168)]
    legs = balance(blocks, 0, (168, 168))
    weights = [block.weight_va if leg == 1 else -block.weight_va for block, leg in zip(blocks, legs, strict=True)]
    assert abs(sum(weights)) < sum(map(abs, weights)) / 100
    assert len(balance(blocks * 20, 0, (168, 168))) == 168 * 20


def difference(entries: Sequence[Entry], layout: Layout) -> float:
    """Leg 1 above leg 2, to the neutral, by where the layout says that they stand."""
    return sum(e.neutral_va * (1 if layout.legs[e.name] == (1,) else -1) for e in entries if e.poles == 1)


def placements(entries: Sequence[Entry], spaces: int) -> Iterator[dict[str, tuple[int, ...]]]:
    """Every way to put the breakers into the panel: written apart from the program, one breaker after the other.

    Two-pole: two spaces one below the other. Halves of a multiwire circuit: likewise, one each. Halves of a tandem: one
    space for both. Breakers that stay are where they are.
    """

    def put(rest: list[Entry], taken: set[int], at: dict[str, tuple[int, ...]]) -> Iterator[dict[str, tuple[int, ...]]]:
        if not rest:
            yield dict(at)
            return
        entry, *others = rest
        if entry.stays:
            yield from put(others, taken, at | {entry.name: entry.positions})
            return
        partner = next((e for e in others if entry.partner == e.name), None)
        twin = next((e for e in others if entry.tandem and e.tandem and e.positions == entry.positions), None)
        free = [p for p in range(1, spaces + 1) if p not in taken]
        if entry.poles == 2:
            for p in free:
                if p + 2 in free:
                    yield from put(others, taken | {p, p + 2}, at | {entry.name: (p, p + 2)})
        elif partner is not None:
            left = [e for e in others if e is not partner]
            for p in free:
                for q in (p + 2, p - 2):
                    if q in free:
                        yield from put(left, taken | {p, q}, at | {entry.name: (p,), partner.name: (q,)})
        elif twin is not None:
            left = [e for e in others if e is not twin]
            for p in free:
                yield from put(left, taken | {p}, at | {entry.name: (p,), twin.name: (p,)})
        else:
            for p in free:
                yield from put(others, taken | {p}, at | {entry.name: (p,)})

    taken = {p for e in entries if e.stays for p in e.positions}
    yield from put(list(entries), taken, {})


def leg(space: int) -> int:
    """The leg of a space, from a drawing of a panel: 1 2 / 3 4 / 5 6 / 7 8 stand on A A / B B / A A / B B."""
    return {0: 2, 1: 1, 2: 1, 3: 2}[space % 4]


def least(entries: Sequence[Entry], spaces: int) -> float | None:
    """The smallest difference of all placements; None where there is none."""
    found = [
        abs(sum(e.neutral_va * (1 if leg(at[e.name][0]) == 1 else -1) for e in entries if e.poles == 1))
        for at in placements(entries, spaces)
    ]
    return min(found, default=None)


PANELS: list[tuple[int, list[Entry]]] = [
    (4, [one("a", 1500), one("b", 1500), one("c", 900)]),
    (6, [one("a", 1620), one("b", 1500), one("c", 900), one("d", 180), one("e", 60)]),
    (6, [one("a", 3000), one("b", 2000), one("c", 2000), one("d", 2000), Entry("x", 2, 0, 5000)]),
    (6, [one("a", 1900, partner="b"), one("b", 300, partner="a"), one("c", 1000), one("d", 700)]),
    (
        6,
        [
            one("a", 800, tandem="a", positions=(1,)),
            one("b", 900, tandem="b", positions=(1,)),
            one("c", 1600),
            one("d", 100),
        ],
    ),
    (6, [one("old", 2400, positions=(1,), stays=True), one("a", 500), one("b", 700), one("c", 900), one("d", 1100)]),
    (
        8,
        [
            Entry("x", 2, 0, 4500),
            one("a", 1950, partner="b"),
            one("b", 450, partner="a"),
            one("c", 1500),
            one("d", 1200),
        ],
    ),
    (6, [one(name, va) for name, va in zip("abcdef", (100, 100, 100, 5000, 100, 100), strict=True)]),
    (6, [one("old", 900, positions=(3,), stays=True), Entry("x", 2, 0, 7200), one("a", 400), one("b", 1300)]),
]


@pytest.mark.parametrize(("spaces", "entries"), PANELS)
def test_no_placement_on_a_small_panel_is_better(spaces: int, entries: list[Entry]) -> None:
    """Exhaustive search finds nothing below what was chosen, and what was chosen is one of the placements."""
    best = least(entries, spaces)
    layout = laid_out(entries, spaces, keep_stated=False)
    assert best is not None
    assert abs(difference(entries, layout)) == best
    assert any(at == layout.spaces for at in placements(entries, spaces))


SMALL = st.lists(st.integers(0, 2400), min_size=1, max_size=5)


@settings(max_examples=60, deadline=None)
@given(SMALL, st.booleans(), st.booleans(), st.integers(4, 6), st.integers(0, 6))
def test_random_small_panels_meet_the_exhaustive_search(
    loads: list[int], shared: bool, two_pole: bool, spaces: int, stays_at: int
) -> None:
    entries = [one(f"c{n}", va) for n, va in enumerate(loads)]
    if shared and len(entries) >= 2:
        entries[0] = one("c0", loads[0], partner="c1")
        entries[1] = one("c1", loads[1], partner="c0")
    if 1 <= stays_at <= spaces and not (shared and len(entries) <= 2):
        entries[-1] = one(entries[-1].name, loads[-1], positions=(stays_at,), stays=True)
    if two_pole:
        entries.append(Entry("x", 2, 0, 5000))
    best = least(entries, spaces)
    layout = laid_out(entries, spaces, keep_stated=False)
    if best is None:
        assert len(layout.spaces) < len(entries), "no placement exists, yet all are placed"
    else:
        assert len(layout.spaces) == len(entries)
        assert abs(difference(entries, layout)) == best


def test_legs_follow_the_rows_of_a_panel() -> None:
    assert [leg_of(p) for p in range(1, 9)] == [leg(p) for p in range(1, 9)] == [1, 1, 2, 2, 1, 1, 2, 2]


def test_spaces_1_and_5_are_one_leg() -> None:
    """The trap of a tidy panel: every other space of a column is on the same leg."""
    assert leg_of(1) == leg_of(5) != leg_of(3)


# ---- what never happens


@st.composite
def panels(draw: st.DrawFn) -> list[Entry]:
    """Breakers of every kind, some placed already."""
    entries: list[Entry] = []
    loads = st.integers(0, 5000)
    for n in range(draw(st.integers(0, 4))):
        a, b = f"m{n}a", f"m{n}b"
        entries += [one(a, draw(loads), partner=b), one(b, draw(loads), partner=a)]
    for n in range(draw(st.integers(0, 3))):
        spot = (41 + 2 * n,)
        entries += [
            one(f"t{n}a", draw(loads), tandem="a", positions=spot),
            one(f"t{n}b", draw(loads), tandem="b", positions=spot),
        ]
    entries += [Entry(f"x{n}", 2, 0, draw(loads)) for n in range(draw(st.integers(0, 4)))]
    entries += [one(f"s{n}", draw(loads)) for n in range(draw(st.integers(0, 8)))]
    for n, spot in enumerate(draw(st.lists(st.integers(1, 40), unique=True, max_size=4))):
        entries.append(one(f"old{n}", draw(loads), positions=(spot,), stays=True))
    return draw(st.permutations(entries))


@settings(max_examples=100, deadline=None)
@given(panels())
def test_what_must_stay_together_does(entries: list[Entry]) -> None:
    """Halves of a multiwire circuit on opposite legs, two-pole on both, tandem halves in one space, old ones unmoved."""
    layout = laid_out(entries, 48, keep_stated=False)
    by_name = {e.name: e for e in entries}
    taken: dict[int, str] = {}
    for e in entries:
        spaces = layout.spaces[e.name]
        assert {leg(p) for p in spaces} == set(layout.legs[e.name])
        if e.poles == 2:
            assert spaces[1] == spaces[0] + 2
            assert set(layout.legs[e.name]) == {1, 2}
        if e.partner:
            other = layout.spaces[e.partner]
            assert abs(other[0] - spaces[0]) == 2, "halves stand beside each other, for one common handle"
            assert layout.legs[e.name] != layout.legs[e.partner]
        if e.stays:
            assert spaces == e.positions
        for p in spaces:
            holder = by_name.get(taken.get(p, ""))
            assert holder is None or (holder.tandem and e.tandem and holder.positions == e.positions)
            taken[p] = e.name
    assert set(taken) == set(layout.taken)


@settings(max_examples=100, deadline=None)
@given(st.lists(st.integers(0, 5000), max_size=16), st.integers(-9000, 9000))
def test_the_best_is_never_worse_than_any_choice_of_one_swap(loads: list[int], ahead: int) -> None:
    """On larger panels, where trying all is too much: no single move and no swap of two makes it better."""
    blocks = [Block((str(n),), (), va) for n, va in enumerate(loads)]
    room = (len(loads), len(loads))
    legs = balance(blocks, ahead, room)
    signs = [1 if where == 1 else -1 for where in legs]
    now = abs(ahead + sum(s * va for s, va in zip(signs, loads, strict=True)))
    total = ahead + sum(s * va for s, va in zip(signs, loads, strict=True))
    for n, va in enumerate(loads):
        assert abs(total - 2 * signs[n] * va) >= now
    for a, b in combinations(range(len(loads)), 2):
        assert abs(total - 2 * signs[a] * loads[a] - 2 * signs[b] * loads[b]) >= now


def test_a_pair_alone_is_balanced_by_its_own_halves() -> None:
    """Turning a multiwire circuit over changes which leg has more, never that they are apart."""
    entries = [one("old", 1000, positions=(1,), stays=True), one("a", 1600, partner="b"), one("b", 600, partner="a")]
    layout = laid_out(entries, 12)
    assert layout.legs["a"] == (2,)
    assert layout.legs["b"] == (1,)
    assert difference(entries, layout) == 0


def test_a_half_follows_a_partner_that_stays() -> None:
    entries = [one("a", 1600, partner="b", positions=(5,), stays=True), one("b", 600, partner="a")]
    layout = laid_out(entries, 12)
    assert layout.spaces == {"a": (5,), "b": (7,)}


def test_stated_spaces_are_kept_unless_asked_otherwise() -> None:
    """Both halves on one leg by the job: shown as it stands, apart in the best arrangement."""
    entries = [one("a", 1920, partner="b", positions=(1,)), one("b", 1920, partner="a", positions=(5,))]
    assert laid_out(entries, 12).legs == {"a": (1,), "b": (1,)}
    assert set(laid_out(entries, 12, keep_stated=False).legs.values()) == {(1,), (2,)}


def test_equals_stay_where_they_are() -> None:
    """A panel in balance already is left alone."""
    entries = [one(n, 1500, positions=(p,)) for n, p in (("a", 1), ("b", 3), ("c", 5), ("d", 7))]
    best = laid_out(entries, 12, keep_stated=False)
    assert best.legs == laid_out(entries, 12).legs


def test_a_full_panel_says_who_has_no_place() -> None:
    layout = laid_out([one(n, 100) for n in "abcde"], 4)
    assert len(layout.spaces) == 4
    assert set(layout.legs) == set("abcde")
