"""What the template is given: which sheets are printed, in which order, what stands over them, how much stands in a row."""

from __future__ import annotations

import json
from typing import Any

import pytest

from calc.packet.collect import Collected, Display
from calc.packet.displays import follower, table_page
from calc.packet.document import document, sheets_fingerprint, sheets_json
from calc.packet.tables import column_widths, table_rows
from calc.packet.wording import clean, clipped
from tests.packet import samples

Json = dict[str, Any]


def made(*displays: Display, **changes: Any) -> Json:
    """The whole as the template reads it."""
    given = {"name": "Lot 12", "fingerprint": samples.FINGERPRINT, "job_text": samples.JOB_TEXT, "attachments": True,
             "learner": False}  # fmt: skip
    return document(Collected(list(displays)), **(given | changes))  # type: ignore[arg-type]


def sheet(subject: str = "House", notebook: str = "1.ipynb", **changes: Any) -> Display:
    """A sheet of few lines."""
    return Display("sheet", samples.dwelling_sheet(subject=subject, **({"lines": []} | changes)), notebook=notebook)


def chart(subject: str, notebook: str = "1.ipynb") -> Display:
    return Display("chart", samples.chart(title=f"Chart of {subject}", subject=subject), samples.chart_svg(), notebook)


def table(title: str, notebook: str = "1.ipynb") -> Display:
    return Display("table", samples.table(title=title), notebook=notebook)


# -- chapters, subjects, sheets ------------------------------------------------------------------------------------


def chapters(*shown: Display, **changes: Any) -> dict[str, Json]:
    return {chapter["title"]: chapter for chapter in made(*shown, **changes)["chapters"]}


def titles(chapter: Json) -> list[str]:
    return [member["title"] for member in chapter["members"]]


def box(subject: str, **changes: Any) -> Display:
    """A sheet of the box's kind."""
    return sheet(subject, **({"family": "box-fill", "title": "Box fill", "notes": [], "cautions": []} | changes))


def test_sheets_stand_by_what_they_are_about_and_a_subject_has_all_of_its_own() -> None:
    """Conductors, drop and fault current of a run stand together, whichever notebook showed them."""
    found = chapters(
        sheet("R1 service", family="feeder", title="Conductors, service"), sheet("R2", family="feeder", title="Conductors, branch"),
        sheet("R1 service", "2.ipynb", family="voltage-drop", title="Voltage drop"),
        sheet("Transformer", "3.ipynb", family="fault-current", title="Fault current"),
        sheet("Lot 12", "4.ipynb", family="grounding", title="Grounding of the service"),
        sheet("Shed", "4.ipynb", family="grounding", title="Grounding of a building"),
        sheet("Laundry", "5.ipynb", family="branch-circuits", title="Branch circuit"),
        sheet("Laundry", "6.ipynb", family="receptacles", title="Receptacles and lighting"),
        sheet("Lot 12", "7.ipynb", family="of-tomorrow", title="Something new, worked long"),
    )  # fmt: skip
    assert list(found) == ["Runs", "Circuits", "Rooms", "Service, grounding and bonding", "Something new"]
    assert titles(found["Runs"]) == ["Run R1: service", "Run: R2", "Transformer"]
    assert [page["title"] for page in found["Runs"]["members"][0]["sheets"]] == ["Conductors, service", "Voltage drop"]
    assert titles(found["Circuits"]) == ["Circuit: Laundry"]
    assert titles(found["Rooms"]) == ["Room: Laundry"]
    assert titles(found["Service, grounding and bonding"]) == [
        "Grounding of the service",
        "Grounding of a building: Shed",
    ]
    numbers = [
        page["number"] for chapter in found.values() for member in chapter["members"] for page in member["sheets"]
    ]
    assert numbers == list(range(1, 10)), "in the order of the annex"


def test_a_subject_is_as_good_as_the_worst_of_its_sheets() -> None:
    (runs,) = chapters(
        sheet("R1", family="feeder"), sheet("R1", family="voltage-drop", status="falls short"), sheet("R2", family="feeder"),
    ).values()  # fmt: skip
    assert [member["status"] for member in runs["members"]] == ["FALLS SHORT", "passes"]


def test_every_sheet_is_in_print_however_many_a_family_has() -> None:
    many = chapters(*(box(f"Box {n}") for n in range(150)))["Boxes"]
    assert titles(many) == [f"Box: Box {n}" for n in range(150)]


def test_what_a_notebook_shows_stands_in_the_chapter_of_its_sheets_and_without_one_apart() -> None:
    found = chapters(box("one"), table("of one"), table("early", "2.ipynb"), sheet("two", "2.ipynb", family="grounding"),
                     chart("two", "2.ipynb"), table("alone", "3.ipynb"))  # fmt: skip
    assert {title: [each["title"] for each in chapter["followers"]] for title, chapter in found.items()} == {
        "Boxes": ["of one"], "Service, grounding and bonding": ["early", "Chart of two"], "Tables and charts": ["alone"],
    }  # fmt: skip


def test_what_the_permit_set_shows_is_named_and_not_printed_again_but_a_learner_has_it() -> None:
    section = {"title": "Schedule", "parts": [{"kind": "chart", "title": "Chart of one"}]}
    office = Display("document", samples.document(sections=[section]))
    shown = [box("one"), chart("one"), table("Schedule"), table("Only here"), office]
    found = made(*shown)
    assert [each["title"] for each in found["chapters"][0]["followers"]] == ["Only here"]
    assert found["elsewhere"] == ["Chart of one", "Schedule"]
    taught = made(*shown, learner=True)
    assert len(taught["chapters"][0]["followers"]) == 3
    assert taught["elsewhere"] == []


def test_a_table_that_the_permit_set_says_in_another_form_is_not_printed_twice() -> None:
    """Circuits, panels, raceways and rooms have a row each there; where it hasn't, the annex keeps them."""
    office = Display(
        "document", samples.document(sections=[{"title": "Runs", "parts": [{"kind": "table", "title": ""}]}])
    )
    found = made(box("one"), table("Raceways"), table("Circuits at a glance"), office)
    assert [each["title"] for each in found["chapters"][0]["followers"]] == ["Circuits at a glance"]
    assert found["elsewhere"] == ["Runs"]


# -- what sheets of one kind share ---------------------------------------------------------------------------------


def line(name: str, formula: str, numbers: str, result: str, *sections: str, **changes: Any) -> Json:
    return samples.lines()[0] | {"name": name, "formula": formula, "numbers": numbers, "result": result, "kind": "worked",
                                 "sections": list(sections), "marks": []} | changes  # fmt: skip


def test_a_formula_stands_once_at_the_head_of_its_kind_and_the_numbers_at_each_member() -> None:
    """What differs stands at the member: another formula, another section, none at all."""
    found = chapters(
        box("B1", lines=[line("fill", "count x volume", "2 x 2 in3", "4 in3", "314.16"), line("left", "a - b", "5 in3 - 4 in3", "1 in3")]),
        box("B2", lines=[line("fill", "count x volume", "3 x 2 in3", "6 in3", "314.16")]),
        box("B3", lines=[line("fill", "as marked", "7 in3 + 0 in3", "7 in3", "314.28")]),
        box("B4", lines=[line("fill", "count x volume", "4 x 2 in3", "8 in3")]),
    )["Boxes"]  # fmt: skip
    (head,) = found["kinds"]
    assert [(each["name"], each["formula"], each["sections"]) for each in head["lines"]] == [
        ("Fill", "count × volume", "314.16")
    ]
    rows = [page["lines"] for member in found["members"] for page in member["sheets"]]
    assert [[(row["formula"], row["numbers"], row["result"], row["sections"]) for row in page] for page in rows] == [
        [("", "= 2 × 2\u00a0in³", "4\u00a0in³", ""), ("a - b", "= 5\u00a0in³ − 4\u00a0in³", "1\u00a0in³", "")],
        [("", "= 3 × 2\u00a0in³", "6\u00a0in³", "")],
        [("as marked", "= 7\u00a0in³ + 0\u00a0in³", "7\u00a0in³", "314.28")],
        [("", "= 4 × 2\u00a0in³", "8\u00a0in³", "—")],
    ]  # fmt: skip


def test_a_sheet_that_has_none_like_it_prints_its_formulas_at_the_lines() -> None:
    (chapter,) = chapters(box("B1", lines=[line("fill", "count x volume", "2 x 2 in3", "4 in3", "314.16")])).values()
    assert chapter["kinds"][0]["lines"] == []
    assert chapter["members"][0]["sheets"][0]["lines"][0]["formula"] == "count × volume"


def test_a_rule_of_thumb_stands_once_too_unless_the_result_lies_outside_it() -> None:
    def rough(outside: bool) -> Json:
        return {"text": "up to 80 in3", "outside": outside, "mark": 1}

    notes = [{"mark": 1, "kind": "rule of thumb", "text": "Boxes are small."}]
    lines = [line("fill", "a x b", "1 x 2", "2 in3", expected_range=rough(outside)) for outside in (False, False, True)]
    found = chapters(*(box(f"B{n}", lines=[each], notes=notes) for n, each in enumerate(lines)))["Boxes"]
    assert found["kinds"][0]["lines"][0]["rough"] == "up to 80\u00a0in³"
    rows = [member["sheets"][0]["lines"][0] for member in found["members"]]
    assert [(row["rough"], row["outside"]) for row in rows] == [("", False), ("", False), ("up to 80\u00a0in³", True)]
    assert rows[2]["rough_marks"] == [1]


def test_notes_are_numbered_through_a_chapter_and_stand_in_it_once() -> None:
    first = {"mark": 1, "kind": "choice", "text": "Both legs."}
    second = {"mark": 2, "kind": "from memory", "text": "Look it up."}
    found = chapters(
        box("B1", notes=[first], lines=[line("a", "", "", "1", marks=[1])]),
        box("B2", notes=[second | {"mark": 1}, first | {"mark": 2}], lines=[line("a", "", "", "1", marks=[1, 2])]),
    )["Boxes"]
    assert [(note["mark"], note["text"]) for note in found["notes"]] == [(1, "Both legs."), (2, "Look it up.")]
    assert [member["sheets"][0]["lines"][0]["marks"] for member in found["members"]] == [[1], [1, 2]]


def test_a_caution_names_its_sheets_where_not_all_of_their_kind_have_it() -> None:
    found = chapters(box("B1", cautions=["Ask.", "Look."]), box("B2", cautions=["Ask."]))["Boxes"]
    assert found["cautions"] == ["Ask.", "Look. (B1)"]


def test_a_reason_is_printed_for_a_learner_alone_and_once() -> None:
    twice = [box(name, lines=samples.lines()[:2]) for name in ("one", "two")]
    (boxes,) = chapters(*twice, learner=True).values()
    assert all(each["reason"] for each in boxes["kinds"][0]["lines"])
    assert not any(row["reason"] for member in boxes["members"] for row in member["sheets"][0]["lines"])
    (bare,) = chapters(*twice).values()
    assert not any(each["reason"] for each in bare["kinds"][0]["lines"])


def test_a_line_prints_its_work_only_where_it_says_more_than_the_line_does() -> None:
    lines = samples.lines()[:4]
    lines[0] |= {"formula": lines[0]["name"], "numbers": lines[0]["result"]}
    lines[1] |= {"formula": "a x b", "numbers": "2 VA x 3", "result": "6 VA"}
    lines[2] |= {"kind": "found", "numbers": "2 VA is at least 1 VA", "result": "so"}
    lines[3] |= {"kind": "replaced", "numbers": "", "result": "7 VA"}
    (chapter,) = chapters(sheet(lines=lines)).values()
    rows = chapter["members"][0]["sheets"][0]["lines"]
    assert [(row["formula"], row["numbers"], row["how"]) for row in rows] == [
        ("", "", ""), ("a × b", "= 2\u00a0VA × 3", ""),
        (rows[2]["formula"], "2\u00a0VA is at least 1\u00a0VA", ""),
        (rows[3]["formula"], "", "stated, not worked"),
    ]  # fmt: skip


def test_a_number_from_another_sheet_says_where_it_stands_if_that_is_in_print() -> None:
    given = [samples.given("load", "48 A", "Conductors, branch, R1 service, line 2"),
             samples.given("other way", "2 V", "Voltage drop by another method, R1 service, line 6"),
             samples.given("length", "35 ft", "runs[1].length_ft")]  # fmt: skip
    (runs,) = chapters(
        sheet("R1 service", family="feeder", title="Conductors, branch", givens=[]),
        sheet("R1 service", family="voltage-drop", title="Voltage drop", givens=given),
        sheet("R2 more", family="voltage-drop", title="Voltage drop", givens=given),
    ).values()
    carried = [page["carried"] for member in runs["members"] for page in member["sheets"]]
    assert carried == [[], ["load (Conductors, branch, line 2)"], ["load (Conductors, branch of R1 service, line 2)"]]


def test_each_state_is_said_at_its_place() -> None:
    """Of a check, of what is asked for, and of a sheet that isn't worked or lacks an entry."""
    asked = {"key": "k", "name": "depth of the box", "missing": "the depth", "at": "boxes[1]", "sections": ["314.16"],
             "marks": [], "reason": "Why."}  # fmt: skip
    checks = [samples.check("a", "fits", "9 A, 8 A", "1"), samples.check("b", "serves", "7 A, 8 A", "2", False, "more")]
    refused = {"reason": "no table", "sections": ["120.83"], "missing": None}
    found = chapters(
        sheet(checks=checks, not_shown=[asked], refused=refused, status="falls short"),
        sheet("two", checks=[], refused=refused | {"missing": "boxes[1]"}, status="not shown"),
    )
    first, second = [page for chapter in found.values() for member in chapter["members"] for page in member["sheets"]]
    assert [(check["status"], check["name"]) for check in first["checks"]] == [
        ("passes", "Fits"), ("FALLS SHORT", "Serves"), ("NOT SHOWN", "Depth of the box"),
    ]  # fmt: skip
    assert first["checks"][2]["text"] == "to be entered: the depth"
    assert (first["refused"]["status"], second["refused"]["status"]) == ("NOT WORKED", "NOT SHOWN")
    assert chapters(sheet())["Dwelling load"]["members"][0]["sheets"][0]["refused"] is None


def test_a_row_of_a_table_may_break_across_pages_only_where_it_is_very_long() -> None:
    """By the lines that its longest cell takes in its column, not by its letters."""
    page = table_page(
        samples.table(rows=[["a", "b", "c"], ["word " * 200, "b", "c"], ["word " * 200, "word " * 200, "c"]])
    )
    assert [row["long"] for row in page["rows"]] == [False, True, True]
    narrow = [{"name": name, "weight": weight} for name, weight in (("a", 10), ("b", 90))]
    page = table_page(samples.table(columns=narrow, rows=[["n" * 300, "b"], ["a", "n" * 300]]))
    assert [row["long"] for row in page["rows"]] == [True, False]


# -- rules that are not plain, inputs, what is attached -----------------------------------------------------------


def test_rules_are_listed_only_where_they_are_amended_or_from_memory_or_unconfirmed() -> None:
    rules = [samples.rule("220.103", "Farms.") | {"marks": [1]}, samples.rule("220.53", "Four or more."),
             samples.rule("220.60", "Season.") | {"marks": [2]}, samples.rule("", "Practice.") | {"marks": [3]}]  # fmt: skip
    notes = [
        {"mark": mark, "kind": kind, "text": "x"} for mark, kind in enumerate(("from memory", "amended", "choice"), 1)
    ]
    shown = made(sheet("one", rules=rules, notes=notes), sheet("two", rules=rules, notes=notes))
    assert [(row["kind"], row["section"]) for row in shown["marked"]] == [
        ("amended", "220.60"),
        ("from memory", "220.103"),
    ]


def test_inputs_are_the_job_s_entries_by_their_labels_with_units() -> None:
    """No key of the file, no place in it: a run by its name, a length in feet, yes and no in words."""
    text = """
[dwelling]
floor_area_ft2 = 3240
[[runs]]
name = "R1"
length_ft = 35.5
role = "service"
[[boxes]]
name = "B1"
cables = ["14/2 with ground", "14/3 with ground"]
neutral_at_switch = true
devices = [{ kind = "switch", wire = 14 }, { kind = "receptacle", wire = 12 }]
"""
    shown = {table["title"]: table["rows"] for table in made(sheet(), job_text=text)["inputs"]}
    assert list(shown) == ["Dwelling", "Runs", "Boxes"]
    assert shown["Dwelling"][0]["text"] == "floor area 3,240\u00a0ft²"
    assert (shown["Runs"][0]["name"], shown["Runs"][0]["text"]) == ("R1", "length 35.5\u00a0ft; role service")
    whole = shown["Boxes"][0]["text"]
    assert "14/2 with ground, 14/3 with ground" in whole
    assert "yes" in whole
    assert "_" not in whole


def test_the_title_is_the_address_and_the_outline_has_no_places_to_break_in_it() -> None:
    long = "N" * 60
    shown = made(sheet(long, family="box-fill"))
    assert shown["title"] == "Worked annex: 118 Sorrel Bend, Marrow Creek"
    assert made(sheet(), job_text="")["title"] == "Worked annex: Lot 12"
    assert made(sheet(), learner=True)["title"].startswith("Worked calculations to learn from: ")
    assert titles(shown["chapters"][0]) == [f"Box: {long}"]


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
    assert Collected([]).verdict["status"] == "not shown"
    assert Collected([sheet(), sheet(status="falls short")]).verdict["status"] == "falls short"
    assert Collected([sheet()]).verdict["status"] == "passes"
    own = {"status": "not worked", "verdict": "x", "outside": [], "to_confirm": []}
    assert Collected([sheet(), Display("verdict", own)]).verdict == own


def test_page_1_names_the_job_its_card_the_code_and_the_sheets_by_their_fingerprint() -> None:
    """The permit set names the annex by the same."""
    one = sheet(edition="2023", amendments=["county", "town"])
    facts = dict(made(one)["facts"])
    assert facts["Job"] == "Lot 12"
    assert facts["Site address"] == "118 Sorrel Bend, Marrow Creek"
    assert (facts["Edition"], facts["Amendments"]) == ("2023", "county, town")
    assert facts["Sheets"].endswith(sheets_fingerprint(sheets_json(Collected([one]), "Lot 12", samples.FINGERPRINT)))
    assert dict(made(sheet())["facts"])["Amendments"] == "none"
    assert "Edition" not in dict(made()["facts"])


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


def test_short_columns_take_what_they_need_and_long_ones_share_the_rest() -> None:
    short, edge, long = "x" * 18, "x" * 19, "x" * 60
    table = {"columns": [{"name": "a"}] * 3, "rows": [[short, edge, long]]}
    assert column_widths(table) == ["auto", 19, 48]
    assert column_widths({"columns": [{"name": "a"}] * 3, "rows": [[short, short, "x"]]}) == [1, "auto", "auto"]
    assert column_widths({"columns": [{"name": "a"}] * 2, "rows": []}) == [1, "auto"]


@pytest.mark.parametrize(
    ("head", "share", "half"),
    [('width="144pt"', 0.573, True), ('width="2in"', 0.573, True), ('width="200px"', 0.597, True), ("width='340'", 1.0, True),
     ('width="480pt"', 0.741, False), ("", 0.8, False), ('width="9000pt"', 1.0, False)],
)  # fmt: skip
def test_a_drawing_is_as_wide_as_it_says_and_beside_another_where_it_stays_legible(
    head: str, share: float, half: bool
) -> None:
    """Half the width is taken by what is set at 71 % at least, so that words of 8.5 points stay 6; alone, at 80 %."""
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" {head} height="9pt"></svg>'
    page = follower(Display("chart", samples.chart(alt=" "), svg))
    assert (page["share"], page["half"]) == (pytest.approx(share, abs=0.001), half)
    assert page["alt"] == "A chart without a description."


def test_a_text_is_cut_only_where_it_is_longer_than_there_is_room_for() -> None:
    assert clipped("word word", 9) == "word word"
    assert clipped("word words", 9) == "word wor…"
    assert clipped("word x word", 6) == "word…", "no blank before the dots"
    assert clean("x" * 23) == "x" * 23
    assert clean("x" * 24) == "\u200b".join(["x" * 9, "x" * 9, "x" * 6])
