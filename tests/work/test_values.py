"""Traced values: arithmetic that prints, units that refuse, and no hidden choice."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given as each
from hypothesis import strategies as st

from calc.work import (
    VA_PER_KW,
    Bands,
    Citation,
    Sheet,
    Value,
    Words,
    WorkError,
    constant,
    excess,
    given,
    larger,
    root,
    smaller,
    tiers,
    total,
    when,
    whole,
)
from calc.work.printing import decimals_needed, quantity, rounded
from calc.work.units import key_unit, of_dims, times, unit
from calc.work.values import portions
from tests.replay.evaluator import replay_sheet
from tests.replay.mutations import assert_mutations_caught

CITE = Citation("steps", "steps", "0.1", "Steps.", "A", "test")
STEPS = Bands(((3000, 100), (120_000, 35), (None, 25)), unit("VA"), CITE)


def va(number: float, name: str = "load") -> Value:
    return given(name, number, "VA", "loads[1].load_va")


def test_a_value_decides_no_if() -> None:
    with pytest.raises(WorkError, match="can't decide an 'if'"):
        bool(va(1))
    with pytest.raises(WorkError, match="can't decide an 'if'"):
        bool(va(1) > va(2))


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: va(1) + given("x", 1, "kW", ""),
        lambda: va(1) - given("x", 1, "A", ""),
        lambda: larger(va(1), given("x", 1, "V", "")),
        lambda: va(1) >= given("x", 1, "", ""),
        lambda: excess(va(1), given("x", 1, "kVA", "")),
        lambda: root(va(4)),
        lambda: tiers(given("x", 1, "A", ""), STEPS),
        lambda: when(va(1) > va(0), va(1), given("x", 1, "A", "")),
        lambda: va(1) / constant("nothing", 0, ""),
        lambda: whole(given("x", 43.4, "%", ""), "up"),
    ],
)
def test_units_that_do_not_meet_are_refused(wrong: object) -> None:
    """kW and VA, amperes and volts meet only through a printed factor."""
    with pytest.raises(WorkError):
        wrong()  # type: ignore[operator]


def test_units_of_products_and_keys() -> None:
    """V times A is VA, V over A is an ohm; a key's last word is its unit, a rate's both words are."""
    assert str(times(unit("V"), unit("A"))) == "VA"
    assert str(times(unit("V"), unit("A"), -1)) == "ohm"
    assert str(times(unit("VA"), unit("V"), -1)) == "A"
    assert str(times(unit("ft2"), unit("ft"), -1)) == "ft"
    assert str(of_dims((("kft", -1),))) == "1/kft"
    assert unit("%").scale == 0.01
    assert unit("1/%").scale == pytest.approx(100)
    assert [str(key_unit(key)) for key in ("demand_va", "drop_ohm_per_kft", "number")] == ["VA", "ohm/kft", "None"]


def test_kilowatts_reach_volt_amperes_through_the_printed_factor(sheet: Sheet) -> None:
    sheet.line("a_va", given("range", 8, "kW", "") * VA_PER_KW)
    (line,) = sheet.as_json()["lines"]
    assert (line["numbers"], line["result"]) == ("8 kW x 1,000 VA/kW", "8,000 VA")


LEG = va(3)


@pytest.mark.parametrize(
    ("made", "numbers", "result"),
    [
        (lambda: total([va(1), va(2), va(3)]), "1 VA + 2 VA + 3 VA", "6 VA"),
        (lambda: va(10) - (va(3) + va(2)), "10 VA - (3 VA + 2 VA)", "5 VA"),
        (lambda: (va(10) + va(2)) * constant("half", 50, "%"), "(10 VA + 2 VA) x 50 %", "6 VA"),
        (lambda: larger(va(4600), va(5000)), "larger of 4,600 VA and 5,000 VA", "5,000 VA"),
        (lambda: smaller(va(4600), va(5000)), "smaller of 4,600 VA and 5,000 VA", "4,600 VA"),
        (lambda: root(va(3) * va(3) + va(4) * va(4)), "√(3 VA x 3 VA + 4 VA x 4 VA)", "5 VA"),
        (lambda: root(LEG * LEG + va(4) * va(4)), "√((3 VA)² + 4 VA x 4 VA)", "5 VA"),
        (lambda: root(constant("3", 3, "")) * va(2), "√3 x 2 VA", "3 VA"),
        (lambda: excess(va(15), va(12)), "15 VA - 12 VA, not less than 0", "3 VA"),
        (lambda: excess(va(11), va(12)), "11 VA - 12 VA, not less than 0", "0 VA"),
        (lambda: whole(va(77.5), "half up"), "77.5 VA, rounded to a whole number", "78 VA"),
        (lambda: whole(va(77.49), "half up"), "77.49 VA, rounded to a whole number", "77 VA"),
        (
            lambda: whole(excess(va(15), va(12)) / constant("2", 2, ""), "up"),
            "(15 VA - 12 VA, not less than 0) / 2, rounded up",
            "2 VA",
        ),
        (lambda: whole(excess(va(15), va(12)), "up"), "15 VA - 12 VA, not less than 0, rounded up", "3 VA"),
        (lambda: larger(va(1), va(2)) * constant("2", 2, ""), "(larger of 1 VA and 2 VA) x 2", "4 VA"),
        (lambda: larger(va(1), va(2), va(5) - va(1)), "largest of 1 VA, 2 VA and (5 VA - 1 VA)", "4 VA"),
        (lambda: when(va(2) > va(1), va(7), va(8)), "7 VA if 2 VA is more than 1 VA, otherwise 8 VA", "7 VA"),
        (lambda: when(va(1) > va(1), va(7), va(8)), "7 VA if 1 VA is more than 1 VA, otherwise 8 VA", "8 VA"),
        (lambda: tiers(va(9000), STEPS), "3,000 VA x 100 % + 6,000 VA x 35 %, portions of 9,000 VA", "5,100 VA"),
        (lambda: tiers(va(3000), STEPS), "3,000 VA x 100 %", "3,000 VA"),
        (lambda: tiers(va(0), STEPS), "0 VA x 100 %", "0 VA"),
    ],
)
def test_how_expressions_print(sheet: Sheet, made: object, numbers: str, result: str) -> None:
    sheet.line("a_va", made())  # type: ignore[operator]
    (line,) = sheet.as_json()["lines"]
    assert (line["numbers"], line["result"]) == (numbers, result)


def test_the_larger_of_shares_is_in_the_unit_of_the_first() -> None:
    """A share in percent and one as a plain number are of one kind; each says its own unit."""
    percent, plain = constant("share", 50, "%"), constant("part", 0.3, "")
    assert [(made.number, str(made.unit)) for made in (larger(percent, plain), larger(plain, percent))] == [
        (50, "%"), (0.5, ""),
    ]  # fmt: skip


def test_a_sum_of_thousands_prints_and_works_out(sheet: Sheet) -> None:
    """Half a minute of nested calls was more than Python has; the sum prints as the sum of three does."""
    sheet.line("a_va", total(va(number) for number in range(1, 2001)))
    (line,) = sheet.as_json()["lines"]
    assert line["numbers"].startswith("1 VA + 2 VA + 3 VA + 4 VA")
    assert line["numbers"].count("(") == 0
    assert line["result"] == "2,001,000 VA"


def test_a_sum_of_none_is_a_printed_nothing_and_of_one_itself() -> None:
    one = va(3)
    assert (total([]).number, total([]).name, str(total([], "A").unit)) == (0, "none", "A")
    assert total([one]) is one
    assert [total(va(n) for n in range(1, k + 1)).number for k in (2, 3, 5)] == [3, 6, 15]


def test_whole_numbers_go_up_down_or_to_the_nearer() -> None:
    found = {way: whole(va(7.5), way).number for way in ("up", "down", "half up")}
    assert found == {"up": 8, "down": 7, "half up": 8}
    assert whole(va(7.4), "half up").number == 7


def test_a_hair_off_a_whole_number_is_that_number() -> None:
    """0.1 + 0.2 style dust must not cost a circuit: 3 x 0.1 / 0.3 rounds up to 1, not 2."""
    dust = given("x", 0.1 + 0.2, "", "") / given("y", 0.3, "", "")
    assert whole(dust, "up").number == 1


@pytest.mark.parametrize(("number", "decimals", "text"), [(2.5, 0, "3"), (0.125, 2, "0.13"), (-2.5, 0, "-3")])
def test_halves_round_away_as_a_person_rounds(number: float, decimals: int, text: str) -> None:
    assert str(rounded(number, decimals)) == text


def test_counts_print_in_the_plural() -> None:
    assert quantity(1, unit("circuit")) == "1 circuit"
    assert quantity(3, unit("circuit")) == "3 circuits"
    assert quantity(1500, unit("VA/circuit")) == "1,500 VA/circuit"


def test_numbers_print_with_their_thousands_and_no_more_decimals_than_they_have() -> None:
    assert [decimals_needed(number) for number in (5, 2.5, 0.125, 1 / 3)] == [0, 1, 3, 9]
    assert quantity(1234.5, unit("VA")) == "1,234.5 VA"
    assert quantity(1234.5, unit(""), 0) == "1,235"


def test_portions_end_at_each_limit_and_the_first_is_always_there() -> None:
    assert portions(3000.0, STEPS) == [(3000.0, 100)]
    assert portions(0.0, STEPS) == [(0.0, 100)]
    assert portions(120_001.0, STEPS) == [(3000.0, 100), (117_000.0, 35), (1.0, 25)]


amounts = st.floats(0, 400_000).map(lambda x: round(x, 2))


@each(amounts)
def test_tiers_equal_plain_arithmetic(amount: float) -> None:
    plain = min(amount, 3000) + 0.35 * max(min(amount, 120_000) - 3000, 0) + 0.25 * max(amount - 120_000, 0)
    assert tiers(va(amount), STEPS).number == pytest.approx(plain, abs=1e-6)


@each(st.lists(amounts, min_size=2, max_size=6), st.sampled_from([0.5, 1.25, 3.0, 7.3]))
def test_any_sheet_replays_and_each_mutation_is_caught(numbers: list[float], factor: float) -> None:
    class AnyWords(Words):
        def __init__(self) -> None:
            self.path = Path("any.toml")

        def expected_range(self, key: str) -> None:
            return None

        def text(self, key: str, part: str, **fill: str) -> str:
            return key

    sheet = Sheet("test", "Test", "subject", "2023", AnyWords())
    loads = [va(number, f"load {at}") for at, number in enumerate(numbers)]
    summed = sheet.line("sum_va", total(loads))
    scaled = sheet.line("scaled_va", summed * constant("factor", factor, ""))
    stepped = sheet.line("stepped_va", tiers(scaled, STEPS))
    current = sheet.line("current_a", stepped / given("volts", 240, "V", ""))
    sheet.line("whole_a", whole(current, "half up"))
    sheet.check("fits", given("rating", 200, "A", "") >= current)
    shown = Sheet.as_json(sheet)
    assert replay_sheet(shown) == []
    assert_mutations_caught(shown)
