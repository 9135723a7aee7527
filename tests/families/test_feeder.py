"""Rules of conductor sizing, one by one: each docstring is the rule, and numbers are the trade's own."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from calc.codebook import editions
from calc.families import dwelling_load, families
from calc.families.feeder import load_by_tree
from calc.families.feeder.installed import installed
from calc.job import read_job
from calc.wiring.house import House
from calc.work import Missing, Sheet
from tests.families.runs import LUGS_75, failing, job, remedy, results, run, toml, worked

HOUSE = '[dwelling]\nkind = "one-family"\n'


def service(rating: int = 200, **keys: object) -> str:
    """A one-family house with its service run."""
    base = {"role": "service", "calculated_a": 100, "material": "aluminum", "insulation": "XHHW-2", "neutral": None,
            "wiring_method": "PVC-40", **LUGS_75}  # fmt: skip
    return f"{HOUSE}[service]\nrating_a = {rating}\n" + run(**base | keys)


# ---- terminals and columns


def test_the_terminal_column_decides_not_the_insulation() -> None:
    """6 AWG copper THHN: 75 A in its own column, 65 A at 75 C lugs, 55 A at unmarked ones up to 100 A."""
    assert results(run(size="6", calculated_a=50, breaker_a=60, **LUGS_75))["ampacity_a"] == 65
    assert results(run(size="6", calculated_a=50, breaker_a=60))["ampacity_a"] == 55


def test_the_cooler_end_decides() -> None:
    found = results(run(size="6", calculated_a=40, breaker_a=50, terminations_from_c=75, terminations_to_c=60))
    assert (found["terminals_c"], found["ampacity_a"]) == (60, 55)


def test_above_100_a_unmarked_terminals_count_as_75_c() -> None:
    assert results(run(size="3/0", calculated_a=150, breaker_a=200))["ampacity_a"] == 200


def test_terminals_of_90_c_are_refused() -> None:
    sheet = worked(run(size="6", calculated_a=50, breaker_a=60, terminations_from_c=90))
    assert sheet.refused
    assert "60 or 75 °C" in sheet.refused.reason


def test_nm_ends_at_the_60_c_column_whatever_the_lugs() -> None:
    """6/2 NM at 75 C lugs: 55 A, not 65 A."""
    found = results(run(cable="6/2 NM", calculated_a=40, breaker_a=50, **LUGS_75))
    assert (found["ampacity_a"], found["governing_limit"]) == (55, "NM cable, 60 °C")


# ---- correction and adjustment


def test_both_factors_are_taken_and_from_the_column_of_the_insulation() -> None:
    """Four 12/2 in a foamed hole at 113 F: 30 x 0.87 x 0.70 = 18.3 A, not 21.0, 26.1 or 9.9 A."""
    sheet = worked(
        run(role="branch", volts=120, neutral=None, cable="12/2 NM", calculated_a=16, breaker_a=20, ambient_f=113,
            in_insulation=True, cables_bundled=4)
    )  # fmt: skip
    found = sheet.results
    assert found["corrected_a"] == 26.1
    assert found["adjusted_a"] == pytest.approx(18.27)
    assert found["current_carrying"] == 8
    assert failing(sheet) == {"breaker_protects"}


def test_the_formula_stands_beside_the_table() -> None:
    """113 F is 45 C: root(45/60) = 0.866, the table says 0.87, and the sheet goes on with the table."""
    found = results(run(size="6", calculated_a=30, ambient_f=113, **LUGS_75))
    assert found["ambient_c"] == 45
    assert found["formula_factor"] == pytest.approx(0.8660, abs=5e-5)
    assert found["corrected_a"] == pytest.approx(75 * 0.87)


def test_a_fraction_of_a_degree_counts_upward() -> None:
    assert results(run(size="6", calculated_a=30, ambient_f=86.2, **LUGS_75))["ambient_factor"] == 0.96


def test_insulation_without_ampacity_left_falls_short_and_the_rest_is_refused() -> None:
    sheet = worked(run(insulation="TW", size="6", calculated_a=20, ambient_f=140))
    assert failing(sheet) == {"stands_air"}
    assert sheet.refused
    assert "no ampacity left" in sheet.refused.reason


def test_sun_on_a_roof_adds_60_f_only_close_to_it() -> None:
    """95 F and lying on the roof is 155 F; 7/8 in or more above, or XHHW-2, it stays 95 F. The value is marked."""
    roof = {"size": "6", "calculated_a": 20, "location": "rooftop", "ambient_f": 95, "insulation": "THWN-2", **LUGS_75}
    low = worked(run(**roof, above_roof_in=0.5))
    assert low.results["ambient_f"] == 155
    assert "ambient_f" in low.results["from_memory"]
    assert results(run(**roof, above_roof_in=0.875))["ambient_f"] == 95
    assert results(run(**roof | {"insulation": "XHHW-2"}))["ambient_f"] == 95
    assert results(run(**roof))["ambient_f"] == 155, "a height that is not stated counts as none"


def test_a_wye_neutral_counts_and_an_unbalance_neutral_does_not() -> None:
    """Three-wire feeder: two count out of 120/240, three out of 208Y/120; and the wye's neutral is not reduced."""
    assert results(run(calculated_a=80, neutral=True, **LUGS_75))["current_carrying"] == 2
    wye = results(run(calculated_a=80, neutral=True, neutral_a=20, volts=208, **LUGS_75))
    assert wye["current_carrying"] == 3
    assert wye["neutral_size"] == wye["size"]


@pytest.mark.parametrize(
    ("keys", "number"),
    [
        ({"volts": 120, "role": "branch"}, 2),
        ({"volts": 120, "role": "branch", "multiwire": True, "neutral": True}, 2),
        ({"volts": 208, "phases": 3}, 3),
        ({"volts": 208, "phases": 3, "neutral": True}, 3),
        ({"cables_bundled": 3}, 6),
        ({"current_carrying": 9, "cables_bundled": 3}, 9),
    ],
)
def test_conductors_that_count(keys: dict[str, object], number: int) -> None:
    assert results(run(calculated_a=10, breaker_a=15, **keys))["current_carrying"] == number


def test_what_shares_a_raceway_is_counted_but_not_in_a_nipple() -> None:
    """Grounds fill but don't derate; a raceway of 24 in or less lowers nothing."""
    other = run(name="S", calculated_a=20, raceway="C1", neutral=True)
    text = run(calculated_a=40, raceway="C1") + other
    held = '[[raceways]]\nname = "C1"\nkind = "EMT"\nlength_ft = {}\nholds = ["3 x 12 THHN + 12 ground"]\n'
    long = results(text + held.format(2.1))
    assert long["current_carrying"] == 2 + 2 + 3
    assert long["adjustment_pct"] == 70
    short = results(text + held.format(2.0))
    assert "adjustment_pct" not in short
    assert short["adjusted_a"] == short["corrected_a"]


@pytest.mark.parametrize(("held", "pct"), [(28, None), (29, 40)])
def test_a_metal_wireway_adjusts_from_31_conductors_on(held: int, pct: int | None) -> None:
    """376.22(B): with two of its own, 28 others make 30 and lower nothing; 31 are adjusted, in a short piece too."""
    wireway = f'[[raceways]]\nname = "C1"\nkind = "metal-wireway"\nlength_ft = 1\nholds = ["{held} x 12 THHN"]\n'
    alone = results(run(calculated_a=20, raceway="C1") + wireway)
    assert alone.get("adjustment_pct") == pct
    counted = results(run(calculated_a=20, raceway="C1", current_carrying=9) + wireway)
    assert counted["adjustment_pct"] == 70  # as counted in the job, wherever that is along the run


# ---- breaker and continuous load


def test_rounding_up_never_cures_a_conductor_short_of_continuous_load() -> None:
    """A 48 A vehicle supply on 6/2 NM: 55 A is rounded up to 60 A, and still short of 48 x 125 %."""
    ev = toml("loads", name="EV", kind="ev-supply", load_va=11520, volts=240)
    fed = {"role": "branch", "feeds": "EV", "neutral": None, "breaker_a": 60}
    sheet = worked(ev + run(**fed, cable="6/2 NM"))
    assert failing(sheet) == {"carries_continuous"}
    assert "4 AWG copper NM" in sheet.checks[0].remedy
    assert results(ev + run(**fed, **LUGS_75))["size"] == "6 AWG"


def test_the_next_standard_rating_may_protect_but_not_behind_receptacles() -> None:
    """8 AWG NM: 40 A; 10 AWG at 104 F and eight wires 25.5 A takes a 30 A breaker, but no more than 25 A of outlets."""
    low = {"size": "10", "calculated_a": 20, "ambient_f": 104, "current_carrying": 8, "breaker_a": 30, **LUGS_75}
    found = worked(run(**low))
    assert found.results["ampacity_a"] == pytest.approx(40 * 0.91 * 0.7)
    assert found.results["largest_breaker_a"] == 30
    outlets = toml("circuits", name="C", purpose="general")
    sheet = worked(outlets + run(**low, role="branch", feeds="C", volts=120))
    assert sheet.results["largest_breaker_a"] == pytest.approx(25.48)
    assert "breaker_protects" in failing(sheet)


def test_above_800_a_nothing_is_rounded_up() -> None:
    """Three sets of 350 kcmil copper: 930 A may not stand behind 1,000 A, though that is the next rating."""
    sheet = worked(run(size="350", sets=3, calculated_a=900, breaker_a=1000, **LUGS_75))
    assert failing(sheet) == {"breaker_protects"}


def test_a_branch_that_says_not_what_it_feeds_is_held_to_its_ampacity() -> None:
    sheet = worked(run(role="branch", size="8", calculated_a=30, breaker_a=45, insulation="TW"))
    assert sheet.results["largest_breaker_a"] == 40
    assert any("does not say" in caution for caution in sheet.cautions)


def test_small_conductors_have_fixed_limits() -> None:
    """14, 12, 10 copper: 15, 20, 30 A; 12 and 10 aluminum: 15, 25 A."""
    for metal, size, limit in [("copper", "14", 15), ("copper", "12", 20), ("copper", "10", 30),
                               ("aluminum", "12", 15), ("aluminum", "10", 25)]:  # fmt: skip
        found = results(run(size=size, calculated_a=10, material=metal, insulation="XHHW-2", **LUGS_75))
        assert found["small_conductor_a"] == limit


def test_the_nameplate_of_an_air_conditioner_overrules_the_small_conductor_rule() -> None:
    """MCA 21.0, MOCP 35: 12 NM (20 A) is too small, 10 NM (30 A) stands behind 35 A, and 40 A is never right."""
    unit = toml("loads", name="HP", kind="heat-pump", load_va=4080, volts=240, mca_a=21.0, mocp_a=35)
    fed = {"role": "branch", "feeds": "HP", "neutral": None, "location": "dry-throughout"}
    assert worked(unit + run(**fed, cable="10/2 NM")).passes
    assert failing(worked(unit + run(**fed, cable="12/2 NM"))) == {"carries_load"}
    assert failing(worked(unit + run(**fed, cable="10/2 NM", breaker_a=40))) == {"equipment_allows"}
    chosen = results(unit + run(**fed, wiring_method="NM", insulation=None))
    assert (chosen["size"], chosen["breaker_a"]) == ("10 AWG", 35)


def test_a_motor_goes_by_its_horsepower() -> None:
    """1 1/2 hp at 240 V: 10 A by the table. Conductors for 12.5 A, breaker up to 25 A, whatever 14 AWG has otherwise."""
    pump = toml("loads", name="Pump", kind="well-pump", load_va=2400, volts=240, motor_hp=1.5)
    fed = {"role": "branch", "feeds": "Pump", "neutral": None}
    chosen = results(pump + run(**fed, wiring_method="NM", insulation=None))
    assert (chosen["calculated_a"], chosen["design_a"], chosen["breaker_most_a"]) == (10, 12.5, 25)
    assert (chosen["size"], chosen["breaker_a"], chosen["equipment_ground_size"]) == ("14 AWG", 25, "14 AWG")
    assert failing(worked(pump + run(**fed, cable="14/2 NM", breaker_a=30))) == {"equipment_allows"}
    assert worked(pump + run(**fed, cable="14/2 NM", breaker_a=10)).passes
    larger = pump.replace("motor_hp = 1.5", "motor_hp = 2")  # 12 A
    assert failing(worked(larger + run(**fed, cable="14/2 NM", breaker_a=10))) == {"breaker_carries"}


@pytest.mark.parametrize("kind", ["fan", "other"])
def test_what_states_no_horsepower_is_added_as_it_is(kind: str) -> None:
    fastened = {"fastened": True} if kind == "other" else {}
    load = toml("loads", name="Blower", kind=kind, load_va=600, volts=120, **fastened)
    fed = {"role": "branch", "feeds": "Blower", "volts": 120}
    assert results(load + run(**fed, wiring_method="NM", insulation=None))["calculated_a"] == 5


def test_a_nameplate_circuit_without_its_largest_breaker_is_refused() -> None:
    sheet = worked(run(role="branch", calculated_a=21, motor_or_hvac=True))
    assert sheet.refused
    assert "mocp_a" in sheet.refused.reason


@pytest.mark.parametrize(
    ("loads", "design", "breaker"),
    [
        ([("water-heater", 4500)], 23.4375, 25),
        ([("supplemental-heat", 9600), ("fan", 720)], 53.75, 60),
        ([("dryer", 5000)], 20.833333333, 25),
        ([("shop", 2400)], 10, 15),
    ],
)
def test_loads_that_count_as_continuous(loads: list[tuple[str, int]], design: float, breaker: int) -> None:
    """Storage water heater and electric heat with its blower at 125 %; a dryer at its own current."""
    text = toml("circuits", name="C", purpose="individual", poles=2)
    for kind, va in loads:
        text += toml("loads", name=kind, kind=kind, load_va=va, volts=240, circuit="C")
    found = results(text + run(role="branch", feeds="C", neutral=None))
    assert found["design_a"] == design
    assert found["breaker_a"] == breaker


def test_a_continuous_part_counts_at_125_percent() -> None:
    """8 A that comes and goes and 12 A that stays: 8 + 15 = 23 A, a 25 A breaker."""
    found = results(run(calculated_a=20, continuous_a=12))
    assert (found["design_a"], found["breaker_a"]) == (23, 25)


def test_continuous_load_is_measured_against_the_ampacity_before_any_correction() -> None:
    """36 A that stays, at 131 F: 45 A on the 50 A of 8 AWG as the table has it; its corrected 41.8 A carries the 36 A."""
    sheet = worked(run(calculated_a=36, continuous_a=36, ambient_f=131, **LUGS_75))
    assert sheet.results["size"] == "8 AWG"
    assert sheet.results["ampacity_a"] == pytest.approx(41.8)
    assert next(check for check in sheet.checks if check.key == "carries_continuous").holds.left.number == 50
    sets = worked(run(calculated_a=250, continuous_a=250, ambient_f=131, sets=2, size="2/0", **LUGS_75))
    held = next(check for check in sets.checks if check.key == "carries_continuous").holds
    assert (held.left.number, held.right.number, held.holds) == (350, 312.5, True)


def test_a_mend_names_the_least_breaker_that_carries_the_load_and_only_where_the_conductor_takes_it() -> None:
    """12 AWG behind 30 A: 15 A for 12 A, 20 A for 16 A, and no smaller breaker at all where the load needs 25 A."""

    def remedy(amperes: int) -> str:
        sheet = worked(run(size="12", calculated_a=amperes, breaker_a=30, **LUGS_75))
        return next(check.remedy for check in sheet.checks if check.key == "small_conductor")

    assert remedy(12).startswith("a breaker of 15 A, or ")
    assert remedy(16).startswith("a breaker of 20 A, or ")
    assert "a breaker of" not in remedy(22)


def test_cooking_on_a_branch_circuit_goes_by_note_4_as_on_the_circuit_s_own_sheet() -> None:
    """Table 220.55, note 4: 14 kW is 8 kW and 10 %, 8.8 kW or 36.7 A. Two ranges on one circuit have no such rule."""
    stove = toml("loads", name="Stove", kind="range", load_va=14000, volts=240)
    found = results(stove + run(role="branch", feeds="Stove"))
    assert (found["calculated_a"], found["breaker_a"]) == (pytest.approx(8800 / 240), 40)
    two = worked(stove.replace("volts", "count = 2\nvolts") + run(role="branch", feeds="Stove"))
    assert two.refused


def test_the_breaker_of_its_circuit_is_that_of_the_run() -> None:
    """A run that states none takes the one ahead of the circuit that it feeds, not one worked out beside it."""
    text = toml("circuits", name="C", purpose="individual", poles=2, breaker_a=50)
    text += toml("loads", name="Dryer", kind="dryer", load_va=4600, volts=240, circuit="C")
    assert results(text + run(role="branch", feeds="C", neutral=None))["breaker_a"] == 50


# ---- dwelling share


def test_83_percent_of_the_rating_not_of_the_load() -> None:
    """176 A on a 200 A service: 166 A needed, 2/0 copper, not 1/0 for 146 A."""
    found = results(service(calculated_a=176, material="copper"))
    assert (found["dwelling_share_a"], found["size"]) == (166, "2/0 AWG")


@pytest.mark.parametrize("edition", editions())
def test_the_dwelling_share_gives_the_same_sizes_in_every_edition(edition: str) -> None:
    assert results(service(), edition)["size"] == "4/0 AWG"
    assert ("listed_size" in results(service(), edition)) is (edition != "2017")


def test_with_correction_the_share_is_a_required_ampacity_and_no_list() -> None:
    """175 A at 38 C (100.4 F): 1/0 copper XHHW-2 gives 170 x 0.91 = 154.7 A, held to 150 A, over 145.25 A."""
    found = results(service(175, material="copper", ambient_f=100.4))
    assert "listed_size" not in found
    assert (found["adjusted_a"], found["ampacity_a"], found["size"]) == (154.7, 150, "1/0 AWG")
    hot = results(service(175, material="copper", ambient_f=118))
    assert hot["size"] == "2/0 AWG"


def test_the_share_ends_at_400_a_and_begins_at_100_a() -> None:
    assert results(service(400, sets=2))["dwelling_share_a"] == 332
    assert "dwelling_share_a" not in results(service(450, sets=2, calculated_a=300))


def test_a_service_below_its_load_but_at_its_share_says_so() -> None:
    """Two sets of 2/0 copper: 350 A reaches 83 % of 400 A and not a load of 355 A: accepted, and said."""
    sheet = worked(service(400, sets=2, material="copper", calculated_a=355))
    assert (sheet.results["size"], sheet.results["ampacity_a"]) == ("2/0 AWG", 350)
    assert any("under the calculated load" in text for _, text in sheet.remarks)


TREE = (
    toml("panels", name="Meter-main", service_equipment=True, fed_from="utility")
    + toml("panels", name="Indoor", fed_from="Meter-main")
    + '[[runs]]\nname = "S"\nrole = "service"\nfed_from = "utility"\nfeeds = "Meter-main"\nvolts = 240\n'
    'calculated_a = 90\nmaterial = "aluminum"\ninsulation = "XHHW-2"\nterminations_from_c = 75\n'
    "terminations_to_c = 75\n"
)


def subpanel(rating: int, *loads: str, **keys: object) -> str:
    """A feeder from the meter-main to the panel indoors."""
    text = f"{HOUSE}[service]\nrating_a = {rating}\n{TREE}" + "".join(loads)
    base = {"fed_from": "Meter-main", "feeds": "Indoor", "material": "aluminum", "insulation": None,
            "wiring_method": "SER", "neutral": True, **LUGS_75}  # fmt: skip
    return text + run(**base | keys)


def load(name: str, panel: str | None) -> str:
    return toml("loads", name=name, kind="shop", load_va=5000, volts=240, panel=panel)


def test_the_tree_shows_whether_a_feeder_carries_the_whole_dwelling() -> None:
    """Everything indoors: 83 % of 100 A on 2 Al. A vehicle on the meter-main: 1 Al. A load without a panel: not shown."""
    feeder = {"calculated_a": 80, "breaker_a": 100}
    whole = results(subpanel(100, load("Heat", "Indoor"), **feeder))
    assert whole["whole_dwelling"].startswith("yes")
    assert whole["size"] == "2 AWG"
    part = results(subpanel(200, load("Heat", "Indoor"), load("EV", "Meter-main"), **feeder))
    assert part["whole_dwelling"] == "no: EV hangs ahead of it"
    assert part["size"] == "1 AWG"
    unknown = results(subpanel(200, load("Heat", "Indoor"), load("EV", None), **feeder))
    assert unknown["whole_dwelling"].startswith("not shown")
    assert unknown["size"] == "1 AWG"


@pytest.mark.parametrize("kind", ["two-family", "multifamily"])
def test_the_common_conductors_of_several_dwellings_get_no_share(kind: str) -> None:
    text = service().replace("one-family", kind)
    found = results(text)
    assert "dwelling_share_a" not in found
    assert found["size"] == "4/0 AWG", "180 A rounds up to 200 A for a load of 100 A"
    assert results(service(calculated_a=190).replace("one-family", kind))["size"] == "250 kcmil"


def test_a_dwelling_feeder_is_never_larger_than_the_service_conductors() -> None:
    """200 A feeder for 190 A with a vehicle ahead of it: 4/0 Al as the service has, though 180 A is under the load.

    On a larger service, or to another building, it would be 250 kcmil. So it is behind a service of two sets of 4/0: one
    set of 4/0 is no match for two.
    """
    feeder = {"calculated_a": 190, "breaker_a": 200, "insulation": "XHHW-2", "wiring_method": "PVC-40"}
    parts = [load("Heat", "Indoor"), load("EV", "Meter-main")]
    ceiling = worked(subpanel(200, *parts, **feeder))
    assert ceiling.results["size"] == "4/0 AWG"
    assert [check.key for check in ceiling.checks if check.key == "dwelling_ceiling"]
    assert results(subpanel(400, *parts, **feeder))["size"] == "250 kcmil"
    detached = subpanel(200, *parts, **feeder).replace('name = "Indoor"', 'name = "Indoor"\nbuilding = "Shop"') + toml(
        "buildings", name="Shop", kind="workshop"
    )
    assert results(detached)["size"] == "250 kcmil"
    two_sets = subpanel(400, *parts, **feeder).replace("calculated_a = 90", "calculated_a = 300\nsets = 2")
    assert worked(two_sets, subject="S").results["size"] == "4/0 AWG"
    assert results(two_sets)["size"] == "250 kcmil"


# ---- places


@pytest.mark.parametrize("location", ["wet", "buried", "damp", "rooftop"])
def test_nm_falls_short_where_it_is_wet(location: str) -> None:
    """NM in a buried conduit to the garage: the conduit does not make it dry; the rest of the sheet is worked."""
    sheet = worked(run(cable="6/3 NM", wiring_method="PVC-40", location=location, calculated_a=50))
    assert sheet.status == "falls short"
    assert failing(sheet) - {"carries_continuous", "carries_load", "breaker_protects"} == {"type_fits_place"}
    assert sheet.refused is None
    (check,) = (check for check in sheet.checks if check.key == "type_fits_place")
    assert any("334.12(B)(4)" in cite.section for cite in check.cites)
    assert check.remedy.startswith("UF")
    assert "single conductors such as" in check.remedy
    assert location == "rooftop" or sheet.results["ampacity_a"] == 55
    assert any("NM may not lie in" in note["text"] for note in sheet.as_json()["notes"])


def test_insulation_in_wet_places() -> None:
    """THHN not at all; XHHW at 75 C; XHHW-2 and THWN-2 at 90 C; UF at 60 C."""
    wet = {"calculated_a": 40, "wiring_method": "PVC-40", "location": "buried", **LUGS_75}
    dry_type = worked(run(**wet, insulation="THHN"))
    assert failing(dry_type) == {"type_fits_place"}
    assert "THWN-2" in remedy(dry_type, "type_fits_place")
    assert results(run(**wet, insulation="XHHW"))["insulation_c"] == 75
    assert results(run(**wet, insulation="THWN-2"))["insulation_c"] == 90
    assert results(run(**wet | {"wiring_method": None}, cable="6/3 UF"))["limit_c"] == 60


def test_what_is_made_for_the_ground_may_not_lie_in_the_house() -> None:
    """USE has no flame test: dry and damp places want another type."""
    sheet = worked(run(insulation="USE-2", calculated_a=40))
    assert failing(sheet) == {"type_fits_place"}
    assert "THHW" in remedy(sheet, "type_fits_place")


@pytest.mark.parametrize("edition", editions())
@pytest.mark.parametrize(
    ("location", "marked_for", "state"),
    [
        ("dry", None, "passes"),
        ("wet", None, "not shown"),
        ("wet", "dry", "falls short"),
        ("wet", "wet", "passes"),
        ("rooftop", "wet", "passes"),
        ("buried", None, "not shown"),
        ("buried", "wet", "falls short"),
        ("buried", "direct-burial", "passes"),
        ("wet", "direct-burial", "passes"),
    ],
)
def test_metal_clad_cable_may_be_wet_or_in_the_earth_as_it_is_marked(
    location: str, marked_for: str | None, state: str, edition: str
) -> None:
    """330.10(A)(5) and (11): a jacket and wires for wet places, identified for the earth; not read is not known.

    Wires for wet places may be of 75 C there (THWN), which is what is taken.
    """
    earth = {"burial_in": 24, "burial_under": "yard"} if location == "buried" else {}
    keys = {"cable": "12/2 MC", "location": location, "marked_for": marked_for, "calculated_a": 10, **earth}
    sheet = worked(run(**keys), edition)
    assert sheet.status == state
    assert failing(sheet) == ({"type_fits_place"} if state == "falls short" else set())
    assert [each.at for each in sheet.unknowns] == (["runs[1].marked_for"] if state == "not shown" else [])
    if state == "passes":
        assert sheet.results["insulation_c"] == (90 if location == "dry" else 75)
        assert any("as marked for" in text for _, text in sheet.remarks) is (location != "dry")


def test_a_marking_makes_no_other_cable_fit() -> None:
    """NM has none for wet places, whatever is said of it."""
    sheet = worked(run(cable="12/2 NM", location="wet", marked_for="direct-burial", calculated_a=10))
    assert failing(sheet) == {"type_fits_place"}


def test_service_entrance_cable_may_not_be_buried() -> None:
    sheet = worked(run(cable="4/0-4/0-4/0-2/0 SER Al", location="buried", calculated_a=100))
    assert failing(sheet) == {"type_fits_place"}
    assert "cover_in" not in sheet.results


def test_bundles_of_armored_cable_are_adjusted_and_the_let_off_is_named() -> None:
    """Four 12/2 AC together: 70 % of 30 A, though 310.15(C)(1)(d) may let them off."""
    sheet = worked(run(cable="12/2 AC", wiring_method=None, cables_bundled=4, calculated_a=10))
    lines = {line["key"]: line for line in sheet.as_json()["lines"]}
    assert (lines["adjustment_pct"]["value"], lines["bundle_counted"]["sections"]) == (70, ["310.15(C)(1)(d)"])
    assert "bundle_counted" not in results(run(cable="12/2 NM", wiring_method=None, cables_bundled=4, calculated_a=10))


PROTECTED = {"role": "branch", "volts": 120, "breaker_a": 20, "ground_fault_protected": True}


@pytest.mark.parametrize(
    ("keys", "cover"),
    [
        ({"cable": "10/2 UF", "wiring_method": None}, 24),
        ({"wiring_method": "RMC"}, 6),
        ({"wiring_method": "PVC-80"}, 18),
        ({"wiring_method": "PVC-40", "burial_under": "street"}, 24),
        ({"wiring_method": "PVC-40", "burial_under": "slab"}, 4),
        ({"cable": "12/2 UF", "wiring_method": None, "role": "branch", "volts": 120, "breaker_a": 20,
          "ground_fault_protected": True}, 12),
        ({"cable": "12/2 UF", "wiring_method": None, "role": "branch", "volts": 120, "breaker_a": 20}, 24),
        ({"cable": "10/2 UF", "wiring_method": None, "role": "branch", "volts": 120, "breaker_a": 30,
          "ground_fault_protected": True}, 24),
        ({"cable": "12/2 UF", "wiring_method": None, "burial_under": "slab", **PROTECTED}, 6),
        ({"wiring_method": "PVC-40", "burial_under": "slab", **PROTECTED}, 4),
        ({"wiring_method": "PVC-40", **PROTECTED}, 12),
        ({"wiring_method": "RMC", **PROTECTED}, 6),
    ],
)  # fmt: skip
def test_cover_by_method_and_place(keys: dict[str, object], cover: float) -> None:
    buried = {"location": "buried", "insulation": None if "cable" in keys else "THWN-2", "calculated_a": 10} | keys
    sheet = worked(run(**buried, burial_in=cover))
    assert sheet.results["cover_in"] == cover
    assert "deep_enough" not in failing(sheet)
    assert "deep_enough" in failing(worked(run(**buried, burial_in=cover - 0.5)))


def test_a_protected_circuit_in_a_raceway_under_a_building_needs_no_cover() -> None:
    """The table has no row for the circuit there, and asks for no cover of a raceway."""
    under = {"wiring_method": "PVC-40", "insulation": "THWN-2", "location": "buried", "burial_under": "building"}
    assert results(run(**under, calculated_a=10, **PROTECTED))["cover_in"] == 0


def test_the_shallower_column_holds_by_its_note() -> None:
    """4 in under a slab in a raceway, though the protected circuit's own column has 6: note 4 of the table."""
    slab = {"wiring_method": "PVC-40", "insulation": "THWN-2", "location": "buried", "burial_under": "slab"}
    cover = next(line for line in worked(run(**slab, calculated_a=10, **PROTECTED)).as_json()["lines"] if line["key"] == "cover_in")  # fmt: skip
    assert "Table 300.5(A), column 4 and note 4" in cover["sections"]


def test_a_driveway_of_flats_is_a_street() -> None:
    drive = run(
        wiring_method="PVC-40", insulation="THWN-2", location="buried", burial_under="driveway", calculated_a=10
    )
    assert results(drive)["cover_in"] == 18
    assert results('[dwelling]\nkind = "multifamily"\n' + drive)["cover_in"] == 24


def test_burial_of_what_the_table_does_not_know_is_refused() -> None:
    assert worked(run(insulation="THWN-2", wiring_method="EMT", location="buried", calculated_a=10)).refused


@pytest.mark.parametrize("edition", ["2017", "2020", "2023", "2026"])
def test_flexible_conduit_may_not_lie_where_it_is_wet_nor_tubing_of_plastic_in_the_earth(edition: str) -> None:
    """348.12, 362.12: FMC has open seams, ENT is crushed; liquid-tight conduit and PVC stand it."""
    keys = {"insulation": "THWN-2", "calculated_a": 20}
    for kind, location, short in (("FMC", "wet", True), ("FMC", "rooftop", True), ("FMC", "buried", True), ("ENT", "buried", True),
                                  ("ENT", "wet", False), ("LFMC", "wet", False), ("FMC", "damp", False),
                                  ("PVC-40", "buried", False)):  # fmt: skip
        found = worked(run(**keys, wiring_method=kind, location=location), edition)
        assert ("raceway_fits_place" in failing(found)) is short, (kind, location)
        assert found.refused is None, (kind, location)


@pytest.mark.parametrize(
    ("on_it", "short", "open_to"),
    [
        (toml("circuits", name="a", panel="Sub", purpose="general", breaker_a=15), True, False),
        (toml("circuits", name="b", panel="Sub", purpose="individual", poles=2), False, False),
        (toml("loads", name="dryer", kind="dryer", load_va=5000, volts=240, panel="Sub"), True, False),
        (toml("loads", name="saws", kind="shop", load_va=5000, volts=240, panel="Sub"), False, True),
        ("", False, True),
    ],
)
def test_a_feeder_has_a_neutral_where_anything_behind_it_uses_one(on_it: str, short: bool, open_to: bool) -> None:
    """In another building what hangs there tells; where nobody says what does, nobody knows."""
    shed = toml("buildings", name="Shed", kind="workshop") + toml("panels", name="Sub", building="Shed")
    bare = run(feeds="Sub", neutral=False, calculated_a=20)
    s = worked(shed + on_it + bare)
    assert ("neutral_there" in failing(s)) is short
    assert ("neutral_there" in {unknown.key for unknown in s.unknowns}) is open_to
    assert "neutral_there" not in failing(worked(shed + on_it + bare.replace("neutral = false", "neutral = true")))


def test_a_service_and_a_panel_of_the_house_have_their_neutral() -> None:
    """The service of a dwelling always; a panel in it, unless its circuits tell, is not known to do without."""
    home = toml("dwelling", kind="one-family").replace("[[", "[").replace("]]", "]") + toml("panels", name="Main")
    service, inside = (worked(home + run(role=role, feeds="Main", neutral=False, calculated_a=20)) for role in ("service", "feeder"))  # fmt: skip
    assert "neutral_there" in failing(service)
    assert "neutral_there" in {unknown.key for unknown in inside.unknowns}


@pytest.mark.parametrize("edition", editions())
def test_mc_cable_marked_for_the_earth_may_lie_under_a_building_as_it_is(edition: str) -> None:
    """300.5(C), exception 2; whoever has not read its marking is not told that it passes."""
    of = {"cable": "10/2 MC", "location": "buried", "burial_under": "building", "calculated_a": 10}
    marked, unread = (worked(run(**of, **keys), edition) for keys in ({"marked_for": "direct-burial"}, {}))
    assert not failing(marked)
    assert not marked.unknowns
    assert unread.unknowns


def test_a_cable_under_a_building_falls_short_without_a_raceway() -> None:
    below = run(cable="10/2 UF", wiring_method=None, location="buried", burial_under="building", calculated_a=10)
    assert "under_building" in failing(worked(below))


@pytest.mark.parametrize("edition", editions())
def test_a_plastic_raceway_is_no_equipment_ground(edition: str) -> None:
    """Steel tubing serves, flexible conduit under conditions that the job doesn't state, plastic never."""
    plastic = worked(
        run(wiring_method="PVC-40", insulation="THWN-2", equipment_ground="raceway", calculated_a=40), edition
    )
    assert failing(plastic) == {"equipment_ground_of_metal"}
    steel, flexible = (worked(run(wiring_method=kind, insulation="THWN-2", equipment_ground="raceway", calculated_a=40), edition)
                       for kind in ("EMT", "FMC"))  # fmt: skip
    assert (steel.status, flexible.status) == ("passes", "not worked")


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ({"location": "attic"}, "taken as 86 °F"),
        ({"location": "attic", "ambient_f": 130}, ""),
        ({"sets": 2, "calculated_a": 300}, "Parallel sets"),
        ({"fed_from": "S"}, "rules for taps"),
        ({"role": "branch"}, "does not say what"),
        ({"volts": 208, "phases": 3, "neutral": True}, "electronic"),
        ({"wiring_method": "PVC-40", "location": "buried", "insulation": "THWN-2"}, "Schedule 80"),
        ({"cable": "2/3 NM"}, "from memory"),
    ],
)
def test_what_a_sheet_does_not_cover_is_said(keys: dict[str, object], said: str) -> None:
    other = run(name="S", calculated_a=40)
    cautions = worked(other + run(**{"calculated_a": 40} | keys)).cautions[1:]
    assert any(said in caution for caution in cautions) if said else not cautions


# ---- parallel sets and tables' ends


def test_parallel_sets_begin_at_1_0() -> None:
    """Two 1 AWG for 260 A fall short, with what they carry worked. Left to the sheet, two sets of 1/0."""
    small = worked(run(size="1", sets=2, calculated_a=260, **LUGS_75))
    assert failing(small) == {"parallel_large_enough"}
    assert remedy(small, "parallel_large_enough").startswith("1/0 AWG or larger")
    assert small.results["ampacity_a"] == 260
    assert results(run(sets=2, calculated_a=260, **LUGS_75))["size"] == "1/0 AWG"


def test_a_load_beyond_the_tables_is_refused_with_what_would_serve() -> None:
    sheet = worked(run(calculated_a=600, **LUGS_75))
    assert sheet.refused
    assert "more sets in parallel" in sheet.refused.reason


def test_a_cable_that_is_not_made_large_enough_is_refused() -> None:
    sheet = worked(run(wiring_method="NM", insulation=None, calculated_a=110, breaker_a=110))
    assert sheet.refused
    assert "made up to 2 AWG" in sheet.refused.reason


def test_only_sizes_that_are_made() -> None:
    """NM has no 3 AWG: 75 A goes from 4/3 to 2/3; SER 4/0 comes as 4/0-4/0-4/0-2/0."""
    assert results(run(wiring_method="NM", insulation=None, calculated_a=75))["size"] == "2 AWG"
    ser = results(
        run(wiring_method="SER", insulation=None, material="aluminum", neutral=True, calculated_a=170, **LUGS_75)
    )
    assert (ser["size"], ser["equipment_ground_size"]) == ("4/0 AWG", "2/0 AWG")
    refused = worked(run(wiring_method="NM", insulation=None, size="3", calculated_a=60)).refused
    assert refused
    assert "not made in 3 AWG" in refused.reason


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ({"wiring_method": "overhead"}, "free air"),
        ({"insulation": None}, "no cable and no insulation"),
        ({"size": "900"}, "not in the ampacity table, which has 14 AWG to 750 kcmil of copper"),
        ({"size": "14", "material": "aluminum"}, "which has 12 AWG to 750 kcmil of aluminum"),
        ({"calculated_a": 3900}, "The ampacity table ends at 750 kcmil, and that does not serve 3,900 A"),
        (
            {"wiring_method": "NM", "insulation": None, "material": "aluminum"},
            "NM is made of copper, with up to 4 conductors",
        ),
        ({"calculated_a": None, "feeds": "P", "breaker_a": None}, "has no load"),
        ({"calculated_a": None, "feeds": "Q", "continuous_a": 50}, "larger than its whole load"),
    ],
)
def test_what_can_not_be_worked_is_refused(keys: dict[str, object], said: str) -> None:
    panels = toml("panels", name="P") + toml("panels", name="Q")
    load = toml("loads", name="L", kind="shop", load_va=2400, volts=keys.get("volts", 240), panel="Q")
    refused = worked(panels + load + run(**{"calculated_a": 40} | keys)).refused
    assert refused
    assert said in refused.reason


# ---- neutral


def test_a_service_neutral_has_a_floor() -> None:
    """1/0 copper service with 45 A on the neutral: 6 AWG by the bonding table, not 8 by the load."""
    found = results(service(150, size="1/0", material="copper", neutral_a=45))
    assert (found["neutral_by_load"], found["neutral_floor"], found["neutral_size"]) == ("8 AWG", "6", "6 AWG")


@pytest.mark.parametrize(
    ("edition", "sections"),
    [("2017", ("250.24(C)(2)", "310.10(H)(1)")), ("2020", ("250.24(C)(2)", "310.10(G)(1)")), ("2023", ("250.24(D)(2)", "310.10(G)(1)"))],
)  # fmt: skip
def test_the_neutral_of_parallel_sets_is_no_smaller_than_may_run_in_parallel(
    edition: str, sections: tuple[str, str]
) -> None:
    """Each set's neutral by its own conductors, 2 AWG for 4/0 aluminum, but 1/0 is the least in parallel."""
    sheet = worked(service(400, size="4/0", sets=2, neutral_a=100), edition)
    lines = {line["key"]: line for line in sheet.as_json()["lines"]}
    assert (lines["neutral_floor"]["value"], lines["neutral_floor_parallel"]["result"]) == ("2", "1/0 AWG")
    assert sections[0] in lines["neutral_floor"]["sections"]
    assert sections[1] in lines["neutral_floor_parallel"]["sections"]


def test_a_feeder_neutral_is_no_smaller_than_the_ground() -> None:
    found = results(run(calculated_a=180, breaker_a=200, neutral=True, neutral_a=10, **LUGS_75))
    assert (found["neutral_floor"], found["neutral_size"]) == ("6", "6 AWG")


def test_a_neutral_by_load() -> None:
    """88.5 A on aluminum at 75 C: 2 AWG (90 A), and the floor of a 4/0 service is 2 AWG too."""
    found = results(service(neutral_a=88.5))
    assert (found["neutral_by_load"], found["neutral_floor"], found["neutral_size"]) == ("2 AWG", "2", "2 AWG")


def test_a_neutral_that_is_too_small_falls_short() -> None:
    assert "neutral_serves" in failing(worked(service(size="4/0", neutral_size="4", neutral_a=88.5)))


def test_a_reduced_neutral_without_a_known_load_is_not_taken_on_trust() -> None:
    """SEU 4/0-4/0-2/0: its 2/0 neutral needs the neutral's load; with 120 A it serves."""
    entrance = {"cable": "4/0-4/0-2/0 SEU Al", "insulation": None, "material": None, "wiring_method": None}
    unknown = worked(service(**entrance))
    assert failing(unknown) == {"neutral_serves"}
    assert any("neutral_a" in check.remedy for check in unknown.checks)
    assert worked(service(**entrance, neutral_a=120)).passes


def test_a_breaker_that_is_no_standard_rating_is_named() -> None:
    assert any("55 A is no standard" in said for said in worked(run(calculated_a=40, breaker_a=55)).cautions)
    assert not any("no standard" in said for said in worked(run(calculated_a=40, breaker_a=60)).cautions)


def test_parallel_neutrals_are_no_smaller_than_1_0() -> None:
    """And it is the floor of parallel sets that decides, not 60 A, which two sets of 10 AWG aluminum (30 A each) carry."""
    found = results(service(400, sets=2, neutral_a=60))
    assert (found["neutral_by_load"], found["neutral_rule"], found["neutral_size"]) == (
        "10 AWG",
        "by its floor",
        "1/0 AWG",
    )


def test_the_neutral_of_a_branch_circuit_is_like_its_legs() -> None:
    assert (
        results(run(role="branch", volts=120, neutral=None, calculated_a=15, breaker_a=20))["neutral_size"] == "12 AWG"
    )


# ---- equipment grounding conductor


def test_the_ground_follows_the_breaker_not_the_service_table() -> None:
    """200 A feeder of 4/0 Al with a copper ground: 6 AWG, not the 4 AWG of the electrode table."""
    found = results(run(cable="3 x 4/0 XHHW-2 Al + 6 ground Cu", wiring_method="PVC-40", neutral=True, calculated_a=170,
                        breaker_a=200))  # fmt: skip
    assert found["equipment_ground_table"] == "6"
    assert found["equipment_ground_size"] == "6 AWG"


def test_the_ground_grows_with_conductors_enlarged_for_drop() -> None:
    """20 A on 10 AWG instead of 12: the ground is 10 AWG."""
    found = results(run(role="branch", volts=120, calculated_a=16, breaker_a=20, size="10"))
    assert (found["equipment_ground_cmil"], found["equipment_ground_size"]) == (10380, "10 AWG")


def test_one_circular_mil_short_is_short_and_the_other_reading_is_shown() -> None:
    """60 A, 6 to 4 AWG: 10,380 x 41,740 / 26,240 = 16,511; 8 AWG has 16,510. Strictly 6 AWG, forgiven 8."""
    sheet = worked(run(calculated_a=50, breaker_a=60, size="4", **LUGS_75))
    found = sheet.results
    assert found["equipment_ground_cmil"] == pytest.approx(16511, abs=0.5)
    assert (found["equipment_ground_size"], found["equipment_ground_forgiven"]) == ("6 AWG", "8 AWG")
    assert any("forgiven" in text for _, text in sheet.remarks)


@pytest.mark.parametrize(
    ("edition", "ground"), [("2017", "8 AWG"), ("2020", "10 AWG"), ("2023", "10 AWG"), ("2026", "10 AWG")]
)
def test_size_forced_by_heat_enlarges_the_ground_up_to_2017(edition: str, ground: str) -> None:
    """30 A at 140 F, seven together: 8 AWG instead of 10. In 2017 the ground grows with it, from 2020 on it does not."""
    found = results(run(calculated_a=25, breaker_a=30, ambient_f=140, current_carrying=7, **LUGS_75), edition)
    assert found["size"] == "8 AWG"
    assert found["equipment_ground_size"] == ground


def test_the_ground_is_never_larger_than_the_circuit() -> None:
    found = results(run(role="branch", calculated_a=20, motor_or_hvac=True, breaker_a=70, size="10", **LUGS_75))
    assert (found["equipment_ground_table"], found["equipment_ground_size"]) == ("8", "10 AWG")


def test_a_run_without_ground_falls_short() -> None:
    for keys in ({"equipment_ground": "none"}, {"cable": "6/2 NM without ground"}):
        assert "equipment_ground_present" in failing(worked(run(**{"calculated_a": 40} | keys)))


def test_metal_raceways_and_the_armor_of_ac_serve_as_ground() -> None:
    armored = worked(run(wiring_method="AC", insulation=None, calculated_a=20))
    assert armored.passes
    assert armored.results["equipment_ground_size"] == "the AC itself"
    assert results(run(calculated_a=40, equipment_ground="raceway"))["equipment_ground_size"] == "the EMT itself"


def test_a_ground_that_is_too_small_falls_short() -> None:
    sheet = worked(run(calculated_a=90, breaker_a=100, size="2", ground_size="10", **LUGS_75))
    assert failing(sheet) == {"equipment_ground_serves"}


# ---- load


def test_the_service_takes_its_load_from_the_dwelling_sheet() -> None:
    house = ("[dwelling]\nkind = 'one-family'\nfloor_area_ft2 = 3000\n[service]\nrating_a = 200\n"
             + toml("loads", name="Heat", kind="space-heat", load_va=10000, volts=240) + toml("panels", name="P"))  # fmt: skip
    sheet = worked(
        house + run(role="service", feeds="P", neutral=None, material="aluminum", insulation="XHHW-2", **LUGS_75)
    )
    shown = sheet.as_json()
    assert any(given["at"].startswith("Dwelling load") for given in shown["givens"])
    assert sheet.results["design_a"] == sheet.results["calculated_a"], "heat at 125 % is a rule of branch circuits"
    assert sheet.results["calculated_a"] > 0
    assert sheet.results["size"] == "4/0 AWG"


def test_a_run_takes_the_sum_of_a_list_of_loads() -> None:
    """A shop: 4,680 VA and 3,000 VA on its panel, at 240 V: 32 A."""
    shop = toml("panels", name="Shop") + "".join(
        toml("loads", name=name, kind="shop", load_va=va, volts=240, panel="Shop")
        for name, va in [("A", 4680), ("B", 3000)]
    )
    assert results(shop + run(feeds="Shop", neutral=True))["calculated_a"] == 32
    lit = shop + toml("circuits", name="Lights", panel="Shop", purpose="lighting")
    refused = worked(lit + run(feeds="Shop", neutral=True)).refused
    assert refused
    assert isinstance(refused, Missing)
    assert refused.at == "circuits[1].load_va"


def test_circuits_and_the_largest_motor_count_beside_the_list() -> None:
    """4,680 + lighting 900 + two small-appliance circuits 3,000 + pump 1,200 and a quarter of it: 10,080 VA, 42 A."""
    shop = toml("panels", name="Shop") + toml("circuits", name="Lights", panel="Shop", purpose="lighting", load_va=900)
    shop += "".join(toml("circuits", name=n, panel="Shop", purpose="small-appliance") for n in ("One", "Two"))
    shop += toml("loads", name="Saw", kind="shop", load_va=4680, volts=240, panel="Shop")
    shop += toml("loads", name="Pump", kind="well-pump", load_va=1200, volts=240, panel="Shop")
    assert results(shop + run(feeds="Shop", neutral=True))["calculated_a"] == (4680 + 900 + 3000 + 1200 + 300) / 240
    washing = toml("panels", name="Shop") + toml("loads", name="D", kind="dryer", load_va=4600, volts=240, panel="Shop")
    assert results(washing + run(feeds="Shop", neutral=True))["feeder_va"] == 5000


APPLIANCES = (("water-heater", 4500), ("dishwasher", 1200), ("microwave", 1500), ("tankless-water-heater", 900))


def part_of_house(**keys: object) -> str:
    """A house of 2,000 ft2 with a main panel and a subpanel, on which a range, a dryer and four appliances hang."""
    text = (
        '[dwelling]\nkind = "one-family"\nfloor_area_ft2 = 2000\n'
        + toml("panels", name="Main")
        + toml("panels", name="Sub")
    )
    text += toml("circuits", name="Lights", panel="Main", purpose="lighting")
    text += toml("circuits", name="Washer", panel="Sub", purpose="laundry")
    text += "".join(toml("circuits", name=f"Kitchen {n}", panel="Sub", purpose="small-appliance") for n in (1, 2))
    for kind, va in (("range", 12000), ("dryer", 5500), *APPLIANCES):
        text += toml("loads", name=kind, kind=kind, load_va=va, volts=240, panel="Sub")
    text += toml("loads", name="spa", kind="spa", load_va=6000, volts=240, panel="Main")
    return text + run(fed_from="Main", feeds="Sub", neutral=True, **keys)


def test_a_subpanel_has_the_demand_of_each_group_on_it() -> None:
    """3,000 + 35 % of 1,500, range 8,000, dryer 5,500, 75 % of 8,100: 23,100 VA, 96.25 A, not the sum of 125 A and more."""
    found = results(part_of_house())
    assert found["general_demand_va"] == 3000 + 0.35 * 1500
    assert (found["cooking_demand_va"], found["dryer_demand_va"], found["fastened_demand_va"]) == (8000, 5500, 6075)
    assert found["feeder_va"] == 3525 + 8000 + 5500 + 6075
    assert found["calculated_a"] == found["feeder_va"] / 240


def test_a_subpanel_has_the_lighting_of_the_floor_area_that_it_serves() -> None:
    """600 ft2 x 3 VA beside three circuits of 1,500 VA: 6,300 VA, 3,000 in full and 3,300 at 35 %; all lights: 2,000 ft2."""
    found = results(part_of_house(served_area_ft2=600))
    assert (found["general_lighting_va"], found["general_demand_va"]) == (1800, 3000 + 0.35 * 3300)
    moved = part_of_house().replace('name = "Lights"\npanel = "Main"', 'name = "Lights"\npanel = "Sub"')
    assert results(moved)["general_lighting_va"] == 6000


def test_of_another_building_nothing_is_taken_off() -> None:
    """A workshop is no dwelling: its four appliances, its range and its kitchen circuits count in full."""
    text = part_of_house().replace('[[panels]]\nname = "Sub"\n', '[[panels]]\nname = "Sub"\nbuilding = "Shop"\n')
    found = results(text + toml("buildings", name="Shop", kind="workshop"))
    assert found["feeder_va"] == 4500 + 12000 + 5500 + 8100


def test_the_tree_gives_a_load_whatever_the_run_says() -> None:
    """40 A entered for what needs 96.25 A: the load by the tree stands beside it; what isn't told makes it 'or more'."""
    made = job(part_of_house(calculated_a=40))
    tree = load_by_tree(House.of(made), made.runs[0])
    assert (tree.status, tree.results["calculated_a"]) == ("passes", 23100 / 240)
    made = job(part_of_house(calculated_a=40) + toml("circuits", name="Bath", panel="Sub", purpose="bathroom"))
    tree = load_by_tree(House.of(made), made.runs[0])
    assert (tree.status, tree.results["calculated_a"]) == ("not shown", 23100 / 240)
    assert tree.unknowns[0].at == "circuits[5].load_va"
    bare = toml("panels", name="P") + toml("loads", name="Saw", kind="shop", load_va=4800, volts=240, panel="P")
    made = job(bare + run(feeds="P", calculated_a=10))
    tree = load_by_tree(House.of(made), made.runs[0])
    assert (tree.status, tree.results["calculated_a"]) == ("not shown", 20), (
        "no circuit is listed: lights may hang there"
    )
    assert tree.unknowns[0].at == "runs[1].served_area_ft2"


def test_single_phase_loads_on_three_legs_are_not_known_by_leg() -> None:
    """10 kVA spread evenly over 208 V of three phases is 27.8 A; on two legs alone it would be 48.1 A."""
    text = toml("panels", name="P") + toml("loads", name="Kiln", kind="shop", load_va=10000, volts=208, panel="P")
    sheet = worked(text + run(feeds="P", volts=208, phases=3, served_area_ft2=0, neutral=True))
    assert sheet.results["calculated_a"] == pytest.approx(10000 / (208 * 3**0.5))
    assert sheet.status == "not shown"
    assert [unknown.key for unknown in sheet.unknowns] == ["legs_known"]


def test_the_breaker_stands_for_a_load_that_is_not_known() -> None:
    """6 AWG behind 50 A with no load told: its size is judged by the breaker, and whether that carries the load isn't known."""
    sheet = worked(run(calculated_a=None, size="6", breaker_a=50, **LUGS_75))
    assert sheet.results["calculated_a"] == 50
    assert (sheet.status, failing(sheet)) == ("not shown", set())
    assert [(unknown.key, unknown.at) for unknown in sheet.unknowns] == [("breaker_carries", "runs[1].calculated_a")]
    assert "breaker_protects" in failing(worked(run(calculated_a=None, size="8", breaker_a=60, **LUGS_75)))


@pytest.mark.parametrize(
    ("parts", "keys", "said"),
    [
        ([], {}, "not shown: the job names nothing that Indoor supplies"),
        (["Indoor"], {"breaker_a": 100}, "not shown: its breaker of 100 A is smaller than the service of 200 A"),
        (["Indoor"], {"breaker_a": 200}, "yes: everything is on the panel that it feeds"),
    ],
)
def test_an_empty_panel_or_a_smaller_feeder_shows_nothing(parts: list[str], keys: dict[str, int], said: str) -> None:
    """A 100 A subpanel on a 200 A service never gets the dwelling share, however little the job says of it."""
    loads = [load(f"Load at {panel}", panel) for panel in parts]
    found = results(subpanel(200, *loads, calculated_a=80, **keys))
    assert found["whole_dwelling"] == said
    assert ("dwelling_share_a" in found) is said.startswith("yes")


def test_a_panel_in_another_building_has_not_the_whole_dwelling_on_it() -> None:
    """Though no load of the house itself is named."""
    shop = HOUSE + toml("buildings", name="Shop", kind="workshop") + toml("panels", name="P", building="Shop")
    shop += toml("loads", name="Saw", kind="shop", load_va=4680, volts=240, panel="P")
    assert results(shop + run(feeds="P", neutral=True))["whole_dwelling"] == "no: P stands in another building"


def test_a_feeder_counts_vehicle_supply_as_continuous_and_heat_as_it_is() -> None:
    """9,600 VA of charging and 9,600 VA of heat on one panel: 40 x 125 % + 40 = 90 A."""
    panel = toml("panels", name="P") + "".join(
        toml("loads", name=kind, kind=kind, load_va=9600, volts=240, panel="P") for kind in ("ev-supply", "space-heat")
    )
    found = results(panel + run(feeds="P", neutral=True))
    assert (found["calculated_a"], found["continuous_a"], found["design_a"]) == (80, 40, 90)


def test_a_feeder_with_the_whole_dwelling_is_rated_like_the_service() -> None:
    found = results(subpanel(200, load("Heat", "Indoor"), calculated_a=80))
    assert (found["breaker_a"], found["size"]) == (200, "4/0 AWG")


def test_a_run_without_runs_says_what_is_missing() -> None:
    from calc.families import feeder

    assert feeder.needs(job("")) == ["one or more [[runs]] of role service, feeder or branch"]


# ---- dwellings of a building


FLATS = (
    '[dwelling]\nkind = "multifamily"\n[[dwelling.units]]\nname = "Flats"\ncount = 4\nfloor_area_ft2 = 900\n'
    '[[dwelling.units]]\nname = "Studios"\nfloor_area_ft2 = 500\n'
    '[service]\nsystem = "208Y/120"\nphases = 3\nmain_a = 400\n'
    + toml("panels", name="Meters", fed_from="utility")
    + toml("panels", name="In a flat", unit_group="Flats")
    + toml("panels", name="In a studio", unit_group="Studios")
)
WYE = {"volts": 208, "neutral": True, **LUGS_75}


def of_flats(text: str, *more: str) -> str:
    """A building with a range, a heater and a dryer in each flat, and a run."""
    loads = [("Range", "range", 9600), ("Heat", "space-heat", 6000), ("Dryer", "dryer", 5000)]
    return FLATS + "".join(
        toml("loads", name=name, kind=kind, load_va=va, volts=208, panel="In a flat", fastened=True)
        for name, kind, va in loads
    ) + "".join(more) + text  # fmt: skip


def unit_feeder(**keys: object) -> str:
    return run(**{"fed_from": "Meters", "feeds": "In a flat", **WYE, **keys})


def test_the_feeder_of_one_unit_carries_the_whole_load_of_one_dwelling() -> None:
    """Its load and its rating are those of the unit, not of the building; the share is 83 % of that rating."""
    found = results(of_flats(unit_feeder()))
    assert found["whole_dwelling"] == "yes: everything in one of Flats is on the panel that it feeds"
    assert (found["calculated_a"], found["breaker_a"]) == (110, 110)
    assert found["dwelling_share_a"] == pytest.approx(0.83 * 110)
    assert (found["current_carrying"], found["neutral_size"]) == (3, found["size"])
    assert results(of_flats(unit_feeder(feeds="In a studio")))["whole_dwelling"].startswith("yes")


OPTIONAL = FLATS.replace("phases = 3", 'phases = 3\nload_method = "optional"')


def test_the_feeder_of_one_unit_goes_by_the_optional_method_where_the_job_takes_it() -> None:
    """220.82(A): not less than 100 A by the optional method, and never more than the standard load asks.

    Flat: 900 x 3 + 3 x 1500 + 9600 + 5000 = 21,800 VA; 10,000 + 40 % of 11,800 = 14,720; heat 65 % of 6000 = 3900;
    18,620 / 208 = 89.5 A, so 100 A, under the standard 110 A. Three phases are not three wires: 110 A stays.
    """
    flat = of_flats(unit_feeder()).replace(FLATS, OPTIONAL)
    job_of = job(flat)
    by_optional = dwelling_load.work(House.of(job_of))[3]
    assert by_optional.results["optional_va"] == 18_620
    assert by_optional.results["optional_a"] == pytest.approx(18_620 / 208)
    assert (results(flat)["calculated_a"], results(flat)["breaker_a"]) == (100, 100)
    assert results(of_flats(unit_feeder(phases=3)).replace(FLATS, OPTIONAL))["calculated_a"] == 110
    larger = results(
        of_flats(
            unit_feeder(),
            toml("loads", name="Sauna", kind="sauna", load_va=9000, volts=208, panel="In a flat", fastened=True),
        ).replace(FLATS, OPTIONAL)
    )
    assert larger["calculated_a"] == 107  # 3600 more: 22,220 / 208 = 106.8
    small = results(OPTIONAL + toml(
        "loads", name="Heat", kind="space-heat", load_va=3000, volts=208, panel="In a studio"
    ) + unit_feeder(feeds="In a studio"))  # fmt: skip
    assert small["calculated_a"] < 100, "the standard load, as no optional feeder is smaller than 100 A"


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (toml("loads", name="Heat pump", kind="heat-pump", load_va=3000, volts=208, panel="Meters"),
         "no: Heat pump is on another panel"),
        (toml("loads", name="Heat pump", kind="heat-pump", load_va=3000, volts=208),
         "not shown: the job names no panel for Heat pump"),
        ("".join(toml("loads", name=f"Heater {n}", kind="space-heat", load_va=500, volts=208) for n in range(1, 8)),
         "not shown: the job names no panel for Heater 1, Heater 2, Heater 3 and 4 more"),
        (toml("loads", name="Heat pump", kind="heat-pump", load_va=3000, volts=208, unit_group="Flats", panel="In a studio"),
         "no: Heat pump is on another panel"),
        (toml("panels", name="Second", unit_group="Flats"), "not shown: Second is in each of Flats too"),
        (toml("loads", name="Lift", kind="other", load_va=3000, volts=208, serves="house", panel="Meters", fastened=True),
         "yes: everything in one of Flats is on the panel that it feeds"),
    ],
)  # fmt: skip
def test_one_load_ahead_of_the_unit_and_the_share_is_lost(more: str, said: str) -> None:
    """Nor is it given where the job doesn't place a load; what serves the building doesn't matter."""
    found = results(of_flats(unit_feeder(calculated_a=100), more))
    assert found["whole_dwelling"] == said
    assert ("dwelling_share_a" in found) is said.startswith("yes")


def test_common_conductors_never_get_the_share_and_the_service_takes_the_load_of_the_building() -> None:
    """The group feeder carries four dwellings; on a wye the share is for feeders alone, with their neutral."""
    group = results(of_flats(run(role="service", feeds="Meters", phases=3, **WYE)))
    assert group["whole_dwelling"] == "not shown: a multifamily building has more than one dwelling"
    assert "dwelling_share_a" not in group
    assert group["breaker_a"] == 400
    assert 100 < group["calculated_a"] == group["design_a"]
    without = results(of_flats(unit_feeder(neutral=False)))
    assert without["dwelling_range"] == "on a wye only for a feeder of two legs and the neutral"
    house = f'{HOUSE}[service]\nsystem = "208Y/120"\nrating_a = 200\n' + run(role="service", calculated_a=100, **WYE)
    assert "dwelling_share_a" not in results(house)


def test_the_demo_building_has_its_feeders_in_order() -> None:
    """Two sets of 1/0 for the group, 1 AWG for a flat by the share, all within; one set of 1 AWG is refused in parallel."""
    made = read_job(Path(__file__).parents[2] / "notebooks" / "jobs" / "tinkers-row-4.toml")
    sheets = {s.subject: s for s in families()["feeder"].work(House.of(made))}
    assert not any(failing(s) or s.refused for s in sheets.values())
    unknown = {name: [each.key for each in s.unknowns] for name, s in sheets.items() if s.unknowns}
    assert unknown in ({}, {name: ["way_known"] for name in ("Flat feeder", "Studio feeder")}), (
        "THHN from breakers outdoors"
    )
    assert sheets["Group feeder"].results["ampacity_a"] == 300
    assert "dwelling_share_a" not in sheets["Group feeder"].results
    assert sheets["Flat feeder"].results["dwelling_share_a"] == 83
    assert sheets["Flat feeder"].results["ampacity_a"] == 130
    raceways = {s.subject: s for s in families()["raceway"].work(House.of(made))}
    assert raceways["Nipple, meters to gutter"].results["limit_pct"] == 60
    assert raceways["Feeder of flat 1"].results["jamming"] == "can jam"
    small = worked(run(size="1", sets=2, calculated_a=237, breaker_a=300, phases=3, **WYE))
    assert "parallel_large_enough" in failing(small)


def test_where_two_readings_stand_the_run_is_refused_and_both_are_named() -> None:
    """2026, optional method: the vehicle inside the tiers or outside of them."""
    house = '[dwelling]\nkind = "one-family"\nfloor_area_ft2 = 2400\n[service]\nload_method = "optional"\n'
    loads = toml("loads", name="Car", kind="ev-supply", load_va=11520, volts=240)
    text = house + toml("panels", name="P") + loads + run(role="service", feeds="P", neutral=None, **LUGS_75)
    refused = worked(text, "2026").refused
    assert refused
    assert re.search(r"not settled which holds: \d+ A or \d+ A\. Give calculated_a", refused.reason)


# ---- sizes side by side


def test_each_size_that_serves_has_the_ampacity_and_the_drop_of_its_own_sheets() -> None:
    """A table cell says what the run's sheets say with that size given; copper and aluminum stand side by side."""
    keys = {"calculated_a": 90, "breaker_a": 100, "length_ft": 150, **LUGS_75}
    rows = candidates(run(**keys))
    assert [row[:2] for row in rows] == [["R", "copper THHN"], ["R", "aluminum THHN"]]
    assert [cell.split(":")[0] for cell in rows[0][2:]] == ["3 AWG", "2 AWG", "1 AWG"]
    for row in rows:
        metal = row[1].split()[0]
        for cell in row[2:]:
            size, said = cell.split(" AWG: ")
            given = run(**keys, size=size) if metal == "copper" else run(**keys | {"size": size, "material": metal})
            drop = worked(given, family="voltage-drop").results["drop_pct"]
            assert said == f"{worked(given).results['ampacity_a']:g} A, {drop:.2f} %"


def test_a_run_without_length_shows_its_sizes_without_drop() -> None:
    (copper, _) = candidates(run(calculated_a=90, breaker_a=100, **LUGS_75))
    assert copper[2:] == ["3 AWG: 100 A", "2 AWG: 115 A", "1 AWG: 130 A"]


def test_a_cable_shows_only_sizes_that_are_made_and_parallel_sets_their_number() -> None:
    """Nonmetallic-sheathed cable ends at 2 AWG; parallel sets begin at 1/0."""
    (cable,) = candidates(run(wiring_method="NM", cable="6/3 NM", calculated_a=60, breaker_a=60, length_ft=40))
    assert [cell.split(":")[0] for cell in cable[2:]] == ["4 AWG", "2 AWG", "-"]
    (copper, _) = candidates(run(calculated_a=200, breaker_a=200, sets=2, length_ft=40, **LUGS_75))
    assert copper[2].startswith("2 x 1/0 AWG: 300 A, ")


def candidates(text: str) -> list[list[str]]:
    """Rows of the table of sizes that serve."""
    made = job(text)
    _, table = families()["voltage-drop"].tables(House.of(made))
    return table.rows


def accessory(**keys: object) -> str:
    """A house with a second dwelling on its lot, whose panel is fed by the run."""
    text = HOUSE + toml("buildings", name="Flat", kind="accessory-dwelling") + toml("panels", name="Main")
    text += toml("panels", name="P", building="Flat") + toml("circuits", name="General", panel="P", purpose="general")
    text += toml("loads", name="Range", kind="range", load_va=9000, volts=240, panel="P")
    wires = {"material": "aluminum", "insulation": "XHHW-2", "wiring_method": "PVC-40", **LUGS_75}
    return text + run(
        fed_from="Main", feeds="P", neutral=True, breaker_a=100, **wires | {"served_area_ft2": 600} | keys
    )


@pytest.mark.parametrize("edition", editions())
def test_the_feeder_of_an_accessory_dwelling_carries_a_whole_dwelling(edition: str) -> None:
    """100 A to all of a second dwelling: 83 A needed, 2 AWG aluminum (90 A at 75 C), not 1 AWG; its load is by its own area."""
    found = results(accessory(), edition)
    assert (found["dwelling_share_a"], found["size"], found["cooking_demand_va"]) == (83, "2 AWG", 8000)
    stated = accessory(served_area_ft2=None).replace(
        'kind = "accessory-dwelling"', 'kind = "accessory-dwelling"\nfloor_area_ft2 = 600'
    )
    by_building = results(stated, edition)
    lit = found["general_lighting_va"]
    assert by_building["general_lighting_va"] == lit
    assert by_building["general_connected_va"] == lit + 3 * 1500, (
        "its two kitchen circuits and its laundry, listed or not"
    )
    twice = accessory() + toml("panels", name="Q", building="Flat", fed_from="Main")
    assert results(twice, edition)["size"] == "1 AWG"


@pytest.mark.parametrize("edition", editions())
def test_a_compressor_without_a_nameplate_circuit_lifts_the_small_conductor_rule(edition: str) -> None:
    """15 A of compressor in 17.5 A: 21.25 A, 25 A at most; 10 AWG serves, and 12 AWG at 25 A with 75 C lugs in EMT."""
    cooling = toml("circuits", name="C", poles=2, purpose="individual", panel="Main") + toml("panels", name="Main")
    cooling += toml("loads", name="AC", kind="air-conditioner", load_va=4200, volts=240, motor_a=15, circuit="C")
    nm = {"wiring_method": "NM", "insulation": None}
    found = results(cooling + run(role="branch", fed_from="Main", feeds="C", **nm), edition)
    assert (found["design_a"], found["breaker_a"], found["size"]) == (21.25, 25, "10 AWG")
    assert results(cooling + run(role="branch", fed_from="Main", feeds="C", **LUGS_75), edition)["size"] == "12 AWG"


def test_a_service_with_its_own_neutral_load_takes_the_rest_from_the_dwelling() -> None:
    """The neutral as entered, the load from the dwelling's sheet: one line each."""
    house = '[dwelling]\nkind = "one-family"\nfloor_area_ft2 = 2000\n[service]\nrating_a = 200\n'
    made = run(role="service", neutral=None, neutral_a=60, material="aluminum", insulation="XHHW-2",
               wiring_method="PVC-40", **LUGS_75)  # fmt: skip
    found = results(house + made + 'feeds = "P"\n' + toml("panels", name="P"))
    assert found["neutral_a"] == 60
    assert found["calculated_a"] > 0


@pytest.mark.parametrize("edition", editions())
@pytest.mark.parametrize(
    ("rating", "ends", "sizes"),
    [
        (200, {"terminations_from_c": 75, "terminations_to_c": 60}, {"aluminum": "250 kcmil"}),
        (100, {"terminations_from_c": None, "terminations_to_c": None}, {"aluminum": "1 AWG", "copper": "3 AWG"}),
        (200, LUGS_75, {"aluminum": "4/0 AWG"}),
    ],
)
def test_terminals_of_60_c_keep_the_listed_sizes_out(
    edition: str, rating: int, ends: dict[str, int | None], sizes: dict[str, str]
) -> None:
    """166 A at 60 C: 250 kcmil aluminum (170 A), not 4/0 (150 A); 83 A without marking: 1 Al (85 A) or 3 Cu (85 A)."""
    for metal, size in sizes.items():
        assert results(service(rating, material=metal, **ends), edition)["size"] == size


def test_the_other_reading_takes_the_listed_sizes_as_they_stand() -> None:
    """Each reading is printed, and under the other one 100 A without marking takes the listed 2 Al."""
    text = service(100, terminations_from_c=None, terminations_to_c=None)
    taken = worked(text)
    other = worked('[code.readings]\ndwelling_sizes = "as-listed"\n' + text)
    assert (taken.results["size"], other.results["size"]) == ("1 AWG", "2 AWG")
    notes = [" ".join(note["text"] for note in each.as_json()["notes"]) for each in (taken, other)]
    assert "are not used" in notes[0]
    assert "permitted outright" in notes[1]
    assert other.results["ampacity_a"] < other.results["dwelling_share_a"]


OUTSIDE = toml("panels", name="Meter-main", location="outdoors")
PUMP = toml("loads", name="HP", kind="heat-pump", load_va=4080, volts=240, mca_a=21.0, mocp_a=35)


@pytest.mark.parametrize(
    ("text", "keys"),
    [
        (OUTSIDE, {"fed_from": "Meter-main", "cable": "10/2 NM"}),
        (OUTSIDE, {"fed_from": "Meter-main", "insulation": "THHN", "wiring_method": "EMT"}),
        (OUTSIDE, {"fed_from": "Meter-main", "location": "dry", "cable": "10/2 NM"}),
        (PUMP, {"feeds": "HP", "calculated_a": None, "cable": "10/2 NM"}),
        (PUMP.replace('"heat-pump"', '"space-heat"') + "outdoors = true\n", {"feeds": "HP", "calculated_a": None}),
        (toml("rooms", name="Deck", use="deck") + toml("circuits", name="C", purpose="outdoor", rooms=["Deck"]),
         {"feeds": "C"}),
    ],
)  # fmt: skip
def test_dry_is_said_of_the_whole_way(text: str, keys: dict[str, object]) -> None:
    """With an end outdoors, NM or THHN is neither passed nor refused until somebody says that all of the way is dry."""
    base = {"role": "branch", "calculated_a": 20, "breaker_a": 30}
    sheet = worked(text + run(**base | keys))
    assert (sheet.status, [unknown.key for unknown in sheet.unknowns]) == ("not shown", ["way_known"])
    assert sheet.unknowns[0].at == "runs[1].location"
    dry = worked(text + run(**base | keys | {"location": "dry-throughout"}))
    assert (dry.status, dry.unknowns) == ("passes", [])
    assert any("dry all along" in note["text"] for note in dry.as_json()["notes"])


def test_a_way_that_is_not_known_is_taken_as_wet_where_the_type_stands_it() -> None:
    """XHHW has 90 C where it is dry and 75 C where it is wet: from an outdoor panel 65 A before correction, not 75 A."""
    keys = {"size": "6", "calculated_a": 40, "breaker_a": 50, "fed_from": "Meter-main", **LUGS_75}
    assert results(OUTSIDE + run(insulation="XHHW", **keys))["table_a"] == 65
    assert worked(OUTSIDE + run(insulation="THWN-2", **keys)).status == "passes"


def test_flexible_conduit_from_an_outdoor_panel_waits_for_somebody_to_say_that_it_is_dry() -> None:
    keys = {"insulation": "THWN-2", "calculated_a": 20, "wiring_method": "FMC", "fed_from": "Meter-main"}
    assert [u.key for u in worked(OUTSIDE + run(**keys)).unknowns] == ["raceway_fits_place"]
    assert worked(OUTSIDE + run(**keys, location="dry-throughout")).status == "passes"


# ---- at a limit, and what stands beside a number


def sections(sheet: Sheet, key: str) -> list[str]:
    return next(line["sections"] for line in sheet.as_json()["lines"] if line["key"] == key)


def test_a_service_that_carries_just_its_load_needs_no_remark() -> None:
    """Two sets of 2/0 copper are 350 A: at a load of 350 A nothing is said, at 351 A it is (310.12)."""
    for amperes, said in ((350, False), (351, True)):
        sheet = worked(service(400, sets=2, material="copper", calculated_a=amperes))
        assert any("under the calculated load" in text for _, text in sheet.remarks) is said


def test_beyond_the_dwellings_range_is_more_than_its_end() -> None:
    """310.12 ends at 400 A: 450 A is more. On a wye it is only for a feeder of two legs and the neutral."""
    (line,) = [each for each in worked(service(450, sets=2, calculated_a=300)).lines if each.key == "dwelling_range"]
    assert [pair.sign for pair in line.compared] == [">"]
    wye = service(200, volts=208).replace("rating_a", 'system = "208Y/120"\nrating_a')
    assert sections(worked(wye), "dwelling_range") == ["310.12"]


def test_a_size_by_the_dwellings_list_shows_areas_and_one_by_its_ampacity_shows_that_of_the_next_smaller() -> None:
    """200 A: 2/0 copper by the list; corrected for heat, by 83 % of the rating."""
    listed = worked(service(material="copper")).results
    worked_out = worked(service(175, material="copper", ambient_f=100.4)).results
    assert "smaller_own_cmil" in listed
    assert "smaller_ampacity_a" not in listed
    assert "smaller_ampacity_a" in worked_out


def test_parallel_neutrals_are_1_0_at_least_and_only_smaller_ones_are_raised() -> None:
    """Table 250.102(C)(1): 3/0 copper in each set asks for 4 AWG, so 1/0 (310.10(G)); 500 kcmil asks for 1/0 itself."""
    for size, raised in (("3/0", True), ("500", False)):
        keys = {"size": size, "sets": 2, "material": "copper", "calculated_a": 300, "neutral_a": 20}
        found = worked(service(400, **keys)).results
        assert found["neutral_size"] == "1/0 AWG"
        assert found["neutral_floor"] == ("4" if raised else "1/0")
        assert ("neutral_floor_parallel" in found) is raised


def test_what_decides_a_current_is_cited_where_no_factor_of_it_is_printed() -> None:
    """215.2(A) stands behind a feeder without continuous load too; 440.4(B) behind a nameplate's least ampacity."""
    assert sections(worked(run(size="6", calculated_a=40, **LUGS_75)), "design_a") == ["215.2(A) and 215.3"]
    unit = toml("loads", name="AC", kind="air-conditioner", load_va=4000, volts=240, mca_a=21.5, mocp_a=35)
    assert sections(worked(unit + run(role="branch", feeds="AC")), "calculated_a") == ["440.4(B) and 240.4(G)"]


def test_a_continuous_load_is_never_more_than_the_load_after_demand() -> None:
    """220.53, 215.2(A)(1): four water heaters that last, 18,000 VA at 75 %, are 56.25 A; 125 % of that and not of 75 A."""
    house = (
        '[dwelling]\nkind = "one-family"\nfloor_area_ft2 = 2000\n'
        + toml("panels", name="Main")
        + toml("panels", name="Sub")
    )
    house += toml("loads", name="Spa", kind="spa", load_va=6000, volts=240, panel="Main")
    for n in range(4):
        house += toml("loads", name=f"W{n}", kind="water-heater", load_va=4500, volts=240, panel="Sub", continuous=True)
    found = results(house + run(fed_from="Main", feeds="Sub", neutral=True, served_area_ft2=0, **LUGS_75))
    assert found["calculated_a"] == pytest.approx(18_000 * 0.75 / 240)
    assert found["continuous_a"] == found["calculated_a"]
    assert found["design_a"] == pytest.approx(1.25 * 56.25)


def test_a_motor_beside_another_load_adds_its_quarter_and_says_what_it_is() -> None:
    """430.24: 1 hp at 230 V is 8 A (Table 430.248), and a quarter of it beside 2,400 VA of heat: 8 + 2 + 10 A."""
    text = toml("circuits", name="C", purpose="individual", poles=2)
    text += toml("loads", name="Pump", kind="well-pump", load_va=1920, volts=240, motor_hp=1, circuit="C")
    text += toml("loads", name="Heat", kind="shop", load_va=2400, volts=240, circuit="C")
    sheet = worked(text + run(role="branch", feeds="C"))
    assert isinstance(sheet.refused, Missing)
    assert sheet.refused.at == "loads[1].mca_a"
    fan = text.replace("well-pump", "fan")
    found = results(fan + run(role="branch", feeds="C"))
    assert found["design_a"] == pytest.approx(found["calculated_a"] + 2)


def test_a_buried_run_of_no_stated_method_is_not_shown_and_one_of_another_is_not_worked() -> None:
    """300.5: in what it lies decides how deep."""
    buried = {"size": "6", "calculated_a": 40, "location": "buried", "insulation": "THWN-2", "burial_in": 24}
    sheet = worked(run(**{**buried, "wiring_method": None}))
    assert isinstance(sheet.refused, Missing)
    assert sheet.refused.at == "runs[1].wiring_method"


def test_the_houses_lighting_hangs_on_a_feeder_unless_some_of_it_hangs_elsewhere() -> None:
    """220.41: circuits that are removed, of other purposes or of another building take none of it away."""
    moved = part_of_house().replace('name = "Lights"\npanel = "Main"', 'name = "Lights"\npanel = "Sub"')
    shop = toml("buildings", name="Shop", kind="workshop") + toml("panels", name="Bench", building="Shop")
    for more, whole in (
        (toml("circuits", name="Old", panel="Main", purpose="lighting", status="removed"), True),
        (toml("circuits", name="Oven", panel="Main", purpose="individual", load_va=900), True),
        (shop + toml("circuits", name="Shop lights", panel="Bench", purpose="lighting", load_va=300), True),
        (toml("circuits", name="Hall", panel="Main", purpose="general"), False),
    ):
        assert ("general_lighting_va" in results(moved + more)) is whole, more


def test_receptacles_of_an_individual_circuit_are_in_the_floor_areas_load() -> None:
    """220.41: general outlets of a dwelling; a circuit of its own without any is asked for its load."""
    lit = part_of_house(served_area_ft2=600)
    for outlets, open_ones in ((["receptacles"], 0), (None, 1)):
        sheet = worked(lit + toml("circuits", name="Fridge", panel="Sub", purpose="individual", outlets=outlets))
        asked = sheet.refused.at if isinstance(sheet.refused, Missing) else ""
        assert (asked == "circuits[5].load_va") is bool(open_ones), outlets


def test_a_run_that_no_table_has_leaves_the_others_drawn() -> None:
    """A size that the ampacity table lacks is refused after its load is worked: the chart is of the rest."""
    made = job(
        run(size="6", calculated_a=40, **LUGS_75) + run(name="Q", size="14", material="aluminum", calculated_a=10)
    )
    house = House.of(made)
    charts = families()["feeder"].charts(house, families()["feeder"].work(house))
    assert charts
    assert "Q" not in charts[0].alt


def test_the_neutral_of_a_cable_is_its_own_but_at_120_v() -> None:
    """4-4-6 SEU at 240 V has a neutral of 6 AWG; at 120 V the neutral carries what the ungrounded conductor does."""
    for volts, neutral in ((240, "6"), (120, "4")):
        keys = {
            "volts": volts,
            "neutral": None if volts == 120 else True,
            "cable": "4-4-6 SEU Al",
            "role": "service",
            "length_ft": 50,
        }
        made = job(run(**keys, calculated_a=20))
        assert installed(House.of(made), made.runs[0]).neutral_size == neutral, volts
