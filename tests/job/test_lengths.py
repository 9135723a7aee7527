"""Lengths are read as people tape them, and printed so that they read back."""

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.job import format_length, parse_feet, parse_inches


@pytest.mark.parametrize(
    ("taped", "inches"),
    [
        ("12' 6\"", 150),
        ("12'-6\"", 150),
        ("12’ 6”", 150),
        ("12′6″", 150),
        ("12 ft 6 in", 150),
        ("12ft6in", 150),
        ("12 FT. 6 IN.", 150),
        ("7 ft 3-1/2 in", 87.5),
        ("7 ft 3 1/2 in", 87.5),
        ("7.5 ft", 90),
        ("6-1/2 in", 6.5),
        ("3/4 in", 0.75),
        ("12'", 144),
        ("30", 30),
        (" 2 feet ", 24),
        ("1 foot 1 inch", 13),
    ],
)
def test_trade_notations_mean_the_same_length(taped: str, inches: float) -> None:
    assert parse_inches(taped) == inches
    if taped != "30":
        assert parse_feet(taped) == inches / 12


def test_a_bare_number_is_in_the_unit_of_its_key() -> None:
    assert parse_feet("12.5") == 12.5
    assert parse_inches("12.5") == 12.5


@pytest.mark.parametrize(
    "text",
    ["", "-", "ft", "5 m", "12 ft 14 in", "12'6", "1/0 in", "6 in 2 ft", "2.5 ft 3 in", "-3 in", "1e3", "٣ ft x"],
)
def test_what_is_no_length_is_refused(text: str) -> None:
    with pytest.raises(ValueError):  # noqa: PT011 - each has its own words
        parse_inches(text)


@given(st.integers(0, 16 * 12 * 1000))
def test_printing_and_reading_a_length_are_inverse(sixteenths: int) -> None:
    assert parse_inches(format_length(sixteenths / 16)) == sixteenths / 16


@given(st.floats(0, 1e5))
def test_a_printed_length_is_within_a_thirty_second(inches: float) -> None:
    assert abs(parse_inches(format_length(inches)) - inches) <= 1 / 32 + 1e-9


@given(st.text(max_size=20))
def test_any_text_is_a_length_or_a_value_error(text: str) -> None:
    with contextlib.suppress(ValueError):
        assert parse_inches(text) >= 0


def test_lengths_are_printed_as_a_tape_reads() -> None:
    assert [format_length(x) for x in (87.5, 150, 6.5, 0, 0.5, 144, -3)] == [
        "7 ft 3-1/2 in",
        "12 ft 6 in",
        "6-1/2 in",
        "0 in",
        "1/2 in",
        "12 ft 0 in",
        "-3 in",
    ]
