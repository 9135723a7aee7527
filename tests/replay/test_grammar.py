"""The grammar of printed numbers: each rule by hand, units that only look alike, random expressions."""

import math
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.replay.grammar import read
from tests.replay.mutations import nudge
from tests.replay.quantities import Fault, in_unit, rounds_to


def value(numbers: str, unit: str) -> Fraction:
    return in_unit(read(numbers, "phrase")[0], unit)


@pytest.mark.parametrize(
    ("numbers", "unit", "expected"),
    [
        ("3,240 ft2 x 3 VA/ft2", "VA", "9720"),
        ("2 circuit x 1,500 VA/circuit + 1 circuit x 1,500 VA/circuit", "VA", "4500"),
        ("3,000 VA x 100 % + 10,440 VA x 35 %, portions of 13,440 VA", "VA", "6654"),
        ("3,000 VA x 100 % + 10,440 VA x 35 %, portions of 13,000 VA + 440 VA", "VA", "6654"),
        ("(100 VA x 100 % + 10 VA x 50 %, portions of 110 VA) x 2", "VA", "210"),
        ("60,485.25 VA / 240 V", "A", "252.021875"),
        ("240 V / 8 ohm", "A", "30"),
        ("8 kW x 1,000 VA/kW", "VA", "8000"),
        ("12 ft x 12 in/ft + 6 in", "in", "150"),
        ("3 in x 2 in x 3.5 in", "in3", "21"),
        ("√(9 ft2)", "ft", "3"),
        ("√2.25", "", "1.5"),
        ("2 x 12.9 ohm cmil/ft x 50 ft x 16 A / 6,530 cmil", "V", "206400/65300"),
        ("10 - 3 - 2", "", "5"),
        ("24 / 4 / 2", "", "3"),
        ("2 + 3 x 4", "", "14"),
        ("(2 + 3) x 4", "", "20"),
        ("5 - -3", "", "8"),
        ("1 - 80 %", "%", "20"),
        ("80 %", "", "4/5"),
        ("75% x 8 A", "A", "6"),
        ("25 % x 10 %", "%", "5/2"),
        ("largest of 7,200 VA, 5 A x 240 V and 1 VA", "VA", "7200"),
        ("largest of 1,000, 2,000 and 3,000", "", "3000"),
        ("larger of 60 in and (132 in - 60 in) / 2", "in", "60"),
        ("2 x (larger of 1 A and (smaller of 3 A and 4 A))", "A", "6"),
        ("smaller of 3 kW and 4 kW", "kW", "3"),
        ("15.6 kW - 12 kW, not less than 0", "kW", "18/5"),
        ("11 kW - 12 kW, not less than 0", "kW", "0"),
        ("12 kW - 12 kW, not less than 0", "kW", "0"),
        ("252.02 A, rounded up", "A", "253"),
        ("15.6 kW - 12 kW, not less than 0, rounded to whole kilowatts", "kW", "4"),
        ("252 A, rounded up", "A", "252"),
        ("83.9 A, rounded down", "A", "83"),
        ("3.5 kW, rounded to whole kilowatts", "kW", "4"),
        ("3.49 kW, rounded to whole kilowatts", "kW", "3"),
        ("43.4 %, rounded to a whole number", "%", "43"),
        ("0.887 in2 x 40 %, rounded to 3 decimals", "in2", "0.355"),
        ("5 % x 50 A, rounded up", "A", "3"),
        ("(3 ft)²", "ft2", "9"),
        ("√((3 ohm)² + (4 ohm)²)", "ohm", "5"),
        ("1 - 0.8²", "", "0.36"),
        ("1 V if 3 A is at least 3 A, otherwise 2 V", "V", "1"),
        ("1 V if 3 A is at most 2 A, otherwise 2 V", "V", "2"),
        ("1 V if 3 A is less than 4 A, otherwise 2 V", "V", "1"),
        ("1 V if 3 A is more than 3 A, otherwise 2 V", "V", "2"),
    ],
)
def test_arithmetic(numbers: str, unit: str, expected: str) -> None:
    """Each rule of the grammar, against a value worked by hand."""
    assert value(numbers, unit) == Fraction(expected)


@pytest.mark.parametrize(
    "numbers",
    [
        "100 VA + 3 A",
        "100 VA + 3 kW",
        "3 kVA + 3 kW",
        "3 ft + 3 in",
        "1 ft2 + 1 in2",
        "3 cmil + 3 kcmil",
        "1 ft + 1 kft",
        "2 circuit + 2 appliance",
        "3 circuit - 1",
        "0 A + 1 V",
        "3 in2 + 0",
        "3 A - 3 V, not less than 0",
        "larger of 3 A and 3 V",
        "smaller of 3 A and 3",
        "1 A if 3 A is more than 3 V, otherwise 2 A",
        "1 A if 3 A is more than 2 A, otherwise 2 V",
        "3,000 VA x 100 % + 6,000 kW x 35 %, portions of 9,000 VA",
        "3,000 VA x 100 A, portions of 3,000 VA",
        "3 V, rounded to whole amperes",
    ],
)
def test_unlike_units_refused(numbers: str) -> None:
    """Units that only look alike never meet without a printed factor."""
    with pytest.raises(Fault):
        read(numbers, "phrase")


@pytest.mark.parametrize(
    ("numbers", "unit"),
    [
        ("8 kW", "VA"),
        ("100 VA", "kVA"),
        ("24 in", "ft"),
        ("3 circuit x 1,500 VA", "VA"),
        ("3 ft2", "ft"),
        ("50 %", "A"),
    ],
)
def test_wrong_dimension_of_result_refused(numbers: str, unit: str) -> None:
    """A missing 'per circuit' or 'x 1,000 VA/kW' shows in the result's unit."""
    with pytest.raises(Fault):
        value(numbers, unit)


@pytest.mark.parametrize(
    "numbers",
    [
        "",
        "3 A +",
        "3 A 4",
        "(3 A",
        "3 A)",
        "12,34 VA",
        "1,2345 VA",
        "1234,567 VA",
        "1.2.3",
        "3x4",
        "3 x4",
        "half of 3 A",
        "larger of 3 A",
        "larger of 3 A, 4 A and 5 A",
        "largest of 3 A and 4 A",
        "larger of 3 A and 4 A + 1 A",
        "larger of 3 A and 4 A, rounded up",
        "2 x larger of 3 A and 4 A",
        "3 A, rounded sideways",
        "3 A, not less than 1 A",
        "rounded up",
        "√(3 A",
        "√3 ft²",
        "3 ft²",
        "3,000 VA x 100 % + 5,000 VA x 35 %, portions of 9,000 VA",
        "9,000 VA, portions of 9,000 VA",
        "3,000 VA x 100 % - 1 VA x 1 %, portions of 3,000 VA",
        "1 A if 3 A, otherwise 2 A",
        "1 A if 3 A is at least 2 A",
        "3 A / 0",
        "√(2 - 3)",
        "3 A is at least 2 A",
        "steps(9,000 VA: 9,000 VA x 100 %)",
        "__import__('os')",
    ],
)
def test_unreadable_text_refused(numbers: str) -> None:
    """Anything outside the grammar is a fault, portions that don't add up too."""
    with pytest.raises(Fault):
        read(numbers, "phrase")


def test_exact_to_the_last_digit() -> None:
    """Fractions, not floats: a third of a per cent of 0.1 stays exactly that."""
    assert value("0.1 A x 1 % / 3 + 0.1 A + 0.2 A", "A") == Fraction(1, 3000) + Fraction(3, 10)
    assert abs(value("√3", "") ** 2 - 3) < Fraction(1, 10**38)


@pytest.mark.parametrize(
    ("exactly", "printed", "right"),
    [
        ("2.5", "3", True),
        ("2.5", "2", True),
        ("2.51", "2", False),
        ("0.25", "0.3", True),
        ("1.45", "1.5", True),
        ("1.449", "1.5", False),
        ("9720", "9,720", True),
        ("-2.5", "-3", True),
        ("16.6", "16.60", True),
    ],
)
def test_rounding(exactly: str, printed: str, right: bool) -> None:
    """Either neighbour in an exact tie, one answer elsewhere."""
    assert rounds_to(Fraction(exactly), printed) is right


@pytest.mark.parametrize(
    ("text", "holds"),
    [
        ("55 A provided, 60 A required", False),
        ("60 A provided, 60 A required", True),
        ("20 A + 20 A provided, 50 A / 2 required", True),
        ("31 in, at most 24 in allowed", False),
        ("24 in, at most 24 in allowed", True),
        ("none provided, 1 electrode required", False),
        ("1 outlet, none allowed", False),
        ("none, at most 2 allowed", True),
        ("8 AWG (16,510 cmil) provided, 6 AWG (26,240 cmil) required", False),
        ("1/0 AWG (105,600 cmil) provided, (41,740 cmil) required", True),
        ("met", True),
        ("not met", False),
    ],
)
def test_the_words_of_a_check(text: str, holds: bool) -> None:
    """What is provided and what is required or allowed: whether it suffices follows from the words alone."""
    assert read(text, "required")[0] is holds


@pytest.mark.parametrize(
    "text",
    ["", "55 A", "8 AWG 16,510 cmil provided, 3 cmil required", "55 A >= 60 A", "55 A provided, 60 V required", "55 A provided", "55 A, at least 60 A allowed", "met so",
     "1 outlet, 2 allowed", "55 A provided, none required"],
)  # fmt: skip
def test_other_words_of_a_check_refused(text: str) -> None:
    """A check that says neither at least nor at most, or compares unlike things."""
    with pytest.raises(Fault):
        read(text, "required")


# ---- random expressions, printed by a printer of their own ----

Expression = tuple[str, Fraction, int]
"""Text, value, and how closely it holds together: 0 in words, 1 a sum, 2 a product, 3 one piece."""
UNITS = ("VA", "A", "kW", "in3/conductor", "")
plain = st.decimals(0, 20_000, places=2).map(lambda size: (f"{size:,f}", Fraction(size)))


def within(part: Expression, least: int) -> str:
    return f"({part[0]})" if part[2] < least else part[0]


def join(parts: tuple[Expression, str, Expression, str]) -> Expression:
    one, operator, two, unit = parts
    a, b = one[1], two[1]
    if operator == "excess":
        return f"{within(one, 1)} - {within(two, 2)}, not less than 0", max(a - b, Fraction(0)), 0
    if operator in ("larger of", "smaller of"):
        pick = max if operator == "larger of" else min
        return f"{operator} {within(one, 2)} and {within(two, 2)}", pick(a, b), 0
    if operator == "largest of":
        return f"largest of {within(one, 2)}, {within(two, 2)} and {within(one, 2)}", max(a, b), 0
    if operator == "if":
        left, right = within(one, 1), within(two, 1)
        return f"{left} if {left} is more than {right}, otherwise {right}", max(a, b), 0
    if operator == "rounded":
        return f"{within(one, 1)}, rounded down", Fraction(math.floor(a)), 0
    if operator == "x":
        right = f"({within(two, 2)} / 1 {unit})" if unit else within(two, 3)
        return f"{within(one, 2)} x {right}", a * b, 2
    least = 2 if operator == "-" else 1
    return f"{within(one, 1)} {operator} {within(two, least)}", a + b if operator == "+" else a - b, 1


def expressions(unit: str) -> st.SearchStrategy[Expression]:
    """Expressions that all come out in `unit`."""
    leaf = plain.map(lambda part: (f"{part[0]} {unit}".strip(), part[1], 3))
    operators = st.sampled_from(["+", "-", "x", "excess", "larger of", "smaller of", "largest of", "if", "rounded"])
    return st.recursive(leaf, lambda below: st.tuples(below, operators, below, st.just(unit)).map(join), max_leaves=8)


@given(st.sampled_from(UNITS).flatmap(lambda unit: st.tuples(st.just(unit), expressions(unit))))
def test_random_expressions_replay(case: tuple[str, Expression]) -> None:
    """Whatever is printed is read back to the same value, exactly."""
    unit, (text, expected, _) = case
    assert value(text, unit) == expected


@given(expressions("VA"), st.sampled_from(["A", "kW", "kVA", "VA/circuit", "", "%"]))
def test_random_wrong_units_refused(case: Expression, wrong: str) -> None:
    """One operand in another unit, and the whole is refused."""
    with pytest.raises(Fault):
        read(f"({case[0]}) + 1 {wrong}".strip(), "phrase")


@given(st.decimals(-9999, 99_999, places=3), st.integers(0, 3), st.sampled_from([-1, 1]))
def test_random_last_digits_caught(size: Decimal, decimals: int, steps: int) -> None:
    """A value prints as its rounding and, ties apart, as no neighbour of it."""
    printed = f"{size:,.{decimals}f}"
    assume(2 * abs(size - Decimal(printed.replace(",", ""))) != Decimal(1).scaleb(-decimals))
    assert rounds_to(Fraction(size), printed)
    assert not rounds_to(Fraction(size), nudge(printed, steps))
