"""Rules of branch circuits, one by one: each docstring is the rule, and numbers are the trade's own."""

from __future__ import annotations

from typing import Any

import pytest

from calc.codebook import editions
from calc.families import families
from calc.job import JobError
from calc.wiring.house import House
from calc.work import Sheet
from tests.families.runs import failing, job, remedy, run, toml, worked

EDITIONS = tuple(editions())
PANEL = toml("panels", name="P", spaces=40, bus_a=200)
INSIDE = toml("rooms", name="Inside", use="utility")
HOUSE = '[dwelling]\nkind = "one-family"\nfloor_area_ft2 = 3240\n'


def circuit(**keys: Any) -> str:
    """A 20 A individual circuit of 12/2 in panel P unless said otherwise."""
    return toml("circuits", **{"name": "C", "panel": "P", "purpose": "individual"} | keys)


def load(kind: str, va: float | None, volts: int = 240, **keys: Any) -> str:
    return toml("loads", **{"name": kind, "kind": kind, "load_va": va, "volts": volts} | keys)


def sheet(text: str, subject: str = "C", edition: str = "2023") -> Sheet:
    """The sheet about a circuit, a panel or a pair."""
    return worked(text, edition, "branch-circuits", subject)


def on(circuit_keys: dict[str, Any], *loads: str, edition: str = "2023", extra: str = "") -> Sheet:
    """The sheet of one circuit in a utility room, with these loads on it; two poles where they stand at 240 V."""
    poles = 2 if any("volts = 240" in text for text in loads) else 1
    keys = {"poles": poles, "rooms": ["Inside"]} | circuit_keys
    return sheet(PANEL + INSIDE + circuit(**keys) + "".join(loads) + extra, edition=edition)


# ---- what each circuit carries


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_storage_water_heater_is_sized_at_125_percent(edition: str) -> None:
    """4,500 W at 240 V: 18.75 A, sized for 23.4 A, 25 A on 10 AWG, 30 A at most; 20 A falls short."""
    found = on({}, load("water-heater", 4500, circuit="C"), edition=edition).results
    assert (found["load_a"], found["breaker_a"], found["breaker_most_a"]) == (18.75, 25, 30)
    assert found["design_a"] == 23.4375
    assert found["conductor"].startswith("10 AWG copper")
    short = on({"breaker_a": 20, "cable": "12/2 NM"}, load("water-heater", 4500, circuit="C"), edition=edition)
    assert {"breaker_carries", "carries_continuous"} <= failing(short)
    assert on({"breaker_a": 30, "cable": "10/2 NM"}, load("water-heater", 4500, circuit="C"), edition=edition).passes


def test_a_water_heater_behind_40_a_is_too_much() -> None:
    """150 % of 18.75 A is 28.1 A, and the next rating is 30 A."""
    s = on({"breaker_a": 40, "cable": "8/2 NM"}, load("water-heater", 4500, circuit="C"))
    assert failing(s) == {"breaker_allowed"}
    assert remedy(s, "breaker_allowed") == "a breaker of 30 A"


def test_a_small_appliance_may_stand_behind_20_a() -> None:
    """A 1,440 W heater draws 12 A: 20 A is allowed, 25 A is not."""
    small = load("water-heater", 1440, 120, circuit="C")
    assert on({"breaker_a": 20}, small).passes
    assert "breaker_allowed" in failing(on({"breaker_a": 25}, small))


def test_a_large_tank_is_not_sized_as_continuous() -> None:
    """The 125 % is for storage heaters up to 120 gal."""
    assert on({}, load("water-heater", 4500, circuit="C", tank_gal=120)).results["design_a"] == 23.4375
    assert on({}, load("water-heater", 4500, circuit="C", tank_gal=121)).results["design_a"] == 18.75


def test_a_tankless_heater_counts_at_its_nameplate() -> None:
    found = on({}, load("tankless-water-heater", 9600, circuit="C")).results
    assert (found["load_a"], found["design_a"], found["breaker_a"]) == (40, 40, 40)


def test_strips_and_their_blower_are_sized_together_at_125_percent() -> None:
    """43 A: 53.75 A, so 60 A on 6 AWG, not 45 A."""
    heat = load("supplemental-heat", 9600, circuit="C") + load("fan", 720, circuit="C", runs_with=["supplemental-heat"])
    found = on({}, heat).results
    assert (found["load_a"], found["design_a"], found["breaker_a"]) == (43, 53.75, 60)
    assert found["conductor"].startswith("6 AWG")
    assert "breaker_carries" in failing(on({"breaker_a": 45}, heat))


def test_several_heaters_on_one_circuit_end_at_30_a() -> None:
    heaters = load("space-heat", 1000, circuit="C", count=5)
    assert "breaker_allowed" not in failing(on({"breaker_a": 30}, heaters))
    assert "breaker_allowed" in failing(on({"breaker_a": 40}, heaters))


@pytest.mark.parametrize(("kw", "circuit_kw", "amperes"), [(12, 8, 33.333), (14, 8.8, 36.667), (14.4, 8.8, 36.667),
                                                            (14.5, 9.2, 38.333), (16, 9.6, 40), (18, 10.4, 43.333)])  # fmt: skip
def test_a_range_goes_by_note_4(kw: float, circuit_kw: float, amperes: float) -> None:
    """8 kW up to 12 kW, then 5 % for each whole kilowatt or major fraction: 0.4 is none."""
    found = on({}, load("range", kw * 1000, circuit="C")).results
    assert found["cooking_circuit_kw"] == pytest.approx(circuit_kw)
    assert found["load_a"] == pytest.approx(amperes, abs=0.001)


def test_a_range_on_8_3_and_40_a_serves_up_to_16_kw() -> None:
    """9.6 kW is 40.0 A exactly; 18 kW needs 6 AWG and 50 A."""
    eight = {"breaker_a": 40, "cable": "8/3 NM"}
    ground = {"breaker_type": "ground-fault"}
    assert on(eight | ground, load("range", 16000, circuit="C")).passes
    large = on(eight | ground, load("range", 17000, circuit="C"))
    assert failing(large) == {"breaker_carries", "carries_continuous"}
    assert on({}, load("range", 18000, circuit="C")).results["conductor"].startswith("6 AWG")


@pytest.mark.parametrize(("kw", "least"), [(8.75, 40), (8.74, 35)])
def test_a_range_of_8_75_kw_has_a_40_a_circuit(kw: float, least: int) -> None:
    """Its 8 kW would do with 35 A."""
    assert on({}, load("range", kw * 1000, circuit="C")).results["breaker_a"] == least


def test_a_cooktop_with_two_ovens_counts_as_one_range() -> None:
    """7.4 + 4.8 + 4.8 = 17 kW: 10 kW and 41.7 A, so 50 A; by column B it would be 39.0 A on 40."""
    text = load("cooktop", 7400, circuit="C") + load("wall-oven", 4800, circuit="C", count=2)
    found = on({}, text).results
    assert found["load_va"] == 10000
    assert found["load_a"] == pytest.approx(41.667, abs=0.001)
    assert "breaker_carries" in failing(on({"breaker_a": 40}, text))
    assert "breaker_carries" not in failing(on({"breaker_a": 50}, text))


def test_one_cooktop_or_one_oven_counts_at_its_nameplate() -> None:
    assert on({}, load("cooktop", 7400, circuit="C")).results["load_va"] == 7400
    assert on({}, load("wall-oven", 4800, circuit="C")).results["load_va"] == 4800


@pytest.mark.parametrize(
    "loads",
    [
        load("cooktop", 7400, circuit="C") + load("wall-oven", 4800, circuit="C", count=3),
        load("cooktop", 7400, circuit="C", count=2),
        load("range", 12000, circuit="C") + load("wall-oven", 4800, circuit="C"),
    ],
)
def test_more_than_a_cooktop_and_two_ovens_is_refused(loads: str) -> None:
    refused = on({}, loads).refused
    assert refused
    assert "up to two wall ovens" in refused.reason


def test_cooking_in_two_rooms_is_refused_on_one_circuit() -> None:
    rooms = toml("rooms", name="A", use="kitchen") + toml("rooms", name="B", use="kitchen")
    text = load("cooktop", 7400, circuit="C", room="A") + load("wall-oven", 4800, circuit="C", room="B")
    refused = on({}, text, extra=rooms).refused
    assert refused
    assert "different rooms" in refused.reason


def test_a_range_over_27_kw_is_refused() -> None:
    assert on({}, load("range", 27001, circuit="C")).refused


def test_a_dryer_is_worked_out_on_10_3_and_30_a() -> None:
    """Common practice: dryers are sold for 30 A, though 4,600 W would pass on 20."""
    found = on({}, load("dryer", 4600, circuit="C")).results
    assert found["breaker_a"] == 30
    assert found["conductor"] == "10 AWG copper, 10/3 NM"


def test_vehicle_supply_is_sized_at_125_percent_and_6_nm_is_not_enough() -> None:
    """48 A: 60 A. 6 AWG NM carries 55 A, and the next size up is no cure for that."""
    s = on({"breaker_a": 60, "cable": "6/2 NM"}, load("ev-supply", 11520, circuit="C"))
    assert failing(s) == {"carries_continuous"}
    assert remedy(s, "carries_continuous").startswith("4 AWG copper")
    assert on({}, load("ev-supply", 11520, circuit="C")).results["conductor"].startswith("4 AWG")


@pytest.mark.parametrize(("edition", "amperes"), [("2017", 48), ("2020", 24), ("2023", 24)])
def test_a_locked_setting_counts_from_2020_on(edition: str, amperes: float) -> None:
    locked = load("ev-supply", 11520, circuit="C", setting_a=24, setting_locked=True)
    assert on({}, locked, edition=edition).results["load_a"] == amperes
    loose = load("ev-supply", 11520, circuit="C", setting_a=24)
    assert on({}, loose, edition=edition).results["load_a"] == 48


def test_continuous_and_other_load_are_sized_apart() -> None:
    """960 VA and 1,440 VA of continuous load at 120 V: 8 + 12 x 1.25 = 23 A."""
    text = load("other", 960, 120, name="a", circuit="C", fastened=True) + load(
        "other", 1440, 120, name="b", circuit="C", fastened=True, continuous=True
    )
    found = on({}, text).results
    assert (found["load_a"], found["design_a"], found["breaker_a"]) == (20, 23, 25)


# ---- air conditioning and motors


def test_air_conditioning_goes_by_its_nameplate() -> None:
    """MCA 21.0, MOCP 35: 10 AWG NM behind 35 A passes, as the 30 A rule for small conductors is not for it."""
    unit = load("heat-pump", 4080, circuit="C", mca_a=21.0, mocp_a=35)
    assert on({"breaker_a": 35, "cable": "10/2 NM"}, unit).passes
    assert failing(on({"breaker_a": 35, "cable": "12/2 NM"}, unit)) == {"carries_load"}
    assert failing(on({"breaker_a": 40, "cable": "10/2 NM"}, unit)) == {"breaker_allowed"}


@pytest.mark.parametrize(("mocp", "breaker"), [(35, 35), (39.9, 35), (40, 40), (37.5, 35)])
def test_a_maximum_breaker_is_never_rounded_up(mocp: float, breaker: int) -> None:
    unit = load("air-conditioner", 4080, circuit="C", mca_a=21.0, mocp_a=mocp)
    assert on({}, unit).results["breaker_a"] == breaker


def test_a_compressor_without_nameplate_circuit() -> None:
    """15.9 A and 1.1 A beside it: conductors for 21.0 A, 25 A at 175 %, 35 A at 225 % if it won't start."""
    unit = load("heat-pump", None, circuit="C", nameplate_a=17, motor_a=15.9)
    found = on({}, unit).results
    assert found["design_a"] == pytest.approx(20.975)
    assert (found["breaker_most_a"], found["breaker_start_a"], found["breaker_a"]) == (25, 35, 25)


def test_a_unit_that_states_nothing_is_refused() -> None:
    refused = on({}, load("air-conditioner", 4080, circuit="C")).refused
    assert refused
    assert "minimum circuit and maximum breaker (mca_a, mocp_a)" in refused.reason


def test_nothing_else_is_counted_on_the_circuit_of_a_unit() -> None:
    text = load("air-conditioner", 4080, circuit="C", mca_a=21.0, mocp_a=35) + load("fan", 500, 240, circuit="C")
    assert on({}, text).refused


def test_a_motor_goes_by_the_table_for_its_horsepower() -> None:
    """2 hp at 230 V: 12 A, conductors 15 A, breaker up to 30 A; the value is from memory and says so."""
    s = on({"cable": "14/2 NM"}, load("well-pump", 2400, circuit="C", motor_hp=2))
    assert (s.results["load_a"], s.results["design_a"], s.results["breaker_most_a"]) == (12, 15, 30)
    assert s.passes
    assert "load_a" in s.results["from_memory"]


def test_horsepower_between_two_rows_takes_the_larger() -> None:
    assert on({}, load("well-pump", 2400, circuit="C", motor_hp=2.2)).results["motor_listed_hp"] == 3


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_breaker_of_a_motor_is_for_one_motor(edition: str) -> None:
    """Two motors of 9.8 A behind the 50 A that 250 % of both would give leave each without protection: not worked."""
    s = on({}, load("sump-pump", 1150, 120, circuit="C", motor_hp=0.5, count=2), edition=edition)
    assert s.status == "not worked"
    assert "2 motors on one circuit" in str(s.refused)
    alone = on({}, load("sump-pump", 1150, 120, circuit="C", motor_hp=0.5), edition=edition).results
    assert (alone["load_a"], alone["breaker_most_a"]) == (9.8, 25)


@pytest.mark.parametrize(("share", "passes"), [(1910, True), (1930, False)])
def test_a_room_unit_alone_takes_80_percent(share: float, passes: bool) -> None:
    unit = load("air-conditioner", share, 120, circuit="C", connected_by="cord")
    s = on({"breaker_a": 20, "cable": "12/2 NM"}, unit)
    assert ("share_kept[air-conditioner]" in failing(s)) is not passes


# ---- conductors, receptacles, other cables


def test_the_smallest_cable_that_serves_is_found() -> None:
    """Each smaller made size fails a requirement."""
    for va, size in ((3300, "14"), (4700, "12"), (7100, "10"), (9500, "8"), (12000, "6")):
        found = on({}, load("tankless-water-heater", va, circuit="C")).results["conductor"]
        assert found.startswith(f"{size} AWG"), (va, found)


def test_the_next_size_up_never_holds_where_cords_are_plugged_in() -> None:
    """Four 12/2 in a foamed hole: 18.3 A. Behind 20 A that is enough for one appliance, not for receptacles."""
    hole = run(name="R9", role="branch", fed_from="P", feeds="C", volts=120, neutral=None, cable="12/2 NM", calculated_a=12,
               breaker_a=20, ambient_f=113, in_insulation=True, cables_bundled=4)  # fmt: skip
    general = sheet(PANEL + HOUSE + circuit(purpose="general", breaker_a=20) + hole)
    assert "breaker_protects" in failing(general)
    assert "run R9" in general.results["conductor"]
    alone = sheet(PANEL + circuit(breaker_a=20) + load("disposer", 1200, 120, circuit="C") + hole)
    assert "breaker_protects" not in failing(alone)


def test_a_run_without_load_gets_that_of_its_circuit() -> None:
    """Cooking has a rule of its own here, so its run need not state a current."""
    text = load("cooktop", 7400, circuit="C") + load("wall-oven", 4800, circuit="C", count=2)
    cable = run(name="R8", role="branch", fed_from="P", feeds="C", neutral=None, cable="6/3 NM")
    found = on({"breaker_a": 50}, text, extra=cable).results
    assert found["ampacity_a"] == 55


@pytest.mark.parametrize("kw", [3.5, 8.0, 12.0, 16.0, 16.5, 27.0, 28.0])
def test_a_cooking_run_and_its_circuit_say_the_same(kw: float) -> None:
    """Load, breaker and ampacity of both sheets agree; what one refuses the other refuses too."""
    text = PANEL + circuit(poles=2) + load("range", kw * 1000, circuit="C")
    text += run(name="R8", role="branch", fed_from="P", feeds="C", neutral=None, cable="6/3 NM")
    of_run, of_circuit = worked(text, "2023", "feeder", "R8"), sheet(text)
    assert (of_run.refused is None) == (of_circuit.refused is None) == (kw <= 27)
    if of_run.refused is None:
        pairs = [("calculated_a", "load_a"), ("design_a", "design_a"), ("ampacity_a", "ampacity_a")]
        assert [of_run.results[a] for a, _ in pairs] == [of_circuit.results[b] for _, b in pairs]


def test_two_breakers_stated_for_one_circuit_are_asked_about() -> None:
    """The run says one rating and the circuit another: which one is it?"""
    text = PANEL + circuit(poles=2, breaker_a=40) + load("range", 12000, circuit="C")
    text += run(name="R8", role="branch", fed_from="P", feeds="C", neutral=None, cable="6/3 NM", breaker_a=50)
    with pytest.raises(JobError, match='breaker_a is 50, while circuit "C" has 40'):
        job(text)


def test_a_run_that_is_refused_refuses_its_circuit() -> None:
    """Terminals of 90 C are none of a dwelling, whatever the circuit."""
    cable = run(name="R", role="branch", fed_from="P", feeds="C", neutral=None, cable="10/2 NM", terminations_to_c=90)
    refused = on({}, load("water-heater", 4500, circuit="C"), extra=cable).refused
    assert refused
    assert "90 °C terminals" in refused.reason


def test_a_type_for_the_ground_falls_short_on_a_circuit_in_the_house() -> None:
    """USE-2 burns too well for the inside of a house, where a circuit without a run lies."""
    assert "type_fits_place" in failing(on({"cable": "2 x 10 USE-2"}, load("water-heater", 4500, circuit="C")))


def test_a_switch_leg_of_14_awg_limits_a_20_a_circuit() -> None:
    s = sheet(PANEL + HOUSE + circuit(purpose="general", breaker_a=20, cable="12/2", other_cables=["14/2"]))
    assert "other_cable_protected[14/2]" in failing(s)
    assert remedy(s, "other_cable_protected[14/2]").startswith("12 AWG for it")
    fifteen = sheet(PANEL + HOUSE + circuit(purpose="general", breaker_a=15, cable="12/2", other_cables=["14/2"]))
    assert "other_cable_protected[14/2]" not in failing(fifteen)


@pytest.mark.parametrize(
    ("taps", "short"),
    [
        (["8/3 NM", "12/3 NM", "12/3 NM"], set()),  # 30.8 A, and 20.0 A twice
        (["8/3 NM"], set()),
        (["10/3 NM", "12/3 NM"], {"10/3 NM"}),  # the cooktop draws 30.8 A
        (["12/3 NM"], {"12/3 NM"}),
        (["14/3 NM"], {"14/3 NM"}),
    ],
)
def test_a_tap_is_sufficient_for_what_hangs_on_it(taps: list[str], short: set[str]) -> None:
    """210.19, exception 1 for taps: 20 A or more, and the load served (S24 S31); the largest appliance on the largest tap."""
    text = load("cooktop", 7400, circuit="C") + load("wall-oven", 4800, circuit="C", count=2)
    s = on({"breaker_a": 50, "cable": "6/3 NM", "other_cables": taps}, text)
    assert {key for key in failing(s) if key.startswith("tap")} == {f"tap_carries[{tap}]" for tap in short}


def test_a_6600_va_cooktop_does_not_hang_on_12_awg() -> None:
    """27.5 A on 20 A."""
    s = on({"breaker_a": 40, "cable": "8/3 NM", "other_cables": ["12/3 NM"]}, load("cooktop", 6600, circuit="C"))
    assert "tap_carries[12/3 NM]" in failing(s)


@pytest.mark.parametrize(("breaker", "cable", "falls"), [(50, "6/3 NM", False), (60, "4/3 NM", True)])
def test_taps_are_taken_from_50_a_at_most(breaker: int, cable: str, falls: bool) -> None:
    s = on({"breaker_a": breaker, "cable": cable, "other_cables": ["8/3 NM"]}, load("range", 12000, circuit="C"))
    assert ("tap_circuit" in failing(s)) is falls


@pytest.mark.parametrize(("receptacle", "single", "falls"), [(15, True, "single_receptacle_rating"), (20, True, None)])
def test_a_single_receptacle_alone_is_rated_as_the_circuit(receptacle: int, single: bool, falls: str | None) -> None:
    s = on(
        {"breaker_a": 20, "receptacle_a": receptacle, "single_receptacle": single},
        load("disposer", 900, 120, circuit="C"),
    )
    assert (falls in failing(s)) if falls else not {"single_receptacle_rating"} & failing(s)


@pytest.mark.parametrize(("breaker", "receptacle", "passes"), [(15, 15, True), (15, 20, False), (20, 15, True), (20, 20, True),
                                                                (20, 30, False)])  # fmt: skip
def test_receptacles_of_a_shared_circuit(breaker: int, receptacle: int, passes: bool) -> None:
    s = sheet(PANEL + HOUSE + circuit(purpose="general", breaker_a=breaker, receptacle_a=receptacle))
    assert ({"receptacle_large_enough", "receptacle_small_enough"} & failing(s) == set()) is passes


def test_a_50_a_receptacle_may_stand_on_a_40_a_range_circuit() -> None:
    s = on({"breaker_a": 40, "receptacle_a": 50}, load("range", 12000, circuit="C", connected_by="cord"))
    assert "single_receptacle_rating" not in failing(s)


def test_a_cord_takes_at_most_the_table() -> None:
    """12 A through a 15 A receptacle, also on a 20 A circuit."""
    text = load("disposer", 1500, 120, circuit="C", connected_by="cord") + load(
        "compactor", 500, 120, circuit="C", connected_by="cord"
    )
    assert "cord_load[disposer]" in failing(on({"breaker_a": 20, "receptacle_a": 15}, text))
    assert "cord_load[disposer]" not in failing(on({"breaker_a": 20, "receptacle_a": 20}, text))


def test_half_of_a_circuit_for_what_is_built_in() -> None:
    """Fastened equipment beside lights and receptacles: 10 A of 20."""
    text = PANEL + HOUSE + circuit(purpose="general", breaker_a=20)
    assert "fastened_share_kept" in failing(sheet(text + load("compactor", 1201, 120, circuit="C")))
    assert "fastened_share_kept" not in failing(sheet(text + load("compactor", 1200, 120, circuit="C")))


def test_general_outlets_end_at_20_a() -> None:
    s = sheet(PANEL + HOUSE + circuit(purpose="general", breaker_a=30, cable="10/2"))
    assert "breaker_allowed" in failing(s)
    assert remedy(s, "breaker_allowed") == "a breaker of 20 A"


# ---- fixes are safe


def test_a_larger_breaker_is_a_fix_only_where_wire_equipment_and_receptacle_allow_it() -> None:
    """20 A on 10 AWG for a 23.4 A heater: 25 A is safe. On 12 AWG it isn't, and larger wire comes first."""
    heater = load("water-heater", 4500, circuit="C")
    safe = on({"breaker_a": 20, "cable": "10/2 NM"}, heater)
    assert remedy(safe, "breaker_carries") == "a breaker of 25 A, which conductors, equipment and receptacles allow"
    unsafe = on({"breaker_a": 20, "cable": "12/2 NM"}, heater)
    assert remedy(unsafe, "breaker_carries").startswith("larger conductors")


def test_no_fix_of_an_outlet_circuit_is_a_larger_breaker() -> None:
    text = (
        PANEL
        + HOUSE
        + circuit(purpose="small-appliance", breaker_a=20, cable="12/2")
        + load("microwave", 1560, 120, circuit="C")
    )
    s = sheet(text)
    assert remedy(s, "breaker_carries") == "move load to another circuit, or less load"
    assert all("30 A" not in check.remedy for check in s.checks)


# ---- loads that don't fit


def test_a_load_at_the_wrong_voltage_is_refused() -> None:
    for poles, volts in ((1, 240), (2, 120)):
        refused = sheet(PANEL + circuit(poles=poles) + load("other", 1000, volts, circuit="C", fastened=True)).refused
        assert refused
        assert "does not fit its voltage" in refused.reason


def test_a_load_without_circuit_gets_the_one_that_it_asks_for() -> None:
    """A new 240 V load on no circuit is shown with the circuit that it would need; a toaster is not."""
    made = job(PANEL + load("water-heater", 4500) + load("other", 900, 120, fastened=False))
    sheets = {s.subject: s for s in families()["branch-circuits"].work(House.of(made))}
    assert sheets["water-heater"].results["breaker_a"] == 25
    assert any("no circuit for it" in caution for caution in sheets["water-heater"].cautions)
    assert "other" not in sheets
    assert sheets["P"].results["spare_spaces"] == 38


def test_a_removed_circuit_is_left_out() -> None:
    made = job(PANEL + circuit(status="removed") + circuit(name="D", purpose="laundry"))
    assert [s.subject for s in families()["branch-circuits"].work(House.of(made))] == ["P", "D"]


def test_a_smaller_breaker_is_named_only_where_the_load_leaves_room_for_one() -> None:
    light = on(
        {"cable": "14/2", "breaker_a": 20, "purpose": "individual"}, load("disposer", 1200, volts=120, circuit="C")
    )
    heavy = on(
        {"cable": "14/2", "breaker_a": 20, "purpose": "individual"}, load("disposer", 2100, volts=120, circuit="C")
    )
    assert remedy(light, "small_conductor").endswith(
        "12 AWG copper, the smallest that serves; or a breaker of 15 A at most"
    )
    assert remedy(heavy, "small_conductor").endswith("or less load and a smaller breaker")


@pytest.mark.parametrize(("single", "status"), [(True, "falls short"), (None, "not shown"), (False, "passes")])
def test_a_15_a_duplex_alone_on_20_a(single: bool | None, status: str) -> None:
    """210.21(B)(1) is for a single receptacle; a duplex is two, and 15 A ones may stand on 20 A."""
    freezer = load("other", 600, 120, circuit="C", connected_by="cord", fastened=False)
    s = on({"breaker_a": 20, "receptacle_a": 15, "single_receptacle": single}, freezer)
    assert s.status == status
    assert on({"breaker_a": 20, "receptacle_a": 20}, freezer).passes


# ---- wires of the cable


@pytest.mark.parametrize(
    ("keys", "text", "short"),
    [
        ({"purpose": "laundry", "cable": "12/2 without ground"}, "", {"ground_there"}),
        ({"purpose": "laundry", "cable": "12/2 with ground"}, "", set()),
        ({"purpose": "laundry", "cable": "12/2 MC without ground"}, "", {"ground_there"}),
        ({"purpose": "laundry", "cable": "12/2 MC"}, "", set()),
        ({"purpose": "laundry", "cable": "12/2 AC"}, "", set()),
        ({"purpose": "laundry", "cable": "12/2 without ground", "status": "existing"}, "", set()),
        ({"poles": 2, "cable": "10/2 with ground"}, load("dryer", 5000, circuit="C"), {"neutral_there"}),
        ({"poles": 2, "cable": "10/3 with ground"}, load("dryer", 5000, circuit="C"), set()),
        ({"poles": 2, "cable": "6/2 NM"}, load("range", 12000, circuit="C"), {"neutral_there"}),
        ({"poles": 2, "cable": "6/2 NM"}, load("range", 12000, circuit="C", connection="line-to-line"), set()),
        ({"poles": 2, "cable": "6/2 NM", "status": "existing"}, load("range", 12000, circuit="C"), set()),
        ({"poles": 2, "cable": "10/2 NM"}, load("water-heater", 4500, circuit="C"), set()),
        (
            {"multiwire_with": "D", "cable": "12/2 with ground"},
            circuit(name="D", multiwire_with="C"),
            {"neutral_there"},
        ),
    ],
)
def test_a_new_cable_has_the_wires_that_its_circuit_needs(keys: dict[str, Any], text: str, short: set[str]) -> None:
    """An equipment ground (250.110), a neutral for range and dryer (250.140, new work) and for a pair of circuits."""
    s = sheet(PANEL + circuit(**keys) + text)
    assert failing(s) & {"ground_there", "neutral_there"} == short


def test_a_cooktop_is_made_with_and_without_a_neutral() -> None:
    """Where the cable has none the job has to say which it is."""
    s = sheet(PANEL + circuit(poles=2, cable="8/2 NM") + load("cooktop", 7000, circuit="C"))
    assert [u.key for u in s.unknowns if u.key == "neutral_there"]
    s = sheet(
        PANEL
        + circuit(poles=2, cable="8/2 NM")
        + load("cooktop", 7000, circuit="C", connection="line-to-line-and-neutral")
    )
    assert "neutral_there" in failing(s)


@pytest.mark.parametrize(("poles", "volts"), [(1, 240), (2, 120)])
def test_a_load_on_the_wrong_voltage_falls_short(poles: int, volts: int) -> None:
    s = sheet(PANEL + circuit(poles=poles) + load("space-heat", 1500, volts, circuit="C"))
    assert s.status == "falls short"
    assert failing(s) == {"voltage_fits"}


def test_a_40_a_load_on_a_20_a_circuit_falls_short() -> None:
    s = on({"breaker_a": 20, "cable": "12/2 NM"}, load("space-heat", 9600, circuit="C"))
    assert {"breaker_carries", "carries_load"} & failing(s)


def test_a_load_and_a_circuit_of_one_name_are_linked_and_the_sheet_says_so() -> None:
    """Nobody has to write the name a third time, and the load has no second circuit."""
    text = PANEL + INSIDE + circuit(name="Heat pump", poles=2, rooms=["Inside"], breaker_a=35, cable="10/2 NM")
    unit = toml("loads", name="Heat pump", kind="heat-pump", load_va=4080, volts=240, mca_a=21.0, mocp_a=35)
    made = job(text + unit)
    subjects = [s.subject for s in families()["branch-circuits"].work(House.of(made))]
    assert "Heat pump circuit" not in subjects
    s = sheet(text + unit, "Heat pump")
    assert (s.status, s.results["load_a"]) == ("passes", 17)
    assert any("taken as on it" in note for _, note in s.remarks)


# ---- tankless heaters, large heat, ratings that are seldom kept


@pytest.mark.parametrize(("va", "breaker", "short"), [(36_000, 150, True), (28_800, 150, False), (28_800, 175, True)])
def test_a_tankless_heater_is_divided_above_120_a(va: int, breaker: int, short: bool) -> None:
    """422.11(F)(3), from memory: 120 A a circuit behind 150 A at most; 36 kW is 150 A."""
    s = on({"breaker_a": breaker}, load("tankless-water-heater", va, circuit="C"))
    assert bool({key.partition("[")[0] for key in failing(s)} & {"tankless_divided", "tankless_breaker"}) is short


@pytest.mark.parametrize(("va", "said"), [(11_520, False), (11_760, True)])
def test_resistance_heat_over_48_a_is_remarked(va: int, said: bool) -> None:
    """424.22: parts of 48 A; units carry their own protection as a rule."""
    s = on({}, load("supplemental-heat", va, circuit="C"))
    assert any("48 A" in text for text in s.cautions) is said


def test_a_25_a_breaker_is_told_as_seldom_kept() -> None:
    """Common practice, no source: 30 A is kept, and allowed for a 4,500 W tank."""
    assert any("25 A" in text and "30 A" in text for _, text in on({}, load("water-heater", 4500, circuit="C")).remarks)
    assert not any(
        "seldom" in text for _, text in on({"breaker_a": 30}, load("water-heater", 4500, circuit="C")).remarks
    )


def test_a_nameplate_without_its_largest_breaker_is_not_shown() -> None:
    """A breaker that is given can't be called small enough by a nameplate that nobody read."""
    s = on({"breaker_a": 35, "cable": "10/2 NM"}, load("heat-pump", 4080, circuit="C", mca_a=21.0))
    assert (s.status, [u.at for u in s.unknowns]) == ("not shown", ["loads[1].mocp_a"])
    s = on({"cable": "10/2 NM"}, load("heat-pump", 4080, circuit="C", mca_a=21.0))
    assert s.status == "not shown"
    assert s.refused is not None
