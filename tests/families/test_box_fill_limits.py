"""Boxes near their limits: counts that multiply, sides of a divided box, pull boxes by the inch, bodies, and the summary."""

from __future__ import annotations

from typing import Any

import pytest

from calc.codebook import editions
from calc.families import box_fill
from calc.families.box_fill.counting import awg
from calc.families.box_fill.summary import tightness
from calc.families.box_fill.volume import marked
from calc.job.read import make_job
from calc.wiring.house import House
from calc.work import FALLS_SHORT, NOT_SHOWN, PASSES, Missing, Sheet
from tests.families.runs import failing, remedy
from tests.families.test_box_fill import DUPLEX_12, SWITCH_14, body, entries, job_of, missing, needs, one, sheets_of

EDITIONS = editions()


def cites(sheet: Sheet, key: str) -> set[str]:
    """The rules that a line or a check rests on."""
    return {cite.rule for made in (*sheet.lines, *sheet.checks) if made.key == key for cite in made.cites}


# ---- counting


@pytest.mark.parametrize(
    ("box", "in3"),
    [
        ({"cables": ["3 x 14/2"]}, 6 * 2.0 + 2.0),
        ({"through": ["2 x 4/0-4/0-2/0-4 Al XHHW-2"]}, None),
        ({"looped": ["3 x 12 THHN"]}, 6 * 2.25),
        ({"through": ["3 x 12 THHN"]}, 3 * 2.25),
        ({"conductors": ["2 x 12 THHN", "3 x 14 THHN"]}, 2 * 2.25 + 3 * 2.0),
        ({"conductors": ["14 THHN"], "pigtails": 5}, 2.0),
        ({"cables": ["14/2"], "devices": [{**SWITCH_14, "count": 3}]}, 2 * 2 + 3 * 4.0 + 2.0),
        ({"cables": ["14/2"], "devices": [SWITCH_14, SWITCH_14]}, 2 * 2 + 2 * 4.0 + 2.0),
        ({"cables": ["14/2", "12/2"], "internal_clamps": "clamps"}, 4 + 4.5 + 2.25 + 2.25),
        ({"cables": ["14/2", "12/2"], "internal_clamps": "none"}, 4 + 4.5 + 2.25),
        ({"cables": ["14/2", "12/2"], "fittings": ["stud"]}, 4 + 4.5 + 2.25 + 2.25),
    ],
)
def test_everything_in_a_box_counts_as_often_as_it_is_there(box: dict[str, Any], in3: float | None) -> None:
    """Each conductor at its own size, a loop twice, a device by its number, clamps and grounds at the largest once."""
    if in3 is None:
        s = one(**box)
        assert s.refused is not None, "so large that volume doesn't decide"
        return
    assert needs(**box) == in3


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("grounds", "quarters"), [(1, 0), (4, 0), (5, 1), (6, 2)])
def test_up_to_four_grounds_count_as_one_and_each_more_as_a_quarter(grounds: int, quarters: int, edition: str) -> None:
    """From 2020 on, at the largest of them; in 2017 all count as one."""
    more = quarters if edition != "2017" else 0
    assert needs(edition, conductors=[f"{grounds} x 14 ground"]) == 2.0 * (1 + more / 4)
    assert needs(edition, conductors=["14 ground", "12 ground"]) == 2.25


def test_the_grounds_of_a_cable_known_from_memory_say_so() -> None:
    """MC is; NM is not."""
    assert "cable_grounds" in cites(one(cables=["12/2 MC"]), "grounds_in3")
    assert "cable_grounds" not in cites(one(cables=["12/2"]), "grounds_in3")


@pytest.mark.parametrize(
    ("wires", "in3"),
    [("4 x 18", 0), ("5 x 18", 1.5), ("4 x 14", 8.0), ("4 x 16", 0), ("6 x 16", 2 * 1.75)],
)
def test_four_thin_wires_of_a_canopy_are_left_out_and_no_more(wires: str, in3: float) -> None:
    """Under 14 AWG; without a canopy all of them count."""
    plain = needs(cables=["14/2"])
    assert needs(cables=["14/2"], canopy=True, fixture_wires=[wires]) == plain + in3
    number, _, size = wires.split()
    each = {"18": 1.5, "16": 1.75, "14": 2.0}[size]
    assert needs(cables=["14/2"], fixture_wires=[wires]) == plain + int(number) * each


def test_sizes_have_their_names() -> None:
    """From 250 on in kcmil."""
    assert [awg(size) for size in ("14", "4/0", "250")] == ["14 AWG", "4/0 AWG", "250 kcmil"]


# ---- volume


@pytest.mark.parametrize(("in3", "text"), [(18.0, "18"), (18.001, "18.01"), (20.25, "20.25"), (0.1 + 0.2, "0.3")])
def test_a_volume_to_mark_is_never_under_what_is_needed(in3: float, text: str) -> None:
    """To the hundredth, upward."""
    assert marked(in3) == text


@pytest.mark.parametrize(("has", "state"), [(18.0, PASSES), (17.99, FALLS_SHORT)])
def test_a_box_that_is_just_large_enough_passes(has: float, state: str) -> None:
    """2 x 14/3 with a device: 18.0 in3; what is left, and how many more go in."""
    s = one(marked_in3=has, cables=["2 x 14/3"], devices=[{"kind": "four-way-switch", "wire": "14"}])
    assert s.status == state
    roomy = one(marked_in3=25.9, cables=["2 x 14/3"], devices=[{"kind": "four-way-switch", "wire": "14"}])
    assert roomy.results["left_in3"] == pytest.approx(7.9)
    assert roomy.results["more_that_fit[14 AWG]"] == 3


@pytest.mark.parametrize("material", ["metal", "nonmetallic"])
def test_a_divider_takes_its_room_from_both_sides_by_their_gangs(material: str) -> None:
    """Three gangs of 32 in3 with a divider of 1/2 in3 in metal, 1 in3 in plastic: a third and two thirds of the rest."""
    sides = [{"name": "a", "gangs": 1, "cables": ["14/2"]}, {"name": "b", "gangs": 2, "cables": ["14/2"]}]
    found = sheets_of(
        [{"name": "box", "marked_in3": 32.0, "gangs": 3, "compartments": sides, "barriers": [{"material": material}]}]
    )
    left = 32 - {"metal": 0.5, "nonmetallic": 1.0}[material]
    assert [s.results["provided_in3"] for s in found] == pytest.approx([left / 3, 2 * left / 3])
    assert [s.results["whole_needed_in3"] for s in found] == pytest.approx([6 * 3 + 32 - left, 9 + 32 - left])


def test_a_side_of_low_voltage_has_no_sheet_and_a_removed_box_none() -> None:
    """The other side has."""
    sides = [{"name": "a", "gangs": 1, "cables": ["14/2"]}, {"name": "b", "gangs": 1, "low_voltage": True}]
    found = sheets_of([{"name": "box", "marked_in3": 32.0, "gangs": 2, "compartments": sides, "barriers": [{"material": "metal"}]},
                       {"name": "gone", "marked_in3": 10, "cables": ["14/2"], "status": "removed"}])  # fmt: skip
    assert [s.subject for s in found] == ["box, side a"]


@pytest.mark.parametrize(
    ("box", "shape"),
    [
        ({"cables": ["3 x 14/2"]}, "square"),
        ({"cables": ["14/2"], "devices": [SWITCH_14]}, "device"),
        ({"cables": ["14/2"], "supports": "luminaire"}, "octagon"),
        ({"cables": ["14/2"], "fixture_wires": ["2 x 18"]}, "octagon"),
        ({"cables": ["14/2"], "canopy": True}, "octagon"),
        ({"cables": ["14/2"], "fittings": ["stud"]}, "octagon"),
        ({"cables": ["14/2"], "devices": [SWITCH_14], "box": "4 x 1-1/2 square"}, "square"),
    ],
)
def test_the_smallest_box_is_of_the_shape_that_suits(box: dict[str, Any], shape: str) -> None:
    """That of the box itself; else an octagon for a light, a device box for a device, a square for splices."""
    s = one(**{"marked_in3": 60.0, **box} if "box" not in box else box)
    assert shape in s.results["smallest_box"]


def test_a_short_box_is_told_every_way_out() -> None:
    """A marked box, a standard one, and a ring on a metal box of the table, as large as what is wanting."""
    s = one(box="4 x 1-1/2 octagon", cables=["3 x 14/2"], internal_clamps="clamps", fixture_wires=["2 x 14"])
    told = remedy(s, "volume_enough")
    short = s.results["required_in3"] - 15.5
    assert f"a box marked {s.results['required_in3']:g} in3" in told
    assert f"a ring or extension marked {short:g} in3" in told
    assert "octagon" in told
    plain = one(marked_in3=10.0, cables=["3 x 14/2"])
    assert "ring" not in remedy(plain, "volume_enough")
    side = [{"name": "a", "gangs": 1, "cables": ["3 x 12/2"]}, {"name": "b", "gangs": 1, "low_voltage": True}]
    (divided,) = sheets_of(
        [{"name": "box", "marked_in3": 20.0, "gangs": 2, "compartments": side, "barriers": [{"material": "metal"}]}]
    )
    assert remedy(divided, "volume_enough").startswith("a side marked")


# ---- pull boxes


@pytest.mark.parametrize(
    ("pull", "walls", "length", "width"),
    [
        ("straight", [("left", "2"), ("right", "2")], 16, None),
        ("straight", [("left", "1-1/4"), ("left", "2")], 16, None),
        ("angle", [("left", "2"), ("bottom", "2")], 12, 12),
        ("angle", [("left", "2"), ("left", "1-1/2"), ("bottom", "1-1/4")], 13.5, 7.5),
        ("angle", [("left", "1-1/2"), ("left", "2"), ("right", "3")], 18, None),
        ("splice", [("left", "2"), ("bottom", "2")], 12, 12),
    ],
)
def test_the_inside_of_a_pull_box(pull: str, walls: list[tuple[str, str]], length: float, width: float | None) -> None:
    """Straight: eight times the largest. At an angle, or spliced: six times the largest of a wall and the others added."""
    made = [{"wall": wall, "trade_size": size} for wall, size in walls]
    for less, short in ((0, set()), (0.25, {"length_enough"})):
        s = one(pull=pull, entries=made, length_in=length - less, width_in=width or 4)
        assert s.results["length_least_in"] == length
        assert s.results.get("width_least_in") == width
        assert failing(s) == short
    if width is not None:
        assert failing(one(pull=pull, entries=made, length_in=length, width_in=width - 0.25)) == {"width_enough"}


def test_raceways_of_one_run_are_six_times_apart_at_an_angle() -> None:
    """Two of 2 in: 12 in, told for each run that has two of them."""
    made = entries(("left", "2"), ("bottom", "2"))
    s = one(pull="angle", entries=[{**each, "run": "feeder"} for each in made], length_in=20, width_in=20)
    assert s.results["apart_in[feeder]"] == 12
    assert any("feeder" in text for text in s.cautions)
    single = one(pull="angle", entries=[{**made[0], "run": "feeder"}, made[1]], length_in=20, width_in=20)
    assert "apart_in[feeder]" not in single.results


# ---- ground and fans


@pytest.mark.parametrize(
    ("cable", "state"), [("12/2 MC", PASSES), ("12/2 MC without ground", FALLS_SHORT), ("12/2 AC", PASSES)]
)
def test_armour_is_a_ground_where_it_is_that_of_ac(cable: str, state: str) -> None:
    """A device in a metal box on MC made without a ground has none."""
    s = one(marked_in3=30.0, cables=[cable], devices=[DUPLEX_12])
    assert s.status == state
    assert ("armour_ground" in cites(s, "device_grounded")) is ("AC" in cable)


@pytest.mark.parametrize(
    ("box", "asked"),
    [
        ({"supports": "fan"}, "fan_box_listed"),
        ({"supports": "luminaire", "mounted": "ceiling"}, "fan_box_ready"),
        ({"mounted": "ceiling"}, "fan_box_ready"),
        ({"mounted": "wall"}, None),
        ({"supports": "luminaire", "mounted": "ceiling", "status": "existing"}, None),
    ],
)
def test_a_box_in_a_ceiling_is_asked_about_a_fan(box: dict[str, Any], asked: str | None) -> None:
    """One that holds a fan must be listed; a new one that could hold one must be ready for it."""
    made = {"name": "box", "room": "R", "marked_in3": 30, "cables": ["14/2"], **box}
    job = make_job(
        {"code": {"edition": "2023"}, "job": {"name": "t"}, "boxes": [made], "rooms": [{"name": "R", "use": "bedroom"}]}
    )
    (s,) = box_fill.work(House.of(job))
    assert {each.key for each in s.unknowns} == ({asked} if asked else set())


# ---- conduit bodies


@pytest.mark.parametrize(("area", "state"), [(1.73, PASSES), (1.72, FALLS_SHORT), (None, NOT_SHOWN)])
def test_a_body_has_twice_the_inside_of_the_larger_conduit(area: float | None, state: str) -> None:
    """1 in EMT: 2 x 0.864 = 1.728 in2 (314.16(C)(1)); of two conduits the larger counts."""
    pipes = [
        {"name": name, "kind": "EMT", "trade_size": size, "holds": ["3 x 8 THHN"]}
        for name, size in (("p", "3/4"), ("q", "1"))
    ]
    box = {"name": "lb", "conduit_body": "ordinary", "joins": ["p", "q"], "through": ["3 x 8 THHN"]}
    box |= {} if area is None else {"area_in2": area}
    job = make_job({"code": {"edition": "2023"}, "job": {"name": "t"}, "raceways": pipes, "boxes": [box]})
    (s,) = box_fill.work(House.of(job))
    assert s.status == state
    assert s.results["body_least_in2"] == pytest.approx(1.728)


def test_a_body_of_which_nothing_is_known_names_the_entry() -> None:
    """What is in it, which raceways it joins, and how large those are."""
    assert isinstance(body(through=[]).refused, Missing)
    assert missing(body(through=[]))[0][1].startswith("boxes[1]")


# ---- the summary


def test_the_table_of_boxes_begins_with_what_is_not_worked_and_the_fullest() -> None:
    """Needs, has and used stand to the right; boxes alike are counted; a box that is over reads more than 100 %."""
    boxes = [
        {"name": "roomy", "marked_in3": 40.0, "cables": ["14/2"]},
        {"name": "full", "marked_in3": 6.0, "cables": ["14/2"], "count": 3},
        {"name": "over", "marked_in3": 5.9, "cables": ["14/2"]},
        {"name": "unknown", "cables": ["14/2"]},
    ]
    job = job_of(boxes)
    (table,) = box_fill.tables(House.of(job))
    assert [row[0] for row in table.rows] == ["unknown", "over", "full (3 alike)", "roomy"]
    assert [row[4].replace("\u00a0", " ") for row in table.rows] == ["", "102 %", "100 %", "15 %"]
    assert [column.align == "right" for column in table.columns] == [n in (2, 3, 4) for n in range(7)]
    assert table.intro.startswith("6 boxes on 4 sheets")
    assert "falls short: 1" in table.intro
    assert any(note.startswith("unknown: ") for note in table.notes)
    sheets = {s.subject: s for s in box_fill.work(House.of(job))}
    assert tightness(sheets["unknown"]) == float("inf")
    assert tightness(sheets["full"]) == 1
    pull = one(pull="straight", length_in=16, entries=entries(("left", "2"), ("right", "2")))
    assert tightness(pull) == 0, "it goes by the inch, and stands after all that goes by volume"


def test_a_note_tells_what_falls_short_besides_the_volume() -> None:
    """A box with room enough and no ground at its device."""
    job = job_of([{"name": "b", "marked_in3": 30.0, "cables": ["12/2 without ground"], "devices": [DUPLEX_12]}])
    (table,) = box_fill.tables(House.of(job))
    assert any("falls short" in note and "cables with a ground" in note for note in table.notes)
    short = job_of([{"name": "b", "marked_in3": 5.0, "cables": ["12/2"]}])
    assert not any("falls short" in note for note in box_fill.tables(House.of(short))[0].notes)


def test_the_chart_groups_what_fills_a_box_and_shows_twelve_at_most() -> None:
    """Conductors, grounds, devices and the rest add up to what is needed; a box of unknown volume is not shown."""
    boxes = [{"name": f"b{n}", "marked_in3": 20.0 + n, "cables": ["14/2"], "devices": [SWITCH_14]} for n in range(13)]
    boxes.append({"name": "unknown", "cables": ["14/2"]})
    house = House.of(job_of(boxes))
    (chart,) = box_fill.charts(house, box_fill.work(house))
    assert [label for label, _, _ in chart.data.rows] == [f"b{n}" for n in range(12)]
    assert all(sum(values) == 10.0 for _, values, _ in chart.data.rows)
    assert len(chart.data.parts) == 3
    (single,) = box_fill.charts(house, [s for s in box_fill.work(house) if s.subject == "b0"])
    assert single.title != chart.title
    assert box_fill.charts(house, []) == []


def test_a_body_says_by_what_it_is_judged_and_a_large_one_asks_for_the_entry_that_is_missing() -> None:
    """By its raceways or its marked volume; from 4 AWG on by a listing, or, where it has none, by its inside."""
    assert (
        body(conduit_body="ordinary", joins=["pipe"], through=["4 x 10 THHN"], area_in2=2)
        .results["body_counts"]
        .startswith("by the raceways")
    )
    spliced = body(conduit_body="ordinary", joins=["pipe"], conductors=["4 x 10 THHN"], area_in2=2, marked_in3=40)
    assert spliced.results["body_counts"].startswith("by its marked volume")
    for listed, at in ((None, "boxes[1].listed_for_conductors"), (False, "boxes[1].pull")):
        given = {} if listed is None else {"listed_for_conductors": listed}
        s = body(conduit_body="ordinary", joins=["pipe"], through=["3 x 2 THHN"], **given)
        assert [each.at for each in s.unknowns] == [at]


def test_lines_of_a_box_are_told_apart_only_where_there_are_several() -> None:
    """A wall with one row is the wall, with two each row has its number; one device has no number beside it."""
    one_row = one(pull="angle", entries=entries(("left", "2"), ("bottom", "2")), length_in=20, width_in=20)
    assert {"angle_in[left]", "angle_in[bottom]"} <= set(one_row.results)
    two = [*entries(("left", "2")), *entries(("left", "1"), row=2), *entries(("bottom", "2"))]
    two_rows = one(pull="angle", entries=two, length_in=20, width_in=20)
    assert {"angle_in[left, row 1]", "angle_in[left, row 2]", "angle_in[bottom]"} <= set(two_rows.results)
    single = next(
        line
        for line in one(cables=["14/2"], devices=[SWITCH_14]).as_json()["lines"]
        if line["key"].startswith("device_in3")
    )
    assert "number" not in single["formula"]


def test_the_table_of_boxes_names_their_rooms() -> None:
    """And metal all the way, as a ground that comes with no wire, is remarked."""
    rooms = [{"name": "Den", "use": "den"}]
    boxes = [
        {
            "name": "b",
            "room": "Den",
            "marked_in3": 30,
            "conductors": ["2 x 12 THHN"],
            "material": "metal",
            "devices": [DUPLEX_12],
        }
    ]
    job = make_job({"code": {"edition": "2023"}, "job": {"name": "t"}, "boxes": boxes, "rooms": rooms})
    (table,) = box_fill.tables(House.of(job))
    assert table.rows[0][:2] == ["b", "Den"]
    (s,) = box_fill.work(House.of(job))
    assert len(s.remarks) == 1
    assert box_fill.needs(job) == []
    assert box_fill.needs(make_job({"code": {"edition": "2023"}, "job": {"name": "t"}}))
