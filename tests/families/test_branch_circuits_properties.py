"""What holds for every circuit: what is worked out passes its own checks, and more load never asks for less."""

from __future__ import annotations

from typing import Any

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from calc.families import branch_circuits
from calc.wiring.house import House
from calc.work import Sheet
from tests.families.runs import job, toml
from tests.families.test_branch_circuits import EDITIONS, PANEL, circuit, load, sheet

HEAVY = st.sampled_from(["water-heater", "tankless-water-heater", "dryer", "range", "cooktop", "wall-oven", "ev-supply",
                         "supplemental-heat", "space-heat"])  # fmt: skip
VA = st.integers(500, 13000)


def worked_out(kind: str, va: int, edition: str = "2023", **keys: Any) -> Sheet:
    """A circuit for one load, breaker and cable worked out, protected every way."""
    text = PANEL + circuit(poles=2, breaker_type="dual-function", **keys) + load(kind, va, circuit="C")
    return sheet(text, edition=edition)


@settings(max_examples=80, deadline=None)
@given(HEAVY, VA, st.sampled_from(EDITIONS))
def test_what_is_worked_out_passes(kind: str, va: int, edition: str) -> None:
    s = worked_out(kind, va, edition)
    assert s.refused or s.passes, [check.key for check in s.checks if not check.holds.holds]


@settings(max_examples=60, deadline=None)
@given(HEAVY, VA, st.integers(1, 3000))
def test_more_load_never_asks_for_a_smaller_breaker_or_wire(kind: str, va: int, more: int) -> None:
    less, full = worked_out(kind, va), worked_out(kind, va + more)
    assume(not less.refused and not full.refused)
    assert full.results["breaker_a"] >= less.results["breaker_a"]
    assert full.results["ampacity_a"] >= less.results["ampacity_a"]


@settings(max_examples=60, deadline=None)
@given(
    HEAVY, VA, st.sampled_from([15, 20, 25, 30, 40, 50, 60]), st.sampled_from(["14/2", "12/2", "10/2", "8/2", "6/2"])
)
def test_a_larger_breaker_is_never_the_fix_of_a_wire_that_is_too_small(
    kind: str, va: int, breaker: int, cable: str
) -> None:
    """Where a fix names a larger breaker alone, the circuit with that breaker passes in full."""
    s = worked_out(kind, va, breaker_a=breaker, cable=f"{cable} NM")
    assume(not s.refused)
    for check in s.checks:
        if check.remedy.startswith("a breaker of") and not check.holds.holds:
            amperes = int(float(check.remedy.split()[3].rstrip(",")))
            again = worked_out(kind, va, breaker_a=amperes, cable=f"{cable} NM")
            failed = {c.key for c in again.checks if not c.holds.holds}
            assert amperes < breaker or not failed - {"carries_continuous", "carries_load", "neutral_there"}
            assert check.key not in failed


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(10, 2400), st.booleans()), min_size=1, max_size=14))
def test_legs_add_up_to_what_is_connected(circuits: list[tuple[int, bool]]) -> None:
    """Both legs together are the sum of all circuits; the neutral is never above the heavier leg; no best is worse."""
    text = PANEL + "".join(
        circuit(name=f"c{n}", load_va=va, poles=2 if two else 1) for n, (va, two) in enumerate(circuits)
    )
    found = sheet(text, "P").results
    assert abs(found["leg_1_va"] + found["leg_2_va"] - sum(va for va, _ in circuits)) < 1e-6
    assert found["neutral_a"] <= found["worst_leg_a"] + 1e-9
    assert found["spare_spaces"] == 40 - sum(2 if two else 1 for _, two in circuits)
    if any(not two for _, two in circuits):
        assert found["best_unbalance_va"] <= found["unbalance_va"] + 1e-6


@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(0, 3000), min_size=2, max_size=8), st.integers(1, 4), st.sampled_from(["", "208Y/120"]))
def test_no_job_puts_both_halves_on_one_leg_by_our_choice(loads: list[int], pairs: int, system: str) -> None:
    """Whatever else is in the panel, halves without stated spaces stand on opposite legs, one above the other."""
    text = (f'[service]\nsystem = "{system}"\n' if system else "") + PANEL
    text += "".join(circuit(name=f"s{n}", load_va=va or None) for n, va in enumerate(loads))
    for n in range(pairs):
        text += circuit(
            name=f"a{n}", purpose="small-appliance", multiwire_with=f"b{n}", common_disconnect="two-pole", load_va=1900
        )
        text += circuit(name=f"b{n}", purpose="small-appliance", multiwire_with=f"a{n}", load_va=300)
    made = job(text)
    found = {s.subject: s for s in branch_circuits.work(House.of(made))}
    for n in range(pairs):
        assert found[f"a{n}"].results["legs"] != found[f"b{n}"].results["legs"]
        assert abs(int(found[f"a{n}"].results["spaces"]) - int(found[f"b{n}"].results["spaces"])) == 2
        assert all(check.holds.holds for check in found[f"a{n} and b{n}"].checks)


def test_a_hundred_circuits_are_worked_in_reasonable_time() -> None:
    """No search that grows with every combination."""
    panels = "".join(toml("panels", name=f"P{n}", spaces=42) for n in range(3))
    text = panels + "".join(circuit(name=f"c{n}", panel=f"P{n % 3}", load_va=100 + 37 * n) for n in range(120))
    made = job(text)
    found = {s.subject: s for s in branch_circuits.work(House.of(made))}
    assert all(found[f"P{n}"].results["best_unbalance_va"] <= 37 for n in range(3))
