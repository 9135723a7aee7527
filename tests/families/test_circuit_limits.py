"""Branch circuits near their limits: what a circuit carries, its least and its most breaker, what is on it, how it is shown."""

from __future__ import annotations

from typing import Any

import pytest

from calc.families import branch_circuits
from calc.families.branch_circuits import needs
from calc.families.branch_circuits.legs import Block, balance
from calc.families.branch_circuits.schedule import rating
from calc.families.branch_circuits.worked import all_circuits
from calc.wiring.house import House
from calc.work import Sheet
from tests.families.runs import failing, job, remedy, run, toml, worked
from tests.families.test_branch_circuits import EDITIONS, HOUSE, INSIDE, PANEL, circuit, load, on, sheet


def cites(s: Sheet, key: str) -> set[str]:
    """The rules that a line or a check rests on."""
    return {cite.rule for made in (*s.lines, *s.checks) if made.key == key for cite in made.cites}


# ---- what it carries


@pytest.mark.parametrize(
    ("keys", "lasting", "design"),
    [
        ({"load_va": 600}, [True], 5 + 5 * 1.25),  # lights of 5 A beside a load of 5 A that lasts
        ({"load_va": 600}, [False], 10),
        ({}, [True], 5 * 1.25),
        ({}, [True, True], 10 * 1.25),
        ({}, [True, False], 5 + 5 * 1.25),
    ],
)
def test_only_what_lasts_counts_at_125_percent(keys: dict[str, Any], lasting: list[bool], design: float) -> None:
    """Alone, beside others, and beside the circuit's own lights."""
    loads = [load("shop", 600, 120, name=f"L{n}", circuit="C", continuous=c) for n, c in enumerate(lasting)]
    found = on(keys, *loads).results
    assert found["design_a"] == pytest.approx(design)
    assert ("continuous_a" in found) is (design not in (10, 6.25, 12.5))


@pytest.mark.parametrize(
    ("head", "keys", "own"),
    [
        ("", {"purpose": "general", "load_va": 777}, 777),
        ("", {"purpose": "small-appliance"}, 1500),
        ("", {"purpose": "laundry"}, 1500),
        ("", {"purpose": "bathroom"}, 1500),
        ("", {"purpose": "general"}, 1500),
        ('[dwelling]\nkind = "one-family"\n', {"purpose": "general"}, 1500),
        (HOUSE, {"purpose": "general"}, 1620),  # 3,240 x 3 / 6, since 9,720 / 1,800 = 5.4 circuits of 15 A are needed
        (HOUSE, {"purpose": "garage"}, 1500),
        (HOUSE, {"purpose": "lighting", "breaker_a": 10, "outlets": ["lighting"]}, 1200),
    ],
)
def test_the_load_of_a_circuit_of_outlets(head: str, keys: dict[str, Any], own: float) -> None:
    """As stated, by the code's figure, its share of the floor area, all of a 10 A rating, or a figure for balancing."""
    s = sheet(head + PANEL + circuit(**keys))
    assert s.results["load_va"] == pytest.approx(own)


def test_more_general_circuits_than_the_area_needs_share_it() -> None:
    """9,720 VA over eight listed circuits are 1,215 each; one that is taken out shares nothing."""
    eight = "".join(circuit(name=f"G{n}", purpose="lighting" if n % 2 else "general") for n in range(7))
    assert sheet(HOUSE + PANEL + eight + circuit(purpose="general")).results["load_va"] == 1215
    gone = circuit(name="old", purpose="general", status="removed")
    assert sheet(HOUSE + PANEL + eight + gone + circuit(purpose="general")).results["load_va"] == 1215


@pytest.mark.parametrize(
    ("keys", "own"), [({"purpose": "individual"}, 0), ({"purpose": "outdoor"}, 1500), ({"purpose": "general"}, 1500)]
)
def test_a_circuit_of_outlets_has_a_load_besides_what_is_named_on_it(keys: dict[str, Any], own: int) -> None:
    """An individual one has not."""
    assert on(keys, load("shop", 600, 120, circuit="C")).results["load_va"] == 600 + own


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("setting", "locked", "lowered"), [(16, True, True), (16, False, False), (32, True, False), (40, True, False)]
)
def test_a_vehicle_setting_lowers_the_load_where_it_is_locked_and_lower(
    setting: int, locked: bool, lowered: bool, edition: str
) -> None:
    """From 2020 on; a setting that doesn't count is told, one that lowers nothing needs no word."""
    s = on({}, load("ev-supply", 7680, circuit="C", setting_a=setting, setting_locked=locked), edition=edition)
    lowered = lowered and edition != "2017"
    assert s.results["load_a"] == (setting if lowered else 32)
    assert any("setting" in text for _, text in s.remarks) is (setting < 32 and not lowered)


def test_heat_and_its_blower_last_and_gas_heat_does_not() -> None:
    """424.4: electric space heat is continuous, with its fan; a fan alone and a gas furnace are not (the fan is a motor beside it)."""
    heat = load("space-heat", 2400, circuit="C")
    fan = load("fan", 240, circuit="C")
    assert on({}, heat).results["design_a"] == 12.5
    assert on({}, heat, fan).results["design_a"] == 13.75
    assert on({}, fan).results["design_a"] == 1
    gas = load("furnace", 600, 120, circuit="C", fuel_burning=True)
    assert on({}, gas, load("fan", 240, 120, circuit="C")).results["design_a"] == 7 + 0.25 * 2


def test_a_large_tank_is_told_and_a_tankless_heater_cites_its_own_rule() -> None:
    """Above 120 gal a storage heater is not taken as continuous; that choice is a remark."""
    for gallons, told in ((120, False), (121, True)):
        s = on({}, load("water-heater", 4500, circuit="C", tank_gal=gallons))
        assert any("tank" in text.lower() for _, text in s.remarks) is told
        assert ("continuous_water_heater" in cites(s, "design_a")) is not told
    assert "tankless_nameplate" in cites(on({}, load("tankless-water-heater", 9600, circuit="C")), "design_a")
    assert "tankless_nameplate" not in cites(on({}, load("water-heater", 4500, circuit="C")), "design_a")


DISHWASHER = load("dishwasher", 1200, 120, circuit="C")


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("loads", "design"),
    [
        ([DISHWASHER, load("disposer", 1000, 120, circuit="C")], 22 / 1.2 + 0.25 * 10 / 1.2),
        ([DISHWASHER, load("disposer", 1000, 120, circuit="C", fastened=False)], 22 / 1.2),
        ([load("disposer", 1000, 120, circuit="C")], 10 / 1.2),
        (
            [load("disposer", 1000, 120, circuit="C"), load("compactor", 600, 120, circuit="C")],
            16 / 1.2 + 0.25 * 10 / 1.2,
        ),
        ([DISHWASHER, load("fan", 93, 120, circuit="C")], 12.93 / 1.2),  # 93 VA are less than 1/8 hp of 93.25 VA
        ([DISHWASHER, load("fan", 94, 120, circuit="C")], 12.94 / 1.2 + 0.25 * 0.94 / 1.2),
        ([DISHWASHER, load("shop", 600, 120, circuit="C", motor_hp=0.125)], 18 / 1.2),
        ([DISHWASHER, load("shop", 600, 120, circuit="C", motor_hp=0.25)], 18 / 1.2 + 0.25 * 6 / 1.2),
        (
            [load("space-heat", 1200, 120, circuit="C"), load("fan", 300, 120, circuit="C")],
            1.25 * 15 / 1.2,
        ),  # has its quarter already
        ([load("disposer", 1000, 120, circuit="C", count=2)], 20 / 1.2 + 0.25 * 10 / 1.2),
    ],
)
def test_a_motor_beside_other_loads_adds_a_quarter_of_the_largest(
    loads: list[str], design: float, edition: str
) -> None:
    """220.18(A): a fastened one over 1/8 hp, on a circuit that it shares; alone it counts by its nameplate."""
    assert on({}, *loads, edition=edition).results["design_a"] == pytest.approx(design)


@pytest.mark.parametrize(("va", "short"), [(960, False), (964, True)])
def test_a_dishwasher_and_a_disposer_fill_a_20_a_circuit(va: int, short: bool) -> None:
    """10 A and 125 % of 8 A are 20 A; a little more is too much, though the nameplates add up to 18 A."""
    pair = DISHWASHER + load("disposer", va, 120, circuit="C")
    s = on({"breaker_a": 20, "cable": "12/2 NM"}, pair)
    assert ("breaker_carries" in failing(s)) is short
    assert ("carries_continuous" in failing(s)) is short
    other = on({"breaker_a": 20, "cable": "12/2 NM"}, pair, extra='[code.readings]\ncircuit_motor = "nameplate"\n')
    assert "breaker_carries" not in failing(other)
    assert any("circuit_motor" in text for _, text in other.remarks)


def test_lights_on_the_circuit_are_other_loads_and_its_run_carries_the_quarter_too() -> None:
    """A disposer beside receptacles; and the run of a shared circuit is sized as the circuit is."""
    beside = on({"purpose": "general", "load_va": 600}, load("disposer", 1000, 120, circuit="C"))
    assert beside.results["design_a"] == pytest.approx(16 / 1.2 + 0.25 * 10 / 1.2)
    text = PANEL + INSIDE + circuit(rooms=["Inside"]) + DISHWASHER + load("disposer", 1000, 120, circuit="C")
    way = run(role="branch", fed_from="P", feeds="C", volts=120, neutral=None, cable="12/2 NM")
    assert worked(text + way).results["design_a"] == pytest.approx(22 / 1.2 + 0.25 * 10 / 1.2)


# ---- breakers


@pytest.mark.parametrize(
    ("keys", "loads", "breaker"),
    [
        ({}, [load("dryer", 5000, circuit="C")], 30),
        ({}, [load("dryer", 600, 120, circuit="C", fuel_burning=True)], 15),
        ({}, [load("shop", 120, 120, circuit="C")], 15),
        ({"purpose": "laundry"}, [], 20),
        ({"purpose": "bathroom"}, [], 20),
        ({"purpose": "garage"}, [], 20),
        ({"purpose": "general", "load_va": 1200}, [], 15),
    ],
)
def test_the_least_breaker_of_a_kind(keys: dict[str, Any], loads: list[str], breaker: int) -> None:
    """30 A for an electric dryer, 20 A for the circuits that a dwelling must have, 15 A for the rest."""
    assert on(keys, *loads).results["breaker_a"] == breaker


@pytest.mark.parametrize(
    ("va", "breaker", "common"), [(4500, 25, 30), (5300, 30, None), (6000, 35, 40), (7600, 40, None), (8000, 45, 50)]
)
def test_a_rating_that_is_seldom_kept_names_the_next_common_one(va: int, breaker: int, common: int | None) -> None:
    """Common practice: 25, 35 and 45 A are made and seldom kept; the next common one is on the shelf."""
    s = on({}, load("space-heat", va, circuit="C"))
    assert s.results["breaker_a"] == breaker
    told = [text for _, text in s.remarks if f"{breaker} A" in text]
    assert bool(told) is (common is not None)
    assert all(f"{common} A" in text for text in told)


@pytest.mark.parametrize(
    ("keys", "loads", "most"),
    [
        ({}, [load("water-heater", 4500, circuit="C")], 30),
        ({"outlets": ["lighting"]}, [load("water-heater", 1400, 120, circuit="C")], None),
        ({"purpose": "general"}, [load("shop", 600, 120, circuit="C")], 20),
        ({}, [load("space-heat", 1000, name="a", circuit="C"), load("space-heat", 1000, name="b", circuit="C")], 30),
        ({}, [load("space-heat", 1000, name="a", circuit="C", count=2)], 30),
        ({}, [load("shop", 1000, name="a", circuit="C"), load("shop", 1000, name="b", circuit="C")], None),
    ],
)
def test_the_most_that_a_breaker_may_be(keys: dict[str, Any], loads: list[str], most: float | None) -> None:
    """150 % of one appliance alone, 20 A for outlets of anything, 30 A for several heaters; else nothing says it."""
    s = on({"breaker_a": 60, **keys}, *loads)
    (found,) = [check.holds.right.number for check in s.checks if check.key == "breaker_allowed"] or [None]
    assert found == most


def test_one_unit_of_air_conditioning_on_a_circuit() -> None:
    """A nameplate circuit is for that unit alone; a compressor can't draw more than the whole unit, though it may be all of it."""
    unit = {"mca_a": 20, "mocp_a": 30}
    beside = load("shop", 500, circuit="C")
    assert on({}, load("heat-pump", 4080, circuit="C", **unit)).passes
    for more in (
        load("heat-pump", 4080, circuit="C", count=2, **unit),
        load("heat-pump", 4080, circuit="C", **unit) + beside,
    ):
        refused = on({}, more).refused
        assert refused is not None
        assert "give each unit a circuit" in refused.reason
    for motor, works in ((17, True), (17.5, False)):
        s = on({}, load("heat-pump", 4080, circuit="C", motor_a=motor))
        assert (s.refused is None) is works


def test_equipment_that_sets_its_breaker_apart_carries_its_current_not_125_percent() -> None:
    """A motor of 12 A: conductors 15 A, and a breaker of 15 A carries it; of a plain load of 12 A that lasts it would not."""
    pump = load("well-pump", 2400, circuit="C", motor_hp=2)
    s = on({"breaker_a": 15, "cable": "14/2 NM"}, pump)
    assert s.passes
    assert "compressor_a" not in s.results
    lasts = on({"breaker_a": 15, "cable": "14/2 NM"}, load("shop", 2900, circuit="C", continuous=True))
    assert "breaker_carries" in failing(lasts)


def test_two_tankless_heaters_are_judged_one_by_one() -> None:
    """422.11(F): 62.5 A each are under 120 A, though both together draw 125 A; each has its own current shown."""
    two = [load("tankless-water-heater", 15000, name=n, circuit="C") for n in ("a", "b")]
    s = on({"breaker_a": 150}, *two)
    assert (s.results["draws_a[a]"], s.results["draws_a[b]"]) == (62.5, 62.5)
    assert not any("tankless" in key for key in failing(s))
    single = on({"breaker_a": 150}, load("tankless-water-heater", 30000, circuit="C"))
    assert "tankless_divided[tankless-water-heater]" in failing(single)
    assert "draws_a[tankless-water-heater]" not in single.results


# ---- what is on it


@pytest.mark.parametrize(
    ("keys", "va", "asked"),
    [
        ({"purpose": "general", "breaker_a": 20}, 1200, True),
        ({"purpose": "individual", "breaker_a": 20, "outlets": ["lighting"]}, 1200, True),
        ({"purpose": "individual", "breaker_a": 20}, 1200, False),
        ({"purpose": "individual", "breaker_a": 25, "outlets": ["lighting"]}, 1200, False),
    ],
)
def test_half_a_circuit_is_for_what_is_fastened_where_lights_or_receptacles_share_it(
    keys: dict[str, Any], va: int, asked: bool
) -> None:
    """210.23(A): on circuits of 15 and 20 A; not where nothing else is on it, nor above 20 A."""
    s = on(keys, load("shop", va, 120, circuit="C"))
    assert ("fastened_most_a" in s.results) is asked


@pytest.mark.parametrize(("va", "short"), [(1200, False), (1210, True)])
def test_half_is_half(va: int, short: bool) -> None:
    """10 A of 20."""
    s = on({"purpose": "general", "breaker_a": 20, "load_va": 100}, load("shop", va, 120, circuit="C"))
    assert ("fastened_share_kept" in failing(s)) is short


@pytest.mark.parametrize(
    ("keys", "extra", "asked"),
    [
        ({"purpose": "general", "breaker_a": 20}, "", True),
        (
            {"purpose": "individual", "breaker_a": 30, "receptacle_a": 30},
            load("shop", 3000, circuit="C", connected_by="cord"),
            False,
        ),
        ({"purpose": "individual"}, load("water-heater", 4500, circuit="C"), False),
        ({"purpose": "general", "breaker_a": 20, "status": "existing", "cable": "12/2"}, "", False),
    ],
)
def test_tamper_resistant_receptacles_are_asked_for_on_new_circuits_of_15_and_20_a(
    keys: dict[str, Any], extra: str, asked: bool
) -> None:
    """406.12: where there are receptacles, up to 20 A, in new work."""
    s = on(keys, extra) if extra else sheet(PANEL + INSIDE + circuit(rooms=["Inside"], **keys))
    assert ("tamper_resistant" in s.results) is asked


def test_a_job_of_removed_circuits_and_old_loads_has_no_circuits_to_work() -> None:
    """One new load, one live circuit or one replaced receptacle is enough."""
    old = circuit(status="removed") + load("shop", 900, 120, status="existing")
    assert needs(job(PANEL + old))
    for text in (circuit(), load("dryer", 5000), circuit(status="existing")):
        assert not needs(job(PANEL + text))
    room = toml("rooms", name="B", use="bedroom") + 'outlets = [{ status = "replaced" }]\n'
    assert not needs(job(room))


def test_loads_on_no_circuit_are_named_on_the_sheet_of_the_house() -> None:
    """By name, all of them; those on a circuit are not."""
    text = HOUSE + PANEL + circuit() + load("shop", 900, 120, name="Saw", status="existing")
    text += load("shop", 900, 120, name="Lathe", circuit="C")
    s = sheet(text, "test")
    (said,) = [caution for caution in s.cautions if "Saw" in caution]
    assert "Lathe" not in said


# ---- panels


def panel(*circuits: str, head: str = "", spaces: int | None = 40) -> Sheet:
    return sheet(head + toml("panels", name="P", spaces=spaces) + "".join(circuits), "P")


@pytest.mark.parametrize(
    ("one", "two", "worst", "amperes"), [(1200, 600, "leg 1", 10), (600, 1200, "leg 2", 10), (600, 600, "leg 1", 5)]
)
def test_the_worse_leg_is_the_one_with_more_on_it(one: int, two: int, worst: str, amperes: float) -> None:
    """Odd row on leg 1, even row on leg 2."""
    found = panel(circuit(name="a", positions=[1], load_va=one), circuit(name="b", positions=[3], load_va=two)).results
    assert (found["worst_leg"], found["worst_leg_a"]) == (worst, amperes)
    assert found["neutral_a"] == abs(one - two) / 120


def test_a_wye_adds_its_legs_at_an_angle() -> None:
    """10 and 5 A a third of a turn apart: root(100 + 25 - 50) = 8.66 A on the neutral, not 5 A."""
    wye = '[service]\nsystem = "208Y/120"\n'
    found = panel(
        circuit(name="a", positions=[1], load_va=1200), circuit(name="b", positions=[3], load_va=600), head=wye
    )
    assert found.results["neutral_a"] == pytest.approx(75**0.5)
    assert found.results["neutral_most_a"] == 10
    between = load("tankless-water-heater", 4160, 208, circuit="w")
    s = panel(circuit(name="w", poles=2, positions=[1, 3]) + between, head=wye)
    assert (s.results["leg_1_a"], s.results["leg_2_a"]) == (20, 20)


@pytest.mark.parametrize(
    ("feed", "service", "three"),
    [
        (None, 1, False),
        (None, 3, True),
        (1, 3, False),
        (3, 1, True),
    ],
)
def test_the_phases_of_a_panel_are_those_of_its_feed_else_of_the_service(
    feed: int | None, service: int, three: bool
) -> None:
    """A single-phase subpanel of a three-phase house is balanced; the house's own panel is not."""
    text = f'[service]\nsystem = "208Y/120"\nphases = {service}\n' + PANEL + circuit(load_va=100)
    if feed is not None:
        text += run(name="F", feeds="P", volts=208, phases=feed, neutral=True, calculated_a=20)
        text += run(name="Q", feeds="P", volts=208, phases=4 - feed, neutral=True, calculated_a=20, status="removed")
    s = sheet(text, "P")
    assert (s.refused is not None) is three


def test_moves_are_the_fewest_that_balance_and_none_where_nothing_is_gained() -> None:
    """Three of 1,200 on leg 1 and one on leg 2: one moves; in balance none does; what stays is not moved."""
    spots = [(1, "a"), (2, "b"), (5, "c"), (3, "d")]
    text = [circuit(name=name, positions=[at], load_va=1200) for at, name in spots]
    found = panel(*text).results
    assert (found["unbalance_va"], found["best_unbalance_va"]) == (2400, 0)
    assert found["moves"] in ("a", "b", "c")
    even = panel(text[0], text[3])
    assert even.results["moves"] == "none: no arrangement is better"
    (line,) = [line for line in even.lines if line.key == "moves"]
    assert [pair.sign for pair in line.compared] == ["<="]
    stays = [
        circuit(name=name, positions=[at], load_va=1200, status="existing", breaker_a=20) for at, name in spots[:3]
    ]
    only = panel(*stays, circuit(name="d", positions=[6], load_va=1200)).results
    assert only["moves"] == "d"


def test_a_spare_has_no_load_that_anyone_could_miss() -> None:
    """A refused circuit has; the panel says which loads it does not know."""
    spare = panel(circuit(name="Extra", purpose="spare", breaker_a=20), circuit(name="a", load_va=100))
    assert not any("Extra" in text for text in spare.cautions)
    fed = panel(circuit(name="Feed", purpose="feeder", breaker_a=60), circuit(name="a", load_va=100))
    assert any("Feed" in text for text in fed.cautions)


@pytest.mark.parametrize(
    ("keys", "run_a", "says"),
    [
        ({"status": "existing"}, None, "verify"),
        ({"status": "existing", "breaker_a": 15}, None, "15 A"),
        ({"status": "existing"}, 25, "25 A"),
        ({"breaker_type": "dual-function", "breaker_a": 20}, None, "20 A AF GF"),
        ({"purpose": "spare", "breaker_a": 30, "poles": 2}, None, "30 A 2-pole"),
        ({"purpose": "spare"}, None, ""),
    ],
)
def test_the_schedule_rates_a_breaker_as_stated_and_never_makes_one_up(
    keys: dict[str, Any], run_a: int | None, says: str
) -> None:
    """By the circuit or its run; of an old one of which neither says it, somebody has to look."""
    text = toml("panels", name="P", spaces=4) + circuit(**{"load_va": 900, **keys})
    if run_a is not None:
        text += run(role="branch", fed_from="P", feeds="C", volts=120, neutral=None, breaker_a=run_a, size="10")
    circuits = all_circuits(House.of(job(text)))
    ((work, _),) = circuits.panels
    assert rating(circuits, work.breakers[0]) == says


def test_the_table_of_circuits_has_its_columns_to_their_sides() -> None:
    """Circuit, load, breaker, conductors, protection, legs, outcome; load and breaker are figures."""
    table = branch_circuits.tables(House.of(job(PANEL + circuit(load_va=900, breaker_a=15))))[0]
    assert [column.align == "right" for column in table.columns] == [n in (1, 2) for n in range(7)]
    assert table.rows[0][:3] == ["C", "7.5 A", "15 A"]


# ---- legs


@pytest.mark.parametrize(
    ("weights", "ahead", "room", "difference"),
    [
        ((5, 3, 2), 0, (2, 2), 0),
        ((5, 3, 2), 0, (1, 2), 0),
        ((5, 3, 3), 0, (3, 3), 1),
        ((5, 3, 3), 1, (3, 3), 0),
        ((5, 3, 3), -1, (3, 3), 0),
        ((4, 4), 0, (2, 0), 8),
        ((4, 4), 8, (2, 2), 0),
    ],
)
def test_the_best_balance_is_found_within_the_room(
    weights: tuple[int, ...], ahead: int, room: tuple[int, int], difference: int
) -> None:
    """The least difference that any choice has; room on a leg is kept."""
    blocks = [Block((str(n),), (), float(va)) for n, va in enumerate(weights)]
    legs = balance(blocks, ahead, room)
    one, two = (sum(va for va, leg in zip(weights, legs, strict=True) if leg == which) for which in (1, 2))
    assert abs(ahead + one - two) == difference
    assert legs.count(1) <= room[0]
    assert legs.count(2) <= room[1]


def test_among_equals_blocks_stay_where_they_are() -> None:
    """Two of 4 that balance either way: as they stand; a two-space block has its heavier half opposite the rest."""
    for now in ((1, 2), (2, 1)):
        blocks = [Block((str(n),), (), 4.0, now=leg) for n, leg in enumerate(now)]  # type: ignore[arg-type]
        assert balance(blocks, 0, (2, 2)) == list(now)
    pair = Block(("a",), ("b",), 2.0, 9.0)
    assert balance([pair, Block(("c",), (), 7.0)], 0, (1, 1)) in ([1, 1], [2, 2])


def test_a_short_breaker_is_told_the_larger_one_that_its_wire_allows() -> None:
    """23.4 A on 10 AWG behind 20 A: 25 A would do; on 12 AWG the wire has to change too."""
    for cable, allows in (("10/2 NM", True), ("12/2 NM", False)):
        s = on({"breaker_a": 20, "cable": cable}, load("water-heater", 4500, circuit="C"))
        assert ("which conductors, equipment and receptacles allow" in remedy(s, "breaker_carries")) is allows
        assert "25 A" in remedy(s, "breaker_carries")
