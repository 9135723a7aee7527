"""What the template is given: which sheets are printed, in which order, what stands over them, how much stands in a row."""

from __future__ import annotations

import json
from typing import Any

import pytest

from calc.packet.collect import Collected, Display
from calc.packet.displays import TEXT_WIDTH_PT, follower, table_page
from calc.packet.document import document, sheets_json
from calc.packet.front import banner, full_summary, verdict_of
from calc.packet.summary import column_widths, table_rows, variants
from calc.packet.wording import clean, clipped
from tests.packet import samples

Json = dict[str, Any]


def made(*displays: Display, **changes: Any) -> Json:
    """The whole as the template reads it."""
    given = {"name": "Lot 12", "fingerprint": samples.FINGERPRINT, "job_text": samples.JOB_TEXT, "attachments": True,
             "reasons": True, "every_sheet": False}  # fmt: skip
    return document(Collected(list(displays)), **(given | changes))  # type: ignore[arg-type]


def sheet(subject: str = "House", notebook: str = "1.ipynb", **changes: Any) -> Display:
    """A sheet of few lines."""
    return Display("sheet", samples.dwelling_sheet(subject=subject, **({"lines": []} | changes)), notebook=notebook)


def chart(subject: str, notebook: str = "1.ipynb") -> Display:
    return Display("chart", samples.chart(title=f"Chart of {subject}", subject=subject), samples.chart_svg(), notebook)


def table(title: str, notebook: str = "1.ipynb") -> Display:
    return Display("table", samples.table(title=title), notebook=notebook)


# -- sheets and what follows them ---------------------------------------------------------------------------------


def test_what_a_notebook_shows_stands_after_its_sheet_and_without_one_apart() -> None:
    """What comes before the first sheet follows that one, not the last of another notebook."""
    shown = made(sheet("one"), table("of one"), table("early", "2.ipynb"), sheet("two", "2.ipynb"), chart("two", "2.ipynb"),
                 sheet("three", "2.ipynb"), table("of three", "2.ipynb"), table("alone", "3.ipynb"))  # fmt: skip
    assert [(page["number"], [each["title"] for each in page["followers"]]) for page in shown["sheets"]] == [
        (1, ["of one"]), (2, ["early", "Chart of two"]), (3, ["of three"]),
    ]  # fmt: skip
    assert [each["title"] for each in shown["loose"]] == ["alone"]


def test_a_long_sheet_of_another_family_starts_a_page_and_a_short_one_does_not() -> None:
    lines = samples.lines()
    shown = made(
        sheet(family="load"), sheet(family="load", lines=lines[:7]), sheet(family="drop", lines=lines[:6]),
        sheet(family="fill", lines=lines[:7]),
    )  # fmt: skip
    assert [page["new_page"] for page in shown["sheets"]] == [True, False, False, True]


def test_up_to_six_sheets_of_a_family_are_printed_and_of_seven_one_that_passes() -> None:
    six, seven = ([sheet(f"Box {n}") for n in range(count)] for count in (6, 7))
    assert len(made(*six)["sheets"]) == 6
    assert made(*six)["loose"] == []
    short = made(*seven, chart("Box 0"), chart("Box 3"), table("All boxes"))
    assert [page["subject"] for page in short["sheets"]] == ["Box 0"]
    assert [each["title"] for each in short["sheets"][0]["followers"]] == ["Chart of Box 0", "All boxes"]
    (left,) = short["loose"]
    assert [row["cells"][1] for row in left["rows"]] == [f"Box {n}" for n in range(1, 7)]
    assert len(made(*seven, every_sheet=True)["sheets"]) == 7
    assert made(*seven, every_sheet=True)["loose"] == []


@pytest.mark.parametrize("status", ["falls short", "not shown", "not worked"])
def test_of_many_sheets_each_that_does_not_pass_is_printed(status: str) -> None:
    many = [sheet(f"Box {n}", **({"status": status} if n > 4 else {})) for n in range(7)]
    assert [page["subject"] for page in made(*many)["sheets"]] == ["Box 0", "Box 5", "Box 6"]


def test_a_reason_and_a_caution_are_printed_once_and_a_reason_only_if_asked_for() -> None:
    twice = [sheet(name, lines=samples.lines()[:2], cautions=["Ask."]) for name in ("one", "two")]
    first, second = made(*twice)["sheets"]
    assert all(line["reason"] for line in first["lines"])
    assert not any(line["reason"] for line in second["lines"])
    assert (first["cautions"], second["cautions"]) == (["Ask."], [])
    bare = made(*twice, reasons=False)["sheets"][0]
    assert not any(line["reason"] for line in bare["lines"])
    assert bare["cautions"] == ["Ask."]


def test_a_line_prints_its_work_only_where_it_says_more_than_the_line_does() -> None:
    lines = samples.lines()[:4]
    lines[0] |= {"formula": lines[0]["name"], "numbers": lines[0]["result"]}
    lines[1] |= {
        "formula": "a x b",
        "numbers": "2 VA x 3",
        "result": "6 VA",
        "expected_range": {"text": "5 VA", "outside": True, "mark": 3},
    }
    lines[2] |= {"kind": "found", "numbers": "2 VA is at least 1 VA", "result": "so"}
    lines[3] |= {"kind": "replaced", "numbers": "", "result": "7 VA"}
    rows = made(sheet(lines=lines))["sheets"][0]["lines"]
    assert [(row["formula"], row["numbers"], row["how"]) for row in rows] == [
        ("", "", ""), ("a × b", "= 2\u00a0VA × 3", ""),
        (rows[2]["formula"], "2\u00a0VA is at least 1\u00a0VA", ""),
        (rows[3]["formula"], "", "stated, not worked"),
    ]  # fmt: skip
    assert [row["expected"] for row in rows] == [None, {"text": "5\u00a0VA", "outside": True, "marks": [3]}, None, None]


def test_each_state_is_said_at_its_place() -> None:
    """Of a check, of what is asked for, and of a sheet that isn't worked or lacks an entry."""
    asked = {"key": "k", "name": "depth of the box", "missing": "the depth", "at": "boxes[1]", "sections": ["314.16"],
             "marks": [], "reason": "Why."}  # fmt: skip
    checks = [samples.check("a", "fits", "9 A, 8 A", "1"), samples.check("b", "serves", "7 A, 8 A", "2", False, "more")]
    refused = {"reason": "no table", "sections": ["120.83"], "missing": None}
    first, second = made(
        sheet(checks=checks, not_shown=[asked], refused=refused, status="falls short"),
        sheet(
            "two",
            checks=[],
            refused=refused | {"missing": "boxes[1]"},
            status="not shown",
            amendments=["county", "town"],
        ),
    )["sheets"]
    assert [(check["status"], check["name"]) for check in first["checks"]] == [
        ("passes", "Fits"), ("FALLS SHORT", "Serves"), ("NOT SHOWN", "Depth of the box"),
    ]  # fmt: skip
    assert first["checks"][2]["text"] == "To be entered: the depth"
    assert (first["refused"]["status"], second["refused"]["status"]) == ("NOT WORKED", "NOT SHOWN")
    assert (first["edition_line"], second["edition_line"]) == (
        "Edition 2023, no amendments", "Edition 2023, amended by county, town",
    )  # fmt: skip
    assert made(sheet())["sheets"][0]["refused"] is None


def test_a_row_may_break_across_pages_only_where_it_is_very_long() -> None:
    short, long = samples.lines()[0] | {"reason": ""}, samples.lines()[1] | {"reason": "word " * 200}
    rows = made(sheet(lines=[short, long]))["sheets"][0]["lines"]
    assert [row["long"] for row in rows] == [False, True]
    page = table_page(samples.table(rows=[["a", "b", "c"], ["word " * 100, "word " * 100, "c"]]))
    assert [row["long"] for row in page["rows"]] == [False, True]


# -- what all sheets say together ---------------------------------------------------------------------------------


def test_rules_inputs_and_cautions_stand_once_with_the_sheets_that_they_are_of() -> None:
    rules = [samples.rule("220.103", "Farms."), samples.rule("220.53", "Four or more."), samples.rule("", "Practice.")]
    shown = made(
        sheet("one", rules=rules[:2], givens=[samples.given("area", "1 ft2", "a")], cautions=["Ask."]),
        sheet("two", rules=rules[1:], givens=[samples.given("area", "1 ft2", "a")], cautions=[]),
        sheet("three", rules=rules[:1], givens=[], cautions=["Ask."]),
    )
    assert [(rule["section"], rule["sheets"]) for rule in shown["rules"]] == [
        ("220.53", "1–2"), ("220.103", "1, 3"), ("—", "2"),
    ]  # fmt: skip
    assert [(each["name"], each["sheets"]) for each in shown["givens"]] == [("Area", "1–2")]
    assert [(each["text"], each["sheets"]) for each in shown["cautions"]] == [("Ask.", "1, 3")]


def test_a_rule_of_sheets_that_are_not_printed_is_listed_as_such() -> None:
    """Their inputs are left to sheets.json, rules and cautions are not."""
    many = [sheet(f"Box {n}", rules=[], givens=[], cautions=[]) for n in range(6)]
    last = sheet(
        "Box 6",
        rules=[samples.rule("314.16", "Fill.")],
        givens=[samples.given("depth", "2 in", "b")],
        cautions=["Ask."],
    )
    shown = made(*many, last)
    assert [(rule["section"], rule["sheets"]) for rule in shown["rules"]] == [("314.16", "not printed")]
    assert [each["sheets"] for each in shown["cautions"]] == ["not printed"]
    assert shown["givens"] == []


def test_the_contents_list_only_what_there_is() -> None:
    bare = sheet(rules=[], givens=[], cautions=[])
    assert made(bare)["sections"] == []
    refused = sheet("two", rules=[], givens=[], cautions=[], refused={"reason": "no", "sections": [], "missing": None})
    assert [each["title"] for each in made(bare, refused)["sections"]] == ["Cautions, and what is not worked"]
    full = made(sheet(), table("alone", "2.ipynb"))
    assert [each["target"] for each in full["sections"]] == ["loose", "rules", "inputs", "cautions"]
    assert full["refusals"] == []
    (refusal,) = made(bare, refused)["refusals"]
    assert (refusal["where"], refusal["reason"]) == ("Dwelling load, standard method", "no")


def test_what_is_attached_is_told_on_page_1() -> None:
    one = sheet()
    shown, bare = made(one), made(one, attachments=False)
    assert [each["path"] for each in shown["attachments"]] == ["job.toml", "sheets.json"]
    assert shown["attachments"][0]["text"] == samples.JOB_TEXT
    assert bare["attachments"] == []
    assert "attachments" in shown["attached_line"]
    assert bare["attached_line"] == "No attachments."
    text = sheets_json(Collected([one, sheet("two")]), "Lot 12", samples.FINGERPRINT)
    assert [each["subject"] for each in json.loads(text)["sheets"]] == ["House", "two"]
    assert len(text.splitlines()) == 4, "a sheet a line"
    assert "ünïcode" in sheets_json(Collected([sheet("ünïcode")]), "Lot", "")
    with pytest.raises(ValueError, match="JSON compliant"):
        sheets_json(Collected([sheet(results={"x": float("nan")})]), "Lot", "")


# -- page 1 -------------------------------------------------------------------------------------------------------


def test_without_a_verdict_shown_it_is_the_worst_of_the_sheets_and_never_a_pass_of_nothing() -> None:
    assert verdict_of(Collected([]))["status"] == "not shown"
    assert verdict_of(Collected([sheet(), sheet(status="falls short")]))["status"] == "falls short"
    assert verdict_of(Collected([sheet()]))["status"] == "passes"
    own = {"status": "not worked", "verdict": "x", "outside": [], "to_confirm": []}
    assert verdict_of(Collected([sheet(), Display("verdict", own)])) == own


def test_the_banner_names_six_sheets_and_three_entries_and_counts_the_rest() -> None:
    odd = [{"text": f"Load {n}"} for n in range(4)]
    verdict: Json = {"status": "not shown", "verdict": "All", "outside": ["Boxes", "Drop"], "to_confirm": odd}
    pages = [{"number": n, "status": "passes" if n == 2 else "NOT SHOWN"} for n in range(1, 9)]
    told = banner(verdict, pages)
    assert (told["sheets"], told["more"]) == ([1, 3, 4, 5, 6, 7], " and 1 more")
    assert (len(told["to_confirm"]), told["more_to_confirm"]) == (3, 1)
    assert (told["outside"], told["words"]) == ("Nothing is claimed of Boxes, Drop.", "All.")
    few = banner(verdict | {"outside": [], "to_confirm": odd[:2]}, pages[:7])
    assert (few["more"], few["outside"], few["more_to_confirm"], len(few["to_confirm"])) == ("", "", 0, 2)


def test_the_summary_in_full_is_needed_where_page_1_puts_rows_together_or_cuts_a_text() -> None:
    def needed(**changes: Any) -> bool:
        shown = Collected([Display("front", samples.front(**changes))])
        page = full_summary(shown, made(*shown.displays)["fronts"])
        assert page is not None
        return bool(page["needed"])

    assert not needed()
    assert needed(facts=[["Site", "N " * 80]])
    rows = samples.front()["table"]["rows"]
    assert needed(table=samples.front()["table"] | {"rows": [["word " * 20, *rows[0][1:]], *rows]})
    assert full_summary(Collected([sheet()]), []) is None


def test_a_plain_cover_stands_where_no_summary_was_shown() -> None:
    (cover,) = made(sheet("one"), sheet("two", status="falls short"))["fronts"]
    assert (cover["verdict_title"], cover["verdict"]) == ("Sheets", "FALLS SHORT")
    assert made(sheet())["fronts"][0]["verdict"] == "passes"
    assert made()["fronts"][0]["verdict"] == "NOT SHOWN"
    (page,) = made(Display("front", samples.front()), sheet())["fronts"]
    assert page["verdict_title"] == "Load check"
    assert [label for label, _ in page["preparer"]] == ["Prepared by", "License", "Signature", "Date"]
    (signed,) = made(Display("front", samples.front(preparer=[["Date", "today"]])))["fronts"]
    assert signed["preparer"] == [["Date", "today"], ["Signature", ""]]


# -- tables and charts --------------------------------------------------------------------------------------------


COLUMNS = [{"name": "Item"}, {"name": "Existing VA"}, {"name": "Demand VA", "align": "right"}]


def loads(*rows: list[str]) -> Json:
    return {"title": "t", "columns": COLUMNS, "rows": list(rows)}


def test_a_row_with_a_number_in_the_last_column_alone_is_a_subtotal() -> None:
    rows = table_rows(loads(["Range", "8000", "8000"], ["General", "", "12000"], ["Words", "", ""], ["Short"]))
    assert [row.emphasis for row in rows] == [False, True, False, False]
    assert rows[3].cells == ["Short", "", ""]
    assert not any(row.emphasis for row in table_rows({"columns": [{"name": "VA"}], "rows": [["5"]]})), (
        "of one column, none"
    )


def test_two_smaller_loads_at_least_are_put_together_column_by_column() -> None:
    many = [[f"Load {n}", "-" if n % 2 else f"{1000 + n:,} VA", str(1000 + n)] for n in range(31)]
    full, first, *_ = variants(loads(*many))
    assert (len(full), len(first)) == (31, 30)
    (together,) = [row for row in first if row.rolled]
    assert together.cells == ["2\u00a0smaller loads together", "1,000", "2,001"]
    assert first[1] is not together
    assert [row.cells[0] for row in first[:2]] == ["2\u00a0smaller loads together", "Load 2"]
    assert len(variants(loads(*many[:30]))) == 5, "in full, three shorter forms, and where else to look"


def test_where_no_size_makes_rows_fit_the_total_alone_is_left() -> None:
    rows = [["Range", "8000", "8000"], ["First total", "", "1"], ["Last total", "", "2"]]
    *_, elsewhere = variants(loads(*rows))
    assert [row.cells[0] for row in elsewhere][1:] == ["Last total"]


def test_short_columns_take_what_they_need_and_long_ones_share_the_rest() -> None:
    short, edge, long = "x" * 18, "x" * 19, "x" * 60
    table = {"columns": [{"name": "a"}] * 3, "rows": [[short, edge, long]]}
    assert column_widths(table) == ["auto", 19, 48]
    assert column_widths({"columns": [{"name": "a"}] * 3, "rows": [[short, short, "x"]]}) == [1, "auto", "auto"]
    assert column_widths({"columns": [{"name": "a"}] * 2, "rows": []}) == [1, "auto"]


@pytest.mark.parametrize(
    ("head", "width"),
    [('width="144pt"', 144), ('width="2in"', 144), ('width="200px"', 150), ("width='200'", 150), ("", TEXT_WIDTH_PT),
     ('width="9000pt"', TEXT_WIDTH_PT)],
)  # fmt: skip
def test_a_drawing_is_as_wide_as_it_says_and_no_wider_than_the_text(head: str, width: float) -> None:
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" {head} height="9pt"></svg>'
    page = follower(Display("chart", samples.chart(alt=" "), svg))
    assert page["width_pt"] == width
    assert page["alt"] == "A chart without a description."


def test_a_table_has_a_page_of_its_own_only_where_it_says_so() -> None:
    assert [table_page(samples.table(**own))["own_page"] for own in ({}, {"own_page": True}, {"own_page": "yes"})] == [
        False, True, False,
    ]  # fmt: skip


def test_a_text_is_cut_only_where_it_is_longer_than_there_is_room_for() -> None:
    assert clipped("word word", 9) == "word word"
    assert clipped("word words", 9) == "word wor…"
    assert clipped("word x word", 6) == "word…", "no blank before the dots"
    assert clean("x" * 23) == "x" * 23
    assert clean("x" * 24) == "\u200b".join(["x" * 9, "x" * 9, "x" * 6])
