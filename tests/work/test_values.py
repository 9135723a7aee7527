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
    Refused,
    Sheet,
    Value,
    Words,
    WorkError,
    as_text,
    carried,
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
from calc.work.printing import quantity, rounded
from calc.work.units import unit
from tests.replay.evaluator import replay_sheet
from tests.replay.mutations import assert_mutations_caught

CITE = Citation("steps", "steps", "0.1", "Steps.", "A", "test")
STEPS = Bands(((3000, 100), (120_000, 35), (None, 25)), unit("VA"), CITE)


@pytest.fixture
def words(tmp_path: Path) -> Words:
    path = tmp_path / "test.toml"
    keys = ["a_va", "b_va", "c_a", "d_va", "found", "check", "e_kw", "n"]
    path.write_text("".join(f'[{key}]\nname = "line {key} {{item}}"\nreason = "Why."\n' for key in keys))
    return Words(path)


@pytest.fixture
def sheet(words: Words) -> Sheet:
    return Sheet("test", "Test", "subject", "2023", words)


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


def test_kilowatts_reach_volt_amperes_through_the_printed_factor(sheet: Sheet) -> None:
    sheet.line("a_va", given("range", 8, "kW", "") * VA_PER_KW)
    (line,) = sheet.as_json()["lines"]
    assert (line["numbers"], line["result"]) == ("8 kW x 1,000 VA/kW", "8,000 VA")


def test_a_line_in_the_wrong_unit_is_a_fault(sheet: Sheet) -> None:
    with pytest.raises(WorkError, match="works out in VA, not A"):
        sheet.line("c_a", va(240))


def test_items_that_are_alike_are_numbered(sheet: Sheet) -> None:
    """Items are a job's own words: two that are alike, or like a numbered one, are two lines all the same."""
    for item in ("one", "two", "two", "two 2", "two"):
        sheet.line("a_va", va(1), item=item)
    sheet.check("a_va", va(1) >= va(1), item="one")
    assert [line.key for line in sheet.lines] == [
        "a_va[one]",
        "a_va[two]",
        "a_va[two 2]",
        "a_va[two 2 2]",
        "a_va[two 3]",
    ]
    assert [check.key for check in sheet.checks] == ["a_va[one 2]"]


def test_a_sum_of_thousands_prints_and_works_out(sheet: Sheet) -> None:
    """Half a minute of nested calls was more than Python has; the sum prints as the sum of three does."""
    sheet.line("a_va", total(va(number) for number in range(1, 2001)))
    (line,) = sheet.as_json()["lines"]
    assert line["numbers"].startswith("1 VA + 2 VA + 3 VA + 4 VA")
    assert line["numbers"].count("(") == 0
    assert line["result"] == "2,001,000 VA"


@pytest.mark.parametrize(
    ("made", "numbers", "result"),
    [
        (lambda: total([va(1), va(2), va(3)]), "1 VA + 2 VA + 3 VA", "6 VA"),
        (lambda: va(10) - (va(3) + va(2)), "10 VA - (3 VA + 2 VA)", "5 VA"),
        (lambda: (va(10) + va(2)) * constant("half", 50, "%"), "(10 VA + 2 VA) x 50 %", "6 VA"),
        (lambda: larger(va(4600), va(5000)), "larger of(4,600 VA; 5,000 VA)", "5,000 VA"),
        (lambda: smaller(va(4600), va(5000)), "smaller of(4,600 VA; 5,000 VA)", "4,600 VA"),
        (lambda: root(va(3) * va(3) + va(4) * va(4)), "root(3 VA x 3 VA + 4 VA x 4 VA)", "5 VA"),
        (lambda: excess(va(15), va(12)), "over(15 VA; 12 VA)", "3 VA"),
        (lambda: excess(va(11), va(12)), "over(11 VA; 12 VA)", "0 VA"),
        (lambda: whole(va(77.5), "half up"), "whole half up(77.5 VA)", "78 VA"),
        (lambda: whole(va(77.49), "half up"), "whole half up(77.49 VA)", "77 VA"),
        (lambda: when(va(2) > va(1), va(7), va(8)), "if(2 VA > 1 VA; 7 VA; 8 VA)", "7 VA"),
        (lambda: when(va(1) > va(1), va(7), va(8)), "if(1 VA > 1 VA; 7 VA; 8 VA)", "8 VA"),
        (lambda: tiers(va(9000), STEPS), "steps(9,000 VA: 3,000 VA x 100 % + 6,000 VA x 35 %)", "5,100 VA"),
        (lambda: tiers(va(3000), STEPS), "steps(3,000 VA: 3,000 VA x 100 %)", "3,000 VA"),
        (lambda: tiers(va(0), STEPS), "steps(0 VA: 0 VA x 100 %)", "0 VA"),
    ],
)
def test_how_expressions_print(sheet: Sheet, made: object, numbers: str, result: str) -> None:
    sheet.line("a_va", made())  # type: ignore[operator]
    (line,) = sheet.as_json()["lines"]
    assert (line["numbers"], line["result"]) == (numbers, result)


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


def test_digits_widen_until_each_line_replays(sheet: Sheet) -> None:
    """1/3 of 100 VA prints 33 VA; times 300 it must print enough digits to come out right."""
    third = sheet.line("a_va", va(100) / constant("three", 3, ""))
    sheet.line("b_va", third * constant("many", 300, ""))
    first, second = sheet.as_json()["lines"]
    assert first["result"] == "33.333 VA"
    assert second["result"] == "10,000 VA"


def test_a_close_check_prints_the_digits_that_decide_it(sheet: Sheet) -> None:
    """100.04 A on a 100 A service must not print as 100 A >= 100.0 A."""
    load = sheet.line("c_a", given("load", 24009.6, "VA", "") / given("volts", 240, "V", ""))
    sheet.check("check", given("rating", 100, "A", "") >= load, remedy="a larger service")
    (check,) = sheet.as_json()["checks"]
    assert (check["holds"], check["passes"], check["remedy"]) == ("100 A >= 100.04 A", False, "a larger service")


def test_a_closer_check_prints_as_many_digits_as_decide_it(sheet: Sheet) -> None:
    """100.004 A and 99.998 A stand on either side of 100 A; what is far from it keeps its few digits."""
    over, under, far = (
        sheet.line("c_a", given("load", number, "VA", "") / given("volts", 240, "V", ""), item=str(number))
        for number in (24000.96, 23999.52, 12345.67)
    )
    rating = given("rating", 100, "A", "")
    sheet.check("check", rating >= over, item="over")
    sheet.check("check", rating > under, item="under")
    sheet.check("check", rating >= far, item="far")
    assert [(check["holds"], check["passes"]) for check in sheet.as_json()["checks"]] == [
        ("100 A >= 100.004 A", False), ("100 A > 99.998 A", True), ("100 A >= 51.4 A", True),
    ]  # fmt: skip


def test_a_check_carries_the_marks_of_the_numbers_that_it_compares(words: Words) -> None:
    """What rests on a value from memory says so at the verdict too, through lines of this sheet and of another."""
    memory = Citation("rule", "a rule", "1.1", "Words.", "D", "2023", mark="from memory", note="check it")
    first = Sheet("test", "Test", "s", "2023", words)
    source = first.line("a_va", va(100), cites=[memory])
    sheet = Sheet("test", "Test", "s", "2023", words)
    here = sheet.line("b_va", carried(source, "Other", 1) * constant("twice", 2, ""))
    sheet.check("check", va(300) >= here)
    sheet.which("found", {"one": here, "other": va(1)})
    shown = sheet.as_json()
    (note,) = shown["notes"]
    assert shown["checks"][0]["marks"] == [note["mark"]]
    assert shown["results"]["from_memory"] == ["b_va", "found"]


def test_words_of_a_manner_stand_in_place_of_the_shared_ones(tmp_path: Path) -> None:
    """Of several manners the first that an entry has counts; an entry without any has its own for all."""
    path = tmp_path / "words.toml"
    path.write_text(
        '[a_va]\nname = "a"\nreason = "Of all."\n[a_va.one]\nreason = "Of one."\n[a_va.two]\nname = "two"\n'
    )
    words = Words(path)
    for manner, name, reason in (((), "a", "Of all."), (("one",), "a", "Of one."), (("two", "one"), "two", "Of one.")):
        sheet = Sheet("test", "Test", "s", "2023", words.of(*manner))
        sheet.line("a_va", va(1))
        (line,) = sheet.as_json()["lines"]
        assert (line["name"], line["reason"]) == (name, reason)


def test_instead_replaces_a_line_and_what_follows(words: Words) -> None:
    sheet = Sheet("test", "Test", "s", "2023", words, overrides={"a_va": 50})
    first = sheet.line("a_va", va(100))
    sheet.line("b_va", first + va(1))
    one, two = sheet.as_json()["lines"]
    assert (one["kind"], one["numbers"], two["result"]) == ("replaced", "", "51 VA")


def test_which_and_sort_print_their_comparisons(sheet: Sheet) -> None:
    assert sheet.which("found", {"heating": va(9), "cooling": va(5)}) == "heating"
    assert sheet.sort("check", [va(5, "small"), va(9, "large")], va(6)) == [False, True]
    one, two = sheet.as_json()["lines"]
    assert one["numbers"] == "9 VA >= 5 VA"
    assert (two["numbers"], two["result"]) == ("5 VA < 6 VA ; 9 VA >= 6 VA", "large")


def test_steps_cite_the_rule_that_sets_them(sheet: Sheet) -> None:
    sheet.line("a_va", tiers(va(9000), STEPS))
    shown = sheet.as_json()
    assert shown["lines"][0]["sections"] == ["0.1"]
    assert [rule["rule"] for rule in shown["rules"]] == ["steps"]


def test_marks_travel_through_lines(sheet: Sheet) -> None:
    """A value from memory marks its own line, and every later line is known to rest on it."""
    memory = Citation("m", "a value", "1.2", "Words.", "D", "test", "from memory", "check the book")
    doubtful = Value(2.0, unit(""), "factor", "rule", "m", cites=(memory,), rests_on=frozenset({memory}))
    first = sheet.line("a_va", va(3) * doubtful)
    sheet.line("b_va", first + va(1))
    shown = sheet.as_json()
    assert [line["marks"] for line in shown["lines"]] == [[1], []]
    assert shown["notes"] == [{"mark": 1, "kind": "from memory", "text": "a value (1.2): check the book"}]
    assert shown["results"]["from_memory"] == ["a_va", "b_va"]


def test_marks_of_a_rule_that_governs_a_step_travel_like_those_of_its_numbers(sheet: Sheet) -> None:
    """``by=`` a rule from memory: the line, its choice or its check is marked, and later lines are known to rest on it."""
    memory = Citation("m", "a way", "1.2", "Words.", "D", "test", "from memory", "check the book")
    first = sheet.line("a_va", va(3), cites=[memory])
    second = sheet.line("b_va", first + va(1))
    sheet.find("found", "so", [second >= va(1)])
    sheet.line("c_a", given("else", 1, "A", ""))
    sheet.check("check", second >= va(1))
    shown = sheet.as_json()
    assert [line["marks"] for line in shown["lines"]] == [[1], [], [], []]
    assert shown["results"]["from_memory"] == ["a_va", "b_va", "found"]
    assert shown["checks"][0]["marks"] == [1]


def test_sections_stand_in_the_order_in_which_the_numbers_do_and_rules_of_the_step_after_them(sheet: Sheet) -> None:
    """Left before right, then ``by=``, each once; in the list of rules the lines' come first, then those of checks."""
    ten, twenty, five, six = (
        Citation(f"r{number}", "r", f"{number}.1", "Words.", "A", "test") for number in (10, 20, 5, 6)
    )
    by_ten, by_twenty = (Value(2.0, unit(""), "factor", "rule", cite.rule, cites=(cite,)) for cite in (ten, twenty))
    first = sheet.line("a_va", va(3) * by_twenty * by_ten * by_twenty, cites=[five, ten])
    sheet.find("found", "so", [va(1) * by_ten <= va(9) * by_twenty], cites=[five])
    sheet.check("check", first >= va(1) * by_ten, cites=[six, ten])
    sheet.unknown("n", "the number", cites=[six, five])
    shown = sheet.as_json()
    assert [line["sections"] for line in shown["lines"]] == [["20.1", "10.1", "5.1"], ["10.1", "20.1", "5.1"]]
    assert shown["checks"][0]["sections"] == ["10.1", "6.1"]
    assert shown["not_shown"][0]["sections"] == ["6.1", "5.1"]
    assert [rule["section"] for rule in shown["rules"]] == ["20.1", "10.1", "5.1", "6.1"]


def test_with_reasons_the_text_has_those_of_lines_and_of_checks(sheet: Sheet) -> None:
    sheet.check("found", sheet.line("a_va", va(3)) >= va(2))
    shown = sheet.as_json()
    shown["lines"][0]["reason"], shown["checks"][0]["reason"] = "Why the line.", "Why the check."
    text = as_text(shown, reasons=True)
    assert "Why the line." in text
    assert "Why the check." in text
    assert "Why" not in as_text(shown)


def test_a_refused_sheet_says_so_everywhere(sheet: Sheet) -> None:
    sheet.refused = Refused("the table ends at 27 kW", CITE)
    shown = sheet.as_json()
    assert not sheet.passes
    assert shown["refused"] == {"reason": "the table ends at 27 kW", "sections": ["0.1"], "missing": None}
    assert shown["results"]["refused"] == "the table ends at 27 kW"
    assert "NOT WORKED: the table ends at 27 kW  [0.1]" in as_text(shown)


def test_words_are_asked_by_key(words: Words) -> None:
    with pytest.raises(WorkError, match="has no 'reason' for 'nothing'"):
        words.text("nothing", "reason")


def test_user_text_is_never_filled_as_a_format(words: Words) -> None:
    """A load named '{item}' or '{0.__class__}' is only text."""
    assert words.text("a_va", "name", item="{item}") == "line a_va {item}"


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
