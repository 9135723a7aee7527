"""The grammar of printed numbers: each rule by hand, units that only look alike, random expressions."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.replay.grammar import read
from tests.replay.mutations import nudge
from tests.replay.quantities import Fault, in_unit, rounds_to


def value(numbers: str, unit: str) -> Fraction:
    return in_unit(read(numbers, "sum")[0], unit)


@pytest.mark.parametrize(
    ("numbers", "unit", "expected"),
    [
        ("3,240 ft2 x 3 VA/ft2", "VA", "9720"),
        ("2 circuit x 1,500 VA/circuit + 1 circuit x 1,500 VA/circuit", "VA", "4500"),
        ("steps(13,440 VA: 3,000 VA x 100 % + 10,440 VA x 35 %)", "VA", "6654"),
        ("60,485.25 VA / 240 V", "A", "252.021875"),
        ("240 V / 8 ohm", "A", "30"),
        ("8 kW x 1,000 VA/kW", "VA", "8000"),
        ("12 ft x 12 in/ft + 6 in", "in", "150"),
        ("3 in x 2 in x 3.5 in", "in3", "21"),
        ("root(9 ft2)", "ft", "3"),
        ("root(2.25)", "", "1.5"),
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
        ("larger of(7,200 VA; 5 A x 240 V; 1 VA)", "VA", "7200"),
        ("smaller of(3 kW; 4 kW)", "kW", "3"),
        ("over(15.6 kW; 12 kW)", "kW", "18/5"),
        ("over(11 kW; 12 kW)", "kW", "0"),
        ("over(12 kW; 12 kW)", "kW", "0"),
        ("whole up(252.02 A)", "A", "253"),
        ("whole up(252 A)", "A", "252"),
        ("whole down(83.9 A)", "A", "83"),
        ("whole half up(3.5 kW)", "kW", "4"),
        ("whole half up(3.49 kW)", "kW", "3"),
        ("whole half up(43.4 %)", "%", "43"),
        ("whole up(5 % x 50 A)", "A", "3"),
        ("if(3 A >= 3 A; 1 V; 2 V)", "V", "1"),
        ("if(3 A > 3 A; 1 V; 2 V)", "V", "2"),
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
        "over(3 A; 3 V)",
        "larger of(3 A; 3 V)",
        "smaller of(3 A; 3)",
        "if(3 A > 3 V; 1 A; 2 A)",
        "if(3 A > 2 A; 1 A; 2 V)",
        "steps(9,000 VA: 3,000 VA x 100 % + 6,000 kW x 35 %)",
    ],
)
def test_unlike_units_refused(numbers: str) -> None:
    """Units that only look alike never meet without a printed factor."""
    with pytest.raises(Fault):
        read(numbers, "sum")


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
        "half of(3 A)",
        "over(3 A)",
        "whole up(3 A; 4 A)",
        "larger of()",
        "root(3 A",
        "steps(9,000 VA: 3,000 VA x 100 % + 5,000 VA x 35 %)",
        "steps(9,000 VA: 9,000 VA)",
        "if(3 A; 1 A; 2 A)",
        "3 A / 0",
        "root(2 - 3)",
        "3 A >= 2 A",
        "__import__('os')",
    ],
)
def test_unreadable_text_refused(numbers: str) -> None:
    """Anything outside the grammar is a fault, steps that don't add up too."""
    with pytest.raises(Fault):
        read(numbers, "sum")


def test_exact_to_the_last_digit() -> None:
    """Fractions, not floats: a third of a per cent of 0.1 stays exactly that."""
    assert value("0.1 A x 1 % / 3 + 0.1 A + 0.2 A", "A") == Fraction(1, 3000) + Fraction(3, 10)
    assert abs(value("root(3)", "") ** 2 - 3) < Fraction(1, 10**38)


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


# ---- random expressions, printed by a printer of their own ----

Expression = tuple[str, Fraction]
UNITS = ("VA", "A", "kW", "in3/conductor", "")
plain = st.decimals(0, 20_000, places=2).map(lambda size: (f"{size:,f}", Fraction(size)))


def join(parts: tuple[Expression, str, Expression, str]) -> Expression:
    (left, a), operator, (right, b), unit = parts
    if operator == "over":
        return f"over({left}; {right})", max(a - b, Fraction(0))
    if operator in ("larger of", "smaller of"):
        return f"{operator}({left}; {right})", (max if operator == "larger of" else min)(a, b)
    if operator == "if":
        return f"if({left} > {right}; {left}; {right})", max(a, b)
    if operator == "x":
        return f"({left}) x ({right}{' / 1 ' + unit if unit else ''})", a * b
    return f"({left} {operator} {right})", a + b if operator == "+" else a - b


def expressions(unit: str) -> st.SearchStrategy[Expression]:
    """Expressions that all come out in `unit`."""
    leaf = plain.map(lambda part: (f"{part[0]} {unit}".strip(), part[1]))
    operators = st.sampled_from(["+", "-", "x", "over", "larger of", "smaller of", "if"])
    return st.recursive(leaf, lambda below: st.tuples(below, operators, below, st.just(unit)).map(join), max_leaves=8)


@given(st.sampled_from(UNITS).flatmap(lambda unit: st.tuples(st.just(unit), expressions(unit))))
def test_random_expressions_replay(case: tuple[str, Expression]) -> None:
    """Whatever is printed is read back to the same value, exactly."""
    unit, (text, expected) = case
    assert value(text, unit) == expected


@given(expressions("VA"), st.sampled_from(["A", "kW", "kVA", "VA/circuit", "", "%"]))
def test_random_wrong_units_refused(case: Expression, wrong: str) -> None:
    """One operand in another unit, and the whole is refused."""
    with pytest.raises(Fault):
        read(f"{case[0]} + 1 {wrong}".strip(), "sum")


@given(st.decimals(-9999, 99_999, places=3), st.integers(0, 3), st.sampled_from([-1, 1]))
def test_random_last_digits_caught(size: Decimal, decimals: int, steps: int) -> None:
    """A value prints as its rounding and, ties apart, as no neighbour of it."""
    printed = f"{size:,.{decimals}f}"
    assume(2 * abs(size - Decimal(printed.replace(",", ""))) != Decimal(1).scaleb(-decimals))
    assert rounds_to(Fraction(size), printed)
    assert not rounds_to(Fraction(size), nudge(printed, steps))
