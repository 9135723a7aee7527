"""What a sheet says as a whole: its states, its notes, what replaces a line, and how it stands as plain text."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from calc.work import (
    Citation,
    Missing,
    Refused,
    Sheet,
    Value,
    Words,
    WorkError,
    as_text,
    carried,
    constant,
    given,
    total,
    whole,
)
from calc.work.printing import decimals_needed, quantity
from calc.work.signs import with_signs
from calc.work.status import FALLS_SHORT, NOT_SHOWN, NOT_WORKED, PASSES, loud, worst
from calc.work.text import table_text
from calc.work.units import key_unit, of_dims, times, unit
from calc.work.values import Bands, Lookup, Op, Text, portions

CITE = Citation("steps", "steps", "0.1", "Steps.", "A", "test")
WORDS = """
[a_va]
name = "load"
reason = "Why."
[b_va]
name = "more"
reason = "Why."
[c_a]
name = "current"
reason = "Why."
[share_pct]
name = "share"
reason = "Why."
[size]
name = "size"
reason = "Why."
[lamp]
name = "lamp {item}"
reason = "Why {item}."
[check]
name = "fits"
reason = "Why."
[other]
name = "other"
reason = "Why."
[said]
text = "Mind {what}."
"""


@pytest.fixture
def words(tmp_path: Path) -> Words:
    path = tmp_path / "test.toml"
    path.write_text(WORDS)
    return Words(path)


@pytest.fixture
def sheet(words: Words) -> Sheet:
    return Sheet("test", "Test", "subject", "2023", words)


def va(number: float, name: str = "load") -> Value:
    return given(name, number, "VA", "loads[1].load_va")


def cell(text: str) -> Text:
    return Text(text, Lookup("sizes", "sizes.csv", (("amperes", 100),), "size", "Table 1, 100 A"), (CITE,))


# -- states -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("holds", "refused", "unknown", "status"),
    [
        (None, None, False, PASSES),
        (True, None, False, PASSES),
        (True, None, True, NOT_SHOWN),
        (True, Missing("no area"), False, NOT_SHOWN),
        (True, Refused("no table"), True, NOT_WORKED),
        (False, Refused("no table"), True, FALLS_SHORT),
        (False, Missing("no area"), False, FALLS_SHORT),
    ],
)
def test_a_shortfall_decides_then_what_is_not_worked_then_what_is_not_shown(
    sheet: Sheet, holds: bool | None, refused: Refused | None, unknown: bool, status: str
) -> None:
    if holds is not None:
        assert sheet.check("check", va(2) >= va(1 if holds else 3)) is holds
    if unknown:
        sheet.unknown("other", "the rest", at="loads")
    sheet.refused = refused
    assert sheet.status == status
    assert sheet.passes == (status == PASSES)
    assert sheet.results.get("passes") == (None if holds is None else status == PASSES)


def test_a_check_that_is_just_met_is_met(sheet: Sheet) -> None:
    """Equal is enough for 'at least' and 'at most' and not for 'more' and 'less'."""
    assert sheet.check("check", va(5) >= va(5))
    assert sheet.check("check", va(5) <= va(5))
    assert not sheet.check("check", va(5) > va(5))
    assert not sheet.check("check", va(5) < va(5))


def test_a_mend_stands_only_where_it_is_needed(sheet: Sheet) -> None:
    sheet.check("check", va(5) >= va(5), remedy="more")
    sheet.check("check", va(4) >= va(5), remedy="more", item="second")
    assert [check["remedy"] for check in sheet.as_json()["checks"]] == ["", "more"]


def test_only_what_passes_is_printed_quietly() -> None:
    assert [loud(each) for each in (PASSES, FALLS_SHORT, NOT_SHOWN, NOT_WORKED)] == [
        "passes", "FALLS SHORT", "NOT SHOWN", "NOT WORKED",
    ]  # fmt: skip


def test_the_worst_decides_and_nothing_passes_by_itself() -> None:
    assert worst([PASSES, NOT_SHOWN, NOT_WORKED]) == NOT_WORKED
    assert worst([NOT_WORKED, FALLS_SHORT, PASSES]) == FALLS_SHORT
    assert worst([]) == PASSES


def test_a_refusal_is_carried_on_with_its_sections_and_its_place() -> None:
    """What rests on a refused result says so in front, and a missing entry stays the entry that it was."""
    carried = Missing("no area.", CITE, at="dwelling.floor_area_ft2").under("The service: ")
    assert (str(carried), carried.reason, carried.cites) == (carried.reason, "The service: no area.", (CITE,))
    assert (carried.at, carried.status) == ("dwelling.floor_area_ft2", NOT_SHOWN)
    plain = Refused("no table.", CITE).under("The service: ")
    assert (str(plain), plain.reason, plain.cites, plain.status) == (
        "The service: no table.", "The service: no table.", (CITE,), NOT_WORKED,
    )  # fmt: skip
    assert not isinstance(plain, Missing)


# -- lines --------------------------------------------------------------------------------------------------------


def test_a_word_that_is_stated_replaces_the_one_looked_up_or_found(words: Words) -> None:
    """It is printed as stated: without the table's cell, and without the comparison that would have found another."""
    plain, stated = (
        Sheet("test", "Test", "s", "2023", words, overrides=overrides)
        for overrides in ({}, {"size": "4/0 AWG", "other": "cooling"})
    )
    for sheet, picked, found in ((plain, "3/0 AWG", "heating"), (stated, "4/0 AWG", "cooling")):
        assert sheet.pick("size", cell("3/0 AWG")) == picked
        assert sheet.find("other", "heating", [va(2) >= va(1)]) == found
    assert [(line.kind, line.value or line.found, len(line.compared)) for line in plain.lines] == [
        ("looked up", "3/0 AWG", 0), ("found", "heating", 1),
    ]  # fmt: skip
    assert plain.lines[0].lookup is not None
    assert [(line["kind"], line["result"], line["numbers"], line["lookup"]) for line in stated.as_json()["lines"]] == [
        ("replaced", "4/0 AWG", "", None), ("replaced", "cooling", "", None),
    ]  # fmt: skip


def test_a_number_that_is_stated_replaces_the_one_looked_up(words: Words) -> None:
    """Stated, it has no table behind it any more; looked up, it names its cell and what chose the row."""
    for overrides, kind, amount, column in (({}, "looked up", 7, "size"), ({"a_va": 9}, "replaced", 9, None)):
        sheet = Sheet("test", "Test", "s", "2023", words, overrides=overrides)
        chosen = sheet.line("b_va", va(100))
        lookup = Lookup("sizes", "sizes.csv", (("amperes", 100),), "size", "Table 1, 100 A", (chosen,))
        found = sheet.line("a_va", Value(7.0, unit("VA"), "cell", made=Op("lookup", (chosen,), lookup), cites=(CITE,)))
        line = sheet.lines[1]
        assert (line.kind, found.number, line.lookup and line.lookup.column) == (kind, amount, column)


def test_a_share_is_in_per_cent_and_nothing_has_no_sign(sheet: Sheet) -> None:
    share = sheet.line("share_pct", va(40) / va(100))
    sheet.line("a_va", va(50) * share)
    sheet.line("b_va", va(0) * constant("minus", -1, ""))
    assert [line["result"] for line in sheet.as_json()["lines"]] == ["40 %", "20 VA", "0 VA"]


def test_each_kind_of_entry_names_the_item_that_it_is_about(sheet: Sheet) -> None:
    key, item = "lamp", "hall"
    for other in ("", "stair"):
        assert sheet.words.text(key, "name", item=other) == f"lamp {other}"
    sheet.line(key, va(1), item=item)
    sheet.find(key, "so", item=item)
    sheet.pick(key, cell("3/0 AWG"), item=item)
    sheet.check(key, va(1) >= va(1), item=item)
    sheet.unknown(key, "the rest", item=item)
    made = [*sheet.lines, *sheet.checks, *sheet.unknowns]
    assert {(each.name.startswith("lamp hall"), each.reason.startswith("Why hall")) for each in made} == {(True, True)}


def test_the_largest_is_named_the_first_of_equals(sheet: Sheet) -> None:
    """Equal within nine decimals: dust of arithmetic does not choose."""
    assert sheet.which("size", {"one": va(5), "two": va(5 + 1e-12), "three": va(4)}) == "one"


def test_a_value_that_just_reaches_the_limit_is_inside_it(sheet: Sheet) -> None:
    assert sheet.sort("size", [va(5, "small"), va(6, "equal")], va(6)) == [False, True]
    assert sheet.sort("other", [va(5, "small")], va(6)) == [False]
    assert [line["result"] for line in sheet.as_json()["lines"]] == ["equal", "none"]


def test_the_number_of_a_line_is_asked_by_its_key(sheet: Sheet) -> None:
    sheet.find("size", "so")
    sheet.line("a_va", va(7))
    assert (sheet.value("a_va").number, sheet.number_of("a_va")) == (7, 2)
    for key in ("size", "b_va"):
        with pytest.raises(KeyError):
            sheet.value(key)


def test_cautions_and_choices_are_told_once(sheet: Sheet) -> None:
    for _ in range(2):
        sheet.caution("said", what="the cat")
        sheet.remark("said", what="the dog")
    shown = sheet.as_json()
    assert shown["cautions"] == ["Mind the cat."]
    assert shown["notes"] == [{"mark": 1, "kind": "choice", "text": "Mind the dog."}]


def test_rules_that_are_marked_for_one_reason_share_a_note(sheet: Sheet) -> None:
    """Two of one kind and note are named together; one of another note is a note of its own."""
    one, two, other = (
        Citation(name, name, section, "Words.", "D", "test", "from memory", note)
        for name, section, note in (("one", "1.1", "look"), ("two", "", "look"), ("three", "3.1", "ask"))
    )
    sheet.line("a_va", va(1), cites=[one, two])
    sheet.line("b_va", va(1), cites=[other, two])
    shown = sheet.as_json()
    assert [note["text"] for note in shown["notes"]] == ["one (1.1), two: look", "three (3.1): ask"]
    assert [line["marks"] for line in shown["lines"]] == [[1], [1, 2]]
    assert [rule["marks"] for rule in shown["rules"]] == [[1], [1], [2]]


def test_givens_are_listed_once_by_name_and_place(sheet: Sheet) -> None:
    sheet.line("a_va", va(1) + va(1) * constant("two", 2, ""))
    assert sheet.as_json()["givens"] == [{"name": "load", "value": 1.0, "text": "1 VA", "at": "loads[1].load_va"}]


def test_words_that_a_file_lacks_are_those_of_the_one_beside_it(words: Words, tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    path.write_text('[a_va]\nname = "own"\n')
    own = Words(path, beside=words)
    assert own.text("a_va", "name") == "own"
    assert own.text("b_va", "name") == "more"
    assert own.expected_range("b_va") is None
    ranges = Words(path)
    ranges.entries = {"a_va": {"expected_range": {"low": 1}}, "b_va": {"expected_range": {"low": 2}}}
    beside = Words(path, beside=ranges)
    beside.entries = {"a_va": {"expected_range": {"low": 3}}}
    assert (beside.expected_range("a_va"), beside.expected_range("b_va")) == ({"low": 3}, {"low": 2})
    with pytest.raises(WorkError):
        own.text("a_va", "reason")
    with pytest.raises(WorkError):
        own.text("nowhere", "name")


# -- numbers and units --------------------------------------------------------------------------------------------


def test_portions_end_at_each_limit_and_the_first_is_always_there() -> None:
    bands = Bands(((3000, 100), (120_000, 35), (None, 25)), unit("VA"), CITE)
    assert portions(3000.0, bands) == [(3000.0, 100)]
    assert portions(0.0, bands) == [(0.0, 100)]
    assert portions(120_001.0, bands) == [(3000.0, 100), (117_000.0, 35), (1.0, 25)]


def test_whole_numbers_go_up_down_or_to_the_nearer() -> None:
    found = {way: whole(va(7.5), way).number for way in ("up", "down", "half up")}
    assert found == {"up": 8, "down": 7, "half up": 8}
    assert whole(va(7.4), "half up").number == 7


def test_a_sum_of_none_is_a_printed_nothing_and_of_one_itself() -> None:
    one = va(3)
    assert (total([]).number, total([]).name, str(total([], "A").unit)) == (0, "none", "A")
    assert total([one]) is one
    assert [total(va(n) for n in range(1, k + 1)).number for k in (2, 3, 5)] == [3, 6, 15]


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


def test_numbers_print_with_their_thousands_and_no_more_decimals_than_they_have() -> None:
    assert [decimals_needed(number) for number in (5, 2.5, 0.125, 1 / 3)] == [0, 1, 3, 9]
    assert quantity(1234.5, unit("VA")) == "1,234.5 VA"
    assert quantity(1234.5, unit(""), 0) == "1,235"


def test_digits_are_added_where_they_bring_most_and_nowhere_else(sheet: Sheet) -> None:
    """A third of 100 VA counts 300 times and a seventh of 1 VA once: the third gets decimals, the seventh none."""
    first = sheet.line("a_va", va(100) / constant("three", 3, ""))
    second = sheet.line("b_va", va(1) / constant("seven", 7, ""))
    sheet.line("a_va", first * constant("many", 300, "") + second, item="sum")
    assert [line["result"] for line in sheet.as_json()["lines"]] == ["33.333 VA", "0 VA", "10,000 VA"]


def test_a_number_of_another_sheet_prints_with_the_fewest_digits_too(sheet: Sheet, words: Words) -> None:
    other = Sheet("test", "Test", "s", "2023", words)
    third = other.line("a_va", va(100) / constant("three", 3, ""))
    sheet.line("b_va", carried(third, "Other", 1) * constant("two", 2, ""))
    shown = sheet.as_json()
    assert (shown["lines"][0]["numbers"], shown["lines"][0]["result"]) == ("33.3 VA x 2", "67 VA")
    assert shown["givens"][0]["text"] == "33.3 VA"


# -- text ---------------------------------------------------------------------------------------------------------


def test_signs_of_print() -> None:
    assert with_signs("3 ft2 x 4 in3 >= 2 - 1 <= (5)") == "3\u00a0ft² × 4\u00a0in³ ≥ 2 − 1 ≤ (5)"


def test_a_table_as_text_has_its_columns_in_line_and_its_notes() -> None:
    table = {
        "title": "Sizes", "intro": "What serves.", "columns": [{"name": "Size"}, {"name": "A"}],
        "rows": [["4/0 AWG", 180], ["2", 90]], "notes": ["At 75 C."],
    }  # fmt: skip
    assert table_text(table) == "Sizes\nWhat serves.\n\nSize     A\n4/0 AWG  180\n2        90\n- At 75 C.\n"


def test_a_sheet_as_text_says_verdicts_mends_what_is_missing_and_what_is_cautioned(sheet: Sheet) -> None:
    load = sheet.line("a_va", va(300) + va(20), cites=[CITE])
    sheet.line("b_va", va(300))
    sheet.find("size", "so", [va(2) >= va(1)])
    sheet.line("a_va", va(5), item="second")
    sheet.check("check", load >= va(1))
    sheet.check("check", load >= va(400), remedy="80 VA more", item="more")
    sheet.unknown("other", "the rest", at="loads")
    sheet.caution("said", what="the cat")
    sheet.amendments = ("county",)
    text = as_text(sheet.as_json()).splitlines()
    assert text[1] == "subject   (edition 2023, amended by county)"
    for line in (
        "  1  load = load + load = 300 VA + 20 VA = 320 VA  [0.1]",
        "  2  more = load = 300 VA",
        "  3  size: so  (2 VA >= 1 VA)",
        "  4  load = 5 VA",
        "     fits: 320 VA >= 1 VA: passes",
        "     fits: 320 VA >= 400 VA: FALLS SHORT",
        "     to mend it: 80 VA more",
        "     other: NOT SHOWN; to be entered: the rest",
        "   - Mind the cat.",
    ):
        assert line in text, text
    assert sum(line.startswith("     to mend it") for line in text) == 1


@pytest.mark.parametrize(("refused", "said"), [(Refused("no table", CITE), "NOT WORKED: no table  [0.1]"),
                                               (Missing("no area", at="x"), "NOT SHOWN: no area")])  # fmt: skip
def test_a_refusal_as_text_has_its_state_and_sections(sheet: Sheet, refused: Refused, said: str) -> None:
    sheet.refused = refused
    shown: dict[str, Any] = sheet.as_json()
    assert shown["refused"]["missing"] == (refused.at if isinstance(refused, Missing) else None)
    assert f"     {said}" in as_text(shown).splitlines()


def test_a_rule_of_thumb_stands_beside_its_line_with_one_note(tmp_path: Path) -> None:
    """Lines of one rule share the note; a rule for each unit of another quantity needs that quantity above nothing."""
    path = tmp_path / "thumb.toml"
    path.write_text(
        '[a_va]\nname = "load"\nreason = "Why."\n[a_va.expected_range]\nhigh = 100\nbasis = "So."\n'
        '[b_va]\nname = "more"\nreason = "Why."\n[b_va.expected_range]\nlow = 1\nhigh = 2\nfor_each = "units"\nbasis = "So."\n'
    )
    sheet = Sheet("test", "Test", "s", "2023", Words(path))
    sheet.line("a_va", va(100))
    sheet.line("a_va", va(101), item="second")
    sheet.line("b_va", va(3) * given("units", 2, "", "units"))
    shown = sheet.as_json()
    assert [(line["expected_range"]["outside"], line["expected_range"]["mark"]) for line in shown["lines"]] == [
        (False, 1), (True, 1), (True, 2),
    ]  # fmt: skip
    assert shown["lines"][2]["expected_range"]["high"] == 4
    assert len(shown["notes"]) == 2
