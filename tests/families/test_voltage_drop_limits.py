"""Voltage drop worked a second time with complex numbers, back from the limit, along the tree, and in two legs of a wye."""

from __future__ import annotations

from math import inf, sqrt
from types import SimpleNamespace
from typing import Any

import pytest

from calc.codebook import open_codebook
from calc.families import voltage_drop
from calc.families.voltage_drop.solve import candidates
from calc.families.voltage_drop.two_legs import _solve
from calc.wiring.house import House
from calc.work import constant
from tests.families.runs import job, run
from tests.families.test_voltage_drop import BENCH, SHOP, by, drop, sheets


def exact(ohm: float, reactance: float, amperes: float, start: float, power_factor: float) -> float:
    """The drop such that the voltage at the end and the drop at its angle make up that at the start."""
    current = amperes * complex(power_factor, -sqrt(1 - power_factor**2))
    lost = current * complex(ohm, reactance)
    return start - (sqrt(start**2 - lost.imag**2) - lost.real)


@pytest.mark.parametrize(("power_factor", "sign"), [(1.0, 1), (0.98, 1), (0.7, -1), (0.3, -1)])
@pytest.mark.parametrize("sets", [1, 2])
def test_the_exact_drop_is_that_of_complex_numbers(power_factor: float, sign: int, sets: int) -> None:
    """1/0 in PVC, 200 A over 600 ft: 0.12 and 0.044 ohm for each 1,000 ft, out and back, whichever angle is the larger."""
    text = run(
        size="1/0", calculated_a=200, length_ft=600, power_factor=power_factor, wiring_method="PVC-40", sets=sets
    )
    found = drop(text, head=by("exact")).results
    ohm, reactance = (2 * 0.6 * each / sets for each in (0.12, 0.044))
    assert found["drop_v"] == pytest.approx(exact(ohm, reactance, 200, 240, power_factor), abs=1e-6)
    across = 200 * (reactance * power_factor - ohm * sqrt(1 - power_factor**2))
    assert found["quadrature_v"] == pytest.approx(abs(across), abs=1e-6)
    assert (across > 0) is (sign > 0)


@pytest.mark.parametrize("method", ["direct-current", "effective", "exact"])
@pytest.mark.parametrize("upstream", [False, True])
@pytest.mark.parametrize("power_factor", [0.9, 0.5])
def test_at_the_longest_length_the_drop_is_just_the_limit(method: str, upstream: bool, power_factor: float) -> None:
    """Worked again at that length, with what is lost before it: 3 %."""
    before = run(name="F", size="3/0", calculated_a=150, length_ft=200, power_factor=power_factor) if upstream else ""
    keys: dict[str, Any] = {
        "size": "6",
        "calculated_a": 40,
        "power_factor": power_factor,
        "fed_from": "F" if upstream else "utility",
    }
    most = sheets(before + run(**keys, length_ft=100), method)["R"].results["max_length_ft"]
    again = sheets(before + run(**keys, length_ft=round(most, 6)), method)["R"].results
    assert again["drop_pct"] == pytest.approx(3, abs=1e-4)


@pytest.mark.parametrize("method", ["effective", "exact"])
@pytest.mark.parametrize("power_factor", [0.85, 0.95, 0.6])
def test_of_two_legs_of_a_wye_the_worse_one_counts(method: str, power_factor: float) -> None:
    """Each leg has its own angle; drop and longest length are those of the leg that loses more."""
    keys: dict[str, Any] = {
        "volts": 208,
        "neutral": True,
        "size": "2",
        "calculated_a": 100,
        "power_factor": power_factor,
    }
    found = drop(run(**keys, length_ft=150), head=by(method)).results
    legs = [found[f"leg_drop_v[{leg}]"] for leg in ("leg ahead", "leg behind")]
    assert legs[0] != legs[1]
    assert found["drop_v"] == max(legs)
    again = drop(run(**keys, length_ft=round(found["max_length_ft"], 6)), head=by(method)).results
    assert again["drop_pct"] == pytest.approx(3, abs=1e-4)


def test_the_legs_of_a_wye_by_effective_impedance_are_those_of_complex_numbers() -> None:
    """A leg's current and the neutral's, 30 degrees apart, make root 3 times the current at an angle of its own each."""
    found = drop(run(volts=208, neutral=True, size="2", calculated_a=100, length_ft=150, power_factor=0.8, wiring_method="PVC-40"),
                 head=by("effective")).results  # fmt: skip
    z = complex(found["table_ac_ohm_per_kft"], found["reactance_ohm_per_kft"]) * 0.15
    lagging = 100 * complex(0.8, -0.6)
    turns = (complex(-0.5, sqrt(3) / 2), complex(-0.5, -sqrt(3) / 2))
    expected = sorted((z * lagging * (2 + turn)).real for turn in turns)
    legs = sorted(found[f"leg_drop_v[{leg}]"] for leg in ("leg ahead", "leg behind"))
    assert legs == pytest.approx(expected, abs=1e-6)


def test_the_total_is_judged_of_circuits_and_of_what_lies_beyond_another_feeder() -> None:
    """A branch circuit always, a feeder only where something is lost before it; service conductors never."""
    chain = run(name="S", role="service", size="4/0", calculated_a=150, length_ft=50, neutral=None)
    chain += run(name="F", size="2", calculated_a=80, length_ft=100, fed_from="S")
    chain += run(name="G", size="4", calculated_a=50, length_ft=60, fed_from="F")
    chain += run(**BENCH, fed_from="G", calculated_a=12, length_ft=60)
    found = {name: sheet.results for name, sheet in sheets(chain).items()}
    assert {name: "total_advice" in results for name, results in found.items()} == {
        "S": False,
        "F": False,
        "G": True,
        "Bench": True,
    }
    own = [found[name]["drop_pct"] for name in ("S", "F", "G", "Bench")]
    assert found["Bench"]["total_drop_pct"] == pytest.approx(sum(own[1:]))
    assert found["Bench"]["from_utility_pct"] == pytest.approx(sum(own))
    assert found["G"]["from_utility_pct"] == pytest.approx(sum(own[:3]))
    alone = sheets(run(**BENCH, fed_from="utility", calculated_a=12, length_ft=60))["Bench"].results
    assert alone["total_advice"] == "within"


@pytest.mark.parametrize(
    ("length_ft", "says"), [(180, "within"), (185, "above what is recommended: advice, not a requirement")]
)
def test_three_percent_is_within_and_a_little_more_is_above(length_ft: float, says: str) -> None:
    """183 ft is the longest; what is shown holds."""
    s = drop(run(**{**SHOP, "length_ft": length_ft}))
    assert s.results["own_advice"] == says
    (line,) = [line for line in s.lines if line.key == "own_advice"]
    assert all(pair.holds for pair in line.compared)


def test_the_area_that_the_limit_takes_stands_beside_the_size() -> None:
    """2 x 40 A x 145 ft x 0.491 ohm x 26,240 cmil / 7.2 V = 20,757 cmil, between 8 and 6 AWG; of other methods it is not told."""
    found = drop(run(**SHOP)).results
    assert found["least_cmil"] == pytest.approx(2 * 40 * 0.145 * 0.491 * 26240 / 7.2, rel=1e-6)
    assert found["size_for_limit"] == "6 AWG"
    assert "least_cmil" not in drop(run(**SHOP), head=by("exact")).results
    two = drop(run(size="1/0", sets=2, calculated_a=240, length_ft=200)).results
    one = drop(run(size="1/0", calculated_a=120, length_ft=200)).results
    assert two["least_cmil"] == pytest.approx(one["least_cmil"])


def test_sizes_to_try_are_those_of_the_tables_for_the_metal() -> None:
    """Copper from 14, aluminum from 12 AWG, each once."""
    code = open_codebook("2023")
    copper, aluminum = (candidates(code, metal) for metal in ("copper", "aluminum"))
    assert (copper[0], aluminum[0]) == ("14", "12")
    assert len(set(copper)) == len(copper)
    assert copper[-1] == aluminum[-1]
    assert "18" not in copper


def test_the_curve_against_length_is_of_the_run_nearest_its_limit() -> None:
    """Of two runs the one at 2.9 % of 3, not the one at 1 %; one without a limit has none."""
    near, far = run(**{**SHOP, "length_ft": 60}), run(**{**SHOP, "name": "Q", "length_ft": 178})
    for text in (near + far, far + near):
        house = House.of(job(text))
        charts = voltage_drop.charts(house, voltage_drop.work(house))
        assert "Q" in charts[1].title + charts[1].alt
    service = House.of(job(run(name="S", role="service", size="4/0", calculated_a=150, length_ft=50, neutral=None)))
    assert len(voltage_drop.charts(service, voltage_drop.work(service))) == 0


def test_a_size_that_the_impedance_table_lacks_has_no_curve() -> None:
    """700 kcmil is worked by direct-current resistance alone: there is no size around it to draw."""
    house = House.of(job(run(size="700", calculated_a=300, length_ft=100)))
    found = voltage_drop.work(house)
    assert found[0].results["drop_v"] == pytest.approx(2 * 300 * 0.1 * 0.0184)
    assert [chart.title for chart in voltage_drop.charts(house, found)] == ["Voltage drop along the tree"]


def test_the_curve_of_a_size_rises_with_length_as_its_drop_does() -> None:
    """By resistance alone twice the length is twice the drop, whatever the size; a larger size loses less."""
    house = House.of(job(run(**SHOP)))
    curves = voltage_drop.charts(house, voltage_drop.work(house))[1].data.curves
    for curve in curves:
        assert all(
            pct / feet == pytest.approx(curve.points[-1][1] / curve.points[-1][0], rel=0.01)
            for feet, pct in curve.points
            if feet
        )
    ends = [curve.points[-1] for curve in curves]
    assert len({round(pct / feet, 9) for feet, pct in ends}) == len(curves)


def test_the_run_nearest_its_own_limit_is_drawn() -> None:
    """2.4 % where 2.5 % is wanted is nearer its limit than 2.9 % where 5 % is."""
    strict = run(**{**SHOP, "drop_limit_pct": 2.5})
    loose = run(**{**SHOP, "name": "Q", "length_ft": 178, "drop_limit_pct": 5})
    house = House.of(job(loose + strict))
    assert "Q" not in voltage_drop.charts(house, voltage_drop.work(house))[1].title


@pytest.mark.parametrize(("method", "reactance"), [("PVC-40", 0.044), ("RMC", 0.055), ("EMT", 0.055)])
def test_the_conduit_decides_the_reactance(method: str, reactance: float) -> None:
    """Chapter 9 Table 9: 1/0 in steel 0.055, in plastic 0.044 ohm for each 1,000 ft."""
    found = drop(
        run(size="1/0", calculated_a=100, length_ft=100, power_factor=0.9, wiring_method=method), head=by("exact")
    )
    assert found.results["reactance_ohm_per_kft"] == reactance


def test_what_is_unlike_the_tables_is_shown_and_no_more() -> None:
    """At the printed 0.85 and another temperature only the temperature tells why the table's column doesn't serve."""
    head = '[code.readings]\ndrop_method = "effective"\ndrop_conductor_c = 60\n'
    s = drop(run(**{**SHOP, "power_factor": 0.85}), head=head)
    (line,) = [line for line in s.lines if line.key == "impedance_from"]
    assert [(pair.left.number, pair.sign, pair.right.number) for pair in line.compared] == [(60, "<", 75)]


@pytest.mark.parametrize(
    ("keys", "said"), [({"neutral": True}, True), ({"neutral": False}, False), ({**BENCH, "name": "R"}, False)]
)
def test_only_two_legs_with_a_neutral_are_said_to_be_taken_alike(keys: dict[str, Any], said: bool) -> None:
    """At 120 V the neutral carries all that the leg does."""
    s = drop(run(**{**({} if "cable" in keys else SHOP), "calculated_a": 10, "length_ft": 50, **keys}))
    assert any("carrying the same current" in text for _, text in s.remarks) is said


def test_a_drop_by_another_method_is_called_by_that_method() -> None:
    s = drop(run(**SHOP))
    assert "voltage drop by exact solution" in str(s.as_json()["lines"])


@pytest.mark.parametrize(("method", "ohm"), [("direct-current", 1.98), ("effective", 2.0), ("exact", 2.0)])
def test_one_leg_of_a_multiwire_circuit_alone_comes_back_on_the_neutral(method: str, ohm: float) -> None:
    """12 A over 60 ft of 12 AWG and back: twice the current by one conductor, by every method; with equal legs once."""
    wires = {**BENCH, "name": "R", "multiwire": True, "cable": "12/3 with ground", "calculated_a": 12, "length_ft": 60}
    alone, alike = (drop(run(**wires, neutral_a=amperes), head=by(method)).results["drop_v"] for amperes in (None, 0))
    assert (alone, alike) == pytest.approx((24 * 0.06 * ohm, 12 * 0.06 * ohm), rel=0.03)


WYE_LEGS: dict[str, Any] = {"volts": 208, "neutral": True, "size": "2"}


def test_the_longest_length_of_two_legs_is_found_far_beyond_their_own() -> None:
    """A light load on a long run: 2,000 ft at 1 A loses next to nothing, and the limit lies at many times the length."""
    found = drop(run(**WYE_LEGS, calculated_a=1, length_ft=2000), head=by("exact")).results
    assert found["drop_pct"] < 1
    again = drop(run(**WYE_LEGS, calculated_a=1, length_ft=10_000), head=by("exact")).results
    assert found["max_length_ft"] == pytest.approx(10_000 * 3 / again["drop_pct"], rel=0.02)


def test_no_leg_of_a_wye_ever_loses_more_than_there_is() -> None:
    """The lagging leg runs out of voltage first; from there on no load can run, whatever the other leg has left."""
    path: Any = SimpleNamespace(
        start=SimpleNamespace(number=120.0),
        power_factor=SimpleNamespace(number=0.5),
        current=SimpleNamespace(number=100.0),
        wires=SimpleNamespace(sets=None),
    )
    ohm, reactance = (constant(name, number, "") for name, number in (("ohm", 0.2), ("reactance", 0.05)))
    drops = [_solve(path, ohm, reactance, step / 20)[1] for step in range(1, 200)]
    assert any(drop == inf for drop in drops)
    assert all(drop < 120 or drop == inf for drop in drops)


def test_overhead_conductors_are_said_to_be_worked_as_in_conduit() -> None:
    """The tables are for raceways; a span in the air has less resistance and more reactance."""
    plain = set(drop(run(**SHOP)).cautions)
    span = set(drop(run(**{**SHOP, "wiring_method": "overhead"})).cautions)
    assert span - plain
    assert plain <= span


def test_the_drop_of_another_size_is_that_of_the_same_run() -> None:
    """A smaller wire of the same run loses more; of aluminum more than of copper."""
    house = House.of(job(run(**SHOP)))
    of = voltage_drop.drop_by_size(house, house.job.runs[0])
    six, four, aluminum = of("6", "copper"), of("4", "copper"), of("6", "aluminum")
    assert six == pytest.approx(drop(run(**SHOP)).results["drop_pct"])
    assert four is not None
    assert aluminum is not None
    assert six is not None
    assert four < six < aluminum
