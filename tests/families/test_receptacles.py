"""Receptacles and lighting, rule by rule and edition by edition; the demo rooms; bad input; what is shown."""

from __future__ import annotations

from typing import Any

import pytest

from calc.codebook import editions
from calc.families import receptacles
from calc.job import JobError
from calc.job.read import make_job
from calc.wiring.house import House
from calc.wiring.reading import codebook_for
from calc.work import FALLS_SHORT, NOT_SHOWN, Missing
from tests.families.placing import box, found, job_of, results, sheet, sheets, work
from tests.families.runs import failing, remedy

EDITIONS = editions()

# ---- the demo rooms of the trade notes

FAMILY_ROOM: dict[str, Any] = {
    "use": "family",
    "walls": box(18, 14),
    "openings": [
        {"kind": "fixed-glass", "wall": "north", "at_ft": 6, "width_ft": 3},
        {"kind": "slider", "wall": "north", "at_ft": 9, "width_ft": 3},
        {"kind": "fireplace", "wall": "east", "at_ft": 4.5, "width_ft": 5},
        {"kind": "cased-opening", "wall": "south", "at_ft": 13.5, "width_ft": 3},
    ],
}
FIVE = [
    {"wall": "north", "at_ft": 17},
    {"wall": "east", "at_ft": 13},
    {"wall": "south", "at_ft": 9},
    {"wall": "west", "at_ft": 4.5},  # 6 ft 0 in along the third space
    {"wall": "north", "at_ft": 2.5},  # 18 ft 0 in along it
]
KITCHEN: dict[str, Any] = {
    "use": "kitchen",
    "counters": [
        {
            "name": "north",
            "length_in": 172,
            "breaks": [
                {"kind": "cooktop", "at_in": 38, "width_in": 30},
                {"kind": "sink", "at_in": 92, "width_in": 33, "behind_in": 4},
                {"kind": "refrigerator", "at_in": 136, "width_in": 36},
            ],
        },
        {"name": "east", "length_in": 50},
        {"name": "island", "kind": "island", "length_in": 72, "depth_in": 36, "provision": True},
    ],
}
BEDROOM: dict[str, Any] = {
    "use": "bedroom",
    "walls": box(12, 11),
    "openings": [
        {"kind": "window", "wall": "north", "at_ft": 2, "width_ft": 8},
        {"kind": "door", "wall": "east", "at_ft": 3, "width_ft": 5, "leads_to": "closet"},
        {"kind": "cabinet", "wall": "south", "at_ft": 5, "width_ft": 7, "work_surface": True},
        {"kind": "door", "wall": "west", "at_ft": "4 in", "width_ft": "2 ft 8 in"},
    ],
}


def test_demo_room_1_has_three_spaces_and_needs_six() -> None:
    """10.5, 18.0 and 24.5 ft: 1 + 2 + 3 = 6 (trade notes, demo house, room 1)."""
    got = results(**FAMILY_ROOM)
    assert [got[f"wall_space_in[wall space {n}]"] / 12 for n in (1, 2, 3)] == [10.5, 18.0, 24.5]
    assert [got[f"fewest_in_space[wall space {n}]"] for n in (1, 2, 3)] == [1, 2, 3]
    assert (got["spaces"], got["fewest_needed"]) == (3, 6)


def test_demo_room_1_with_five_has_one_gap_on_the_glass() -> None:
    """24 ft 0 in to 24 ft 6 in of the third space is north wall, 8 ft 6 in to 9 ft 0 in from the west corner."""
    s = sheet(**FAMILY_ROOM, outlets=FIVE)
    where = "wall space 3: north wall, 8 ft 6 in to 9 ft 0 in from the west corner"
    assert s.results[f"gap_in[{where}]"] == 6
    assert (s.results["provided"], s.results["gaps"], s.passes) == (5, 1, False)
    assert failing(s) == {"wall_reach[wall space 3]"}
    assert remedy(s, "wall_reach[wall space 3]") == "add a receptacle at north wall, 5 ft 6 in from the west corner"


def test_a_receptacle_on_glass_is_one_in_the_floor() -> None:
    """Where glass is all that is in reach, the sheet says that the box goes in the floor, within 18 in."""
    got = sheet(use="den", walls=box(10, 10), openings=[
        {"kind": "door", "wall": "north", "at_ft": 0, "width_ft": 3}, {"kind": "fixed-glass", "wall": "north", "at_ft": 3, "width_ft": 4},
        {"kind": "door", "wall": "north", "at_ft": 7, "width_ft": 3}, {"kind": "fireplace", "wall": "south", "at_ft": 1, "width_ft": 8},
    ])  # fmt: skip
    assert "(at the fixed glass: in the floor, within 1 ft 6 in of it)" in found(got, "placed[wall space 1]")


def test_demo_room_2_needs_four() -> None:
    """38, 24, 11 and 50 in of counter: 1 + 1 + 0 + 2 = 4; the island none in 2023 (trade notes, room 2)."""
    got = results(**KITCHEN)
    assert [got[f"counter_space_in[north counter, space {n}]"] for n in (1, 2, 3)] == [38, 24, 11]
    assert (got["spaces"], got["fewest_needed"]) == (3, 4)


@pytest.mark.parametrize(("edition", "island"), [("2017", 1), ("2020", 2), ("2023", 0), ("2026", 0)])
def test_the_demo_island_by_edition(edition: str, island: int) -> None:
    """18 ft2: one in 2017, two in 2020, none but a provision from 2023 (trade notes, receptacle slip 9)."""
    got = results(edition, **KITCHEN)
    assert got["island_needed[island]"] == island
    assert got["fewest_needed"] == 4 + island


@pytest.mark.parametrize(("edition", "spaces", "need"), [("2017", [184, 276], 4), ("2020", [184, 276], 4),
                                                         ("2023", [184, 276], 4), ("2026", [96, 4, 276], 3)])  # fmt: skip
def test_demo_room_3_by_edition(edition: str, spaces: list[int], need: int) -> None:
    """23.0 and 15.33 ft: four with the built-in desk as wall; in 2026 the desk breaks it and three are enough."""
    got = results(edition, **BEDROOM)
    assert [got[f"wall_space_in[wall space {n}]"] for n in range(1, len(spaces) + 1)] == spaces
    assert got["fewest_needed"] == need


@pytest.mark.parametrize(
    ("slip", "wrong", "right", "room"),
    [
        ("perimeter over 12 ft", 5, 6, FAMILY_ROOM),  # 64 / 12 rounds down to 5
        ("an average of one per 4 ft of counter", 3, 4, KITCHEN),
        ("the desk breaks the wall", 3, 4, BEDROOM),
    ],
)
def test_slips_of_the_trade_notes_differ_from_ours(slip: str, wrong: int, right: int, room: dict[str, Any]) -> None:
    assert results(**room)["fewest_needed"] == right != wrong


def test_slip_glass_left_out_or_the_stub_dropped() -> None:
    """The 3 ft of fixed glass and the 1.5 ft stub that turns the corner belong to the 24.5 ft."""
    without_glass = [o | {"kind": "door"} if o["kind"] == "fixed-glass" else o for o in FAMILY_ROOM["openings"]]
    got = results(**{**FAMILY_ROOM, "openings": without_glass})
    assert got["wall_space_in[wall space 3]"] == 21.5 * 12
    assert got["fewest_in_space[wall space 3]"] == 2
    stub = [o | {"width_ft": 4.5} if o["kind"] == "cased-opening" else o for o in FAMILY_ROOM["openings"]]
    assert results(**{**FAMILY_ROOM, "openings": stub})["fewest_in_space[wall space 3]"] == 2


# ---- walls


def wall(feet: float, **more: Any) -> dict[str, Any]:
    """A wall of so many feet between two doors."""
    doors = [{"kind": "door", "at_ft": 0, "width_ft": 3}, {"kind": "door", "at_ft": 3 + feet, "width_ft": 3}]
    return {"use": "den", "walls": [{"name": "all", "length_ft": 6 + feet}], "openings": doors, **more}


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("feet", "need"), [(1.99, 0), (2, 1), (12, 1), (12.01, 2), (24, 2), (24.01, 3)])
def test_a_wall_between_doors(edition: str, feet: float, need: int) -> None:
    assert results(edition, **wall(feet))["fewest_needed"] == need


@pytest.mark.parametrize(
    ("kind", "breaks"),
    [("door", True), ("cased-opening", True), ("garage-door", True), ("slider", True), ("fireplace", True), ("bookcase", True),
     ("cabinet", True), ("window", False), ("fixed-glass", False)],
)  # fmt: skip
def test_what_breaks_a_wall(kind: str, breaks: bool) -> None:
    opening = {"kind": kind, "at_ft": 12, "width_ft": 3}
    room = wall(20)
    got = results(**{**room, "openings": [*room["openings"], opening]})
    assert got["spaces"] == (2 if breaks else 1)


@pytest.mark.parametrize(("edition", "use", "spaces"), [
    ("2017", "den", 1), ("2020", "den", 1), ("2023", "den", 1), ("2026", "den", 2), ("2017", "kitchen", 2), ("2023", "kitchen", 2),
])  # fmt: skip
def test_a_cabinet_with_a_work_surface(edition: str, use: str, spaces: int) -> None:
    """Wall from 2017 to 2023, a break in 2026; base cabinets of a kitchen break it as offices read it, and that is said."""
    desk = {"kind": "cabinet", "at_ft": 9, "width_ft": 6, "work_surface": True}
    room = wall(20)
    s = sheet(edition, **{**room, "use": use, "openings": [*room["openings"], desk]})
    assert s.results["spaces"] == spaces
    assert any("Base cabinets" in text for _, text in s.remarks) == (use == "kitchen" and edition != "2026")


def test_railings_and_dividers_are_wall_and_an_open_side_is_none() -> None:
    for kind, spaces in (("railing", 1), ("divider", 1), ("open", 2)):
        walls = box(10, 10)
        walls[1]["kind"] = kind
        doors = [{"kind": "door", "wall": "west", "at_ft": 3, "width_ft": 3}]
        assert results(use="den", walls=walls, openings=doors)["spaces"] == spaces, kind


def test_a_divider_in_2026_has_a_caution_about_its_counter() -> None:
    walls = box(10, 10)
    walls[1]["kind"] = "divider"
    said = {e: " ".join(sheet(e, use="den", walls=walls).cautions) for e in EDITIONS}
    assert [e for e, text in said.items() if "within 24 in below" in text] == ["2026"]


@pytest.mark.parametrize(
    ("outlet", "counts", "why"),
    [
        ({}, True, ""),
        ({"height_in": 66}, True, ""),
        ({"height_in": 66.5}, False, "5 ft 6-1/2 in above the floor"),
        ({"from_wall_in": 18}, True, ""),
        ({"from_wall_in": 18.5}, False, "in the floor, 1 ft 6-1/2 in from the wall"),
        ({"in_cabinet": True}, False, "inside a cabinet"),
        ({"dedicated": True}, False, "for one appliance"),
        ({"switched": "all"}, False, "switched as a whole"),
        ({"switched": "half"}, True, ""),
        ({"at_ft": None}, False, "its place on the wall is not entered"),
        ({"at_ft": 1}, True, ""),  # in the doorway: it counts as a receptacle, but stands in no space
    ],
)
def test_which_receptacles_count(outlet: dict[str, Any], counts: bool, why: str) -> None:
    made = {k: v for k, v in ({"at_ft": 9} | outlet).items() if v is not None}
    s = sheet(**wall(12), outlets=[made])
    assert found(s, "outlets_counted").startswith("1 of 1" if counts else "0 of 1")
    assert why in found(s, "outlets_counted")
    assert s.results["provided"] == (1 if counts and made.get("at_ft") == 9 else 0)
    assert s.passes == (s.results["provided"] == 1)


def test_a_receptacle_that_is_taken_out_no_longer_counts_and_the_wall_is_still_checked() -> None:
    """Taking out the last one can't turn a wall that falls short into one that is yet to be wired."""
    s = sheet(**wall(12), outlets=[{"at_ft": 9, "status": "removed"}])
    assert found(s, "outlets_counted").endswith("taken out")
    assert failing(s) == {"space_has_one[wall space 1]"}
    assert "add a receptacle at wall line, 9 ft 0 in" in remedy(s, "space_has_one[wall space 1]")
    gone = [{"status": "removed", "height_in": 40, "purpose": "laundry"}]
    assert failing(sheet(use="laundry", outlets=gone)) == {"place_enough[laundry]"}
    bath = sheet(use="bathroom", basins=[{"at_ft": 1, "width_ft": 2}], outlets=[{"at_ft": 4, "status": "removed"}])
    assert failing(bath) == {"basin_has_one[basin 1]"}
    counter = {"name": "north", "length_in": 60, "outlets": [{"at_in": 30, "status": "removed"}]}
    assert sheet(use="kitchen", counters=[counter]).results["gaps"] == 1


def test_service_does_not_cross_a_doorway() -> None:
    """A receptacle just beyond the door serves nothing of the space before it (receptacle slip 4)."""
    s = sheet(use="den", walls=box(14, 10), openings=[{"kind": "cased-opening", "wall": "north", "at_ft": 7, "width_ft": 3},
              {"kind": "fireplace", "wall": "south", "at_ft": 6, "width_ft": 3}], outlets=[{"wall": "north", "at_ft": 10}])  # fmt: skip
    assert s.results["provided"] == 1
    assert "space_has_one[wall space 2]" in failing(s)


def test_a_receptacle_to_be_moved_is_named_with_its_place() -> None:
    s = sheet(**wall(12), outlets=[{"at_ft": 5}])
    assert remedy(s, "wall_reach[wall space 1]").startswith(
        "move R1 to wall line, 9 ft 0 in from where it begins; or add"
    )


def test_rooms_without_the_wall_rule() -> None:
    """A hall, a bathroom and a closet have no spacing along their walls (RC-03)."""
    walls = [{"name": "all", "length_ft": 40}]
    assert "spaces" not in results(use="hall", hall_length_ft=20, walls=walls)
    assert "spaces" not in results(use="bathroom", walls=walls, basins=[{"at_ft": 5, "width_ft": 2}])
    assert "spaces" not in results(use="closet", walls=walls)
    for use in ("basement", "attic"):
        assert "spaces" in results(use=use, finished=True, walls=walls)
        assert (
            "spaces"
            not in sheets(job_of({"use": use, "finished": False, "walls": walls, "storage": True}))["Room 1"].results
        )


@pytest.mark.parametrize("use", ["basement", "attic"])
@pytest.mark.parametrize("edition", EDITIONS)
def test_a_basement_or_attic_of_unknown_finish_is_not_shown(use: str, edition: str) -> None:
    """Nobody said whether it is lived in: neither rule is applied, nothing passes, and the entry is named."""
    s = sheet(edition, use=use, walls=box(12, 12), outlets=[{"wall": "north", "at_ft": 6}], storage=False)
    assert s.status == NOT_SHOWN
    assert [(each.key, each.at) for each in s.unknowns] == [("finished", "rooms[1].finished")]
    assert not {"spaces", "place_needed[unfinished basement]"} & set(s.results)


def test_an_amendment_changes_the_reach(tmp_path: Any) -> None:
    from calc.codebook import open_codebook

    path = tmp_path / "local.toml"
    path.write_text('title = "Local"\ninherits = "2023"\n[rules.wall_reach]\nvalue = 4\n')
    job = job_of(wall(12))
    s = receptacles.work(House(job, open_codebook("2023", [path])))[0]
    assert s.results["fewest_needed"] == 2
    assert s.results["amended"]


# ---- walls that are wrong


def test_walls_that_do_not_close_say_by_how_much_and_are_checked_all_the_same() -> None:
    room = {"use": "den", "walls": box(12, 10)[:3], "outlets": [{"wall": "east", "at_ft": 5}]}
    s = sheet(**room)
    assert any(
        "the end of the south wall is 10 ft 0 in from where the north wall begins" in text for text in s.cautions
    )
    assert s.results["wall_space_in[wall space 1]"] == 34 * 12
    assert s.results["fewest_needed"] == 3
    assert not s.passes


def test_a_small_gap_between_walls_is_a_slip_of_the_tape() -> None:
    walls = box(12, 10)
    walls[2]["length_ft"] = 11.5
    s = sheet(use="den", walls=walls, openings=[{"kind": "door", "wall": "east", "at_ft": 2, "width_ft": 3}])
    assert any(
        "is 6 in from where the north wall begins. They are worked as if they met" in text for text in s.cautions
    )
    assert s.results["spaces"] == 1
    walls[2]["length_ft"] = "11 ft 11 in"
    assert not any("don't close" in text for text in sheet(use="den", walls=walls).cautions)


def test_an_l_shaped_room_closes_by_its_turn_to_the_left() -> None:
    sides = [(20, 90), (8, 90), (8, -90), (6, 90), (12, 90), (14, 90)]
    walls = [{"name": str(n), "length_ft": ft, "turn_deg": turn} for n, (ft, turn) in enumerate(sides, 1)]
    assert not any("don't close" in text for text in sheet(use="den", walls=walls).cautions)
    walls[2]["turn_deg"] = 90
    assert any("may lack its turn of -90" in text for text in sheet(use="den", walls=walls).cautions)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"outlets": [{"wall": "north", "at_ft": 13}]}, "is 13.00, past the end of the wall"),
        ({"openings": [{"kind": "door", "wall": "north", "at_ft": 2, "width_ft": 3},
                       {"kind": "door", "wall": "north", "at_ft": 4, "width_ft": 3}]}, "lies over the door"),
        ({"openings": [{"kind": "door", "wall": "north", "at_ft": 10, "width_ft": 3}]}, "reaches to 13.00 ft"),
    ],
)  # fmt: skip
def test_what_the_job_file_refuses(change: dict[str, Any], said: str) -> None:
    """An outlet off its wall, doors over one another, a door past the end of its wall."""
    with pytest.raises(JobError, match=said):
        job_of({"use": "den", "walls": box(12, 10), **change})


@pytest.mark.parametrize(
    ("room", "said"),
    [
        ({"use": "hall"}, "hall_length_ft"),
        ({"use": "garage"}, "vehicle_bays"),
        ({"use": "foyer"}, "floor_area_ft2"),
        ({"use": "foyer", "floor_area_ft2": 80}, "No walls are entered"),
        ({"use": "bathroom"}, "rooms.basins"),
        ({"use": "bathroom", "basins": [{"at_ft": n, "width_ft": 0.5} for n in range(13)]}, "More than 12"),
        ({"use": "kitchen", "counters": [{"name": "island", "kind": "island", "length_in": 60}]}, "depth_in"),
        ({"use": "kitchen", "counters": [{"name": "north", "length_in": 60, "breaks": [
            {"kind": "sink", "at_in": 10, "width_in": 30}, {"kind": "range", "at_in": 30, "width_in": 30}]}]}, "lies over the sink"),
        ({"use": "kitchen", "counters": [{"name": "north", "length_in": 60,
                                          "outlets": [{"at_in": 70, "above_in": 8}]}]}, "past its end at 5 ft 0 in"),
        ({"use": "bathroom", "walls": box(8, 8), "basins": [{"wall": "north", "at_ft": 3, "width_ft": 2}],
          "openings": [{"kind": "slider", "wall": w, "at_ft": 0, "width_ft": 8} for w in ("north", "west", "east", "south")]},
         "no wall for a receptacle"),
    ],
)  # fmt: skip
def test_what_is_refused_and_why(room: dict[str, Any], said: str) -> None:
    s = sheet(**room)
    assert s.refused is not None
    assert said in s.refused.reason
    assert not s.passes


SHORT = [{"name": "all", "length_ft": 1.9}]  # too short for a wall space
NOT_ENTERED: list[tuple[dict[str, Any], set[str]]] = [
    ({"use": "living"}, {"walls"}),
    ({"use": "other"}, {"walls"}),
    ({"use": "basement", "finished": True}, {"walls"}),
    ({"use": "living", "walls": box(12, 12)}, {"outlets"}),
    ({"use": "kitchen", "walls": SHORT}, {"counters"}),
    ({"use": "kitchen", "walls": SHORT, "counters": [{"name": "north", "length_in": 40}]}, {"counters[1].outlets"}),
    ({"use": "bathroom"}, {"basins"}),
    ({"use": "bathroom", "basins": [{"at_ft": 1, "width_ft": 2}]}, {"outlets"}),
    ({"use": "foyer"}, {"floor_area_ft2"}),
    ({"use": "foyer", "floor_area_ft2": 80}, {"walls"}),
    ({"use": "foyer", "floor_area_ft2": 80, "walls": box(10, 8)}, {"outlets"}),
    ({"use": "hall"}, {"hall_length_ft"}),
    ({"use": "hall", "hall_length_ft": 12}, {"outlets"}),
    ({"use": "laundry"}, {"outlets"}),
    ({"use": "garage"}, {"vehicle_bays"}),
    ({"use": "garage", "vehicle_bays": 1}, {"outlets"}),
    ({"use": "garage", "vehicle_bays": 2, "outlets": [{}, {}]}, {"outlets[1].bay"}),
    ({"use": "basement", "finished": False, "storage": False}, {"outlets"}),
    ({"use": "deck"}, {"outlets"}),
    ({"use": "utility"}, {"storage"}),
    ({"use": "attic", "finished": False}, {"storage"}),
    ({"use": "crawl-space", "storage": True}, {"switch_at_entry"}),
    ({"use": "bedroom", "walls": SHORT, "light": None}, {"light"}),
    ({"use": "den", "walls": [{"name": "all", "length_ft": 1.9}], "openings": [{"kind": "slider", "at_ft": 0, "width_ft": 1}]},
     {"openings[1].leads_to"}),
    ({"use": "den", "walls": [{"name": "all", "length_ft": 1.9}],
      "openings": [{"kind": "door", "at_ft": 0, "width_ft": 1, "leads_to": "outdoors"}]}, {"openings[1].outdoor_light"}),
]  # fmt: skip


@pytest.mark.parametrize(("room", "entries"), NOT_ENTERED)
@pytest.mark.parametrize("edition", EDITIONS)
def test_a_room_with_a_rule_to_meet_that_lacks_the_entry_is_not_shown(
    edition: str, room: dict[str, Any], entries: set[str]
) -> None:
    """Each rule that a room's use brings names the entry without which it can't be decided; nothing passes before."""
    named = {key: value for key, value in room.items() if value is not None}
    job = job_of(named, edition=edition)
    if "light" in room:
        job = job_of({**named, "light": "none"}, edition=edition)
        job = make_job({**job.data, "rooms": [{k: v for k, v in job.data["rooms"][0].items() if k != "light"}]})
    s = sheets(job)["Room 1"]
    assert s.status == NOT_SHOWN
    found = {each.at for each in s.unknowns} | ({s.refused.at} if isinstance(s.refused, Missing) else set())
    assert found == {f"rooms[1].{entry}" for entry in entries}
    row = next(row for row in receptacles.tables(House.of(job))[0].rows if row[0] == "Room 1")
    assert row[6] == "NOT SHOWN"


@pytest.mark.parametrize(
    "room",
    [
        {"use": "bedroom", "walls": box(12, 12), "outlets": []},
        {"use": "foyer", "floor_area_ft2": 80, "walls": box(10, 8), "outlets": []},
        {"use": "kitchen", "walls": SHORT, "counters": [{"name": "north", "length_in": 40, "outlets": []}]},
        {"use": "bathroom", "basins": [{"at_ft": 1, "width_ft": 2}], "outlets": []},
        {"use": "hall", "hall_length_ft": 12, "outlets": []},
        {"use": "laundry", "outlets": []},
        {"use": "garage", "vehicle_bays": 1, "outlets": []},
        {"use": "porch", "outlets": []},
    ],
)
def test_a_room_entered_without_receptacles_falls_short(room: dict[str, Any]) -> None:
    """'outlets = []' says that there are none, which is not the same as saying nothing."""
    assert sheet(**room).status == FALLS_SHORT


def test_a_kitchen_without_counters_and_a_toilet_room_without_basin_are_entered_so() -> None:
    """An empty list is an entry: no counter and no basin, so nothing is asked of them."""
    assert sheet(use="kitchen", walls=SHORT, counters=[]).passes
    assert sheet(use="bathroom", basins=[]).passes


@pytest.mark.parametrize("use", ["pantry", "storage", "workshop"])
def test_a_room_without_any_rule_says_so_and_has_no_sheet(use: str) -> None:
    """No rule of receptacles or light is for these rooms: one row in the table, and no verdict."""
    job = job_of({"use": use})
    assert receptacles.work(House.of(job)) == []
    assert receptacles.tables(House.of(job))[0].rows[0][6] == "nothing required"


def test_an_existing_room_of_which_nothing_is_entered_claims_nothing() -> None:
    """What was right when it was installed may stay; nobody is asked for the walls of an old room."""
    job = job_of({"use": "bedroom", "status": "existing"})
    assert all(not s.unknowns for s in receptacles.work(House.of(job)))


# ---- counters


def counter(
    *breaks: dict[str, Any], length: float = 108, outlets: list[dict[str, Any]] | None = None, **more: Any
) -> dict[str, Any]:
    made = {"name": "north", "length_in": length, "breaks": list(breaks), "outlets": outlets or [], **more}
    return {"use": "kitchen", "counters": [made]}


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("length", "need"), [(11.9, 0), (12, 1), (48, 1), (48.1, 2), (96, 2), (96.1, 3)])
def test_a_counter_between_walls(edition: str, length: float, need: int) -> None:
    assert results(edition, **counter(length=length))["fewest_needed"] == need


@pytest.mark.parametrize(
    ("kind", "behind", "corner", "spaces"),
    [
        ("sink", None, False, 2), ("sink", 11.9, False, 2), ("sink", 12, False, 1), ("sink", 17.9, True, 2), ("sink", 18, True, 1),
        ("cooktop", 12, False, 1), ("range", 11, False, 2), ("range", 12, False, 1), ("refrigerator", 20, False, 2), ("other", 20, False, 2),
    ],
)  # fmt: skip
def test_the_space_behind_a_sink_or_a_range(kind: str, behind: float | None, corner: bool, spaces: int) -> None:
    item = {"kind": kind, "at_in": 40, "width_in": 30, "corner": corner}
    assert results(**counter(item if behind is None else item | {"behind_in": behind}))["spaces"] == spaces


@pytest.mark.parametrize(("reading", "need"), [("counted", 5), ("not-counted", 3)])
def test_the_walls_at_the_ends_of_a_counter(reading: str, need: int) -> None:
    """12 ft between walls of 32 in: 208 in over 48 is 5; the back wall alone is 3 (RC-07). The sheet says which was taken."""
    room = counter(length=144, depth_in=32, left_end_in=32, right_end_in=32)
    s = sheet("2017", {"counter_end_walls": reading}, **room)
    assert s.results["fewest_needed"] == need
    assert any(("are counted" if reading == "counted" else "are left out") in text for _, text in s.remarks)


def test_a_receptacle_on_the_wall_at_a_counter_s_end() -> None:
    """It serves from the corner both ways, where the job counts those walls; past the wall it is refused."""
    counter = {"name": "south", "length_in": 30, "left_end_in": 25, "outlets": [{"at_in": 6, "end_wall": "left"}]}
    s = sheet(use="kitchen", counters=[counter])
    assert found(s, "served[south counter, space 1]").startswith(
        "R1 at south counter, on its left end wall, 6 in from the corner, 19 in"
    )
    assert s.results["gap_in[south counter, space 1: south counter, 1 ft 6 in to 2 ft 6 in from its left end]"] == 12
    assert not sheet(readings={"counter_end_walls": "not-counted"}, use="kitchen", counters=[counter]).passes
    past = sheet(use="kitchen", counters=[{**counter, "left_end_in": 4}])
    assert past.refused is not None
    assert "past that wall's 4 in (left_end_in)" in past.refused.reason


@pytest.mark.parametrize(
    ("edition", "outlet", "kind", "counts"),
    [
        ("2023", {"above_in": 20}, "wall", True),
        ("2023", {"above_in": 20.5}, "wall", False),
        ("2023", {"in_counter": True}, "wall", True),
        ("2023", {"above_in": 8, "dedicated": True}, "wall", False),
        ("2017", {"below_in": 12}, "wall", False),
        ("2017", {"below_in": 12}, "island", True),
        ("2020", {"below_in": 12}, "island", True),
        ("2020", {"below_in": 12}, "peninsula", True),
        ("2020", {"below_in": 12.5}, "island", False),
        ("2023", {"below_in": 6}, "island", False),
        ("2026", {"below_in": 30}, "island", False),
    ],
)
def test_which_receptacles_serve_a_counter(edition: str, outlet: dict[str, Any], kind: str, counts: bool) -> None:
    room = counter(length=40, depth_in=30, kind=kind, outlets=[{"at_in": 20, **outlet}], provision=True)
    assert results(edition, **room)["provided"] == (1 if counts else 0)


@pytest.mark.parametrize(("overhang", "counts"), [(6, True), (6.5, False)])
def test_an_overhang_hides_a_receptacle(overhang: float, counts: bool) -> None:
    room = counter(length=40, depth_in=30, kind="island", outlets=[{"at_in": 20, "below_in": 8}], overhang_in=overhang)
    assert results("2020", **room)["provided"] == (1 if counts else 0)


@pytest.mark.parametrize(
    ("long", "short", "need"), [(24, 12, 1), (23.9, 12, 0), (24, 11.9, 0), (12, 24, 1), (96, 36, 1)]
)
def test_islands_of_2017_count_by_their_sides(long: float, short: float, need: int) -> None:
    assert results("2017", **counter(length=long, depth_in=short, kind="island"))["fewest_needed"] == need


@pytest.mark.parametrize(
    ("at", "behind", "need"),
    [(30, 11.9, 2), (30, 12, 1), (23, 11, 1), (24, 11, 2), (48, 11, 2), (49, 11, 1), (30, None, 2)],
)
def test_a_divided_island_of_2017_needs_one_on_each_side_that_is_large_enough(
    at: float, behind: float | None, need: int
) -> None:
    """96 by 20 in with a sink of 24 in: each side counts from 24 in up; what is not entered behind the sink is nothing."""
    sink = {"kind": "sink", "at_in": at, "width_in": 24} | ({} if behind is None else {"behind_in": behind})
    assert results("2017", **counter(sink, length=96, depth_in=20, kind="island"))["fewest_needed"] == need


@pytest.mark.parametrize(("area_ft2", "need"), [(1, 1), (9, 1), (9.01, 2), (27, 2), (27.01, 3), (45, 3), (45.01, 4)])
def test_islands_of_2020_count_by_area(area_ft2: float, need: int) -> None:
    assert results("2020", **counter(length=area_ft2 * 4, depth_in=36, kind="island"))["fewest_needed"] == need


@pytest.mark.parametrize(("edition", "fails"), [("2017", False), ("2020", True), ("2023", False), ("2026", False)])
def test_the_outer_end_of_a_peninsula_is_a_rule_of_2020(edition: str, fails: bool) -> None:
    """A peninsula of 84 in with a receptacle 40 in from its outer end, where 2020 asks for 24."""
    room = counter(length=84, depth_in=15, kind="peninsula", outlets=[{"at_in": 44, "above_in": 5}], provision=True)
    assert ("peninsula_end_served[north]" in failing(sheet(edition, **room))) == fails


@pytest.mark.parametrize(("at", "passes"), [(60, True), (59.5, False)])
def test_the_outer_end_is_served_from_2_ft(at: float, passes: bool) -> None:
    room = counter(length=84, depth_in=15, kind="peninsula", outlets=[{"at_in": at, "above_in": 5}])
    assert ("peninsula_end_served[north]" not in failing(sheet("2020", **room))) == passes


@pytest.mark.parametrize(("edition", "provision", "passes"), [("2023", True, True), ("2023", False, False), ("2026", False, False),
                                                              ("2023", None, None), ("2020", False, False)])  # fmt: skip
def test_an_island_without_a_receptacle(edition: str, provision: bool | None, passes: bool | None) -> None:
    """Since 2023 a provision is enough; where neither is entered that is not shown."""
    more = {} if provision is None else {"provision": provision}
    island = {"name": "island", "kind": "island", "length_in": 60, "depth_in": 30, **more}
    wall_counter = {"name": "north", "length_in": 40, "outlets": [{"at_in": 20, "above_in": 8}]}
    s = sheet(edition, use="kitchen", counters=[wall_counter, island])
    asked = [each.at for each in s.unknowns if each.key == "island_ready_enough[island]"]
    assert asked == (["rooms[1].counters[2].provision"] if passes is None else [])
    assert (failing(s) == set()) == (passes is not False)


@pytest.mark.parametrize(
    ("edition", "below", "fails"), [("2023", 10, False), ("2026", 23.9, True), ("2026", 24, False)]
)
def test_the_space_below_a_counter_in_2026(edition: str, below: float, fails: bool) -> None:
    room = counter(length=60, depth_in=30, kind="island", outlets=[{"at_in": 20, "below_in": below}], provision=True)
    assert ("clear_below[north, receptacle 1]" in failing(sheet(edition, **room))) == fails


def test_counters_elsewhere_are_not_worked_and_that_is_said() -> None:
    s = sheet(use="office", light="wall-switched", counters=[{"name": "desk", "length_in": 90}])
    assert "fewest_needed" not in s.results
    assert any("counters in this room are not worked" in text for text in s.cautions)


# ---- places with a count of their own

HOUSE = {"dwelling": {"kind": "one-family", "floor_area_ft2": 2000}}
FLATS = {"dwelling": {"kind": "multifamily", "units": [{"name": "Flats", "count": 4, "floor_area_ft2": 800}]}}


@pytest.mark.parametrize(("feet", "need"), [(9.99, 0), (10, 1), (30, 1)])
def test_halls(feet: float, need: int) -> None:
    assert results(use="hall", hall_length_ft=feet)["fewest_needed"] == need
    assert sheet(use="hall", hall_length_ft=feet, outlets=[{"dedicated": True}]).passes == (need == 0)


@pytest.mark.parametrize(("area", "need"), [(60, None), (60.1, 2)])
def test_foyers(area: float, need: int | None) -> None:
    """Above 60 ft2, one in each wall space of 3 ft or more; glass beside the door that reaches the floor is no wall."""
    openings = [
        {"kind": "cased-opening", "wall": "north", "at_ft": 1, "width_ft": 6},
        {"kind": "door", "wall": "south", "at_ft": 2, "width_ft": 3},
        {"kind": "fixed-glass", "wall": "south", "at_ft": 5, "width_ft": 1},
    ]
    room = {"use": "foyer", "floor_area_ft2": area, "walls": box(8, 8), "openings": openings}
    got = results(**room)
    assert got.get("fewest_needed") == need
    if need:
        assert [got[f"wall_space_in[wall space {n}]"] for n in (1, 2)] == [132, 132]
        s = sheet(**room, outlets=[{"wall": "east", "at_ft": 4}])
        assert failing(s) == {"space_has_one[wall space 2]"}


@pytest.mark.parametrize(("feet", "need"), [(2.9, 0), (3, 1)])
def test_a_foyer_wall_counts_from_3_ft(feet: float, need: int) -> None:
    walls = [{"name": "all", "length_ft": 9 + feet}]
    openings = [
        {"kind": "door", "at_ft": 0, "width_ft": 5},
        {"kind": "cased-opening", "at_ft": 5 + feet, "width_ft": 4},
    ]
    got = results(use="foyer", floor_area_ft2=70, walls=walls, openings=openings)
    assert (got["spaces"], got["fewest_needed"]) == (need, need)


@pytest.mark.parametrize(("gap_in", "passes"), [(36, True), (36.5, False)])
def test_a_basin_and_its_receptacle(gap_in: float, passes: bool) -> None:
    room = {"use": "bathroom", "basins": [{"at_ft": 5, "width_ft": 2}]}
    assert sheet(**room, outlets=[{"at_ft": 7 + gap_in / 12}]).passes == passes
    assert sheet(**room, outlets=[{"at_ft": 5 - gap_in / 12}]).passes == passes


def test_a_basin_is_served_around_a_corner_and_past_the_start_of_the_line() -> None:
    room = {"use": "bathroom", "walls": box(8, 6), "basins": [{"wall": "north", "at_ft": 0.5, "width_ft": 2}]}
    s = sheet(**room, outlets=[{"wall": "west", "at_ft": 4}])
    assert s.results["basin_to_receptacle_in[basin 1]"] == 30
    assert s.passes


def test_one_receptacle_between_two_basins_is_enough_when_both_are_near() -> None:
    basins = [{"at_ft": 1, "width_ft": 1.5}, {"at_ft": 7, "width_ft": 1.5}]
    got = results(use="bathroom", basins=basins)
    assert got["fewest_needed"] == 1
    far = [basins[0], {"at_ft": 9, "width_ft": 1.5}]
    assert results(use="bathroom", basins=far)["fewest_needed"] == 2
    s = sheet(use="bathroom", basins=far, outlets=[{"at_ft": 3}])
    assert failing(s) == {"basin_served[basin 2]"}


def test_a_bathroom_receptacle_between_two_doors() -> None:
    """Only the 4 in of wall between two doors are near both basins."""
    basins = [{"at_ft": 0, "width_ft": 1.5}, {"at_ft": "80 in", "width_ft": 1.5}]
    doors = [
        {"kind": "door", "at_ft": "40 in", "width_ft": "6 in"},
        {"kind": "door", "at_ft": "50 in", "width_ft": "30 in"},
    ]
    walls = [{"name": "all", "length_ft": 40}]
    assert results(use="bathroom", walls=walls, basins=basins, openings=doors)["fewest_needed"] == 1
    closed = [{"kind": "door", "at_ft": "40 in", "width_ft": "40 in"}]
    assert results(use="bathroom", walls=walls, basins=basins, openings=closed)["fewest_needed"] == 2


@pytest.mark.parametrize(
    ("outlet", "counts"),
    [({"purpose": "laundry"}, True), ({}, True), ({"dedicated": True}, False), ({"purpose": "laundry", "distance_ft": 6}, True),
     ({"purpose": "laundry", "distance_ft": 6.1}, False)],
)  # fmt: skip
def test_laundries(outlet: dict[str, Any], counts: bool) -> None:
    assert sheet(use="laundry", outlets=[outlet]).passes == counts


@pytest.mark.parametrize(("bays", "outlets", "fails"), [
    (2, [{"bay": 1}, {"bay": 2}], set()),
    (2, [{"bay": 1}, {"bay": 1}], {"place_enough[vehicle bay 2]"}),
    (1, [{}], set()),
    (1, [{"height_in": 66}], set()),
    (1, [{"height_in": 67}], {"place_enough[vehicle bay 1]"}),
    (1, [{"dedicated": True}], {"place_enough[vehicle bay 1]"}),
])  # fmt: skip
def test_each_vehicle_bay_has_a_receptacle(bays: int, outlets: list[dict[str, Any]], fails: set[str]) -> None:
    assert failing(sheet(use="garage", vehicle_bays=bays, outlets=outlets)) == fails


@pytest.mark.parametrize(
    ("edition", "house", "asked"), [("2017", HOUSE, True), ("2017", FLATS, False), ("2020", FLATS, True)]
)
def test_garages_of_flats_by_edition(edition: str, house: dict[str, Any], asked: bool) -> None:
    job = job_of({"use": "garage", "vehicle_bays": 1}, edition=edition, **house)
    assert ("fewest_needed" in sheets(job)["Room 1"].results) == asked


@pytest.mark.parametrize(("edition", "counts"), [("2017", True), ("2020", True), ("2023", False), ("2026", False)])
def test_a_receptacle_for_a_security_system_alone(edition: str, counts: bool) -> None:
    assert (
        sheet(edition, use="basement", finished=False, storage=False, outlets=[{"purpose": "security"}]).passes
        == counts
    )


def test_an_accessory_building_has_one() -> None:
    job = job_of({"use": "workshop", "building": "Shop"}, buildings=[{"name": "Shop", "kind": "workshop"}])
    assert sheets(job)["Room 1"].results["fewest_needed"] == 1
    assert not sheets(job_of({"use": "workshop"})), "a workshop of the house itself has no such rule"


@pytest.mark.parametrize("use", ["balcony", "deck", "porch"])
@pytest.mark.parametrize(("reached", "need"), [(True, 1), (False, 0), (None, 1)])
def test_balconies_decks_and_porches(use: str, reached: bool | None, need: int) -> None:
    more = {} if reached is None else {"reached_from_inside": reached}
    assert results(use=use, **more)["fewest_needed"] == need


@pytest.mark.parametrize(("height", "passes"), [(78, True), (79, False)])
def test_a_balcony_receptacle_is_not_too_high(height: float, passes: bool) -> None:
    assert sheet(use="balcony", reached_from_inside=True, outlets=[{"height_in": height}]).passes == passes


# ---- the house as a whole


def test_one_receptacle_serves_the_front_porch_and_the_front_of_the_house() -> None:
    porch = {"use": "porch", "front_or_back": "front", "reached_from_inside": True, "outlets": [{"height_in": 18}]}
    found_sheets = sheets(
        job_of(porch, {"use": "outdoors", "front_or_back": "back", "outlets": [{"height_in": 18}]}, **HOUSE)
    )
    assert found_sheets["Room 1"].passes
    assert found_sheets["Outdoors"].passes
    alone = sheets(job_of(porch, **HOUSE))["Outdoors"]
    assert failing(alone) == {"place_enough[back of the house]"}


@pytest.mark.parametrize(("house", "need"), [(HOUSE, 2), (FLATS, 1)])
def test_outdoors_by_kind_of_dwelling(house: dict[str, Any], need: int) -> None:
    job = job_of({"use": "outdoors", "outlets": [{"purpose": "front"}]}, **house)
    assert sheets(job)["Outdoors"].results["fewest_needed"] == need


HEAT_PUMP = {"name": "Heat pump", "kind": "heat-pump", "load_va": 4000, "volts": 240}


@pytest.mark.parametrize(
    ("outlet", "why"),
    [
        ({"distance_ft": 25, "load_side": False}, ""),
        ({"distance_ft": 25.1}, "25 ft 1-3/16 in away"),
        ({"distance_ft": 10, "load_side": True}, "fed from behind the disconnect"),
        ({}, "its distance is not entered"),
    ],
)
def test_the_service_receptacle(outlet: dict[str, Any], why: str) -> None:
    job = job_of({"use": "outdoors", "outlets": [{"equipment": "Heat pump", **outlet}]}, loads=[HEAT_PUMP])
    s = sheets(job)["Equipment"]
    assert s.passes == (not why)
    assert why in found(s, "place_counted[Heat pump]")


def test_a_blower_is_equipment_but_baseboard_heat_is_not() -> None:
    loads = [HEAT_PUMP, {"name": "Blower", "kind": "fan", "load_va": 500, "volts": 240, "runs_with": ["Heat pump"]},
             {"name": "Baseboards", "kind": "space-heat", "load_va": 3000, "volts": 240}]  # fmt: skip
    assert sheets(job_of({"use": "attic"}, loads=loads))["Equipment"].results["fewest_needed"] == 2


# ---- lighting


@pytest.mark.parametrize(
    ("edition", "use", "light", "passes"),
    [
        ("2023", "bedroom", "wall-switched", True),
        ("2023", "bedroom", "switched-receptacle", True),
        ("2023", "bedroom", "none", False),
        ("2023", "kitchen", "switched-receptacle", False),
        ("2017", "kitchen", "switched-receptacle", False),
        ("2023", "bathroom", "switched-receptacle", False),
        ("2020", "laundry", "none", None),
        ("2023", "laundry", "none", False),
        ("2023", "laundry", "switched-receptacle", False),
        ("2023", "laundry", "wall-switched", True),
        ("2023", "hall", "switched-receptacle", False),
        ("2023", "hall", "other-control", True),
        ("2023", "garage", "none", False),
    ],
)
def test_a_switched_light(edition: str, use: str, light: str, passes: bool | None) -> None:
    """``None``: the edition asks for none there."""
    needed = {
        "hall": {"hall_length_ft": 5},
        "garage": {"vehicle_bays": 1},
        "bathroom": {"basins": [{"at_ft": 1, "width_ft": 1}]},
    }
    s = sheet(edition, use=use, light=light, **needed.get(use, {}))
    verdicts = {check.key: check.holds.holds for check in s.checks}
    assert verdicts.get("light") == passes


def test_a_light_that_is_not_entered_is_neither_passed_nor_failed() -> None:
    job = job_of(wall(12))
    s = sheets(make_job({**job.data, "rooms": [{k: v for k, v in job.data["rooms"][0].items() if k != "light"}]}))[
        "Room 1"
    ]
    assert not s.checks
    assert "rooms[1].light" in {each.at for each in s.unknowns}


@pytest.mark.parametrize(
    ("door", "verdict"),
    [
        ({"kind": "door", "leads_to": "outdoors", "grade_access": True, "outdoor_light": True}, True),
        ({"kind": "door", "leads_to": "outdoors", "grade_access": True, "outdoor_light": False}, False),
        ({"kind": "slider", "leads_to": "outdoors", "outdoor_light": False}, False),
        ({"kind": "door", "leads_to": "outdoors", "grade_access": False, "outdoor_light": False}, None),
        ({"kind": "garage-door", "leads_to": "outdoors", "grade_access": True, "outdoor_light": False}, None),
        ({"kind": "door", "leads_to": "inside"}, None),
    ],
)
def test_a_light_outside_an_entrance(door: dict[str, Any], verdict: bool | None) -> None:
    """A vehicle door is no entrance (trade notes, row 26)."""
    s = sheet(
        use="garage",
        vehicle_bays=1,
        attached=True,
        walls=box(20, 20),
        openings=[{"wall": "north", "at_ft": 5, "width_ft": 3, **door}],
    )
    verdicts = [check.holds.holds for check in s.checks if check.key.startswith("entrance_light")]
    assert verdicts == ([] if verdict is None else [verdict])


@pytest.mark.parametrize("use", ["attic", "crawl-space", "utility", "basement"])
@pytest.mark.parametrize("reason", ["storage", "equipment", "neither"])
def test_storage_or_equipment_needs_a_light(use: str, reason: str) -> None:
    """Used for storage or with equipment: either is enough (trade notes, row 26)."""
    room = {
        "use": use,
        "finished": False,
        "storage": reason == "storage",
        "light": "none",
        "switch_at_entry": False,
        "light_at_equipment": False,
    }
    loads = [{**HEAT_PUMP, "room": "Room 1"}] if reason == "equipment" else []
    found_sheets = sheets(job_of(room, loads=loads))
    expected = {"storage": {"storage_light", "storage_switch"}, "neither": set(),
                "equipment": {"storage_light", "storage_switch", "equipment_light"}}  # fmt: skip
    got = failing(found_sheets["Room 1"]) if "Room 1" in found_sheets else set()
    assert got == expected[reason]


def test_a_closet_needs_nothing_and_what_is_there_has_rules() -> None:
    plain, lit, wired = (
        sheet(use="clothes-closet", **more)
        for more in ({"light": "none"}, {"light": "wall-switched"}, {"outlets": [{}], "light": "none"})
    )
    for s in (plain, lit, wired):
        assert found(s, "closet") == "neither light nor receptacle is needed"
        assert s.passes
    said = [" ".join(s.cautions) for s in (plain, lit, wired)]
    assert ["410.16" in text for text in said] == [False, True, False]
    assert ["210.12" in text for text in said] == [False, True, True]


def stair(risers: int, *levels: dict[str, Any], **more: Any) -> Any:
    return sheets(
        job_of(stairs=[{"name": "Stair", "risers": risers, "landings": list(levels), "light": True, **more}])
    )["Stair"]


FIRST = {"name": "first floor", "floor_level": True, "switch": True}
SECOND = {"name": "second floor", "floor_level": True, "switch": True}
LANDING = {"name": "landing", "entry": True, "switch": False}


def test_the_demo_stair_lacks_a_switch_at_its_landing() -> None:
    s = stair(14, FIRST, LANDING, SECOND)
    assert (s.results["switches_needed"], s.results["switches_provided"]) == (3, 2)
    assert failing(s) == {"level_switch[landing]"}


@pytest.mark.parametrize(("risers", "fails"), [(6, {"level_switch[second floor]"}), (5, set())])
def test_from_six_risers_on_a_stair_is_switched_at_each_floor(risers: int, fails: set[str]) -> None:
    assert failing(stair(risers, FIRST, SECOND | {"switch": False})) == fails


def test_a_landing_without_a_door_needs_no_switch() -> None:
    turn = {"name": "turn", "floor_level": False, "entry": False, "switch": False}
    assert stair(14, FIRST, turn, SECOND).passes
    assert failing(stair(4, FIRST | {"switch": False}, SECOND | {"switch": False})) == {"stair_switch"}
    assert failing(stair(14, FIRST, SECOND, light=False)) == {"stair_light"}


@pytest.mark.parametrize(
    ("risers", "levels", "at"),
    [
        (14, [{"name": "turn", "switch": True}], "stairs[1].landings[3].floor_level"),
        (14, [{"name": "turn", "floor_level": False, "switch": True}], "stairs[1].landings[3].entry"),
        (14, [{"name": "turn", "entry": True}], "stairs[1].landings[3].switch"),
    ],
)
def test_a_level_of_which_too_little_is_said_is_not_shown(risers: int, levels: list[dict[str, Any]], at: str) -> None:
    """Whether a landing has a door, and a switch, is asked for: left out, it is neither none nor one."""
    s = stair(risers, FIRST, SECOND, *levels)
    assert s.status == NOT_SHOWN
    assert [each.at for each in s.unknowns] == [at]


def test_a_stair_without_levels_is_not_shown() -> None:
    s = stair(14)
    assert s.refused is not None
    assert "stairs.landings" in s.refused.reason


# ---- what is shown


def test_the_plan_shows_marks_gaps_and_what_does_not_count() -> None:
    from calc.families.receptacles.plan import charts

    chart = charts(
        work(
            **FAMILY_ROOM,
            outlets=[
                *FIVE,
                {"wall": "south", "at_ft": 2, "height_in": 70},
                {"wall": "south", "at_ft": 3, "from_wall_in": 10},
            ],
        )
    )[0]
    texts = [shape.text for shape in chart.data.shapes if shape.kind == "text"]
    signs = [shape.sign for shape in chart.data.shapes if shape.kind == "sign"]
    assert {"R1", "R6", "gap 6 in", "space 3: 24 ft 6 in", "slider", "fireplace", "north wall, 18 ft 0 in"} <= set(
        texts
    )
    assert sorted(signs) == ["bars"] * 5 + ["cross", "square bars"]
    assert [text for _, text in chart.data.key] == [
        "receptacle", "receptacle that doesn't count", "receptacle in the floor", "gap: out of reach of every receptacle"]  # fmt: skip
    assert "Out of reach: north wall, 8 ft 6 in to 9 ft 0 in from the west corner." in chart.alt


def test_plans_are_to_scale() -> None:
    """Ends of the walls and places of receptacles on the drawing are those of the room, in feet."""
    from calc.families.receptacles.sketch import Sketch
    from calc.families.receptacles.wall_line import WallLine

    sketch = Sketch(WallLine(work(**FAMILY_ROOM).room))
    assert [sketch.point(at * 12) for at in (0, 18, 32, 50)] == [(0, 0), (18, 0), (18, -14), (0, -14)]
    assert sketch.point(9 * 12, 2.0) == (9, -2)
    assert sketch.point(25 * 12, 1.0) == (17, -7)


@pytest.mark.parametrize("edition", EDITIONS)
def test_every_chart_of_the_sample_rooms_can_be_drawn(edition: str) -> None:
    from calc.job import read_job
    from calc.show.charts import draw
    from tests.everything import ROOT

    job = read_job(ROOT / "tests/samples/rooms.toml")
    code = codebook_for(job, edition)
    drawn = receptacles.charts(House(job, code), receptacles.work(House(job, code)))
    assert len(drawn) > 8
    assert all("<svg" in draw(chart) and chart.alt.endswith(".") for chart in drawn)


def test_the_table_has_a_row_for_each_room_and_says_what_is_short() -> None:
    job = job_of(
        {**FAMILY_ROOM, "name": "Family room", "outlets": FIVE},
        {**KITCHEN, "name": "Kitchen"},
        {"use": "closet", "name": "Closet"},
    )
    table = receptacles.tables(House.of(job))[0]
    rows = {row[0]: row for row in table.rows}
    assert rows["Family room"][2:7] == ["3", "6", "5", "1", "FALLS SHORT"]
    assert rows["Kitchen"][2:7] == ["3", "4", "", "", "NOT SHOWN"]
    assert rows["Closet"][6] == "nothing required"
    assert table.intro == "3 places; falls short: 1, not shown: 1."


def test_editions_differ_only_where_they_should() -> None:
    """The demo house: every result of its rooms that is not about islands or built-in desks is the same in each edition."""
    from calc.job import read_job
    from tests.everything import ROOT

    job = read_job(ROOT / "notebooks/jobs/fernhollow-lot-12.toml")
    by_edition = {e: {s.subject: s.results for s in receptacles.work(House.of(job, e))} for e in EDITIONS}
    for subject in by_edition["2017"]:
        if subject in ("Kitchen", "Bedroom"):
            continue
        plain = [
            {k: v for k, v in by_edition[e][subject].items() if k not in ("unconfirmed", "from_memory", "amended")}
            for e in EDITIONS
        ]
        assert all(other == plain[0] for other in plain), subject


def test_an_island_that_lacks_one_is_a_gap_with_its_place_and_its_rule() -> None:
    """2020 asks two of 18 ft2, one for the first 9 ft2 and one for the next 18: with one, another is to be added."""
    room = counter(length=72, depth_in=36, kind="island", outlets=[{"at_in": 20}])
    s = sheet("2020", **room)
    (check,) = [each for each in s.as_json()["checks"] if each["key"].startswith("island_enough")]
    assert not check["passes"]
    assert check["remedy"].startswith("add 1 at the ")
    assert s.results["gaps"] == 1
    needed = next(line for line in s.as_json()["lines"] if line["key"].startswith("island_needed"))
    old = next(line for line in sheet("2017", **room).as_json()["lines"] if line["key"].startswith("island_needed"))
    assert needed["sections"] == ["210.52(C)(2)"]
    assert old["sections"][0] == "210.52(C)(2) and (C)(3)"


def test_one_receptacle_for_a_security_system_among_others_is_told_by_its_rule() -> None:
    """210.52(G): it never stands for the one of a basement, whatever else is there."""
    outlets = [{"purpose": "security"}, {}]
    alone = sheet("2023", use="basement", finished=False, storage=False, outlets=outlets[1:])
    both = sheet("2023", use="basement", finished=False, storage=False, outlets=outlets)
    rules = [
        {cite.rule for line in s.lines if line.key == "dwelling_kind" for cite in line.cites} for s in (both, alone)
    ]
    assert rules[0] - rules[1] == {"security_outlet"}
