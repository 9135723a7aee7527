"""What must hold for any run: longer never drops less, limits invert, the size found serves and the next smaller fails."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from calc.families import voltage_drop
from calc.wiring.house import House
from calc.wiring.reading import codebook_for
from calc.work import Sheet
from tests.families.runs import job, run

SIZES = ["12", "10", "8", "6", "4", "2", "1/0", "3/0", "4/0", "250", "400", "600"]
METHODS = ["direct-current", "effective", "exact"]
RUNS = st.fixed_dictionaries(
    {
        "size": st.sampled_from(SIZES),
        "material": st.sampled_from(["copper", "aluminum"]),
        "wiring_method": st.sampled_from(["EMT", "PVC-40"]),
        "calculated_a": st.integers(1, 300),
        "length_ft": st.floats(5, 800).map(lambda x: round(x, 1)),
        "power_factor": st.floats(0.1, 1).map(lambda x: round(x, 2)),
        "drop_limit_pct": st.floats(0.5, 8).map(lambda x: round(x, 1)),
    }
)
SYSTEMS = st.sampled_from(
    [(240, 1, False, False), (120, 1, True, False), (208, 1, True, False), (208, 3, False, False), (120, 1, True, True)]
)
FEW = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])


def solved(method: str, system: tuple[int, int, bool, bool], keys: dict[str, Any]) -> Sheet:
    volts, phases, neutral, multiwire = system
    text = run(volts=volts, phases=phases, neutral=neutral, multiwire=multiwire, **keys)
    made = job(f'[code.readings]\ndrop_method = "{method}"\n{text}')
    (s,) = voltage_drop.work(House.of(made))
    return s


@pytest.mark.parametrize("method", METHODS)
@given(SYSTEMS, RUNS, st.floats(1, 1.5))
@FEW
def test_longer_never_drops_less(method: str, system: Any, keys: dict[str, Any], longer: float) -> None:
    """For one size and load, by each method."""
    short, long = (
        solved(method, system, keys),
        solved(method, system, {**keys, "length_ft": keys["length_ft"] * longer}),
    )
    assume(short.refused is None and long.refused is None)
    assert long.results["drop_v"] >= short.results["drop_v"] - 1e-9


@pytest.mark.parametrize("method", METHODS)
@given(SYSTEMS, RUNS)
@FEW
def test_the_longest_length_gives_the_limit(method: str, system: Any, keys: dict[str, Any]) -> None:
    """Solving for length and for drop are inverse, as far as lines of nine decimals go: from a drop of 0.1 V on, to five digits."""
    first = solved(method, system, keys)
    assume(first.refused is None and first.results["drop_v"] >= 0.1)
    assume(0.5 <= first.results["max_length_ft"] <= 10_000)
    again = solved(method, system, {**keys, "length_ft": first.results["max_length_ft"]})
    assert again.results["drop_pct"] == pytest.approx(keys["drop_limit_pct"], rel=1e-5)
    assert again.results["max_length_ft"] == pytest.approx(first.results["max_length_ft"], rel=1e-5)


@pytest.mark.parametrize("method", METHODS)
@given(SYSTEMS, RUNS)
@FEW
def test_the_size_found_serves_and_the_next_smaller_fails(method: str, system: Any, keys: dict[str, Any]) -> None:
    first = solved(method, system, keys)
    assume(first.refused is None and first.results["size_for_limit"] != "none in the tables")
    code = codebook_for(job(""))
    sizes = voltage_drop.candidates(code, keys["material"])
    size = first.results["size_for_limit"].split()[0]
    assert solved(method, system, {**keys, "size": size}).results["drop_pct"] <= keys["drop_limit_pct"] + 1e-9
    for smaller in sizes[: sizes.index(size)]:
        tried = solved(method, system, {**keys, "size": smaller})
        assert tried.refused is not None or tried.results["drop_pct"] > keys["drop_limit_pct"]


@given(RUNS)
@FEW
def test_every_digit_replays(keys: dict[str, Any]) -> None:
    """Random runs by the exact method, whose lines are the hardest to print short."""
    for system in [(240, 1, False, False), (208, 1, True, False)]:
        solved("exact", system, keys).as_json()
