"""What a sheet says as a whole: its states, its notes, what replaces a line, and how it stands as plain text."""

from __future__ import annotations

import copy
import pickle
from pathlib import Path
from typing import Any

import pytest

from calc.verdict.proposed import Waiting
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
    tiers,
)
from calc.work.printing import rounded, settle
from calc.work.signs import with_signs
from calc.work.status import FALLS_SHORT, NOT_SHOWN, NOT_WORKED, PASSES, loud, worst
from calc.work.table import Column, Table, figures, weighed
from calc.work.text import table_text
from calc.work.units import unit
from calc.work.values import Lookup, Op, Text
from tests.work.test_values import CITE, STEPS, va


def cell(text: str) -> Text:
    return Text(text, Lookup("sizes", "sizes.csv", (("amperes", 100),), "size", "Table 1, 100 A"), (CITE,))


# -- states -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("holds", "refused", "unknown", "status"),
    [
        (None, None, False, PASSES),
        (True, None, False, PASSES),
        (True, None, True, NOT_SHOWN),
        (True, Missing("no area", at=""), False, NOT_SHOWN),
        (True, Refused("no table"), True, NOT_WORKED),
        (False, Refused("no table"), True, FALLS_SHORT),
        (False, Missing("no area", at=""), False, FALLS_SHORT),
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


def test_a_refused_sheet_says_so_everywhere(sheet: Sheet) -> None:
    sheet.refused = Refused("the table ends at 27 kW", CITE)
    shown = sheet.as_json()
    assert not sheet.passes
    assert shown["refused"] == {"reason": "the table ends at 27 kW", "sections": ["0.1"], "missing": None}
    assert shown["results"]["refused"] == "the table ends at 27 kW"


# -- lines --------------------------------------------------------------------------------------------------------


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


def test_each_kind_of_entry_names_the_item_that_it_is_about(sheet: Sheet) -> None:
    key, item = "lamp", "hall"
    for other in ("", "stair"):
        assert sheet.words.text(key, "name", item=other) == f"lamp {other}"
    sheet.line(key, va(1), item=item)
    sheet.find(key, "so", item=item)
    sheet.pick(key, cell("3/0 AWG"), item=item)
    sheet.check(key, va(1) >= va(1), item=item)
    sheet.unknown(key, "the rest", "", item=item)
    made = [*sheet.lines, *sheet.checks, *sheet.unknowns]
    assert {(each.name.startswith("lamp hall"), each.reason.startswith("Why hall")) for each in made} == {(True, True)}


def test_instead_replaces_a_line_and_what_follows(words: Words) -> None:
    sheet = Sheet("test", "Test", "s", "2023", words, overrides={"a_va": 50})
    first = sheet.line("a_va", va(100))
    sheet.line("b_va", first + va(1))
    one, two = sheet.as_json()["lines"]
    assert (one["kind"], one["numbers"], two["result"]) == ("replaced", "", "51 VA")


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


def test_which_and_sort_print_their_comparisons(sheet: Sheet) -> None:
    assert sheet.which("found", {"heating": va(9), "cooling": va(5)}) == "heating"
    assert sheet.sort("check", [va(5, "small"), va(9, "large")], va(6)) == [False, True]
    one, two = sheet.as_json()["lines"]
    assert one["numbers"] == "9 VA is at least 5 VA"
    assert (two["numbers"], two["result"]) == ("5 VA is less than 6 VA; 9 VA is at least 6 VA", "large")


def test_the_largest_is_named_the_first_of_equals(sheet: Sheet) -> None:
    """Equal within nine decimals: dust of arithmetic does not choose."""
    assert sheet.which("size", {"one": va(5), "two": va(5 + 1e-12), "three": va(4)}) == "one"


def test_a_choice_cites_the_rule_that_asks_for_it(sheet: Sheet) -> None:
    sheet.which("size", {"one": va(5), "two": va(4)}, item="first", cites=[CITE])
    sheet.sort("other", [va(5, "small")], va(6), cites=[CITE])
    lines = sheet.as_json()["lines"]
    assert [line["sections"] for line in lines] == [["0.1"], ["0.1"]]
    assert lines[0]["key"] == "size[first]"


def test_a_result_is_asked_by_its_key_and_another_key_is_told_the_nearest(sheet: Sheet) -> None:
    sheet.line("a_va", va(7))
    sheet.find("size", "so")
    sheet.check("check", va(2) >= va(1))
    assert (sheet["a_va"], sheet["size"], sheet["passes"]) == (7, "so", True)
    with pytest.raises(KeyError, match=r"no result 'a_va_'.*nearest: a_va"):
        sheet["a_va_"]
    with pytest.raises(KeyError, match="nearest: a_va, size, passes"):
        sheet["zzz"]


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


def test_givens_are_listed_once_by_name_and_place(sheet: Sheet) -> None:
    sheet.line("a_va", va(1) + va(1) * constant("two", 2, ""))
    assert sheet.as_json()["givens"] == [{"name": "load", "value": 1.0, "text": "1 VA", "at": "loads[1].load_va"}]


# -- marks, notes, sections ---------------------------------------------------------------------------------------


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


def test_sections_stand_in_the_order_in_which_the_numbers_do_and_rules_of_the_step_after_them(sheet: Sheet) -> None:
    """Left before right, then ``by=``, each once; in the list of rules the lines' come first, then those of checks."""
    ten, twenty, five, six = (
        Citation(f"r{number}", "r", f"{number}.1", "Words.", "A", "test") for number in (10, 20, 5, 6)
    )
    by_ten, by_twenty = (Value(2.0, unit(""), "factor", "rule", cite.rule, cites=(cite,)) for cite in (ten, twenty))
    first = sheet.line("a_va", va(3) * by_twenty * by_ten * by_twenty, cites=[five, ten])
    sheet.find("found", "so", [va(1) * by_ten <= va(9) * by_twenty], cites=[five])
    sheet.check("check", first >= va(1) * by_ten, cites=[six, ten])
    sheet.unknown("n", "the number", "", cites=[six, five])
    shown = sheet.as_json()
    assert [line["sections"] for line in shown["lines"]] == [["20.1", "10.1", "5.1"], ["10.1", "20.1", "5.1"]]
    assert shown["checks"][0]["sections"] == ["10.1", "6.1"]
    assert shown["not_shown"][0]["sections"] == ["6.1", "5.1"]
    assert [rule["section"] for rule in shown["rules"]] == ["20.1", "10.1", "5.1", "6.1"]


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


# -- words --------------------------------------------------------------------------------------------------------


def test_words_are_asked_by_key(words: Words) -> None:
    with pytest.raises(WorkError, match="has no 'reason' for 'nothing'"):
        words.text("nothing", "reason")


def test_user_text_is_never_filled_as_a_format(words: Words) -> None:
    """A load named '{item}' or '{0.__class__}' is only text."""
    assert words.text("lamp", "name", item="{item}") == "lamp {item}"


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


# -- digits -------------------------------------------------------------------------------------------------------


def test_digits_widen_until_each_line_replays(sheet: Sheet) -> None:
    """1/3 of 100 VA prints 33 VA; times 300 it must print enough digits to come out right."""
    third = sheet.line("a_va", va(100) / constant("three", 3, ""))
    sheet.line("b_va", third * constant("many", 300, ""))
    first, second = sheet.as_json()["lines"]
    assert first["result"] == "33.333 VA"
    assert second["result"] == "10,000 VA"


def test_digits_are_added_where_they_bring_most_and_nowhere_else(sheet: Sheet) -> None:
    """A third of 100 VA counts 300 times and a seventh of 1 VA once: the third gets decimals, the seventh none."""
    first = sheet.line("a_va", va(100) / constant("three", 3, ""))
    second = sheet.line("b_va", va(1) / constant("seven", 7, ""))
    sheet.line("a_va", first * constant("many", 300, "") + second, item="sum")
    assert [line["result"] for line in sheet.as_json()["lines"]] == ["33.333 VA", "0 VA", "10,000 VA"]


def test_digits_go_to_what_counts_most_whatever_it_is_called(sheet: Sheet) -> None:
    once = sheet.line("a_va", va(1) / constant("seven", 7, ""))
    often = sheet.line("b_va", va(100) / constant("three", 3, ""))
    sheet.line("a_va", often * constant("many", 300, "") + once, item="sum")
    assert [line["result"] for line in sheet.as_json()["lines"]] == ["0 VA", "33.333 VA", "10,000 VA"]


def test_refusals_are_alike_only_in_kind_reason_and_place() -> None:
    assert Refused("no table", CITE) == Refused("no table", CITE)
    assert Missing("no area", at="x") == Missing("no area", at="x")
    assert Refused("no table") not in (Refused("no table", CITE), Refused("another"), Missing("no table", at=""))
    assert Missing("no area", at="x") != Missing("no area", at="y")


@pytest.mark.parametrize(
    "refusal",
    [
        Refused("no table", CITE),
        Missing("no area", CITE, at="dwelling.floor_area_ft2"),
        Waiting("accept it", at="circuits[1]"),
    ],
)
def test_a_refusal_is_copied_with_its_sheet_and_goes_to_other_processes_whole(words: Words, refusal: Refused) -> None:
    """A circuit that lacks an entry is placed on a copy of its sheet; a batch's results come from workers."""
    sheet = Sheet("test", "Test", "s", "2023", words)
    sheet.refused = refusal
    assert sheet.copied().refused == refusal == pickle.loads(pickle.dumps(refusal))


def test_a_plain_number_prints_four_decimals_and_more_where_it_divides(sheet: Sheet) -> None:
    """One hundred-thousandth would print as nothing, by which nothing can be divided."""
    sheet.line("n", constant("one", 1, "") / constant("three", 3, ""), item="third")
    tiny = sheet.line("n", constant("one", 1, "") / constant("many", 100_000, ""), item="tiny")
    sheet.line("a_va", va(1) / tiny)
    sheet.words.entries["r_ohm"] = sheet.words.entries["n"]
    sheet.line("r_ohm", given("r", 1, "ohm", "r") / constant("three", 3, ""))
    results = [line["result"] for line in sheet.as_json()["lines"]]
    assert results == ["0.3333", "0.00001", "100,000 VA", "0.33 ohm"]


def test_where_no_digit_is_left_to_add_the_search_ends(sheet: Sheet) -> None:
    """A given third prints nine decimals at most; three hundred thousand million times that is short, and stays so."""
    sheet.line("n", given("third", 1 / 3, "", "x") * constant("many", 3e11, ""))
    assert settle(sheet.lines, sheet.checks) == {"n": 0}


def test_digits_go_to_the_rounding_that_moves_the_result_most_up_or_down(sheet: Sheet) -> None:
    """Two thirds of 100 VA, printed 67, put 300 times that 100 too high; one third, printed 33, puts itself a third too low."""
    low = sheet.line("a_va", va(100) / constant("three", 3, ""))
    high = sheet.line("b_va", va(200) / constant("three", 3, ""))
    sheet.line("a_va", high * constant("many", 300, "") + low, item="sum")
    assert [line["result"] for line in sheet.as_json()["lines"]] == ["33 VA", "66.667 VA", "20,033 VA"]


def test_a_close_check_prints_the_digits_that_decide_it(sheet: Sheet) -> None:
    """100.04 A on a 100 A service must not print as 100 A beside 100.0 A."""
    load = sheet.line("c_a", given("load", 24009.6, "VA", "") / given("volts", 240, "V", ""))
    sheet.check("check", given("rating", 100, "A", "") >= load, remedy="a larger service")
    (check,) = sheet.as_json()["checks"]
    assert (check["text"], check["passes"], check["remedy"]) == (
        "100 A provided, 100.04 A required", False, "a larger service",
    )  # fmt: skip
    assert (check["provided"]["value"], check["sign"], check["required"]["value"]) == (100, ">=", 100.04)
    assert check["required"]["name"] == "current"


def test_a_closer_check_prints_as_many_digits_as_decide_it(sheet: Sheet) -> None:
    """100.004 A and 99.998 A stand on either side of 100 A; what is far from it keeps its few digits."""
    over, under, far = (
        sheet.line("c_a", given("load", number, "VA", "") / given("volts", 240, "V", ""), item=str(number))
        for number in (24000.96, 23999.52, 12345.67)
    )
    rating = given("rating", 100, "A", "")
    sheet.check("check", rating >= over, item="over")
    sheet.check("check", rating >= under, item="under")
    sheet.check("check", rating >= far, item="far")
    assert [(check["text"], check["passes"]) for check in sheet.as_json()["checks"]] == [
        ("100 A provided, 100.004 A required", False), ("100 A provided, 100.0 A required", True),
        ("100 A provided, 51.4 A required", True),
    ]  # fmt: skip


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
    table = Table("Sizes", figures("Size", "A"), [["4/0 AWG", "180"], ["2", "90"]], "What serves.", ["At 75 C."])
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
        "  3  size: so  (2 VA is at least 1 VA)",
        "  4  load = 5 VA",
        "     fits: 320 VA provided, 1 VA required: passes",
        "     fits: 320 VA provided, 400 VA required: FALLS SHORT",
        "     to correct it: 80 VA more",
        "     other: NOT SHOWN; to be entered: the rest",
        "   - Mind the cat.",
    ):
        assert line in text, text
    assert sum(line.startswith("     to correct it") for line in text) == 1


def test_with_reasons_the_text_has_those_of_lines_of_checks_and_of_what_is_asked(sheet: Sheet) -> None:
    sheet.check("found", sheet.line("a_va", va(3)) >= va(2))
    sheet.unknown("other", "the rest", "")
    shown = sheet.as_json()
    shown["lines"][0]["reason"], shown["checks"][0]["reason"] = "Why the line.", "Why the check."
    shown["not_shown"][0]["reason"] = "Why it is asked."
    text = as_text(shown, reasons=True)
    assert "Why it is asked." in text
    assert "Why the line." in text
    assert "Why the check." in text
    assert "Why" not in as_text(shown)


@pytest.mark.parametrize(("refused", "said"), [(Refused("no table", CITE), "NOT WORKED: no table  [0.1]"),
                                               (Missing("no area", at="x"), "NOT SHOWN: no area")])  # fmt: skip
def test_a_refusal_as_text_has_its_state_and_sections(sheet: Sheet, refused: Refused, said: str) -> None:
    sheet.refused = refused
    shown: dict[str, Any] = sheet.as_json()
    assert shown["refused"]["missing"] == (refused.at if isinstance(refused, Missing) else None)
    assert f"     {said}" in as_text(shown).splitlines()


def test_a_table_as_text_and_as_json_keeps_headings_sides_and_widths() -> None:
    """A row of one cell is a heading across the columns and makes none of them wider."""
    table = Table("Sizes", figures("Size", "A", "V"), [["Copper, of whatever make"], ["2", "90", "240"]], strong=[1])
    assert table_text(table) == "Sizes\n\nSize  A   V\nCopper, of whatever make\n2     90  240\n"
    form = table.as_json()
    assert [column["align"] for column in form["columns"]] == ["left", "right", "right"]
    assert (form["rows"][1], form["strong"]) == (["2", "90", "240"], [1])
    assert weighed(("Item", 4), ("VA", 1, "right")) == (Column("Item", "left", 4), Column("VA", "right", 1))


def test_a_long_line_of_text_is_wrapped_and_a_short_one_is_left(sheet: Sheet) -> None:
    sheet.caution("said", what="the step " * 30)
    sheet.caution("said", what="it")
    lines = as_text(sheet.as_json()).splitlines()
    assert max(map(len, lines)) <= 100
    assert sum("the step" in line for line in lines) > 2
    assert "   - Mind it." in lines


def test_nothing_is_printed_without_a_sign() -> None:
    assert [str(rounded(number, 1)) for number in (-0.0, -1e-15, 0.25)] == ["0.0", "0.0", "0.3"]


@pytest.mark.parametrize(
    "refused",
    [
        Refused("no table", CITE),
        Missing("no area", CITE, at="dwelling.floor_area_ft2"),
        Waiting("accept it", at="circuits[1]"),
    ],
)
def test_what_is_refused_can_be_copied_and_sent(refused: Refused) -> None:
    """A sheet is copied to be gone on with, and travels between processes, with all that it says."""
    for again in (copy.deepcopy(refused), pickle.loads(pickle.dumps(refused))):
        assert (type(again), again) == (type(refused), refused)
