"""Box fill: each counting rule, the demo boxes of the trade notes, an independent count, and what must always hold."""

from __future__ import annotations

import random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.codebook import editions
from calc.families import box_fill
from calc.job import Job
from calc.job.read import make_job
from calc.wiring.house import House
from calc.work import FALLS_SHORT, NOT_SHOWN, PASSES, Missing, Sheet
from tests.drawn import drawn
from tests.oracle.box_fill import provided_in3, random_box, required_sixteenths

DUPLEX_12 = {"kind": "receptacle", "wire": "12"}
SWITCH_14 = {"kind": "switch", "wire": "14"}


def job_of(boxes: list[dict[str, Any]], edition: str = "2023", **readings: str) -> Job:
    code = {"edition": edition, **({"readings": readings} if readings else {})}
    run = {
        "name": "feeder",
        "role": "feeder",
        "fed_from": "utility",
        "volts": 240,
        "material": "copper",
        "calculated_a": 200,
    }
    return make_job({"code": code, "job": {"name": "test"}, "boxes": boxes, "runs": [run]})


def sheets_of(boxes: list[dict[str, Any]], edition: str = "2023", **readings: str) -> list[Sheet]:
    job = job_of(boxes, edition, **readings)
    return box_fill.work(House.of(job))


def one(edition: str = "2023", readings: dict[str, str] | None = None, **box: Any) -> Sheet:
    sheet = sheets_of([{"name": "box", **box}], edition, **(readings or {}))[0]
    sheet.as_json()  # replayed
    return sheet


def needs(edition: str = "2023", readings: dict[str, str] | None = None, **box: Any) -> float:
    return float(one(edition, readings, **box).results["required_in3"])


# ---- the demo boxes, by hand


@pytest.mark.parametrize(
    ("name", "box", "required", "passes"),
    [
        ("B1", {"marked_in3": 18.0, "cables": ["2 x 12/2"], "devices": [DUPLEX_12]}, 15.75, True),
        ("B2", {"marked_in3": 18.0, "cables": ["3 x 12/2"], "devices": [DUPLEX_12]}, 20.25, False),
        ("B3", {"marked_in3": 18.0, "cables": ["14/2", "14/3"], "devices": [{"kind": "three-way-switch", "wire": "14"}]},
         16.0, True),
        ("B4", {"marked_in3": 18.0, "cables": ["2 x 14/3"], "devices": [{"kind": "four-way-switch", "wire": "14"}]},
         18.0, True),
        ("B4 in metal", {"box": "3 x 2 x 3-1/2 device", "cables": ["2 x 14/3"], "internal_clamps": "clamps",
                         "devices": [{"kind": "four-way-switch", "wire": "14"}]}, 20.0, False),
        ("B5", {"marked_in3": 34.0, "gangs": 2, "cables": ["3 x 14/3"],
                "devices": [{"kind": "dimmer", "wire": "14"}, SWITCH_14]}, 28.0, True),
        ("B6", {"marked_in3": 44.0, "gangs": 3, "cables": ["4 x 14/2", "2 x 14/3"],
                "devices": [{**SWITCH_14, "count": 3}]}, 43.0, True),
        ("B7", {"box": "4 x 2-1/8 square", "ring_in3": 3.5, "through": ["3 x 12 THHN"], "looped": ["2 x 12 THHN"],
                "conductors": ["4 x 12 THHN + 12 ground"], "devices": [DUPLEX_12]}, 31.5, True),
        ("B8", {"box": "4-11/16 x 2-1/8 square", "gangs": 2, "cables": ["6/3"], "internal_clamps": "none",
                "devices": [{"kind": "range-receptacle", "wire": "6", "gangs": 2}]}, 37.5, True),
        ("B9", {"box": "4 x 1-1/2 octagon", "cables": ["3 x 14/2"], "internal_clamps": "clamps", "canopy": True,
                "fixture_wires": ["2 x 18"]}, 16.0, False),
        ("B10", {"marked_in3": 15.5, "cables": ["14/2", "14/3"], "fittings": ["stud"]}, 14.0, True),
        ("B10 with hickey", {"marked_in3": 15.5, "cables": ["14/2", "14/3"], "fittings": ["stud", "hickey"]}, 16.0, False),
        ("B11", {"box": "4 x 2-1/8 square", "cables": ["3 x 12/2", "2 x 10/2"], "internal_clamps": "clamps"}, 29.125, True),
        ("B11 with block", {"box": "4 x 2-1/8 square", "cables": ["3 x 12/2", "2 x 10/2"], "internal_clamps": "clamps",
                            "terminal_blocks": ["10"]}, 31.625, False),
    ],
)  # fmt: skip
def test_demo_box(name: str, box: dict[str, Any], required: float, passes: bool) -> None:
    """Trade notes, demo scenario, boxes B1 to B11 (2023)."""
    sheet = one(**box)
    assert (sheet.results["required_in3"], sheet.passes) == (required, passes), name


def test_a_divided_box_has_each_side_pass_alone() -> None:
    """B12: 32.0 in3 with a plastic divider; (32 - 1) / 2 = 15.5 in3 are too few for 15.75."""
    sides = [
        {"name": "left", "cables": ["2 x 12/2"], "devices": [DUPLEX_12]},
        {"name": "right", "low_voltage": True},
    ]
    box = {"marked_in3": 32.0, "gangs": 2, "barriers": [{"material": "nonmetallic"}], "compartments": sides}
    sheet = one(**box)
    assert sheet.subject == "box, side left"
    assert sheet.results["provided_in3"] == 15.5
    assert not sheet.passes
    assert one(**{**box, "barriers": [{"material": "metal"}]}).passes  # (32 - 1/2) / 2 = 15.75: exactly equal


def test_both_sides_of_a_divided_box_have_a_sheet() -> None:
    side = {"cables": ["12/2"], "devices": [DUPLEX_12]}
    box = {"name": "box", "marked_in3": 48.0, "gangs": 3, "barriers": [{"material": "metal"}],
           "compartments": [{"name": "left", "gangs": 1, **side}, {"name": "right", "gangs": 2, **side}]}  # fmt: skip
    left, right = sheets_of([box])
    assert left.results["provided_in3"] == pytest.approx(47.5 / 3)
    assert right.results["provided_in3"] == pytest.approx(47.5 * 2 / 3)


def test_a_marked_divider_takes_its_mark_and_a_marked_side_is_what_its_mark_says() -> None:
    """314.16(A): (32.0 - 0.6) / 2 = 15.7 in3 for the left side; a side with a mark of its own goes by that."""
    box = {"name": "box", "marked_in3": 32.0, "gangs": 2, "barriers": [{"material": "metal", "marked_in3": 0.6}]}
    right = {"name": "right", "cables": ["14/2"], "devices": [SWITCH_14]}
    left = {"name": "left", "cables": ["2 x 12/2"], "devices": [DUPLEX_12]}
    sheets = sheets_of([{**box, "compartments": [left, right]}])
    assert [(s.results["provided_in3"], s.passes) for s in sheets] == [
        (pytest.approx(15.7), False),
        (pytest.approx(15.7), True),
    ]
    marked = sheets_of([{**box, "compartments": [{**left, "volume_in3": 18.0}, {**right, "volume_in3": 9.0}]}])
    assert [(s.results["provided_in3"], s.passes) for s in marked] == [(18.0, True), (9.0, False)], "each side alone"


def test_an_extension_made_as_a_box_of_the_table_adds_that_boxs_volume() -> None:
    """314.16(A): two 4 x 1-1/2 squares, 21.0 + 21.0 in3, and a marked ring of 3.5 on top; another name is refused."""
    box = {"box": "4 x 1-1/2 square", "cables": ["4 x 12/2"]}
    assert one(**box, extension="4 x 1-1/2 square").results["provided_in3"] == 42.0
    assert one(**box, extension="4 x 1-1/2 square", ring_in3=3.5).results["provided_in3"] == 45.5
    unlike = one(**box, extension="4 x 1-3/4 square")
    assert unlike.refused is not None
    assert "nearest: 4 x 1-1/4 square" in unlike.refused.reason


# ---- one rule each


def test_a_yoke_counts_at_the_wire_on_that_device() -> None:
    """Slip 7: two 12/2, two 14/2, clamps, receptacle on 12 and switch on 14 are 30.0, not 30.5."""
    box = {"cables": ["2 x 12/2", "2 x 14/2"], "internal_clamps": "clamps", "devices": [DUPLEX_12, SWITCH_14]}
    assert needs(**box) == 30.0


def test_insulation_and_pigtails_make_no_difference() -> None:
    assert needs(conductors=["6 x 12 THHN", "3 x 12 THW"]) == needs(conductors=["9 x 12"], pigtails=7) == 20.25


@pytest.mark.parametrize(("edition", "in3"), [("2017", 2.25), ("2020", 2.8125), ("2023", 2.8125), ("2026", 2.8125)])
def test_grounds_by_edition(edition: str, in3: float) -> None:
    """Five 12 AWG grounds: one allowance through 2017, one and a quarter from 2020."""
    assert needs(edition, conductors=["5 x 12 ground"]) == in3


@pytest.mark.parametrize(("edition", "in3"), [("2017", 8.0), ("2020", 8.0), ("2023", 10.0), ("2026", 10.0)])
def test_terminal_blocks_by_edition(edition: str, in3: float) -> None:
    """Three 14 AWG and a block on 14 AWG; before 2023 nothing, and the sheet says so."""
    sheet = one(edition, conductors=["4 x 14"], terminal_blocks=["14"])
    assert sheet.results["required_in3"] == in3
    assert any("Terminal blocks" in text for text in sheet.cautions) == (edition < "2023")


def test_isolated_grounds_count_apart_and_say_that_this_is_unconfirmed_from_2020() -> None:
    box = {"conductors": ["12 ground"], "isolated_grounds": ["12"]}
    assert needs("2017", **box) == needs("2020", **box) == 4.5
    assert "unconfirmed" not in one("2017", **box).results
    assert "isolated_grounds_in3" in one("2020", **box).results["unconfirmed"]


def test_a_canopy_lets_leave_out_four_thin_wires_and_their_ground() -> None:
    wires = {"cables": ["14/2"], "canopy": True}
    plain = needs(cables=["14/2"])
    assert needs(**wires, fixture_wires=["4 x 18 + 18 ground"]) == plain
    assert needs(**wires, fixture_wires=["6 x 18"]) == plain + 2 * 1.5
    assert needs(**wires, fixture_wires=["2 x 14"]) == plain + 2 * 2.0, "14 AWG is not under 14"
    assert needs(cables=["14/2"], fixture_wires=["2 x 18 + 18 ground"]) == plain + 2 * 1.5, "no canopy; grounds as one"


def test_moulded_clamps_are_a_stated_choice() -> None:
    box = {"cables": ["14/2"], "internal_clamps": "moulded"}
    plain = one(**box)
    counted = one(readings={"moulded_clamps": "counted"}, **box)
    assert counted.results["required_in3"] - plain.results["required_in3"] == 2.0
    assert "not counted" in plain.as_json()["notes"][0]["text"]
    assert "as the job file asks" in counted.as_json()["notes"][0]["text"]


def test_each_kind_of_fitting_counts_once() -> None:
    assert needs(cables=["14/2"], fittings=["stud", "stud"]) == needs(cables=["14/2"], fittings=["stud"]) == 8.0
    assert needs(cables=["14/2"], fittings=["stud", "hickey"]) == 10.0


def test_a_cable_carries_the_ground_that_it_is_made_with() -> None:
    """8/3 has a 10 AWG ground: 3 x 3.00 + 2.50 (trade notes, row 21)."""
    assert needs(cables=["8/3 with ground"]) == 11.5
    assert needs(cables=["8/3 without ground"]) == 9.0
    assert "from_memory" in one(cables=["12/2 MC"]).results, "the ground of this cable is known from memory only"


def test_ganged_boxes_add_up_but_a_square_does_not() -> None:
    box = {"gangs": 2, "cables": ["2 x 14/2"], "devices": [{**SWITCH_14, "count": 2}]}
    assert one(**box, box="3 x 2 x 2-3/4 device").results["provided_in3"] == 28.0
    assert one(**box, box="4 x 1-1/2 square").results["provided_in3"] == 21.0


@pytest.mark.parametrize(
    "said", ["4 x 2-1/8 octagon", '4" octagonal x 2-1/8"', "4 in x 2-1/8 in round", "4 × 2-1/8 Oct. box"]
)
def test_boxes_go_by_their_trade_names(said: str) -> None:
    assert one(box=said, cables=["14/2"]).results["provided_in3"] == 21.5


def test_fan_needs_a_listed_box() -> None:
    box = {"box": "4 x 2-1/8 octagon", "cables": ["14/2"], "supports": "fan"}
    assert not one(**box, fan_rated=False).passes
    assert one(**box, fan_rated=True).passes
    assert missing(one(**box)) == [("fan_box_listed", "boxes[1].fan_rated")]


def missing(s: Sheet) -> list[tuple[str, str]]:
    """What the sheet can't show, and the entry that it names."""
    found = [(each.key, each.at) for each in s.unknowns]
    if isinstance(s.refused, Missing):
        found.append(("", s.refused.at))
    assert (s.status == NOT_SHOWN) == bool(found), s.status
    return found


def in_room(edition: str, use: str, **box: Any) -> Sheet:
    """A ceiling light's box in a room of that use."""
    rooms = [{"name": "Room", "use": use}]
    light = {"name": "box", "room": "Room", "marked_in3": 20, "cables": ["14/3"], "supports": "luminaire", **box}
    job = make_job({"code": {"edition": edition}, "job": {"name": "test"}, "boxes": [light], "rooms": rooms})
    return box_fill.work(House.of(job))[0]


@pytest.mark.parametrize("edition", ["2020", "2023", "2026"])
def test_a_ceiling_box_where_a_fan_could_hang_is_fit_for_one(edition: str) -> None:
    """Since 2020 in rooms that are lived in: listed for a fan, or framing that can hold one reached through the box."""
    ceiling = {"mounted": "ceiling", "fan_could_hang": True}
    plain = in_room(edition, "bedroom", **ceiling, fan_rated=False, fan_framing=False)
    assert [check.key for check in plain.checks if not check.holds.holds] == ["fan_box_ready"]
    assert in_room(edition, "bedroom", **ceiling, fan_rated=True).passes
    assert in_room(edition, "bedroom", **ceiling, fan_framing=True).passes
    for free in ({"mounted": "wall"}, {"mounted": "ceiling", "fan_could_hang": False}):
        assert in_room(edition, "bedroom", **free).passes
    for use in ("hall", "bathroom", "garage", "clothes-closet"):
        assert in_room(edition, use, **ceiling, fan_rated=False, fan_framing=False).passes
    assert in_room(edition, "kitchen", **ceiling, fan_rated=False, fan_framing=False).status == FALLS_SHORT
    assert in_room(edition, "bedroom", **ceiling, fan_rated=False, fan_framing=False, status="existing").passes


@pytest.mark.parametrize(
    ("use", "box", "at"),
    [
        ("bedroom", {}, "boxes[1].mounted"),
        ("bedroom", {"mounted": "ceiling"}, "boxes[1].fan_could_hang"),
        ("bedroom", {"mounted": "ceiling", "fan_could_hang": True}, "boxes[1].fan_rated"),
        ("bedroom", {"mounted": "ceiling", "fan_could_hang": True, "fan_rated": False}, "boxes[1].fan_framing"),
        ("basement", {"mounted": "ceiling", "fan_could_hang": True}, "rooms[1].finished"),
    ],
)
def test_a_ceiling_box_of_which_too_little_is_said_names_the_entry(use: str, box: dict[str, Any], at: str) -> None:
    """What would decide whether a fan's box is needed is asked for, and nothing passes before."""
    assert missing(in_room("2023", use, **box)) == [("fan_box_ready", at)]


def test_in_2017_the_spare_conductor_decides_and_framing_is_not_enough() -> None:
    """314.27(C) of 2017: listed where a spare, separately switched conductor comes to a place where a fan could hang."""
    ceiling = {"mounted": "ceiling", "fan_could_hang": True, "fan_rated": False, "fan_framing": True}
    assert in_room("2017", "hall", **ceiling, fan_conductors=True).status == FALLS_SHORT
    assert in_room("2017", "bedroom", **ceiling, fan_conductors=False).passes
    assert missing(in_room("2017", "bedroom", **ceiling)) == [("fan_box_ready", "boxes[1].fan_conductors")]


# ---- wide devices, and a ground at each device


@pytest.mark.parametrize(
    ("kind", "cable", "wire", "needed"),
    [
        ("range-receptacle", "6/3", "6", 37.5),  # 3 x 5 + 2 x 2 x 5 + 2.5
        ("dryer-receptacle", "10/3", "10", 20.0),  # 3 x 2.5 + 2 x 2 x 2.5 + 2.5
        ("receptacle", "12/2", "12", 11.25),  # 2 x 2.25 + 2 x 2.25 + 2.25
    ],
)
def test_a_device_whose_gangs_are_left_out_counts_by_its_kind(kind: str, cable: str, wire: str, needed: float) -> None:
    """A range's or dryer's receptacle is wider than 2 in and counts twice for each of its two gangs (314.16(B)(4))."""
    box = {"cables": [cable], "devices": [{"kind": kind, "wire": wire}]}
    assert needs(**box) == needed
    standard = one(**box, marked_in3=1.0).results["smallest_box"]
    assert ("2 gangs" in standard) == (kind != "receptacle" and "device" in standard)


@pytest.mark.parametrize("device", [{"kind": "other", "wire": "14"}, {"kind": "receptacle", "wire": "10"}])
def test_a_device_that_may_be_a_wide_one_has_to_say_so(device: dict[str, Any]) -> None:
    """A receptacle on 10 AWG may be one of 30 A; one gang is not assumed."""
    box = {"marked_in3": 30.0, "cables": ["10/2"]}
    assert missing(one(**box, devices=[device])) == [("", "boxes[1].devices[1].gangs")]
    assert one(**box, devices=[{**device, "gangs": 1}]).passes


@pytest.mark.parametrize(
    ("box", "status"),
    [
        ({"cables": ["12/2"]}, PASSES),
        ({"cables": ["12/2 without ground"]}, FALLS_SHORT),
        ({"cables": ["12/2 without ground", "12/2"]}, FALLS_SHORT),
        ({"cables": ["12/2 AC"]}, PASSES),
        ({"cables": ["12/2 without ground"], "status": "existing"}, PASSES),
        ({"cables": ["12/2 without ground"], "devices": []}, PASSES),
        ({"conductors": ["2 x 12 THHN + 12 ground"], "material": "nonmetallic"}, PASSES),
        ({"conductors": ["2 x 12 THHN"], "material": "metal"}, PASSES),
        ({"conductors": ["2 x 12 THHN"], "material": "nonmetallic"}, NOT_SHOWN),
        ({"conductors": ["2 x 12 THHN"]}, NOT_SHOWN),
    ],
)
def test_a_ground_comes_to_each_new_device(box: dict[str, Any], status: str) -> None:
    """Each cable of a box with devices brings its ground; in a raceway a wire does, or metal all the way."""
    for kind in ("receptacle", "switch", "dimmer"):
        assert one(**{"marked_in3": 30.0, "devices": [{"kind": kind, "wire": "12"}], **box}).status == status


# ---- what is refused


@pytest.mark.parametrize(
    ("box", "said"),
    [
        ({"marked_in3": 18.0}, "No conductor is said to be in this box"),
        ({"marked_in3": 18.0, "internal_clamps": "clamps", "fittings": ["stud"]}, "No conductor is said"),
        ({"cables": ["14/2"]}, "give the volume stamped in it"),
        ({"box": "4 x 2-1/2 octagon", "cables": ["14/2"]}, "nearest: 4 x 2-1/8 octagon"),
        ({"marked_in3": 90.0, "cables": ["4/3"]}, "goes by the pull-box rule"),
        ({"pull": "straight", "entries": [{"wall": "left", "trade_size": "2"}]}, "It needs 16 in"),
    ],
)
def test_refused_with_the_reason(box: dict[str, Any], said: str) -> None:
    sheet = one(**box)
    assert sheet.refused is not None
    assert said in sheet.refused.reason
    assert not sheet.passes


def test_an_entry_that_is_missing_is_named_with_its_place() -> None:
    """What is in the box, its volume, the length of a pull box: not shown, and where to say it."""
    assert missing(one(marked_in3=18.0)) == [("", "boxes[1].cables")]
    assert missing(one(cables=["14/2"])) == [("", "boxes[1].marked_in3")]
    pull = {"pull": "straight", "entries": [{"wall": "left", "trade_size": "2"}]}
    assert missing(one(**pull)) == [("", "boxes[1].length_in")]


def test_a_box_without_volume_still_learns_what_it_needs() -> None:
    results = one(cables=["3 x 12/2"], devices=[DUPLEX_12]).results
    assert (results["required_in3"], results["smallest_box"]) == (20.25, "4 x 1-1/2 square")


# ---- pull boxes


@pytest.mark.parametrize(("size", "deep"), [("4", 2), ("2", 2.5), ("2/0", 3.5), ("4/0", 4), ("350", 5), ("500", 6)])
def test_an_entry_in_the_back_needs_the_bending_space_of_its_conductor(size: str, deep: float) -> None:
    """314.28(A)(2): opposite a cover the distance is that of Table 312.6(A) for one wire to a terminal."""
    back = {"wall": "back", "trade_size": "2", "conductor": size}
    box = {"pull": "angle", "length_in": 20, "width_in": 20, "entries": [back, {"wall": "left", "trade_size": "2"}]}
    assert one(**box, depth_in=deep).passes
    assert one(**box, depth_in=deep - 0.25).status == FALLS_SHORT
    assert missing(one(**box)) == [("depth_enough", "boxes[1].depth_in")]
    box["entries"] = [{"wall": "back", "trade_size": "2"}]
    assert missing(one(**box)) == [("", "boxes[1].entries[1].conductor")]


def entries(*said: tuple[str, str], row: int = 1) -> list[dict[str, Any]]:
    return [{"wall": wall, "trade_size": size, "row": row} for wall, size in said]


def test_pull_boxes_of_the_side_job() -> None:
    """4/0 in 2 in raceway: straight 16 in, angle 12 in (trade notes, side job)."""
    straight = one(pull="straight", length_in=16, entries=entries(("left", "2"), ("right", "2")))
    angle = one(pull="angle", length_in=12, width_in=12, entries=entries(("left", "2"), ("top", "2")))
    assert straight.passes
    assert straight.results["length_least_in"] == 16
    assert angle.passes
    assert (angle.results["length_least_in"], angle.results["width_least_in"]) == (12, 12)


def test_rows_of_a_wall_are_worked_one_by_one() -> None:
    """Row 1: 6 x 3 + 2 = 20; row 2: 6 x 2 + 2 + 2 = 16; not all five together."""
    said = [*entries(("left", "3"), ("left", "2")), *entries(("left", "2"), ("left", "2"), ("left", "2"), row=2)]
    assert one(pull="angle", length_in=20, entries=said).results["length_least_in"] == 20


def test_a_short_pull_box_says_the_size_that_mends_it() -> None:
    check = one(pull="straight", length_in=15, entries=entries(("left", "2"))).as_json()["checks"][0]
    assert not check["passes"]
    assert check["remedy"] == "a box 16 in length inside"


def test_raceways_of_one_run_are_kept_apart_unless_the_pull_is_straight() -> None:
    """314.28(A)(2): six times the larger of the two; in a straight pull nothing is asked for between them."""
    said = [{"wall": wall, "trade_size": size, "run": "feeder"} for wall, size in (("left", "2"), ("top", "3"))]
    angle = one(pull="angle", length_in=18, width_in=18, entries=said)
    assert angle.results["apart_in[feeder]"] == 18
    straight = one(pull="straight", length_in=24, width_in=24, entries=said)
    assert not [key for key in straight.results if key.startswith("apart_in")]


def test_two_entries_in_the_back_are_told_apart() -> None:
    back = [{"wall": "back", "trade_size": "2", "conductor": size} for size in ("4", "4/0")]
    sheet = one(pull="angle", length_in=20, width_in=20, depth_in=4, entries=back)
    assert [key for key in sheet.results if key.startswith("bending_in")] == [
        "bending_in[4 AWG, entry 1 in the back]", "bending_in[4/0 AWG, entry 2 in the back]",
    ]  # fmt: skip
    assert sheet.results["depth_least_in"] == 4


# ---- how entries are told


def test_sizes_are_told_from_the_largest_down_and_the_largest_only_where_there_are_two() -> None:
    mixed = one(marked_in3=40.0, cables=["14/2", "10/2", "12/2"], internal_clamps="clamps")
    allowances = [key for key in mixed.results if key.startswith("allowance")]
    assert [key.partition("[")[2] for key in allowances] == ["10 AWG]", "12 AWG]", "14 AWG]"]
    assert mixed.results["largest_in3_per_conductor"] == 2.5
    assert "largest_in3_per_conductor" not in one(marked_in3=40.0, cables=["14/2"], internal_clamps="clamps").results


def test_devices_and_entries_are_told_by_their_own_number() -> None:
    """The first of two alike has no number, and each entry is named by its place as a person counts it."""
    sheet = one(marked_in3=60.0, gangs=4, cables=["14/2", "12/2"], terminal_blocks=["12", "14"],
                devices=[SWITCH_14, DUPLEX_12, SWITCH_14])  # fmt: skip
    devices = [key for key in sheet.results if key.startswith("device_in3")]
    assert devices == [
        "device_in3[switch on 14 AWG]",
        "device_in3[receptacle on 12 AWG]",
        "device_in3[switch 2 on 14 AWG]",
    ]
    assert {key for key in sheet.results if key.startswith("terminal")} == {
        "terminal_block_in3[1]",
        "terminal_block_in3[2]",
    }
    places = {given["at"] for given in sheet.as_json()["givens"]}
    assert {"boxes[1].cables[1]", "boxes[1].cables[2]"} <= places
    assert "boxes[1].cables[3]" not in places


def test_three_devices_alike_need_a_box_of_three_gangs() -> None:
    sheet = one(marked_in3=10.0, cables=["3 x 14/2"], devices=[{**SWITCH_14, "count": 3}])
    assert sheet.results["smallest_box"] == "3 x 2 x 2 device, 3 gangs"
    assert sheet.results["smallest_ganged_in3"] == 30, "26 in3 are needed"
    alone = one(marked_in3=10.0, cables=["2 x 14/2"], devices=[SWITCH_14])
    assert "smallest_ganged_in3" not in alone.results


def test_where_one_cable_brings_its_ground_by_its_armour_that_rule_is_cited_too() -> None:
    """250.118: the armour of AC cable is a ground; a nonmetallic cable beside it brings a wire of its own."""
    texts = [["AC 12/2", "12/2"], ["12/2"]]
    cited = [
        {cite.rule for check in one(marked_in3=40.0, status="new", cables=said, devices=[DUPLEX_12]).checks
         if check.key == "device_grounded" for cite in check.cites}
        for said in texts
    ]  # fmt: skip
    assert cited == [{"device_ground", "armour_ground"}, {"device_ground"}]


# ---- tables and charts


def test_summary_puts_the_tightest_first() -> None:
    boxes = [
        {"name": "roomy", "marked_in3": 34.0, "cables": ["14/2"], "count": 12},
        {"name": "tight", "marked_in3": 18.0, "cables": ["3 x 12/2"], "devices": [DUPLEX_12]},
        {"name": "unknown", "cables": ["14/2"]},
        {"name": "gone", "cables": ["14/2"], "status": "removed"},
    ]
    job = job_of(boxes)
    table = box_fill.tables(House.of(job))[0]
    assert [row[0] for row in table.rows] == ["unknown", "tight", "roomy (12 alike)"]
    assert [row[5] for row in table.rows] == ["NOT SHOWN", "FALLS SHORT", "passes"]
    assert table.rows[1][6] == "4 x 1-1/2 square"
    assert table.intro.startswith("14 boxes on 3 sheets")


def test_a_box_that_is_over_by_a_hair_never_reads_100_percent() -> None:
    job = job_of([{"name": "over", "marked_in3": 15.7, "cables": ["2 x 12/2"], "devices": [DUPLEX_12]},
                  {"name": "exact", "marked_in3": 15.75, "cables": ["2 x 12/2"], "devices": [DUPLEX_12]}])  # fmt: skip
    rows = box_fill.tables(House.of(job))[0].rows
    assert [(row[4], row[5]) for row in rows] == [("101\u00a0%", "FALLS SHORT"), ("100\u00a0%", "passes")]


def test_the_chart_adds_up_to_the_sheet() -> None:
    box = {"name": "box", "box": "4 x 2-1/8 square", "cables": ["3 x 12/2", "2 x 10/2"], "internal_clamps": "clamps",
           "devices": [DUPLEX_12], "fixture_wires": ["2 x 18"], "isolated_grounds": ["12"]}  # fmt: skip
    job = job_of([box])
    sheets = box_fill.work(House.of(job))
    (label, values, limit) = box_fill.charts(House.of(job), sheets)[0].data.rows[0]
    assert (label, limit) == ("box", 30.3)
    both = job_of([box, {"name": "unknown", "cables": ["14/2"]}])
    charted = box_fill.charts(House.of(both), box_fill.work(House.of(both)))[0].data.rows
    assert [row[0] for row in charted] == ["box"], "a box without a volume has no bar"
    assert sum(values) == pytest.approx(sheets[0].results["required_in3"])


# ---- an independent count, and what must always hold


@pytest.mark.drawn
@pytest.mark.parametrize("edition", ["2017", "2020", "2023"])
def test_random_boxes_agree_with_plain_arithmetic(edition: str) -> None:
    rng = random.Random(314)
    boxes = [random_box(rng, f"box {number}") for number in range(drawn(1000))]
    for box, sheet in zip(boxes, sheets_of(boxes, edition), strict=True):
        results = sheet.results
        assert results["required_in3"] == required_sixteenths(box, edition) / 16, box
        assert results["provided_in3"] == pytest.approx(provided_in3(box))
        assert sheet.passes == (provided_in3(box) + 1e-9 >= required_sixteenths(box, edition) / 16), box
    for sheet in sheets_of(boxes[:50], edition):
        sheet.as_json()  # replayed


SEEDS = st.integers(0, 2**32 - 1)


@settings(max_examples=60, deadline=None)
@given(SEEDS, st.sampled_from(["2017", "2020", "2023"]), st.sampled_from(["1 x 14", "1 x 6", "1 x 12 ground", "1 x 18"]),
       st.sampled_from(["conductors", "through", "looped", "fixture_wires"]))  # fmt: skip
def test_adding_a_conductor_never_frees_volume(seed: int, edition: str, more: str, where: str) -> None:
    box = random_box(random.Random(seed), "box")
    fuller = {**box, where: [*box.get(where, []), more]}
    assert needs(edition, **fuller) >= needs(edition, **box)


@settings(max_examples=100, deadline=None)
@given(SEEDS, st.integers(1, 4))
def test_the_suggested_box_passes_its_own_check(seed: int, gangs: int) -> None:
    box = random_box(random.Random(seed), "box") | {"gangs": gangs}
    said = one(**box).results["smallest_box"]
    if said.startswith("none"):
        stated = {"marked_in3": float(said.partition("marked ")[2].removesuffix(" in3 or more"))}
    else:
        name, _, ganged = said.partition(", ")
        stated = {"box": name, "gangs": int(ganged.partition(" ")[0]) if ganged else gangs}
    rest = {key: value for key, value in box.items() if key not in ("box", "marked_in3", "ring_in3", "gangs")}
    assert one(**rest, **stated).passes
    remedy = one(**box).as_json()["checks"][0]["remedy"]
    assert (remedy == "") == one(**box).passes


@settings(max_examples=60, deadline=None)
@given(SEEDS)
def test_volume_equal_to_need_passes_and_a_hair_less_fails(seed: int) -> None:
    box = {
        k: v for k, v in random_box(random.Random(seed), "box").items() if k not in ("box", "ring_in3", "marked_in3")
    }
    need = needs(**box)
    assert one(**box, marked_in3=need).passes
    assert not one(**box, marked_in3=need - 0.01).passes


# ---- conduit bodies

PIPE = {"name": "pipe", "kind": "EMT", "trade_size": "1", "holds": ["4 x 10 THHN"]}
PASSING = {"conduit_body": "ordinary", "joins": ["pipe"], "through": ["4 x 10 THHN"]}


def body(edition: str = "2023", pipes: int = 1, **box: Any) -> Sheet:
    job = make_job(
        {
            "code": {"edition": edition},
            "job": {"name": "test"},
            "boxes": [{"name": "body", **box}],
            "raceways": [PIPE, *({**PIPE, "name": f"pipe {n}"} for n in range(2, pipes + 1))],
        }
    )
    sheet = box_fill.work(House.of(job))[0]
    sheet.as_json()  # replayed
    return sheet


@pytest.mark.parametrize("edition", editions())
@pytest.mark.parametrize(("area_in2", "passes"), [(1.728, True), (1.727, False)])
def test_a_conduit_body_is_twice_as_large_across_as_its_conduit(edition: str, area_in2: float, passes: bool) -> None:
    """314.16(C)(1): EMT of trade size 1 has 0.864 in2 inside, so the body has 1.728 in2 or more; no volume is asked for."""
    sheet = body(edition, **PASSING, area_in2=area_in2)
    assert sheet.results["body_least_in2"] == pytest.approx(1.728)
    assert (sheet.passes, "required_in3" in sheet.results) == (passes, False)


def test_a_conduit_body_of_which_too_little_is_known_does_not_pass() -> None:
    """Its area, what it joins and what is in it are each asked for by name."""
    unknown = body(**PASSING)
    assert unknown.status == NOT_SHOWN
    assert [each.at for each in unknown.unknowns] == ["boxes[1].area_in2"]
    for left_out, at in (("joins", "boxes[1].joins"), ("through", "boxes[1].through")):
        sheet = body(area_in2=2, **{key: value for key, value in PASSING.items() if key != left_out})
        assert isinstance(sheet.refused, Missing)
        assert sheet.refused.at == at


@pytest.mark.parametrize(("marked_in3", "passes"), [(10.0, True), (9.9, False)])
def test_splices_in_a_conduit_body_are_counted_against_its_marked_volume(marked_in3: float, passes: bool) -> None:
    """314.16(C)(2): four 10 AWG at 2.5 in3 each need 10 in3."""
    spliced = {"conduit_body": "ordinary", "joins": ["pipe"], "area_in2": 2, "conductors": ["4 x 10 THHN"]}
    sheet = body(**spliced, marked_in3=marked_in3)
    assert (sheet.results["required_in3"], sheet.passes) == (10, passes)


@pytest.mark.parametrize("more", [{}, {"box": "4 x 2-1/8 square"}])
def test_no_splice_in_a_conduit_body_without_a_marked_volume(more: dict[str, Any]) -> None:
    """314.16(C)(2): the mark is asked for, and the table of boxes is not for conduit bodies."""
    sheet = body(conduit_body="ordinary", joins=["pipe"], area_in2=2, conductors=["4 x 10 THHN"], **more)
    assert isinstance(sheet.refused, Missing)
    assert sheet.refused.at == "boxes[1].marked_in3"


@pytest.mark.parametrize(
    ("contents", "passes"),
    [
        ({"through": ["3 x 6 THHN"]}, True),
        ({"conductors": ["3 x 6 THHN"]}, False),
        ({"through": ["2 x 12 THHN"], "devices": [SWITCH_14]}, False),
    ],
)
def test_a_short_radius_body_takes_no_splice(contents: dict[str, Any], passes: bool) -> None:
    """314.16(C)(3), whatever volume it is marked with."""
    sheet = body(conduit_body="short-radius", marked_in3=50, **contents)
    assert sheet.passes == passes
    assert "required_in3" not in sheet.results


def test_two_raceways_without_splices_are_worked_by_the_larger() -> None:
    assert body(pipes=2, **{**PASSING, "joins": ["pipe", "pipe 2"]}, area_in2=2).passes


def test_more_than_two_raceways_without_splices_are_not_worked() -> None:
    """Which conduit's fill counts for the body depends on each conductor's way; with splices its volume decides."""
    joins = {"conduit_body": "ordinary", "joins": ["pipe", "pipe 2", "pipe 3"], "area_in2": 2}
    through = body(pipes=3, **joins, through=["4 x 10 THHN"])
    assert through.refused is not None
    assert not isinstance(through.refused, Missing)
    assert body(pipes=3, **joins, marked_in3=20, conductors=["4 x 10 THHN"]).passes


def test_large_conductors_in_a_conduit_body_go_by_the_pull_box_rule() -> None:
    """314.28(A): larger than 6 AWG its length counts, unless it is listed and marked for them; neither is taken for granted."""
    large = {"conduit_body": "ordinary", "through": ["3 x 4 THHN"]}
    assert body(**large).status == NOT_SHOWN
    assert body(**large, listed_for_conductors=False).status == NOT_SHOWN
    assert body(**large, listed_for_conductors=True).passes
    entries = [{"wall": "left", "trade_size": "1"}, {"wall": "right", "trade_size": "1"}]
    for length_in, passes in ((8, True), (7.9, False)):
        assert body(**large, pull="straight", length_in=length_in, entries=entries).passes == passes
    spliced = body(conduit_body="ordinary", conductors=["3 x 4 THHN"], marked_in3=100, listed_for_conductors=True)
    assert spliced.refused is not None
    assert "pull box" in spliced.refused.reason
    assert body(conduit_body="short-radius", through=["3 x 4 THHN"]).refused is not None
