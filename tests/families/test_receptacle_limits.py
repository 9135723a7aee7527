"""Receptacles near their limits: places on a wall, what is special there, counts that one entry would turn, the table."""

from __future__ import annotations

from typing import Any

import pytest

from calc.codebook import editions, open_codebook
from calc.families import receptacles
from calc.families.receptacles import spacing
from calc.families.receptacles.tally import Tally
from calc.families.receptacles.wall_line import WallLine
from calc.families.receptacles.wall_outlets import box_room, inside, special
from calc.families.receptacles.walls import foyer_walls
from calc.job.read import make_job
from calc.wiring.house import House
from tests.families.placing import box, found, job_of, results, sheet, sheets
from tests.families.runs import failing, remedy

EDITIONS = editions()
CODE = open_codebook("2023")


def line(walls: list[dict[str, Any]], **room: Any) -> WallLine:
    return WallLine(job_of({"use": "den", "walls": walls, **room}).rooms[0])


ROOM = line(box(10, 8))  # north 0 to 120 in, east to 216, south to 336, west to 432


# ---- the line


@pytest.mark.parametrize(
    ("at", "where"),
    [
        (0, "north wall, 0 in from the west corner"),
        (87, "north wall, 7 ft 3 in from the west corner"),
        (120, "east wall, 0 in from the north corner"),
        (300, "south wall, 7 ft 0 in from the east corner"),
        (431, "west wall, 7 ft 11 in from the south corner"),
        (432 + 12, "north wall, 1 ft 0 in from the west corner"),
    ],
)
def test_a_place_is_named_by_its_wall_and_the_corner_before_it(at: float, where: str) -> None:
    """Past the end of the line it is on the first wall again."""
    assert ROOM.where(at) == where
    assert ROOM.from_left(at) == where.partition(", ")[2].partition(" from")[0]


@pytest.mark.parametrize(
    ("begin", "end", "said"),
    [
        (24, 60, "north wall, 2 ft 0 in to 5 ft 0 in from the west corner"),
        (24, 120, "north wall, 2 ft 0 in to 10 ft 0 in from the west corner"),
        (24, 132, "north wall, 2 ft 0 in from the west corner, on to east wall, 1 ft 0 in from the north corner"),
        (420, 444, "west wall, 7 ft 0 in from the south corner, on to north wall, 1 ft 0 in from the west corner"),
        (432, 444, "north wall, 0 in to 1 ft 0 in from the west corner"),
        (420, 432, "west wall, 7 ft 0 in to 8 ft 0 in from the south corner"),
        (100, 216, "north wall, 8 ft 4 in from the west corner, on to east wall, 8 ft 0 in from the north corner"),
    ],
)
def test_a_piece_of_wall_names_both_ends_where_it_turns_a_corner(begin: float, end: float, said: str) -> None:
    """One wall has one corner to measure from."""
    assert ROOM.reach(begin, end) == said


def test_walls_without_a_heading_are_measured_from_their_left_end() -> None:
    """Numbers and names of one's own; walls that face one another share no corner; one wall alone is the wall line."""
    named = line(
        [{"name": "1", "length_ft": 5}, {"name": "bay", "length_ft": 5}, {"name": "long wall", "length_ft": 5}]
    )
    assert [named.label(n) for n in range(3)] == ["wall 1", "bay wall", "long wall"]
    assert named.where(70) == "bay wall, 10 in from its left end"
    facing = line([{"name": "north", "length_ft": 5}, {"name": "south", "length_ft": 5}])
    assert facing.where(70) == "south wall, 10 in from its left end"
    assert facing.where(10) == "north wall, 10 in from its left end"
    alone = line([{"name": "all", "length_ft": 40}])
    assert alone.where(70) == "wall line, 5 ft 10 in from where it begins"


@pytest.mark.parametrize(
    ("at", "closed", "away"),
    [(30, True, 0), (10, True, 10), (430, True, 22), (430, False, 390), (50, False, 10), (20, True, 0), (40, True, 0)],
)
def test_distance_along_the_line_goes_around_where_the_walls_close(at: float, closed: bool, away: float) -> None:
    """From a basin of 20 to 40 in: nothing inside it, and past the start of a closed line."""
    assert ROOM.distance(20, 40, at, closed) == away


def test_an_opening_ends_with_its_wall() -> None:
    """And a receptacle an inch past its wall's end is at the end."""
    job = job_of({"use": "den", "walls": box(10, 8), "outlets": [{"wall": "east", "at_ft": 8}, {"at_ft": 36}],
                  "openings": [{"kind": "door", "wall": "north", "at_ft": 8, "width_ft": 2}, {"kind": "window", "at_ft": 20, "width_ft": 4}]})  # fmt: skip
    made = WallLine(job.rooms[0])
    door, window = job.rooms[0].openings
    assert made.span(door) == (96, 120)
    assert made.span(window) == (240, 288)
    assert [made.of(outlet) for outlet in job.rooms[0].outlets] == [216, 432]


def test_what_touches_is_one_break_and_spaces_lie_between() -> None:
    """Two doors side by side, a window beside them: one break; a closed line's last space runs over its start."""
    doors = [{"kind": "door", "wall": "north", "at_ft": 2, "width_ft": 3}, {"kind": "door", "wall": "north", "at_ft": 5, "width_ft": 2},
             {"kind": "fireplace", "wall": "south", "at_ft": 4, "width_ft": 2}]  # fmt: skip
    made = line(box(10, 8), openings=doors)
    breaks = made.breaks(made.room.openings)
    assert [(b.begin, b.end, b.label) for b in breaks] == [(24, 84, "door"), (264, 288, "fireplace")]
    assert [(s.begin, s.length) for s in made.spaces(breaks, True)] == [(84, 180), (288, 168)]
    assert [(s.begin, s.length) for s in made.spaces(breaks, False)] == [(0, 24), (84, 180), (288, 144)]
    (around,) = made.spaces([], True)
    assert (around.loop, around.length) == (True, 432)
    assert made.spaces([], False)[0].loop is False


# ---- spacing


@pytest.mark.parametrize(("length", "number"), [(1, 1), (144, 1), (144.1, 2), (288, 2), (288.1, 3)])
def test_the_fewest_of_a_length(length: float, number: int) -> None:
    """One serves 6 ft to either side."""
    assert spacing.fewest(length, 72) == number


@pytest.mark.parametrize(
    ("length", "places", "loop", "gaps"),
    [
        (144, [72], False, []),
        (144, [71], False, [(143, 144)]),
        (144, [73], False, [(0, 1)]),
        (200, [], False, [(0, 200)]),
        (300, [72, 228], False, [(144, 156)]),
        (300, [0, 150], True, [(72, 78), (222, 228)]),
        (288, [0, 144], True, []),
        (100, [150], False, [(0, 78)]),
    ],
)
def test_what_is_left_uncovered(
    length: float, places: list[float], loop: bool, gaps: list[tuple[float, float]]
) -> None:
    """Up to 6 ft from a receptacle is served; on a line without ends service goes around."""
    assert spacing.uncovered(length, 72, places, loop) == gaps


@pytest.mark.parametrize(
    ("gap", "length", "places"),
    [
        ((0, 144), 144, [72]),
        ((0, 288), 288, [72, 216]),
        ((0, 200), 200, [50, 150]),
        ((0, 10), 400, [36]),  # a gap at the end is served from further in
        ((390, 400), 400, [364]),
        ((100, 110), 400, [105]),
    ],
)
def test_places_that_cover_a_gap_are_even(gap: tuple[float, float], length: float, places: list[float]) -> None:
    """In the middle of equal parts; at one end a little further in."""
    assert spacing.cover(gap, length, 72, ()) == places


def test_places_keep_to_what_is_wanted_where_that_still_covers() -> None:
    """A door or glass in the middle moves the place beside it; one that can't be had is let go."""
    assert spacing.cover((0, 100), 100, 72, [[(0, 40), (60, 100)]]) == [40]
    assert spacing.cover((0, 100), 100, 72, [[(0, 35), (58, 100)]]) == [58]
    assert spacing.cover((0, 144), 144, 72, [[(0, 40)]]) == [72]
    assert spacing.cover((0, 144), 144, 72, [[(0, 40)], [(70, 74)]]) == [72]


@pytest.mark.parametrize(("places", "move"), [([60], (0, 72)), ([72], (0, 72)), ([80], (0, 72)), ([10, 300], None)])
def test_the_shortest_move_that_leaves_no_gap(places: list[float], move: tuple[int, float] | None) -> None:
    """Of 12 ft with one receptacle: to its middle; where one move isn't enough, none."""
    length = 144 if len(places) == 1 else 400
    assert spacing.move(length, 72, places, False) == move


# ---- outlets on walls


def test_a_box_has_room_on_solid_wall_clear_of_corners_and_glass() -> None:
    """Two inches from the ends of each piece; a piece too narrow for that is none, one as wide as the margin a last resort."""
    glass = [{"kind": "fixed-glass", "wall": "north", "at_ft": 3, "width_ft": 2}]
    made = line(box(10, 8), openings=glass)
    (space,) = made.spaces([], True)
    clear, solid = box_room(made, space, 6)
    assert solid[:2] == ((0, 36), (60, 120))
    assert clear[:2] == ((6, 30), (66, 114))
    narrow = line([{"name": "all", "length_ft": 20}],
                  openings=[{"kind": "fixed-glass", "at_ft": "1 ft 0 in", "width_ft": 18}])  # fmt: skip
    clear, solid = box_room(narrow, narrow.spaces([], False)[0], 6)
    assert solid == ((0, 12), (228, 240))
    assert clear == ((6, 6), (234, 234))
    assert box_room(narrow, narrow.spaces([], False)[0], 13) == ((), ())


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        ("fixed-glass", "(at the fixed glass: in the floor"),
        ("cabinet", "(on the wall above the cabinet's top)"),
        ("window", ""),
    ],
)
def test_what_is_special_at_a_place(kind: str, said: str) -> None:
    """Inside an opening, not at its edge; a railing holds no box at all."""
    made = line(box(10, 8), openings=[{"kind": kind, "wall": "north", "at_ft": 3, "width_ft": 2}])
    assert said in special(made, CODE, 48)
    assert bool(special(made, CODE, 48)) is bool(said)
    assert special(made, CODE, 36) == special(made, CODE, 60) == special(made, CODE, 35) == ""
    assert special(made, CODE, 48 + 432) == special(made, CODE, 48), "once around"
    walls = box(10, 8)
    walls[1]["kind"] = "railing"
    railed = line(walls)
    assert "(at the railing: in the floor" in special(railed, CODE, 150)
    assert special(railed, CODE, 60) == ""


def test_a_receptacle_is_in_the_space_that_it_stands_in_or_at_the_edge_of() -> None:
    """In order, with its place along the space; also where the space runs over the start of the line."""
    job = job_of({"use": "den", "walls": box(10, 8), "openings": [{"kind": "door", "wall": "north", "at_ft": 4, "width_ft": 3}],
                  "outlets": [{"wall": "north", "at_ft": 2}, {"wall": "north", "at_ft": 9}, {"wall": "north", "at_ft": 5},
                              {"wall": "north", "at_ft": 7}]})  # fmt: skip
    made = WallLine(job.rooms[0])
    (space,) = made.spaces(made.breaks(made.room.openings), True)
    assert [along for along, _ in inside(made, space, job.rooms[0].outlets)] == [0, 24, 432 - 84 + 24]


# ---- counts that one entry would turn


def at_front(*outlets: dict[str, Any], edition: str = "2023") -> Any:
    house = {"dwelling": {"kind": "one-family", "floor_area_ft2": 1500}}
    job = job_of({"use": "outdoors", "name": "Yard", "outlets": list(outlets)}, edition=edition, **house)
    return next(
        s
        for s in sheets(job).values()
        if any(check.key.startswith("place_enough") for check in (*s.checks, *s.unknowns))
    )


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("outlets", "front"),
    [
        ([{"purpose": "front"}], "passes"),
        ([{"purpose": "front"}, {}], "passes"),
        ([{}], "open"),
        ([{"purpose": "back"}], "short"),
        ([{"purpose": "front", "dedicated": True}, {}], "open"),
        ([{"purpose": "front", "height_in": 80}], "short"),
        ([{"purpose": "front", "height_in": 78}], "passes"),
        ([], "short"),
    ],
)
def test_a_side_of_the_house_is_open_only_where_an_entry_could_make_one_count(
    outlets: list[dict[str, Any]], front: str, edition: str
) -> None:
    """One that counts is enough whatever else is unsaid; one without a side might be the one that is wanting."""
    s = at_front(*outlets, edition=edition)
    key = "place_enough[front of the house]"
    state = "open" if key in {u.key for u in s.unknowns} else "short" if key in failing(s) else "passes"
    assert state == front


@pytest.mark.parametrize(
    ("outlets", "status"),
    [
        ([{"bay": 1}, {"bay": 2}], "passes"),
        ([{"bay": 1}, {}], "not shown"),
        ([{"bay": 1}, {"bay": 1}], "falls short"),
        ([{"bay": 1}, {"bay": 2, "height_in": 67}], "falls short"),
        ([{"bay": 1}, {"bay": 2, "height_in": 66}], "passes"),
    ],
)
def test_each_bay_has_its_own(outlets: list[dict[str, Any]], status: str) -> None:
    """Up to 5 ft 6 in high; one of which no bay is said may stand in either."""
    assert sheet(use="garage", vehicle_bays=2, outlets=outlets).status == status


@pytest.mark.parametrize(("feet", "status"), [(6, "passes"), (6.1, "falls short"), (None, "passes")])
def test_a_laundry_receptacle_is_within_6_ft_of_the_washer(feet: float | None, status: str) -> None:
    """210.50(C), as far as the distance is entered."""
    outlet = {"purpose": "laundry", **({"distance_ft": feet} if feet else {})}
    s = sheet(use="laundry", outlets=[outlet])
    assert ("place_enough[laundry]" in failing(s)) is (status == "falls short")


@pytest.mark.parametrize(("reached", "need"), [(True, 1), (None, 1), (False, 0)])
def test_a_deck_that_nobody_steps_onto_from_inside_needs_none(reached: bool | None, need: int) -> None:
    """What isn't said is taken as reached, which the sheet says."""
    s = sheet(use="deck", **({} if reached is None else {"reached_from_inside": reached}))
    assert s.results["place_needed[deck]"] == need
    assert len(s.remarks) == (1 if reached is None else 0)


# ---- basins


@pytest.mark.parametrize(("at", "short"), [(2, False), (3.0 + 2.0 + 3.0, False), (8.1, True)])
def test_a_basin_of_several_is_named_by_its_number(at: float, short: bool) -> None:
    """Basins of 3 to 5 ft and of 12 to 14 ft: 3 ft from an edge is near; the other one has none."""
    s = sheet(
        use="bathroom", basins=[{"at_ft": 3, "width_ft": 2}, {"at_ft": 14, "width_ft": 2}], outlets=[{"at_ft": at}]
    )
    assert ("basin_served[basin 1]" in failing(s)) is short
    assert "basin_served[basin 2]" in failing(s)
    assert "basin 2" in remedy(s, "basin_served[basin 2]")
    assert found(s, "outlets_counted").startswith("1 of 1")


def test_basins_without_a_receptacle_get_the_fewest_places() -> None:
    """Two that are 4 ft apart share one; two that are 10 ft apart need two; a place keeps its distance from the basin."""
    near = results(use="bathroom", basins=[{"at_ft": 3, "width_ft": 2}, {"at_ft": 9, "width_ft": 2}])
    far = results(use="bathroom", basins=[{"at_ft": 3, "width_ft": 2}, {"at_ft": 15, "width_ft": 2}])
    assert (near["basins_needed"], far["basins_needed"]) == (1, 2)
    alone = sheet(use="bathroom", basins=[{"at_ft": 3, "width_ft": 2}])
    assert found(alone, "placed[basins]") == "2 ft 6 in along the wall"


def test_receptacles_of_a_bathroom_that_do_not_count_are_told_by_their_number() -> None:
    """The second has no place, the third is in a cabinet."""
    s = sheet(use="bathroom", basins=[{"at_ft": 3, "width_ft": 2}],
              outlets=[{"at_ft": 2}, {}, {"at_ft": 6, "in_cabinet": True}, {"at_ft": 6, "dedicated": True}])  # fmt: skip
    said = found(s, "outlets_counted")
    assert said.startswith("1 of 4")
    assert "not receptacle 2: its place is not entered" in said
    assert "inside a cabinet" in said
    assert "for one appliance" in said


# ---- light


@pytest.mark.parametrize(
    ("use", "light", "passes"),
    [
        ("bedroom", "switched-receptacle", True),
        ("kitchen", "switched-receptacle", False),
        ("bathroom", "switched-receptacle", False),
        ("hall", "switched-receptacle", False),
        ("bedroom", "other-control", True),
        ("bedroom", "none", False),
        ("hall", "wall-switched", True),
    ],
)
def test_a_switched_receptacle_stands_for_a_light_in_rooms_but_for_kitchen_bath_and_passages(
    use: str, light: str, passes: bool
) -> None:
    """210.70(A); a control of another kind than a wall switch is remarked."""
    s = sheet(use=use, light=light, hall_length_ft=5) if use == "hall" else sheet(use=use, light=light)
    assert ("light" not in failing(s)) is passes


@pytest.mark.parametrize(
    ("door", "key", "state"),
    [
        ({"leads_to": "outdoors", "outdoor_light": True}, "entrance_light", "passes"),
        ({"leads_to": "outdoors", "outdoor_light": False}, "entrance_light", "short"),
        ({"leads_to": "outdoors"}, "entrance_light", "open"),
        ({"leads_to": "outdoors", "grade_access": False}, "entrance_light", "none"),
        ({"leads_to": "closet"}, "entrance_light", "none"),
        ({"kind": "slider"}, "entrance_light", "open"),
        ({"kind": "garage-door", "leads_to": "outdoors"}, "entrance_light", "none"),
    ],
)
def test_a_light_stands_outside_an_entrance_at_grade(door: dict[str, Any], key: str, state: str) -> None:
    """Not at a vehicle door, a door inside, or one that has no grade before it."""
    s = sheet(
        use="den", walls=box(12, 12), openings=[{"kind": "door", "wall": "north", "at_ft": 4, "width_ft": 3, **door}]
    )
    keys = {check.key.partition("[")[0]: check.holds.holds for check in s.checks}
    unknown = {each.key.partition("[")[0] for each in s.unknowns}
    got = "open" if key in unknown else "none" if key not in keys else "passes" if keys[key] else "short"
    assert got == state


# ---- the table


def test_the_table_of_rooms_counts_states_and_sets_figures_to_the_right() -> None:
    """A room in order, one that falls short, one that is not shown, one that needs nothing."""
    rooms = [
        {"use": "hall", "name": "Hall", "hall_length_ft": 12, "outlets": [{}]},
        {"use": "hall", "name": "Passage", "hall_length_ft": 12, "outlets": []},
        {"use": "hall", "name": "Landing", "hall_length_ft": 12},
        {"use": "pantry", "name": "Pantry"},
        {"use": "bedroom", "name": "Old", "status": "removed"},
    ]
    (table, *_) = receptacles.tables(House.of(job_of(*rooms)))
    rows = {row[0]: row for row in table.rows}
    assert {name: rows[name][6] for name in ("Hall", "Passage", "Landing", "Pantry")} == {
        "Hall": "passes", "Passage": "FALLS SHORT", "Landing": "NOT SHOWN", "Pantry": "nothing required",
    }  # fmt: skip
    assert "Old" not in rows
    assert rows["Passage"][3:5] == ["1", "0"]
    assert rows["Passage"][7] == "add a receptacle in the hall"
    assert [column.align == "right" for column in table.columns] == [n in (2, 3, 4, 5) for n in range(8)]
    assert "falls short: 1" in table.intro
    assert "not shown: 1" in table.intro
    assert any(note.startswith("Landing: not shown, for want of") for note in table.notes)
    assert any("Nothing outdoors" in note for note in table.notes)


def test_a_job_with_something_outdoors_is_asked_for_front_and_back() -> None:
    """And the note that nothing outdoors is entered is gone."""
    job = make_job(
        {
            "code": {"edition": "2023"},
            "job": {"name": "t"},
            "rooms": [{"name": "Yard", "use": "outdoors", "outlets": []}],
        }
    )
    (table, *_) = receptacles.tables(House.of(job))
    assert not any("Nothing outdoors" in note for note in table.notes)


# ---- counters


@pytest.mark.parametrize(
    ("breaks", "fits"),
    [
        ([(0, 30), (30, 24)], True),
        ([(0, 30), (29, 24)], False),
        ([(10, 30), (60, 48)], True),
        ([(10, 30), (60, 50)], False),
    ],
)
def test_what_stands_on_a_counter_stands_side_by_side_and_ends_with_it(
    breaks: list[tuple[float, float]], fits: bool
) -> None:
    """From its left end on; a tape may be off by an inch at the end, and things don't lie over one another."""
    made = [{"kind": "sink" if n else "range", "at_in": at, "width_in": wide} for n, (at, wide) in enumerate(breaks)]
    s = sheet(
        use="kitchen",
        walls=[{"name": "all", "length_ft": 1.9}],
        counters=[{"name": "north", "length_in": 108, "breaks": made, "outlets": []}],
    )
    assert (s.refused is None) is fits


def test_between_what_touches_there_is_no_counter_space() -> None:
    """A sink at the left end and a range beside it leave one piece of counter, 36 in, not two empty ones before it."""
    breaks = [{"kind": "sink", "at_in": 0, "width_in": 30}, {"kind": "range", "at_in": 30, "width_in": 30}]
    s = sheet(use="kitchen", counters=[{"name": "c", "length_in": 96, "depth_in": 25, "breaks": breaks, "outlets": []}])
    pieces = {key: value for key, value in s.results.items() if key.startswith("counter_space_in")}
    assert pieces == {"counter_space_in[c counter, space 1]": 36}


@pytest.mark.parametrize(
    ("places", "anew"), [([48], "set 2 in all"), ([24], None), ([20, 40], "set 2 in all"), ([24, 40], None)]
)
def test_more_than_the_fewest_are_told_to_be_set_anew(places: list[int], anew: str | None) -> None:
    """96 in of counter, 24 in to each side, is served by two at 24 and 72. One in the middle needs two more: three.

    Where one more beside the first, or one moved, is enough, nothing is set anew.
    """
    outlets = [{"at_in": at, "above_in": 8} for at in places]
    s = sheet(use="kitchen", counters=[{"name": "c", "length_in": 96, "depth_in": 25, "outlets": outlets}])
    said = remedy(s, "counter_reach[c counter, space 1]")
    assert ("set " in said) is (anew is not None)
    assert anew is None or said.endswith(
        f"{anew}, at c counter, 2 ft 0 in from its left end; and at c counter, 6 ft 0 in from its left end"
    )


def test_a_receptacle_stands_in_the_counter_space_that_it_is_in() -> None:
    """Behind a range of 30 in at 30 in: one at 80 in is 20 in along the second space."""
    counter = {
        "name": "north",
        "length_in": 108,
        "breaks": [{"kind": "range", "at_in": 30, "width_in": 30}],
        "outlets": [{"at_in": 15}, {"at_in": 80}],
    }
    s = sheet(use="kitchen", walls=[{"name": "all", "length_ft": 1.9}], counters=[counter])
    assert "20 in along the space" in found(s, "served[north counter, space 2]")
    assert "15 in along the space" in found(s, "served[north counter, space 1]")


def test_the_receptacle_nearest_to_the_outer_end_of_a_peninsula_counts() -> None:
    """2020: of two at 10 and 70 in of 84 the one 14 in from the end."""
    counter = {
        "name": "p",
        "kind": "peninsula",
        "length_in": 84,
        "depth_in": 30,
        "outlets": [{"at_in": 10, "above_in": 5}, {"at_in": 70, "above_in": 5}],
    }
    s = sheet("2020", use="kitchen", walls=[{"name": "all", "length_ft": 1.9}], counters=[counter])
    assert s.results["from_outer_end_in[p]"] == 14


# ---- what is said beside


PUMP = [{"name": "Pump", "kind": "heat-pump", "load_va": 4000, "volts": 240}]


@pytest.mark.parametrize(
    ("outlet", "at"),
    [
        ({"purpose": "equipment-service"}, "rooms[1].outlets[1].equipment"),
        ({"equipment": "Pump"}, "rooms[1].outlets[1].distance_ft"),
        ({"purpose": "front"}, "rooms"),
    ],
)
def test_of_a_service_receptacle_that_is_half_entered_the_rest_is_asked_for(outlet: dict[str, Any], at: str) -> None:
    """Which equipment it is for, and how far off; one for something else doesn't speak for the equipment."""
    s = sheets(job_of({"use": "outdoors", "front_or_back": "back", "outlets": [outlet]}, loads=PUMP))["Equipment"]
    assert [each.at for each in s.unknowns] == [at]


@pytest.mark.parametrize(("second", "asked"), [("existing", False), ("new", True)])
def test_what_is_new_outdoors_is_asked_about_though_something_stays(second: str, asked: bool) -> None:
    """Of an existing deck alone nothing is claimed; with a new yard beside it front and back are."""
    places = [{"use": "deck", "status": "existing"}, {"use": "outdoors", "status": second}]
    s = sheets(job_of(*places))["Outdoors"]
    assert bool(s.unknowns) is asked


def test_the_table_says_of_front_and_back_that_they_pass() -> None:
    """The sheet of the whole house has a row like each room's."""
    sides = [{"use": "outdoors", "front_or_back": side, "outlets": [{"purpose": side}]} for side in ("front", "back")]
    (table,) = receptacles.tables(House.of(job_of(*sides)))
    (row,) = [row for row in table.rows if row[0] == "Outdoors"]
    assert row[6] == "passes"


def test_one_place_outdoors_that_is_entered_empty_is_known_to_lack_its_receptacles() -> None:
    s = sheets(job_of({"use": "deck", "outlets": []}, {"use": "outdoors"}))["Outdoors"]
    assert {"place_enough[front of the house]", "place_enough[back of the house]"} <= failing(s)


@pytest.mark.parametrize(
    ("target", "low", "high", "place"),
    [(40, 34.9, 35.6, 35), (0, 35.4, 36.2, 36), (35.5, 35.4, 35.6, 35.5), (7.4, 0, 96, 7)],
)
def test_a_place_is_a_whole_inch_where_there_is_one_between_the_limits(
    target: float, low: float, high: float, place: float
) -> None:
    """The nearest to what is wanted, below or above; none where the limits leave less than an inch."""
    assert spacing._whole(target, low, high) == place


def test_choices_are_remarked_where_they_were_made() -> None:
    """A light under other control, receptacles switched by half, a garage that stands apart."""
    assert [
        len(sheet(use="hall", hall_length_ft=5, light=light).remarks) for light in ("wall-switched", "other-control")
    ] == [0, 1]
    walls = {"use": "den", "walls": [{"name": "all", "length_ft": 9}]}
    plain, half = (sheet(**walls, outlets=[{"at_ft": 4, **more}]) for more in ({}, {"switched": "half"}))
    assert len(half.remarks) == len(plain.remarks) + 1
    apart, attached = (
        sheet(use="garage", vehicle_bays=1, attached=is_attached, outlets=[{}]) for is_attached in (False, True)
    )
    assert len(apart.remarks) == len(attached.remarks) + 1


def test_places_for_basins_are_told_where_no_receptacle_is_entered() -> None:
    """And what is there is counted in the totals."""
    basins = [{"at_ft": 3, "width_ft": 2}]
    assert found(sheet(use="bathroom", basins=basins), "placed[basins]").endswith("along the wall")
    assert sheet(use="hall", hall_length_ft=12, outlets=[{}, {}]).results["provided"] == 2


def test_a_receptacle_without_a_place_is_told_by_number_and_purpose() -> None:
    """'receptacle 2' of a wall, 'bay 1' in a garage."""
    s = sheet(use="den", walls=[{"name": "all", "length_ft": 9}], outlets=[{"at_ft": 4}, {}])
    assert "not receptacle 2: its place on the wall" in found(s, "outlets_counted")
    bays = sheet(use="garage", vehicle_bays=2, outlets=[{"bay": 1}, {"bay": 2}])
    assert "not receptacle 2, bay 2: in another bay" in found(bays, "place_counted[vehicle bay 1]")


def test_a_line_without_ends_is_measured_around_its_start() -> None:
    """Two receptacles 4 and 14 ft along 36 ft: 26 ft apart around the start, so 13 ft is the farthest."""
    s = sheet(use="den", walls=box(10, 8), outlets=[{"wall": "north", "at_ft": 4}, {"wall": "east", "at_ft": 4}])
    assert s.results["farthest_in[wall space 1]"] == 156


def test_a_foyer_wall_without_a_receptacle_is_a_gap_from_end_to_end() -> None:
    """All of the space, none of the door beside it."""
    s = sheet(
        use="foyer",
        floor_area_ft2=80,
        walls=[{"name": "all", "length_ft": 9}],
        openings=[{"kind": "door", "at_ft": 0, "width_ft": 3}],
        outlets=[],
    )
    assert s.results["gap_in[wall space 1: wall line, 3 ft 0 in to 9 ft 0 in from where it begins]"] == 72
    made = job_of({"use": "foyer", "floor_area_ft2": 80, "walls": box(9, 9), "outlets": []})
    plan = foyer_walls(sheets(made)["Room 1"].copied(), House.of(made).code, made.rooms[0], Tally())
    assert plan.gaps == [(0, 432)]


def test_a_piece_of_wall_too_narrow_for_a_margin_on_both_sides_is_a_last_resort() -> None:
    """8 in between two panes: as wide as the margin, not clear of it on both sides."""
    panes = [
        {"kind": "fixed-glass", "at_ft": 0, "width_ft": 10},
        {"kind": "fixed-glass", "at_ft": "10 ft 8 in", "width_ft": "9 ft 4 in"},
    ]
    made = line([{"name": "all", "length_ft": 20}], openings=panes)
    assert box_room(made, made.spaces([], False)[0], 6) == ((), ((120, 128),))
    assert box_room(made, made.spaces([], False)[0], 4) == (((124, 124),), ((120, 128),))


# ---- tubs, and sides of a house of which one is entered


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("outlet", "short"),
    [
        ({"tub_ft": 0}, True),
        ({"tub_ft": 0, "farthest_wall": True}, True),
        ({"tub_ft": "2 ft 11 in"}, "2017"),
        ({"tub_ft": "2 ft 11 in", "farthest_wall": True}, False),
        ({"tub_ft": 3}, False),
        ({"tub_ft": 0, "status": "existing"}, False),
        ({}, False),
    ],
)
def test_no_receptacle_is_over_a_tub_or_from_2020_on_within_3_ft_of_it(
    outlet: dict[str, Any], short: bool | str, edition: str
) -> None:
    """406.9(C); the farthest wall of a small bathroom is let off the distance, not of being over the tub."""
    s = sheets(job_of({"use": "bathroom", "basins": [{"at_ft": 1, "width_ft": 2}], "outlets": [{"at_ft": 3, **outlet}]},
                      edition=edition))["Room 1"]  # fmt: skip
    assert any(key.startswith("clear_of_tub") for key in failing(s)) is (edition > "2017" if short == "2017" else short)
    assert any("tub and shower is not entered" in caution for caution in s.cautions) is (not outlet)


def test_a_side_of_the_house_whose_place_lacks_its_receptacles_is_not_shown() -> None:
    """A front porch that is entered says nothing of the yard; entered as none, the yard falls short."""
    porch = {"use": "porch", "front_or_back": "front", "reached_from_inside": True, "outlets": [{"height_in": 18}]}
    yard: dict[str, Any] = {"use": "outdoors", "front_or_back": "back"}
    unsaid, none, elsewhere = (
        sheets(job_of(porch, each))["Outdoors"] for each in (yard, {**yard, "outlets": []}, {**yard, "front_or_back": "front"})
    )  # fmt: skip
    assert [unknown.key for unknown in unsaid.unknowns] == ["place_enough[back of the house]"]
    assert not failing(unsaid)
    assert failing(none) == failing(elsewhere) == {"place_enough[back of the house]"}
