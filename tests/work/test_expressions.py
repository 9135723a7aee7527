"""Expressions as they print: what is said in words is said one way, and what is printed reads back to the value."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given as each
from hypothesis import strategies as st

from calc.work import (
    Bands,
    Citation,
    Value,
    WorkError,
    constant,
    excess,
    given,
    larger,
    smaller,
    tiers,
    total,
    when,
    whole,
)
from calc.work.expressions import comparison, formula, numbers, required
from calc.work.printing import printed
from calc.work.units import unit
from tests.replay.grammar import read
from tests.replay.quantities import in_unit

STEPS = Bands(((3000, 100), (120_000, 35), (None, 25)), unit("A"), Citation("steps", "steps", "0.1", "", "A", "test"))


def amperes(number: float, name: str = "current") -> Value:
    return given(name, number, "A", "runs[1].calculated_a")


leaves = st.decimals(0, 200_000, places=2).map(lambda size: amperes(float(size)))
factors = st.decimals("0.01", 90, places=2).map(lambda size: constant("factor", float(size), ""))


def deeper(below: st.SearchStrategy[Value]) -> st.SearchStrategy[Value]:
    two = st.tuples(below, below)
    return st.one_of(
        two.map(lambda pair: pair[0] + pair[1]),
        two.map(lambda pair: pair[0] - pair[1]),
        two.map(lambda pair: larger(*pair)),
        two.map(lambda pair: excess(*pair)),
        st.tuples(below, below, below).map(lambda three: smaller(*three)),
        st.tuples(below, factors).map(lambda pair: pair[0] * pair[1]),
        st.tuples(below, factors).map(lambda pair: pair[0] / pair[1]),
        below.map(lambda one: one * one / amperes(10)),
        below.map(lambda one: one * constant("share", 35, "%")),
        st.tuples(below, st.sampled_from(["up", "down", "half up"])).map(lambda pair: whole(*pair)),
        below.map(lambda one: whole(one, "half up", places=3)),
        below.map(lambda one: tiers(whole(larger(one, amperes(0)), "half up", places=2), STEPS)),
        st.tuples(below, below, below, below).map(lambda four: when(four[0] > four[1], four[2], four[3])),
    )


expressions = st.recursive(leaves, deeper, max_leaves=7)


@each(expressions)
def test_what_is_printed_reads_back_to_the_value(value: Value) -> None:
    """Any expression, however deep, has one reading, and its value is that of the operands as printed, exactly."""
    assert in_unit(read(numbers(value, {}), "phrase")[0], "A") == printed(value, {})


@each(expressions, expressions, st.sampled_from([">=", "<="]))
def test_a_check_and_a_comparison_read_back_to_their_verdict(left: Value, right: Value, sign: str) -> None:
    """The words of a check say what it comes to, whether it passes or not; a comparison is printed where it holds."""
    found = left >= right if sign == ">=" else left <= right
    a, b = printed(left, {}), printed(right, {})
    holds = a >= b if sign == ">=" else a <= b
    assert read(required(found, {}), "required")[0] is holds
    assert read(comparison(found, {}), "comparisons")[0] is holds


@pytest.mark.parametrize(
    ("found", "text"),
    [
        (lambda: amperes(55) >= amperes(60), "55 A provided, 60 A required"),
        (lambda: amperes(55) + amperes(1) >= amperes(60) - amperes(5), "55 A + 1 A provided, 60 A - 5 A required"),
        (lambda: larger(amperes(1), amperes(2)) >= amperes(1), "(larger of 1 A and 2 A) provided, 1 A required"),
        (lambda: amperes(0) >= amperes(60), "0 A provided, 60 A required"),
        (lambda: given("gap", 31, "in", "") <= given("reach", 24, "in", ""), "31 in, at most 24 in allowed"),
        (lambda: given("rods", 0, "electrode", "") >= constant("rods", 2, "electrode"), "none provided, 2 electrodes required"),
        (lambda: given("others", 2, "outlet", "") <= constant("others", 0, "outlet"), "2 outlets, none allowed"),
        (lambda: given("others", 0, "", "") <= constant("others", 0, ""), "met"),
        (lambda: given("tied", 1, "condition", "") >= constant("tied", 1, "condition"), "met"),
        (lambda: given("tied", 0, "condition", "") >= constant("tied", 1, "condition"), "not met"),
    ],
)  # fmt: skip
def test_a_check_says_what_is_there_and_what_is_asked_for(found: Any, text: str) -> None:
    """A comparison that fails is never printed as if it held: both sides stand side by side, in words."""
    assert required(found(), {}) == text


def test_a_check_of_sizes_says_them_beside_their_areas() -> None:
    """Nobody buys wire by the circular mil."""
    areas = given("own", 16_510, "cmil", "") >= given("least", 26_240, "cmil", "")
    text = required(areas, {}, ("8 AWG", "6 AWG"))
    assert text == "8 AWG (16,510 cmil) provided, 6 AWG (26,240 cmil) required"
    assert read(text, "required")[0] is False


def test_a_check_says_at_least_or_at_most() -> None:
    with pytest.raises(WorkError, match="at least or at most"):
        required(amperes(1) > amperes(2), {})


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (larger(amperes(1, "load of A"), amperes(2, "floor")), "larger of load of A and floor"),
        (larger(amperes(1, "load, heating"), amperes(2, "fan and pump")), "larger of (load, heating) and (fan and pump)"),
        (larger(amperes(1, "a"), amperes(2, "b")) * constant("share", 25, "%"), "(larger of a and b) x share"),
        (total([amperes(1, "a"), larger(amperes(1, "b"), amperes(2, "c"))], "A"), "a + (larger of b and c)"),
        (excess(amperes(15, "load"), amperes(12, "limit")), "load - limit, not less than 0"),
        (whole(amperes(15.4, "load"), "half up"), "load, rounded to whole amperes"),
        (tiers(amperes(2000, "load"), STEPS), "load x 100 %"),
        (tiers(amperes(4000, "load"), STEPS), "load: first 3,000 A at 100 %, rest at 35 %"),
        (tiers(amperes(130_000, "load"), STEPS), "load: first 3,000 A at 100 %, next 117,000 A at 35 %, rest at 25 %"),
    ],
)  # fmt: skip
def test_the_formula_in_names_says_the_same_as_its_numbers(value: Value, text: str) -> None:
    """Names that have a comma or an 'and' of their own stand in brackets where several are listed."""
    assert formula(value) == text


def test_a_square_is_printed_as_one() -> None:
    line = amperes(3, "current")
    assert (formula(line * line), numbers(line * line, {})) == ("current²", "(3 A)²")
    named = amperes(3, "current of the run")
    assert formula(named * named) == "(current of the run)²"
    plain = constant("0.8", 0.8, "")
    assert numbers(plain * plain, {}) == "0.8²"
    assert read(numbers(line * line, {}), "phrase")[0].magnitude == Fraction(9)


def test_portions_within_a_sum_stand_in_brackets_and_a_product_in_portions_does_not() -> None:
    """In names as in numbers, so that each reads in one way."""
    steps = tiers(amperes(9000, "load"), STEPS)
    sum_of = amperes(5, "more") + steps
    assert formula(sum_of) == "more + (load: first 3,000 A at 100 %, rest at 35 %)"
    assert numbers(sum_of, {}) == "5 A + (3,000 A x 100 % + 6,000 A x 35 %, portions of 9,000 A)"
    few = tiers(amperes(10, "load") * constant("two", 2, ""), STEPS)
    assert (formula(few), numbers(few, {})) == ("load x two x 100 %", "10 A x 2 x 100 %")
    inside = amperes(40, "forty") / tiers(amperes(10, "load"), STEPS)
    assert (formula(inside), numbers(inside, {})) == ("forty / (load x 100 %)", "40 A / (10 A x 100 %)")


def test_brackets_stand_only_where_they_decide() -> None:
    """A product among several to choose from, and a sum to be rounded, read right without."""
    product = amperes(2, "two") * constant("three", 3, "")
    chosen = larger(product, amperes(5, "five"))
    assert (formula(chosen), numbers(chosen, {})) == ("larger of two x three and five", "larger of 2 A x 3 and 5 A")
    assert numbers(whole(amperes(1.2) + amperes(2), "up"), {}) == "1.2 A + 2 A, rounded up"
