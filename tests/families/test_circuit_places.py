"""Where circuits serve and stand: protection by place, required circuits by room, spaces of a panel, each near its limit."""

from __future__ import annotations

from typing import Any

import pytest

from calc.families.branch_circuits.beside import connected_va
from calc.families.branch_circuits.legs import MOST_BLOCKS, Block, _around, balance
from calc.families.branch_circuits.placing import Entry, laid_out, leg_of
from calc.work import Sheet
from tests.families.runs import failing, job, remedy, run, toml
from tests.families.test_branch_circuits import EDITIONS, HOUSE, PANEL, circuit, load, on, sheet
from tests.families.test_branch_circuits_house import KITCHEN, UNITS, house, many

ROOMS = "".join(
    toml("rooms", name=name, use=use) for name, use in (("Den", "den"), ("Yard", "outdoors"), ("Cellar", "basement"))
)


def asked(s: Sheet, key: str) -> str:
    """What a sheet says of a protection."""
    return str(s.results[key])


# ---- protection by place


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("finished", "says"), [(True, "required"), (False, "not required"), (None, "not known")])
def test_a_basement_has_arc_fault_protection_where_it_is_finished(
    finished: bool | None, says: str, edition: str
) -> None:
    """And where nobody says whether it is, that is asked."""
    rooms = toml("rooms", name="Cellar", use="basement", finished=finished)
    s = sheet(PANEL + rooms + circuit(purpose="general", rooms=["Cellar"], load_va=600), edition=edition)
    assert asked(s, "arc_fault").startswith(says)


@pytest.mark.parametrize(
    ("kind", "connected", "edition", "sink"),
    [
        ("disposer", "cord", "2017", False),
        ("disposer", "cord", "2020", True),
        ("disposer", "cord", "2023", True),
        ("disposer", "hardwired", "2023", False),
        ("compactor", "cord", "2023", False),
    ],
)
def test_what_is_plugged_in_by_the_sink_is_protected(kind: str, connected: str, edition: str, sink: bool) -> None:
    """From 2020 on a receptacle behind a cabinet's door counts with the sink; one without a cord has none."""
    s = sheet(
        PANEL + ROOMS + circuit(rooms=["Den"]) + load(kind, 600, 120, circuit="C", connected_by=connected),
        edition=edition,
    )
    assert ("by the sink" in asked(s, "ground_fault")) is sink


@pytest.mark.parametrize("mine", [True, False])
def test_a_circuit_with_one_receptacle_at_the_counter_is_at_the_counter(mine: bool) -> None:
    """2020: of a kitchen the counter's receptacles are protected; one of several is enough to be there."""
    kitchen = toml("rooms", name="K", use="kitchen") + 'outlets = [{ circuit = "C" }]\n'
    names = ("C", "D") if mine else ("D", "D")
    kitchen += '[[rooms.counters]]\nname = "c"\nlength_in = 90\n'
    kitchen += f'outlets = [{{ at_in = 10, circuit = "{names[0]}" }}, {{ at_in = 50, circuit = "{names[1]}" }}]\n'
    s = sheet(
        PANEL + kitchen + circuit(purpose="general", load_va=600) + circuit(name="D", purpose="general"), edition="2020"
    )
    assert asked(s, "ground_fault").startswith("required") is mine


def test_a_tub_that_moves_water_is_protected_by_its_own_rule() -> None:
    """680.71, in every edition, wherever it stands."""
    for edition in EDITIONS:
        s = on({}, load("hydromassage-tub", 1200, 120, circuit="C", connected_by="hardwired"), edition=edition)
        assert "hydromassage-tub" in asked(s, "ground_fault")


@pytest.mark.parametrize(("rooms", "outdoors"), [(["Den", "Yard"], True), (["Den"], False)])
def test_a_load_of_a_circuit_that_also_serves_the_yard_may_stand_there(rooms: list[str], outdoors: bool) -> None:
    """One place of several that is outdoors is enough where the load names no room."""
    s = sheet(PANEL + ROOMS + circuit(poles=2, rooms=rooms) + load("shop", 2400, circuit="C", connected_by="hardwired"),
              edition="2020")  # fmt: skip
    assert asked(s, "ground_fault").startswith("required") is outdoors


def test_a_circuit_of_no_room_with_a_kitchen_appliance_alone_is_in_the_kitchen() -> None:
    """And a dryer's in the laundry; with other outlets on it nobody knows where those are."""
    for load_on_it, place in ((load("dishwasher", 1200, 120, circuit="C"), "kitchen"),
                              (load("dryer", 700, 120, circuit="C", fuel_burning=True), "laundry")):  # fmt: skip
        assert place in asked(sheet(PANEL + circuit() + load_on_it), "arc_fault")
        more = sheet(PANEL + circuit(outlets=["lighting"]) + load_on_it)
        assert asked(more, "arc_fault").startswith("not known")


@pytest.mark.parametrize(("use", "near"), [("den", True), ("garage", False)])
def test_receptacles_of_an_unprotected_place_are_told_to_mind_the_sink(use: str, near: bool) -> None:
    """Within 6 ft of one they need protection anywhere; where all are protected the hint would be idle."""
    rooms = toml("rooms", name="R", use=use)
    s = sheet(PANEL + rooms + circuit(purpose="general", rooms=["R"], load_va=600))
    assert any("sink" in text for text in s.cautions) is near


def test_a_room_of_a_workshop_is_told_apart_from_one_of_the_house() -> None:
    """Receptacles of a building that nobody lives in are protected; the same use in the house, or in a flat, is not by that."""
    buildings = toml("buildings", name="Barn", kind="workshop") + toml(
        "buildings", name="Flat", kind="accessory-dwelling"
    )
    for building, protected in ((None, False), ("Flat", False), ("Barn", True)):
        room = toml("rooms", name="R", use="workshop", building=building)
        s = sheet(PANEL + buildings + room + circuit(purpose="general", rooms=["R"], load_va=600), edition="2020")
        assert asked(s, "ground_fault").startswith("required") is protected


# ---- conductors of a circuit


def test_a_run_gives_its_circuit_the_ampacity_of_its_own_way() -> None:
    """12 AWG NM in a hot attic, four together: 30 x 0.76 x 0.70 = 16.0 A, where ordinary surroundings leave 20 A."""
    hot = run(role="branch", fed_from="P", feeds="C", volts=120, neutral=None, cable="12/2 NM", location="attic", ambient_f=125,
              cables_bundled=4)  # fmt: skip
    s = sheet(PANEL + circuit(purpose="individual", breaker_a=20) + load("shop", 1800, 120, circuit="C") + hot)
    assert s.results["ampacity_a"] == pytest.approx(30 * 0.76 * 0.70)
    assert sheet(PANEL + circuit(breaker_a=20, cable="12/2 NM")).results["ampacity_a"] == 20


@pytest.mark.parametrize(
    ("keys", "protects"),
    [
        ({"purpose": "general", "load_va": 900}, False),
        ({"purpose": "lighting", "load_va": 900, "outlets": ["lighting"]}, True),
        ({"purpose": "individual", "receptacle_a": 20, "single_receptacle": True, "load_va": 900}, True),
        ({"purpose": "individual", "receptacle_a": 20, "single_receptacle": False, "load_va": 900}, False),
    ],
)
def test_a_breaker_above_the_ampacity_is_not_for_several_receptacles(keys: dict[str, Any], protects: bool) -> None:
    """240.4(B): 16 A of conductor behind 20 A, the next rating up, where no cords are plugged into several outlets."""
    hot = run(role="branch", fed_from="P", feeds="C", volts=120, neutral=None, cable="12/2 NM", location="attic", ambient_f=125,
              cables_bundled=4)  # fmt: skip
    s = sheet(PANEL + ROOMS + circuit(breaker_a=20, rooms=["Den"], **keys) + hot)
    assert ("breaker_protects" not in failing(s)) is protects


def test_the_two_requirements_of_current_are_told_once_where_they_are_alike() -> None:
    """Where nothing lasts both ask for the same amperes of the same wire; where something does they differ."""
    plain = on({}, load("shop", 1800, 120, circuit="C"))
    lasts = on({}, load("shop", 1800, 120, circuit="C", continuous=True))
    keys = [{check.key for check in s.checks} & {"carries_continuous", "carries_load"} for s in (plain, lasts)]
    assert keys == [{"carries_continuous"}, {"carries_continuous", "carries_load"}]


@pytest.mark.parametrize(
    ("cable", "other", "checked"),
    [("12/2 NM", "14/2 NM", True), ("12/2 NM", "12/2 NM", False), ("12/2 NM", "10/2 NM", False)],
)
def test_only_a_smaller_cable_on_the_circuit_is_held_against_its_breaker(cable: str, other: str, checked: bool) -> None:
    """One as large as the circuit needs no look of its own."""
    s = on({"breaker_a": 20, "cable": cable, "other_cables": [other]}, load("shop", 900, 120, circuit="C"))
    assert any(check.key.startswith("other_cable_protected") for check in s.checks) is checked
    assert any(key.startswith("other_cable_protected") for key in failing(s)) is checked


def test_a_larger_breaker_is_a_way_out_up_to_what_the_wire_takes() -> None:
    """18.3 A behind 15 A on 12 AWG: 20 A is just what it takes."""
    s = on({"breaker_a": 15, "cable": "12/2 NM"}, load("shop", 2200, 120, circuit="C"))
    assert remedy(s, "breaker_carries").startswith("a breaker of 20 A, which conductors")


def test_what_is_linked_by_its_name_alone_is_remarked() -> None:
    """A load that names its circuit is not, nor the load for which a circuit is planned."""
    linked = sheet(PANEL + circuit(name="Saw") + load("shop", 900, 120, name="Saw"), "Saw")
    named = sheet(PANEL + circuit(name="Saw") + load("shop", 900, 120, name="Saw", circuit="Saw"), "Saw")
    planned = sheet(PANEL + load("dryer", 5000), "dryer")
    assert [any("taken as on it" in text for _, text in s.remarks) for s in (linked, named, planned)] == [
        True,
        False,
        False,
    ]


def test_a_motor_driven_appliance_goes_by_its_nameplate_and_a_motor_by_its_horsepower() -> None:
    """430.6: a dishwasher of 1/2 hp counts at 1,200 VA, a fan of 1/2 hp at 9.8 A."""
    dish = on({}, load("dishwasher", 1200, 120, circuit="C", motor_hp=0.5))
    fan = on({}, load("fan", 1000, 120, circuit="C", motor_hp=0.5))
    assert (dish.results["load_a"], fan.results["load_a"]) == (10, 9.8)
    assert "motor_limit_a" not in dish.results


# ---- required circuits by room


@pytest.mark.parametrize(
    ("served", "short"),
    [
        (["Bath one", "Bath two"], set()),
        (["Bath one"], {"bathrooms_served"}),
        (["Bath two", "Kitchen"], {"bathrooms_served"}),
    ],
)
def test_every_bathroom_is_on_a_bathroom_circuit_and_no_other_room_is_asked(served: list[str], short: set[str]) -> None:
    """Each that is left out is named; kitchens and removed rooms don't count."""
    rooms = "".join(toml("rooms", name=n, use="bathroom") for n in ("Bath one", "Bath two")) + KITCHEN
    rooms += toml("rooms", name="Old bath", use="bathroom", status="removed")
    s = house(many("bathroom", 1, rooms=served), rooms=rooms)
    assert failing(s) & {"bathrooms_served"} == short
    left = {"Bath one", "Bath two"} - set(served)
    assert all(name in remedy(s, "bathrooms_served") for name in left)
    assert "Kitchen" not in remedy(s, "bathrooms_served") or "Kitchen" not in left


@pytest.mark.parametrize(
    ("first", "second", "asked_for"),
    [(["Kitchen"], ["Kitchen"], True), (["Kitchen"], None, False), (["Kitchen"], ["Pantry"], True)],
)
def test_a_counter_has_two_circuits_where_all_of_them_say_their_rooms(
    first: list[str], second: list[str] | None, asked_for: bool
) -> None:
    """One that names no room may serve any; a circuit to the pantry alone leaves the counter with one."""
    rooms = KITCHEN + toml("rooms", name="Pantry", use="pantry")
    circuits = circuit(name="one", purpose="small-appliance", rooms=first) + circuit(
        name="two", purpose="small-appliance", rooms=second
    )
    s = house(circuits, rooms=rooms)
    keys = {check.key for check in s.checks if check.key.startswith("counter_circuits")}
    assert keys == ({"counter_circuits[Kitchen]"} if asked_for else set())
    assert ("counter_circuits[Kitchen]" in failing(s)) is (second == ["Pantry"])


def test_a_panel_of_no_unit_is_not_asked_what_it_feeds() -> None:
    """Only a unit's panel is for that unit alone; what is wrong on it is named, and what is right is said to be nothing."""
    rooms = toml("rooms", name="Own", use="hall", unit_group="One") + toml("rooms", name="Stair", use="hall")
    own = toml("panels", name="P", spaces=20, unit_group="One")
    plain = sheet(UNITS + PANEL + rooms + circuit(rooms=["Stair"]))
    assert not any(check.key == "no_common_area" for check in plain.checks)
    for room, wrong in (("Own", False), ("Stair", True)):
        s = sheet(UNITS + own + rooms + circuit(rooms=[room]))
        (check,) = [each for each in s.as_json()["checks"] if each["key"] == "no_common_area"]
        assert ("(Stair)" in str(check)) is wrong
        assert "()" not in str(check)


# ---- loads and legs


def test_all_of_a_job_is_connected_as_often_as_units_have_it() -> None:
    """Two units of a 5,000 VA dryer and a house load of 900: 10,900 VA; circuits without a load say their own."""
    text = UNITS + PANEL + load("dryer", 5000) + load("shop", 900, serves="house") + circuit(name="x", load_va=700)
    assert connected_va(job(text)) == 2 * 5000 + 900 + 700
    assert connected_va(job(HOUSE + PANEL + load("dryer", 5000) + circuit(name="x"))) == 5000
    one = text.replace('name = "dryer"', 'name = "dryer"\nunit_group = "One"')
    assert connected_va(job(one)) == 5000 + 900 + 700


@pytest.mark.parametrize(
    ("sums", "wanted", "around"),
    [
        (0b10110, 2, [2, 4]),
        (0b10110, 3, [2, 4]),
        (0b10110, 0, [1]),
        (0b10110, 4, [4]),
        (0b1, 5, [0]),
        (0b10110, -3, [1]),
    ],
)
def test_the_sums_next_to_what_is_wanted(sums: int, wanted: float, around: list[int]) -> None:
    """The one at it or below, and the one above."""
    assert _around(sums, wanted) == around


def test_more_blocks_than_any_panel_takes_stay_or_stand_on_leg_1() -> None:
    """They are not tried."""
    blocks = [Block((str(n),), (), 1.0, now=2 if n == 0 else None) for n in range(MOST_BLOCKS + 1)]
    assert balance(blocks, 0, (200, 200)) == [2, *[1] * MOST_BLOCKS]
    assert sorted(set(balance(blocks[1:], 0, (200, 200)))) == [1, 2]


def entry(name: str, positions: tuple[int, ...] = (), **keys: Any) -> Entry:
    return Entry(name, **{"poles": 1, "neutral_va": 100.0, "between_va": 0.0, "positions": positions, **keys})


@pytest.mark.parametrize(
    ("others", "spot"),
    [((), 7), ((7,), 3), ((3, 7), 4), ((3, 7, 4, 8), 11)],
)
def test_a_half_stands_next_to_the_one_that_stays_and_on_the_other_leg(others: tuple[int, ...], spot: int) -> None:
    """Below it, above it, else in the first space of the other leg; nothing else is put there."""
    stays = entry("L", (5,), stays=True)
    taken = [entry(f"x{n}", (n,), stays=True) for n in others]
    layout = laid_out([*taken, stays, entry("R", partner="L"), entry("free")], 12)
    assert layout.spaces["R"] == (spot,)
    assert leg_of(spot) != leg_of(5)
    assert layout.legs["R"] == (leg_of(spot),)
    assert len({space for spaces in layout.spaces.values() for space in spaces}) == len(layout.spaces)


def test_a_half_whose_partner_stays_on_the_second_leg_is_on_the_first() -> None:
    """The other way about."""
    layout = laid_out([entry("L", (3,), stays=True), entry("R", partner="L")], 12)
    assert (layout.spaces["R"], layout.legs["R"]) == ((5,), (1,))


def test_halves_that_may_stand_anywhere_are_one_above_the_other_each_on_its_leg() -> None:
    """What each is said to be on is where its space is; a two-pole breaker has both spaces and both legs."""
    layout = laid_out(
        [entry("L", neutral_va=900.0, partner="R"), entry("R", partner="L"), entry("W", poles=2), entry("s")], 12
    )
    for half in ("L", "R"):
        assert layout.legs[half] == (leg_of(layout.spaces[half][0]),)
    assert abs(layout.spaces["L"][0] - layout.spaces["R"][0]) == 2
    assert layout.legs["L"] != layout.legs["R"]
    assert layout.legs["W"] == (1, 2)
    assert len(layout.spaces["W"]) == 2


def test_a_feeder_of_which_no_load_is_known_puts_none_on_the_panel() -> None:
    """It takes two spaces all the same; a three-phase one does not stand in a panel of two legs."""
    text = PANEL + toml("panels", name="Sub") + run(name="F", fed_from="P", feeds="Sub", neutral=True, breaker_a=60)
    found = sheet(text + circuit(name="a", positions=[5], load_va=1200), "P").results
    assert (found["spare_spaces"], found["leg_1_va"] + found["leg_2_va"]) == (37, 1200)
    assert found["best_worst_leg_a"] == 10
    three = text.replace("volts = 240", "volts = 208\nphases = 3")
    assert sheet(three + circuit(name="a", load_va=1200), "P").results["spare_spaces"] == 39


def test_spaces_that_are_wanting_are_counted_and_a_stated_label_is_not_asked_for() -> None:
    """Three breakers in two spaces take three; a tandem with the most circuits stated needs no question."""
    s = sheet(toml("panels", name="P", spaces=2) + "".join(circuit(name=f"c{n}", load_va=100) for n in range(3)), "P")
    (check,) = [each for each in s.as_json()["checks"] if each["key"] == "spaces_enough"]
    assert check["text"] == "2 spaces provided, 3 spaces required"
    tandem = circuit(name="a", positions=[1], tandem="a", load_va=500)
    for most, unknown in ((None, {"label_allows"}), (4, set())):
        found = sheet(toml("panels", name="P", spaces=2, circuits_most=most) + tandem, "P")
        assert {each.key for each in found.unknowns} == unknown


# ---- receptacles that are kept for one kind of circuit


COUNTER = "[[rooms.counters]]\nname = 'c'\nlength_in = 50\noutlets = [{ at_in = 20, circuit = 'C' }]\n"


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("use", "outlet", "kept"),
    [
        ("kitchen", COUNTER, "small-appliance"),
        ("dining", "outlets = [{ height_in = 16, circuit = 'C' }]", "small-appliance"),
        ("dining", "outlets = [{ height_in = 16, circuit = 'C', dedicated = true }]", ""),
        ("dining", "outlets = [{ height_in = 16, circuit = 'C', switched = 'half' }]", ""),
        ("dining", "outlets = [{ height_in = 72, circuit = 'C' }]", ""),
        ("dining", "outlets = [{ in_cabinet = true, circuit = 'C' }]", ""),
        ("dining", "outlets = [{ height_in = 16, circuit = 'C', status = 'existing' }]", ""),
        ("basement", "outlets = [{ purpose = 'laundry', circuit = 'C' }]", "laundry"),
        ("garage", "outlets = [{ purpose = 'vehicle-bay', bay = 1, circuit = 'C' }]", "garage"),
        ("garage", "outlets = [{ bay = 1, circuit = 'C' }]", "garage"),
        ("garage", "outlets = [{ circuit = 'C' }]", ""),
        ("bathroom", "outlets = [{ purpose = 'basin', circuit = 'C' }]", "bathroom"),
        ("bathroom", "outlets = [{ purpose = 'other', circuit = 'C' }]", ""),
    ],
)
def test_receptacles_that_a_rule_keeps_for_a_circuit_are_on_no_other(
    use: str, outlet: str, kept: str, edition: str
) -> None:
    """210.11(C), 210.52(B)(1): counters, kitchen walls, basins, laundry and vehicle bays, whatever else is on the circuit."""
    text = PANEL + toml("rooms", name="R", use=use) + outlet + "\n"
    wrong = sheet(text + circuit(purpose="general", rooms=["R"], load_va=600), edition=edition)
    assert {key for key in failing(wrong) if key.startswith("kept")} == (
        {f"kept_for_another[{kept}]"} if kept else set()
    )
    if kept:
        right = sheet(text + circuit(purpose=kept, breaker_a=20, rooms=["R"]), edition=edition)
        assert not {key for key in failing(right) if key.startswith(("kept", "places"))}


@pytest.mark.parametrize(("edition", "open_to", "short"), [("2017", 0, 1), ("2020", 1, 0), ("2023", 1, 0)])
def test_a_receptacle_of_a_bathroom_that_says_no_purpose_may_be_the_one_at_the_basin(
    edition: str, open_to: int, short: int
) -> None:
    """2017 keeps all of a bathroom's to its circuit; from 2020 those at basins, so that has to be said."""
    room = toml("rooms", name="R", use="bathroom") + "outlets = [{ circuit = 'C' }]\n"
    s = sheet(PANEL + room + circuit(purpose="general", rooms=["R"], load_va=600), edition=edition)
    assert sum(unknown.key.startswith("kept") for unknown in s.unknowns) == open_to
    assert sum(key.startswith("kept") for key in failing(s)) == short


def test_a_bathroom_circuit_stays_in_bathrooms_and_no_required_circuit_has_an_alarm() -> None:
    """210.11(C): no other outlets, in whatever room; an alarm that names the circuit is one."""
    rooms = toml("rooms", name="B", use="bathroom") + toml("rooms", name="G", use="garage")
    bath = circuit(purpose="bathroom", breaker_a=20, rooms=["B"])
    alarm = toml("alarms", room="B", kind="smoke", circuit="C")
    assert not failing(sheet(PANEL + rooms + bath)) & {"places_allowed", "nothing_else"}
    assert "places_allowed" in failing(sheet(PANEL + rooms + bath.replace('["B"]', '["B", "G"]')))
    laundry = circuit(purpose="laundry", breaker_a=20, rooms=["B"])
    assert "nothing_else" in failing(sheet(PANEL + rooms + laundry + alarm))
    assert "nothing_else" not in failing(sheet(PANEL + rooms + laundry))


# ---- what nobody states and what decides


@pytest.mark.parametrize(
    ("keys", "corded", "asked_for"),
    [
        ({"breaker_a": 30, "poles": 2}, True, True),
        ({"breaker_a": 30, "poles": 2}, False, False),
        ({"breaker_a": 20, "poles": 2}, True, False),
        ({"breaker_a": 20, "poles": 2, "single_receptacle": True}, True, True),
        ({"breaker_a": 15, "poles": 2, "single_receptacle": True}, True, False),
        ({"breaker_a": 30, "poles": 2, "receptacle_a": 30}, True, False),
        ({"breaker_a": 30, "poles": 2, "status": "existing"}, True, False),
    ],
)
def test_the_rating_of_a_receptacle_is_asked_for_where_it_decides(
    keys: dict[str, Any], corded: bool, asked_for: bool
) -> None:
    """210.21(B): on 15 and 20 A the common ones may be, alone only the rating of the circuit or more; above it decides."""
    status = "existing" if keys.get("status") else "new"
    dryer = load("dryer", 2000, 240, circuit="C", connected_by="cord" if corded else "hardwired", status=status)
    s = sheet(PANEL + circuit(purpose="individual", cable="10/3", **keys) + dryer)
    assert ("receptacle_large_enough" in {unknown.key for unknown in s.unknowns}) is asked_for


def test_a_circuit_leans_on_nothing_that_nobody_knows_of_its_run() -> None:
    """MC cable in a wet place, its marking not read: neither the run nor the circuit that it feeds passes."""
    text = circuit(poles=2, breaker_a=20, purpose="individual") + load("water-heater", 3000, 240, circuit="C")
    of = {"role": "branch", "feeds": "C", "fed_from": "P", "length_ft": 20, "cable": "12/2 MC", "location": "wet"}
    unread, read = (sheet(PANEL + text + run(**of, **keys)) for keys in ({}, {"marked_for": "wet"}))
    assert "type_fits_place" in {unknown.key for unknown in unread.unknowns}
    assert "type_fits_place" not in {unknown.key for unknown in read.unknowns}


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("kind", "breaker_a"), [("spa", 60), ("pool-pump", 20)])
def test_a_spa_or_a_pool_pump_is_protected_wherever_it_stands(kind: str, breaker_a: int, edition: str) -> None:
    """680.44 and 680.21(C), in each edition, inside a building too."""
    on_it = load(kind, 20 * breaker_a, 240, circuit="C", room="Cellar")
    keys = {"poles": 2, "breaker_a": breaker_a, "purpose": "individual"}
    plain, safe = (
        sheet(PANEL + ROOMS + circuit(**keys, breaker_type=made) + on_it, edition=edition)
        for made in ("standard", "ground-fault")
    )
    assert "ground_fault_provided" in failing(plain)
    assert "ground_fault_provided" not in failing(safe)


@pytest.mark.parametrize(
    ("keys", "alarm", "fits"),
    [
        ({"purpose": "individual", "outlets": ["lighting"]}, False, False),
        ({"purpose": "individual", "outlets": ["receptacles"]}, False, True),
        ({"purpose": "individual", "outlets": ["receptacles"]}, True, False),
        ({"purpose": "small-appliance"}, False, False),
        ({"purpose": "general"}, False, False),
        ({"purpose": "general", "outlets": ["other"], "load_va": 3000}, False, True),
        ({"purpose": "lighting", "outlets": ["other"]}, False, False),
    ],
)
def test_what_is_made_for_one_leg_is_on_no_circuit_of_two_poles(keys: dict[str, Any], alarm: bool, fits: bool) -> None:
    """Lights, alarms and the required receptacle circuits are of 120 V; the halves of a multiwire circuit are two circuits."""
    alarms = toml("rooms", name="R", use="hall") + toml("alarms", room="R", kind="smoke", circuit="C") if alarm else ""
    s = sheet(PANEL + alarms + circuit(poles=2, **{"breaker_a": 20, **keys}))
    assert ("voltage_fits" not in failing(s)) is fits


@pytest.mark.parametrize(
    ("room", "open_to"),
    [
        ({"use": "sunroom", "light": "wall-switched"}, True),
        ({"use": "sunroom", "light": "none"}, False),
        ({"use": "sunroom", "light": "wall-switched", "status": "existing"}, False),
    ],
)
def test_a_room_of_a_new_house_that_no_circuit_serves_is_not_shown(room: dict[str, Any], open_to: bool) -> None:
    """Nobody has said what protects its outlets; with a circuit that names it they are asked after there."""
    text = toml("rooms", name="Den", use="den", light="wall-switched") + toml("rooms", name="R", **room)
    circuits = many("small-appliance", 2), many("laundry", 1), many("bathroom", 1), many("general", 5, rooms=["Den"])
    s = house(*circuits, rooms=text)
    assert ("rooms_served" in {unknown.key for unknown in s.unknowns}) is open_to
    served = house(*circuits[:-1], many("general", 5, rooms=["Den", "R"]), rooms=text)
    assert "rooms_served" not in {unknown.key for unknown in served.unknowns}


@pytest.mark.parametrize(("at_in", "short"), [(10, True), (107, True), (108, False)])
def test_a_receptacle_at_a_bar_within_6_ft_of_its_sink_is_protected(at_in: float, short: bool) -> None:
    """210.8(A): by the counter as it is drawn, from the sink's edge at 35 in; in a room that asks for nothing else."""
    counter = (
        "[[rooms.counters]]\nname = 'bar'\nlength_in = 160\nbreaks = [{ kind = 'sink', at_in = 20, width_in = 15 }]\n"
        f"outlets = [{{ at_in = {at_in}, circuit = 'C' }}]\n"
    )
    text = PANEL + toml("rooms", name="Den", use="den") + counter
    plain, safe = (
        sheet(text + circuit(purpose="general", load_va=600, rooms=["Den"], breaker_type=made))
        for made in ("arc-fault", "dual-function")
    )
    assert ("near_water_protected" in failing(plain)) is short
    assert "near_water_protected" not in failing(safe)
