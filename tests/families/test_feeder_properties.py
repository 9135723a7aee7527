"""What holds for every run: sizes, checks and loads against one another."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from calc.codebook import editions
from calc.job import SIZES, parse_size
from tests.families.runs import LUGS_75, results, run, worked

LOADS = st.integers(1, 380)
METALS = st.sampled_from(["copper", "aluminum"])
AIR = st.integers(60, 140)
TOGETHER = st.integers(1, 25)
FEW = settings(max_examples=30, deadline=None)


def rank(found: dict[str, Any]) -> int:
    """Place of the size among the sizes; past the end where the tables end."""
    return SIZES.index(parse_size(found["size"])) if "size" in found else len(SIZES)


def sized(load: int, metal: str = "copper", **keys: Any) -> dict[str, Any]:
    return results(run(calculated_a=load, material=metal, insulation="XHHW-2", **LUGS_75 | keys))


@FEW
@given(LOADS, LOADS, METALS, AIR, TOGETHER)
def test_at_one_terminal_column_more_load_never_gives_a_smaller_size(
    load: int, more: int, metal: str, air: int, number: int
) -> None:
    low, high = sorted([load, more])
    around = {"ambient_f": air, "current_carrying": number}
    assert rank(sized(low, metal, **around)) <= rank(sized(high, metal, **around))


@FEW
@given(LOADS, METALS, AIR, AIR)
def test_at_one_terminal_column_more_heat_never_gives_a_smaller_size(
    load: int, metal: str, air: int, more: int
) -> None:
    low, high = sorted([air, more])
    assert rank(sized(load, metal, ambient_f=low)) <= rank(sized(load, metal, ambient_f=high))


@FEW
@given(LOADS, METALS, TOGETHER, TOGETHER)
def test_at_one_terminal_column_more_company_never_gives_a_smaller_size(
    load: int, metal: str, number: int, more: int
) -> None:
    low, high = sorted([number, more])
    assert rank(sized(load, metal, current_carrying=low)) <= rank(sized(load, metal, current_carrying=high))


def test_at_the_terminal_step_a_larger_load_takes_a_smaller_conductor() -> None:
    """Terminals not marked: 100 A lands on 60 C terminals and takes 1 AWG; 101 A lands on 75 C ones and takes 2 AWG."""
    unmarked = {"terminations_from_c": None, "terminations_to_c": None}
    assert (sized(100, **unmarked)["size"], sized(101, **unmarked)["size"]) == ("1 AWG", "2 AWG")


@FEW
@given(LOADS, METALS, AIR, TOGETHER, st.integers(0, 100))
def test_the_size_found_passes_its_own_check_and_the_next_smaller_fails(
    load: int, metal: str, air: int, number: int, lasting: int
) -> None:
    keys = {"ambient_f": air, "current_carrying": number, "continuous_a": load * lasting // 100}
    found = sized(load, metal, **keys)
    if "size" not in found:
        assert "refused" in found
        return
    plain = {"calculated_a": load, "material": metal, "insulation": "XHHW-2"} | keys | LUGS_75
    size = parse_size(found["size"])
    assert worked(run(**plain, size=size)).passes
    below = SIZES.index(size) - 1
    if (metal == "aluminum" and size == "12") or size == "14":
        return
    assert not worked(run(**plain, size=SIZES[below], ground_size=size)).passes


@FEW
@given(LOADS, st.sampled_from(editions()))
def test_the_breaker_carries_the_load_and_no_standard_rating_between_does(load: int, edition: str) -> None:
    found = results(run(calculated_a=load, **LUGS_75), edition)
    assert found["breaker_a"] >= load
    assert found["breaker_a"] <= max(15, load * 1.35 + 5)
    assert found["largest_breaker_a"] >= found["breaker_a"]


@FEW
@given(LOADS, AIR, TOGETHER)
def test_the_rungs_of_the_ladder_multiply(load: int, air: int, number: int) -> None:
    """An oracle in plain arithmetic for the ampacity of whatever size was found."""
    found = sized(load, ambient_f=air, current_carrying=number)
    if "ampacity_a" not in found:
        return
    through = found["table_a"] * found["ambient_factor"] * found["adjustment_pct"] / 100
    assert abs(found["ampacity_a"] - min(through, found["limit_a"])) < 1e-6


@FEW
@given(st.integers(100, 400), METALS)
def test_the_dwelling_share_never_asks_for_more_than_the_breaker_would(rating: int, metal: str) -> None:
    from tests.families.test_feeder import service

    whole = results(service(rating, material=metal, calculated_a=rating * 0.8, sets=2))
    several = results(
        service(rating, material=metal, calculated_a=rating * 0.8, sets=2).replace("one-family", "two-family")
    )
    assert rank(whole) <= rank(several)
