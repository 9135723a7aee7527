"""Fault current: published steps, complex arithmetic beside our sheets, ratings, and what is refused."""

from __future__ import annotations

from cmath import rect
from math import atan, atan2, ceil, cos, sqrt
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from calc.codebook import open_codebook, tables
from calc.families import fault_current
from calc.wiring.house import House
from calc.wiring.reading import codebook_for
from calc.work import Missing, Sheet
from tests.families.runs import failing, job, run, toml
from tests.replay.mutations import assert_mutations_caught

POT = "[fault]\ntransformer_kva = 37.5\nimpedance_pct = 1.6\n"
MARKED = '[code.readings]\ntransformer_impedance = "as-marked"\n'
DEMO = MARKED + POT
LETTER = '[fault]\navailable_a = {}\nstated_by = "Old Ferrow Light"\nstated_on = 2026-02-11\n'
CONDUCTORS = tables.load(tables.FOLDER / "conductors.csv").rows
CONDUIT = tables.load(tables.FOLDER / "conduit_impedance.csv").rows
ALPHA = {"copper": 0.00323, "aluminum": 0.0033}
SIZES = ["12", "8", "6", "4", "2", "1/0", "3/0", "4/0", "250", "500"]


def service(**keys: object) -> str:
    plain = {"role": "service", "size": "4/0", "material": "aluminum", "insulation": "XHHW-2", "wiring_method": "PVC-40",
             "neutral": None, "calculated_a": 100, "length_ft": 35}  # fmt: skip
    return run(**plain | keys)


def panel(name: str = "Main", **keys: object) -> str:
    return toml("panels", name=name, **keys)


def points(text: str) -> dict[str, Sheet]:
    made = job(text)
    return {s.subject: s for s in fault_current.work(House.of(made))}


def cold_ohm(size: str, metal: str, feet: float) -> complex:
    """Impedance of one conductor at 25 C, with the reactance in plastic conduit, read from the files."""
    row = next(row for row in CONDUCTORS if (row["size"], row["stranding"]) == (size, "stranded"))
    other = next(row for row in CONDUIT if (row["size"], row["conduit"]) == (size, "pvc"))
    ohm = float(row[f"{metal}_ohm_per_kft"]) * (1 - 50 * ALPHA[metal])
    return complex(ohm, float(other["reactance_ohm_per_kft"])) * feet / 1000


def test_the_demo_transformer() -> None:
    """37.5 kVA at 1.6 %: 9,766 A line to line and 14,648 A line to neutral; taken at 120 V by slip, 19,531 A."""
    found = points(DEMO)["Transformer"].results
    assert found["available_ll_a"] == pytest.approx(9766, abs=0.5)
    assert found["available_ln_a"] == pytest.approx(14648, abs=0.5)


def test_a_transformer_may_have_a_tenth_less_impedance_than_its_nameplate_says() -> None:
    """37.5 kVA at 1.6 %: 9,766 A as marked and 10,851 A by the tolerance, which a 10,000 A panel doesn't break."""
    s = points(POT + panel(fed_from="utility", interrupting_a=10_000))["Transformer"]
    assert s.results["marked_impedance_a"] == pytest.approx(9766, abs=0.5)
    assert s.results["available_ll_a"] == pytest.approx(10851, abs=0.5)
    assert failing(s) == {"interrupting_ok[Main]"}
    assert any("tolerance" in note["text"] for note in s.as_json()["notes"])
    assert "impedance_least_pct" not in points(DEMO)["Transformer"].results


def test_the_tolerance_decides_at_a_panel_behind_a_run_too() -> None:
    """9,768 A at the panel as marked pass 10,000 A; the least impedance lets more through than that."""
    near = panel(interrupting_a=10_000) + service(feeds="Main", length_ft=22)
    assert failing(points(DEMO + near)["R"]) == set()
    assert failing(points(POT + near)["R"]) == {"interrupting_ok[Main]"}


def test_the_demo_meter_main_passes_10_000_a() -> None:
    """Behind 35 ft of 4/0 aluminum: about 7.5 kA at 75 C (7,467 A by hand), 7.7 kA cold."""
    s = points(DEMO + panel(interrupting_a=10_000) + service(feeds="Main"))["R"]
    assert 7467 < s.results["available_ll_a"] < 7800
    assert s.results["passes"] is True


def test_a_statement_through_40_ft_of_2_awg_aluminum(tmp_path: Path) -> None:
    """FC-04, warm conductors: 240 / 13,021 + 2 x 0.0128 ohm, 5,461 A by resistance alone; one way it gave 7,700 A."""
    warm = tmp_path / "warm.toml"
    warm.write_text('title = "Warm"\ninherits = "2023"\n[rules.fault_temperature]\nvalue = 75\n')
    made = job(LETTER.format(13021) + service(size="2", length_ft=40, neutral=False))
    s = fault_current.work(House(made, open_codebook("2023", [warm])))[1]
    assert s.results["available_ll_a"] == pytest.approx(5461, rel=0.01)


RUNS = st.tuples(st.sampled_from(SIZES), st.sampled_from(["copper", "aluminum"]), st.floats(5, 300))
SOURCE = st.tuples(st.integers(10, 200), st.floats(1, 5), st.floats(0.5, 5))
FEW = settings(max_examples=60, deadline=None)


@given(SOURCE, RUNS, RUNS)
@FEW
def test_with_x_over_r_it_is_complex_arithmetic(
    source: tuple[int, float, float], first: tuple[str, str, float], second: tuple[str, str, float]
) -> None:
    """Two runs in a row: voltage over the sum of impedances, with half the winding at 1.5 x R and 1.2 x X."""
    kva, pct, ratio = source
    text = f"{MARKED}[fault]\ntransformer_kva = {kva}\nimpedance_pct = {pct}\nx_over_r = {ratio}\n"
    ways = 0j
    for name, begins, (size, metal, feet) in (("A", "utility", first), ("B", "A", second)):
        text += service(name=name, fed_from=begins, size=size, material=metal, length_ft=feet)
        ways += 2 * cold_ohm(size, metal, feet)
    whole = rect(240**2 / (kva * 1000) * pct / 100, atan(ratio))
    half = complex(1.5 * whole.real, 1.2 * whole.imag) / 4
    found = points(text)["B"].results
    assert found["available_ll_a"] == pytest.approx(240 / abs(whole + ways), rel=1e-5)
    assert found["available_ln_a"] == pytest.approx(120 / abs(half + ways), rel=1e-5)


@given(SOURCE, RUNS)
@FEW
def test_plain_numbers_give_a_little_less_than_angles_do(
    source: tuple[int, float, float], wire: tuple[str, str, float]
) -> None:
    """The point-to-point procedure adds impedances as numbers: never above the sum with angles, under it by 1 - cos."""
    kva, pct, ratio = source
    size, metal, feet = wire
    ohms = 2 * cold_ohm(size, metal, feet)
    whole = rect(240**2 / (kva * 1000) * pct / 100, atan(ratio))
    text = f"{MARKED}[fault]\ntransformer_kva = {kva}\nimpedance_pct = {pct}\n"
    found = points(text + service(size=size, material=metal, length_ft=feet))["R"].results["available_ll_a"]
    angles = 240 / abs(whole + ohms)
    assert found <= angles * (1 + 1e-6)
    apart = abs(atan(ratio) - atan2(ohms.imag, ohms.real))
    assert found >= angles * cos(apart / 2) * (1 - 1e-6), "at most so much is lost, when both are alike"


def test_how_far_plain_numbers_stand_off() -> None:
    """As the note on each sheet says: a few percent behind large conductors, up to a fifth behind long small ones."""

    def off(size: str, feet: float, ratio: float) -> float:
        whole = rect(240**2 / 37500 * 0.016, atan(ratio))
        ohms = 2 * cold_ohm(size, "copper", feet)
        return abs(whole + ohms) / (abs(whole) + abs(ohms)) - 1

    assert all(-0.06 < off(size, feet, 1.5) < 0 for size in ("4/0", "250", "500") for feet in (20, 50, 100))
    worst = min(off(size, feet, 2.5) for size in ("12", "8", "6") for feet in (5, 10, 20, 40, 80))
    assert -0.2 < worst < -0.1


@given(RUNS, st.floats(1.05, 3))
@FEW
def test_a_longer_run_never_lets_more_through(wire: tuple[str, str, float], longer: float) -> None:
    size, metal, feet = wire
    assume(feet * longer < 5000)
    near, far = (
        points(DEMO + service(size=size, material=metal, length_ft=length))["R"].results
        for length in (feet, feet * longer)
    )
    for key in ("available_ll_a", "available_ln_a"):
        assert far[key] < near[key]


def test_parallel_sets_and_a_smaller_neutral() -> None:
    """Two sets halve the run's impedance; line to neutral goes back through the neutral's own."""
    one, two = (points(DEMO + service(sets=sets))["R"].results for sets in (1, 2))
    assert two["loop_ohm[line to line]"] == pytest.approx(one["loop_ohm[line to line]"] / 2)
    small = points(DEMO + service(neutral_size="2/0"))["R"].results
    assert small["available_ll_a"] == one["available_ll_a"]
    assert small["available_ln_a"] < one["available_ln_a"]
    ohms = abs(cold_ohm("4/0", "aluminum", 35)) + abs(cold_ohm("2/0", "aluminum", 35))
    assert small["loop_ohm[line to neutral]"] == pytest.approx(ohms, rel=1e-4)


def test_three_phases_of_a_wye() -> None:
    """150 kVA at 2 %, 208 V: 416.4 / 0.02 = 20,818 A; two phases 0.866 of it; one to neutral as three."""
    text = MARKED + '[service]\nsystem = "208Y/120"\nphases = 3\n[fault]\ntransformer_kva = 150\nimpedance_pct = 2\n'
    text += run(name="R", volts=208, phases=3, neutral=True, size="4/0", calculated_a=150, length_ft=60)
    found = points(text)
    at = found["Transformer"].results
    assert at["available_3ph_a"] == pytest.approx(150_000 / (sqrt(3) * 208) / 0.02, rel=1e-6)
    assert at["available_ll_a"] == pytest.approx(at["available_3ph_a"] * sqrt(3) / 2, rel=1e-6)
    assert at["available_ln_a"] == at["available_3ph_a"]
    ohm = abs(cold_ohm("4/0", "copper", 60))
    factor = at["available_3ph_a"] * sqrt(3) * ohm / 208
    assert found["R"].results["available_3ph_a"] == pytest.approx(at["available_3ph_a"] / (1 + factor), rel=1e-4)


def test_a_rating_that_only_plain_numbers_meet_is_not_shown_to_serve() -> None:
    """9,768 A by plain numbers; with an X/R of 5 more than 10,000 A: nobody can say that 10,000 A serve until it is known."""
    near = panel(interrupting_a=10_000) + service(feeds="Main", length_ft=22)
    s = points(DEMO + near)["R"]
    assert failing(s) == set()
    assert [(each.key, each.at) for each in s.unknowns] == [("angles_serve[Main]", "fault.x_over_r")]
    assert s.status == "not shown"
    high = points(DEMO + "x_over_r = 5\n" + near)["R"]
    assert s.results["largest_by_angles_a"] == high.results["largest_fault_a"] > 10_000
    assert failing(high) == {"interrupting_ok[Main]"}
    assert points(DEMO + "x_over_r = 0.5\n" + near)["R"].passes
    far = points(DEMO + near.replace("length_ft = 22", "length_ft = 60"))["R"]
    assert far.passes
    assert "largest_by_angles_a" not in far.results


def test_a_rating_under_the_current_falls_short_and_says_what_is_sold() -> None:
    s = points(DEMO + panel(interrupting_a=5000) + service(feeds="Main"))["R"]
    assert failing(s) == {"interrupting_ok[Main]"}
    assert s.checks[0].remedy.startswith("breakers with an interrupting rating of 10,000 A")


@pytest.mark.parametrize(("series", "short"), [(10_000, set()), (6_000, {"series_ok[Main]"})])
def test_a_series_rating_covers_what_the_breakers_own_does_not(series: int, short: set[str]) -> None:
    """The sheet says that the breakers' own rating is not enough, and that the marking must name them."""
    s = points(DEMO + panel(interrupting_a=5000, series_rating_a=series) + service(feeds="Main"))["R"]
    assert failing(s) == short
    assert s.results["own_rating[Main]"] == "not enough by itself"
    assert any("Main relies on a series rating" in caution for caution in s.cautions)
    (own,) = [line for line in s.lines if line.key == "own_rating[Main]"]
    assert [pair.sign for pair in own.compared] == ["<"], "that its own does not cover it is shown"


def test_a_panel_without_a_rating_is_not_passed() -> None:
    s = points(DEMO + panel() + service(feeds="Main"))["R"]
    assert s.checks == []
    assert s.status == "not shown"
    (unknown,) = s.unknowns
    assert unknown.key == "interrupting_ok[Main]"
    assert unknown.at == "panels[1].interrupting_a"
    assert "10,000 A or more" in unknown.missing


def test_panels_bolted_on_and_panels_right_at_the_utility() -> None:
    """A panel fed by another without a run stands at the same point; one fed by the utility at the source."""
    text = (
        DEMO + panel("A", fed_from="utility", interrupting_a=22_000) + panel("B", fed_from="A", interrupting_a=10_000)
    )
    text += panel("C", interrupting_a=10_000) + service(feeds="C", fed_from="A")
    found = points(text)
    assert failing(found["Transformer"]) == {"interrupting_ok[B]"}
    assert [check.key for check in found["R"].checks] == ["interrupting_ok[C]"]


def test_a_panel_that_hangs_nowhere_is_on_no_sheet_and_so_not_shown() -> None:
    """Neither a run nor another panel joins it to the utility: its rating is compared with nothing."""
    s = points(DEMO + panel("A", fed_from="utility", interrupting_a=22_000) + panel("B", interrupting_a=10_000))[
        "Transformer"
    ]
    assert [(each.key, each.at) for each in s.unknowns] == [("interrupting_ok[B]", "panels[2].fed_from")]
    assert s.status == "not shown"


def test_a_statement_is_quoted_with_its_date_and_holds_for_the_service() -> None:
    """The utility's own conductors are in it already; without a word on the neutral, only line to line is worked."""
    utility = run(name="Drop", role="utility", size="2", material="aluminum", insulation=None, wiring_method="overhead",
                  calculated_a=90, length_ft=80, neutral=None)  # fmt: skip
    found = points(LETTER.format(9400) + utility + service(name="S", fed_from="Drop"))
    notes = [note["text"] for note in found["Utility's statement"].as_json()["notes"]]
    assert any("as stated by Old Ferrow Light on 2026-02-11, at the service" in note for note in notes)
    assert any("says nothing of line to neutral" in note for note in notes)
    assert found["Drop"].results["available_ll_a"] == 9400
    assert "available_ln_a" not in found["S"].results
    assert found["S"].results["available_ll_a"] < 9400


def test_a_statement_for_the_transformer_goes_through_the_utilitys_conductors() -> None:
    utility = run(name="Drop", role="utility", size="2", material="aluminum", insulation=None, wiring_method="overhead",
                  calculated_a=90, length_ft=80, neutral=None)  # fmt: skip
    found = points(LETTER.format(9400) + 'available_at = "transformer"\n' + utility)
    assert found["Utility's statement"].results["available_ln_a"] == pytest.approx(14_100)
    assert found["Drop"].results["available_ll_a"] < 6000


def test_a_stated_neutral_current_is_taken_as_stated() -> None:
    found = points(LETTER.format(9400) + "available_ln_a = 8000\n" + service())
    assert found["Utility's statement"].results["available_ln_a"] == 8000
    assert found["R"].results["available_ln_a"] < 8000


def test_a_circuit_to_the_neutral_behind_such_a_statement_lacks_an_entry() -> None:
    lights = run(name="L", role="branch", volts=120, neutral=None, size="12", calculated_a=8, length_ft=40)
    s = points(LETTER.format(9400) + lights)["L"]
    assert s.status == "not shown"
    assert isinstance(s.refused, Missing)
    assert s.refused.at == "fault.available_ln_a"


def test_a_feeder_without_a_length_is_not_shown_nor_what_is_behind_it() -> None:
    """Both name the one entry that is missing."""
    found = points(
        DEMO + service(name="S", length_ft=None) + run(name="F", fed_from="S", size="6", calculated_a=30, length_ft=20)
    )
    for s in (found["S"], found["F"]):
        assert s.status == "not shown"
        assert isinstance(s.refused, Missing)
        assert s.refused.at == "runs[1].length_ft"
    assert found["F"].refused.reason == f"Upstream, by the sheet of S: {found['S'].refused.reason}"


def test_a_circuit_without_a_length_has_no_sheet_of_its_own() -> None:
    assert list(points(DEMO + run(name="L", role="branch", size="12", calculated_a=8))) == ["Transformer"]


def test_a_job_without_the_utility_says_what_it_needs() -> None:
    assert "[fault]" in fault_current.needs(job(""))[0]


@pytest.mark.parametrize("ratio", ["", "x_over_r = 1.4\n"])
def test_every_changed_digit_is_caught(ratio: str) -> None:
    """Each printed number changed in its last digit no longer replays, with plain numbers and with angles."""
    s = points(DEMO + ratio + panel(interrupting_a=10_000) + service(feeds="Main", neutral_size="2/0"))["R"]
    assert assert_mutations_caught(s.as_json(), tables.FOLDER) > 40


def test_ratings_sold_rise() -> None:
    cells = [float(row["rating_a"]) for row in tables.load(tables.FOLDER / "interrupting_ratings.csv").rows]
    assert cells == sorted(set(cells))


def test_each_panel_is_drawn_against_its_own_rating() -> None:
    """A panel of 22,000 A beside one of 10,000 is not crossed by the other's rating, which would read as a shortfall; a
    series rating counts where it covers the panel."""
    second = panel(name="Second", fed_from="Main", interrupting_a=10_000, series_rating_a=22_000)
    made = job(DEMO + panel(interrupting_a=22_000) + second + service(feeds="Main"))
    house = House(made, codebook_for(made))
    (chart,) = fault_current.charts(house, fault_current.work(house))
    assert [(name, limit) for name, _, limit in chart.data.rows] == [("Main", 22_000.0), ("Second", 22_000.0)]


def test_the_chart_and_the_table_say_what_the_sheets_say() -> None:
    made = job(DEMO + panel(interrupting_a=10_000) + service(feeds="Main"))
    code = codebook_for(made)
    found = fault_current.work(House(made, code))
    (chart,) = fault_current.charts(House(made, code), found)
    assert chart.data.rows == [("Main", (float(ceil(found[1].results["largest_fault_a"])),), 10_000.0)]
    (table,) = fault_current.tables(House(made, code))
    assert table.rows[1][0] == "R"
    assert table.rows[1][-1] == "passes"
