"""Receptacle spacing against an inch-by-inch oracle: spaces, gaps, the fewest, places proposed; and what always holds."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from calc.families.receptacles import spacing
from calc.families.receptacles.room import RoomWork
from calc.families.receptacles.wall_line import WallLine
from tests.drawn import drawn
from tests.families.placing import box, results, sheet, work
from tests.oracle import placement

REACH, LEAST = 72, 24
BREAKS = {"door", "cased-opening", "slider", "fireplace", "bookcase"}
KINDS = (*sorted(BREAKS), "window", "fixed-glass")


@st.composite
def small_rooms(draw: st.DrawFn, most: int = 9) -> dict[str, Any]:
    """A rectangular room in whole inches with up to four openings that don't lie over one another."""
    wide, deep = (draw(st.integers(48, most * 12)) for _ in range(2))
    walls = box(wide / 12, deep / 12)
    lengths = [wide, deep, wide, deep]
    openings = []
    for number in draw(st.lists(st.integers(0, 3), unique=True, max_size=4)):
        width = draw(st.integers(12, min(40, lengths[number])))
        at = draw(st.integers(0, lengths[number] - width))
        kind = draw(st.sampled_from(KINDS))
        openings.append(
            {
                "kind": kind,
                "wall": walls[number]["name"],
                "at_ft": at / 12,
                "width_ft": width / 12,
                "leads_to": "inside",
            }
        )
    return {"use": "den", "walls": walls, "openings": openings}


@st.composite
def wired_rooms(draw: st.DrawFn) -> dict[str, Any]:
    """A small room with receptacles at whole inches of the running dimension."""
    room = draw(small_rooms(most=14))
    around = sum(round(wall["length_ft"] * 12) for wall in room["walls"])
    places = draw(st.lists(st.integers(0, around - 1), min_size=1, max_size=6, unique=True))
    return {**room, "outlets": [{"at_ft": at / 12} for at in places]}


def line_of(room: dict[str, Any]) -> tuple[int, list[tuple[int, int]], list[int]]:
    """Length all around, breaks and receptacles along the running dimension, in inches, from the plain data."""
    begins, around = {}, 0
    for wall in room["walls"]:
        begins[wall["name"]] = around
        around += round(wall["length_ft"] * 12)
    breaks = []
    for opening in room["openings"]:
        if opening["kind"] in BREAKS:
            begin = begins[opening["wall"]] + round(opening["at_ft"] * 12)
            breaks.append((begin, begin + round(opening["width_ft"] * 12)))
    return around, breaks, [round(outlet["at_ft"] * 12) for outlet in room.get("outlets", [])]


def gap_inches(found: dict[str, Any]) -> float:
    return sum(value for key, value in found.items() if key.startswith("gap_in"))


# ---- against the oracle


@settings(max_examples=40, deadline=None)
@given(small_rooms(most=8))
def test_no_choice_of_fewer_would_do(room: dict[str, Any]) -> None:
    """For each space every choice of one receptacle fewer is tried, at each whole inch; all of them leave a gap.

    That the number itself is enough is shown by the places that are proposed, below.
    """
    around, breaks, _ = line_of(room)
    spaces = placement.wall_spaces(around, breaks, LEAST)
    got = results(**room)
    each = [value for key, value in got.items() if key.startswith("fewest_in_space")]
    assert got["spaces"] == len(spaces) == len(each)
    assert got["fewest_needed"] == sum(each)
    lengths = sorted((value, key) for key, value in got.items() if key.startswith("wall_space_in") and value >= LEAST)
    for length, key in lengths:
        count = int(got[key.replace("wall_space_in", "fewest_in_space")])
        assert not placement.enough(round(length), REACH, count - 1, length == around)
    assert sorted(len(space) for space in spaces) == [length for length, _ in lengths]


@pytest.mark.parametrize("length", [*range(1, 12), 23, 24, 25, 47, 48, 49, 71, 72, 73])
def test_the_fewest_of_a_length_by_every_choice_of_inches(length: int) -> None:
    """A reach of 12 in: exact at each border."""
    assert spacing.fewest(length, 12) == placement.fewest(length, 12)


@settings(max_examples=drawn(150), deadline=None)
@given(wired_rooms())
def test_gaps_are_those_found_inch_by_inch(room: dict[str, Any]) -> None:
    around, breaks, outlets = line_of(room)
    spaces = placement.wall_spaces(around, breaks, LEAST)
    out = sorted(inch for space in spaces for inch in placement.unserved(space, around, outlets, REACH))
    got = results(**room)
    assert gap_inches(got) == len(out)
    assert got["passes"] == (not out)
    found = sorted(
        round(at) % around
        for begin, end in work(**room).walls.gaps
        for at in range(round(begin), round(end))  # type: ignore[union-attr]
    )
    assert found == out


@settings(max_examples=drawn(150), deadline=None)
@given(small_rooms(most=30))
def test_what_is_placed_passes_its_own_check(room: dict[str, Any]) -> None:
    """The places proposed, entered as receptacles, leave no gap, and there are as many as the fewest."""
    plan = work(**room).walls
    assert plan is not None
    placed = [{"at_ft": at % plan.line.around / 12} for at in plan.placed]
    if not placed:
        assert not any(space.spaced for space in plan.spaces)
        return
    got = results(**room, outlets=placed)
    assert (got["provided"], got["gaps"], got["passes"]) == (got["fewest_needed"], 0, True)


@settings(max_examples=drawn(150), deadline=None)
@given(small_rooms(most=30))
def test_places_keep_off_glass_and_corners_where_the_rule_lets_them(room: dict[str, Any]) -> None:
    """A place on fixed glass, or closer than 6 in to the end of its piece of wall, is taken only where no clear one of
    its space would keep every point in reach with the same number."""
    plan = work(**room).walls
    assert plan is not None
    for space in plan.spaces:
        if space.spaced is None:
            continue
        clear, length = space.spaced.wanted[0], space.spaced.length.number
        mine = [(at - space.space.begin) % plan.line.around for at in plan.placed]
        mine = sorted(at for at in mine if at <= length)
        if len(mine) == 1 and spacing.fewest(length, REACH) == 1:
            low, high = max(0, length - REACH), min(REACH, length)
            possible = any(b >= low and a <= high for a, b in clear)
            inside = any(a - 1 <= mine[0] <= b + 1 for a, b in clear)
            assert inside or not possible


# ---- what always holds


@settings(max_examples=drawn(100), deadline=None)
@given(wired_rooms(), st.data())
def test_removing_a_receptacle_never_cures_a_gap(room: dict[str, Any], data: st.DataObject) -> None:
    before = results(**room)
    number = data.draw(st.integers(0, len(room["outlets"]) - 1))
    fewer = [{**o, "status": "removed"} if at == number else o for at, o in enumerate(room["outlets"])]
    after = results(**{**room, "outlets": fewer})
    assert gap_inches(after) >= gap_inches(before)
    assert after["fewest_needed"] == before["fewest_needed"]
    assert before["passes"] or not after["passes"]


def turned(room: dict[str, Any], by: int) -> dict[str, Any]:
    """The same room walked from another corner."""
    around, _, _ = line_of(room)
    start = sum(round(wall["length_ft"] * 12) for wall in room["walls"][:by])
    outlets = [{**o, "at_ft": (round(o["at_ft"] * 12) - start) % around / 12} for o in room["outlets"]]
    return {**room, "walls": [*room["walls"][by:], *room["walls"][:by]], "outlets": outlets}


def mirrored(room: dict[str, Any]) -> dict[str, Any]:
    """The room in a mirror: walked the other way around."""
    around, _, _ = line_of(room)
    lengths = {wall["name"]: wall["length_ft"] for wall in room["walls"]}
    openings = [
        {**o, "at_ft": round((lengths[o["wall"]] - o["at_ft"] - o["width_ft"]) * 12) / 12} for o in room["openings"]
    ]
    outlets = [{**o, "at_ft": (around - round(o["at_ft"] * 12)) % around / 12} for o in room["outlets"]]
    return {**room, "walls": room["walls"][::-1], "openings": openings, "outlets": outlets}


@settings(max_examples=drawn(100), deadline=None)
@given(wired_rooms(), st.integers(1, 3))
def test_a_turned_or_mirrored_room_counts_the_same(room: dict[str, Any], by: int) -> None:
    plain = results(**room)
    for other in (turned(room, by), mirrored(room)):
        got = results(**other)
        for key in ("spaces", "fewest_needed", "provided", "gaps", "passes"):
            assert got[key] == plain[key], key
        assert gap_inches(got) == pytest.approx(gap_inches(plain))


@settings(max_examples=drawn(100), deadline=None)
@given(wired_rooms())
def test_each_printed_length_is_that_of_its_space(room: dict[str, Any]) -> None:
    """The sum of what was taped, as printed, is the length by geometry."""
    made: RoomWork = work(**room)
    assert made.walls is not None
    for number, space in enumerate(made.walls.spaces, 1):
        assert made.sheet.results[f"wall_space_in[wall space {number}]"] == pytest.approx(space.space.length)


@settings(max_examples=drawn(200), deadline=None)
@given(st.integers(1, 400), st.integers(6, 80), st.lists(st.integers(0, 400), max_size=5), st.booleans())
def test_filling_gaps_leaves_none(length: int, reach: int, places: list[int], loop: bool) -> None:
    inside = [float(at) for at in places if at <= length]
    gaps = spacing.uncovered(length, reach, inside, loop)
    more = [at for gap in gaps for at in spacing.cover(gap, length, reach, ())]
    assert spacing.uncovered(length, reach, inside + more, loop) == []
    assert all(0 <= at <= length for at in more)


@settings(max_examples=drawn(200), deadline=None)
@given(st.integers(1, 200), st.integers(6, 80), st.lists(st.integers(0, 200), min_size=1, max_size=4))
def test_a_move_cures_and_none_is_missed(length: int, reach: int, places: list[int]) -> None:
    """Where a move is named it leaves no gap; where none is, no whole inch that any one receptacle moves to does."""
    inside = [float(at) for at in places if at <= length]
    assume(inside and spacing.uncovered(length, reach, inside))
    found = spacing.move(length, reach, inside, False)
    if found is not None:
        at, to = found
        assert spacing.uncovered(length, reach, [*inside[:at], to, *inside[at + 1 :]]) == []
        return
    for at in range(len(inside)):
        rest = [*inside[:at], *inside[at + 1 :]]
        assert not any(spacing.uncovered(length, reach, [*rest, float(to)]) == [] for to in range(length + 1))


# ---- bathrooms


@st.composite
def bathrooms(draw: st.DrawFn) -> dict[str, Any]:
    wide, deep = (draw(st.integers(60, 180)) for _ in range(2))
    around = 2 * (wide + deep)
    slots = draw(st.lists(st.integers(0, around // 30 - 1), min_size=1, max_size=4, unique=True))
    basins = [{"at_ft": slot * 30 / 12, "width_ft": draw(st.integers(12, 29)) / 12} for slot in slots]
    door = draw(st.integers(0, wide - 30))
    return {
        "use": "bathroom", "walls": box(wide / 12, deep / 12), "basins": basins,
        "openings": [{"kind": "door", "wall": "north", "at_ft": door / 12, "width_ft": 2.5}],
    }  # fmt: skip


@settings(max_examples=drawn(100), deadline=None)
@given(bathrooms())
def test_the_fewest_receptacles_of_a_bathroom_by_every_choice(room: dict[str, Any]) -> None:
    """Every choice of whole inches on the free wall is tried; the places named pass their own check."""
    around = round(sum(wall["length_ft"] for wall in room["walls"]) * 12)
    basins = [(round(b["at_ft"] * 12), round((b["at_ft"] + b["width_ft"]) * 12)) for b in room["basins"]]
    door = round(room["openings"][0]["at_ft"] * 12)
    least = placement.fewest_for_basins(around, basins, [(door, door + 30)], 36)
    made = work(**room)
    assert made.sheet.results["fewest_needed"] == least
    assert made.basins is not None
    checked = sheet(**room, outlets=[{"at_ft": at / 12} for at in made.basins.placed])
    assert checked.passes
    assert checked.results["provided"] == least


def test_the_line_says_where_things_are() -> None:
    """A place in words, and a piece that goes around a corner or past the end of the line."""
    line = WallLine(work(use="den", walls=box(18, 14)).room)
    assert line.where(102) == "north wall, 8 ft 6 in from the west corner"
    assert line.reach(87, 118) == "north wall, 7 ft 3 in to 9 ft 10 in from the west corner"
    assert (
        line.reach(200, 240)
        == "north wall, 16 ft 8 in from the west corner, on to east wall, 2 ft 0 in from the north corner"
    )
    assert (
        line.reach(760, 780)
        == "west wall, 13 ft 4 in from the south corner, on to north wall, 1 ft 0 in from the west corner"
    )
    plain = WallLine(work(use="den", walls=[{"name": n, "length_ft": 10} for n in "1234"]).room)
    assert plain.reach(130, 150) == "wall 2, 10 in to 2 ft 6 in from its left end"


# ---- counters


@st.composite
def counters(draw: st.DrawFn) -> dict[str, Any]:
    """A counter in whole inches with up to three things in it, walls at its ends, and receptacles along it."""
    length, breaks, begin = draw(st.integers(12, 240)), [], 0
    for kind in draw(st.lists(st.sampled_from(["sink", "range", "cooktop", "refrigerator"]), max_size=3)):
        at = begin + draw(st.integers(0, 60))
        width = draw(st.integers(6, 36))
        if at + width <= length:
            breaks.append(
                {"kind": kind, "at_in": at, "width_in": width, "behind_in": draw(st.sampled_from([0, 11, 12, 18]))}
            )
            begin = at + width
    ends = {key: draw(st.sampled_from([0, 25])) for key in ("left_end_in", "right_end_in")}
    places = draw(st.lists(st.integers(0, length), min_size=1, max_size=5, unique=True))
    outlets: list[dict[str, Any]] = [{"at_in": at, "above_in": 8} for at in places]
    outlets += [
        {"at_in": draw(st.integers(0, 25)), "end_wall": side, "above_in": 8}
        for side in ("left", "right")
        if ends[f"{side}_end_in"] and draw(st.booleans())
    ]
    return {"name": "counter", "length_in": length, "breaks": breaks, "outlets": outlets, **ends}


def of_counter(counter: dict[str, Any]) -> dict[str, Any]:
    return results(use="pantry", counters=[counter])


@settings(max_examples=drawn(100), deadline=None)
@given(counters(), st.data())
def test_removing_a_counter_receptacle_never_cures_a_gap(counter: dict[str, Any], data: st.DataObject) -> None:
    before = of_counter(counter)
    number = data.draw(st.integers(0, len(counter["outlets"]) - 1))
    fewer = [{**o, "status": "removed"} if at == number else o for at, o in enumerate(counter["outlets"])]
    after = of_counter({**counter, "outlets": fewer})
    assert gap_inches(after) >= gap_inches(before)
    assert after.get("fewest_needed") == before.get("fewest_needed")
    assert before.get("passes", True) or not after.get("passes", True)


@settings(max_examples=drawn(100), deadline=None)
@given(counters())
def test_a_mirrored_counter_counts_the_same(counter: dict[str, Any]) -> None:
    length = counter["length_in"]
    breaks = [{**b, "at_in": length - b["at_in"] - b["width_in"]} for b in counter["breaks"]][::-1]
    other = {"left": "right", "right": "left"}
    outlets = [
        {**o, "end_wall": other[o["end_wall"]]} if "end_wall" in o else {**o, "at_in": length - o["at_in"]}
        for o in counter["outlets"]
    ]
    mirror = {**counter, "breaks": breaks, "outlets": outlets, "left_end_in": counter["right_end_in"],
              "right_end_in": counter["left_end_in"]}  # fmt: skip
    plain, got = of_counter(counter), of_counter(mirror)
    for key in ("spaces", "fewest_needed", "provided", "gaps", "passes"):
        assert got.get(key) == plain.get(key), key
    assert gap_inches(got) == pytest.approx(gap_inches(plain))


@settings(max_examples=drawn(100), deadline=None)
@given(counters())
def test_what_is_placed_at_a_counter_passes_its_own_check(counter: dict[str, Any]) -> None:
    """The places, entered as receptacles on the counter and on the walls at its ends, leave no gap."""
    made = work(use="kitchen", counters=[{k: v for k, v in counter.items() if k != "outlets"}])
    placed = [at for plan in made.counters for at in plan.placed]
    assert len(placed) == made.sheet.results.get("fewest_needed", 0)
    assume(placed)
    length = counter["length_in"]
    outlets = [
        {"at_in": -at, "end_wall": "left"}
        if at < 0
        else {"at_in": at - length, "end_wall": "right"}
        if at > length
        else {"at_in": at}
        for at in placed
    ]
    got = of_counter({**counter, "outlets": outlets})
    assert (got["gaps"], got["passes"]) == (0, True)
