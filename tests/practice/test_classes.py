"""A class: paper and a phone's page for each, answers of any kind marked in one go or not at all, and what to teach again."""

from __future__ import annotations

import csv
import io
import json
import re
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from calc.cli import main
from calc.practice import Question, question, taught
from calc.practice.asking import givens
from calc.practice.classes import class_set, mark_all, write
from calc.practice.fair import Fair
from calc.practice.handed_in import handed_in, of_paper
from calc.practice.lesson import Again
from calc.practice.marking import usable_slips
from calc.practice.names import named, respelled
from calc.practice.papers import AnswersError, Handed, Paper, read_handed
from calc.practice.phone import phone_page
from calc.practice.picture import marks_xlsx, picture_pdf, to_teach
from calc.practice.printed import common_slips, key_text, papers_pdf, question_text
from calc.practice.record import Answered
from calc.practice.tutor import hints, skill

LEARNERS = ["Ann", "Bo", "Cy"]


@pytest.fixture(scope="module")
def whole() -> Handed:
    return class_set("dwelling-load", LEARNERS, seed=4)


@cache
def hard(family: str) -> list[Question]:
    return [question(family, seed, 3) for seed in range(12)]


def text_of(pdf: bytes) -> str:
    return " ".join(" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(pdf)).pages)


def right(handed: Handed, learner: str) -> dict[str, str]:
    """The right answers of a learner, by the headings on the paper."""
    paper = handed.paper(learner)
    shown = [Again(asked).shown for asked in paper.questions]
    return {head: shown[at][key]["result"] for (at, key), head in paper.heads.items()}


def tabled(path: Path, rows: dict[str, dict[str, str]]) -> Path:
    heads = list(dict.fromkeys(head for row in rows.values() for head in row))
    with path.open("w", newline="") as file:
        csv.writer(file).writerows(
            [["learner", *heads], *([who, *(row.get(head, "") for head in heads)] for who, row in rows.items())]
        )
    return path


def sent(path: Path, handed: Handed, who: str, said: dict[str, str], **more: Any) -> Path:
    back = {"schema_version": 1, "what": "practice answers", "set": handed.id, "learner": who, "answers": said}
    path.write_text(json.dumps({**back, **more}))
    return path


def test_each_learner_has_other_numbers_and_the_key_has_the_work(whole: Handed) -> None:
    papers, key = (text_of(papers_pdf(whole, key=each)) for each in (False, True))
    assert all(f"For: {learner}" in papers and f"For: {learner}" in key for learner in LEARNERS)
    questions = [paper.questions[0] for paper in whole.papers]
    totals = [asked.sheet().as_json()["lines"][-1]["result"] for asked in questions]
    assert all(total.split()[0] in key for total in totals)
    assert len({str(asked.job.data["loads"]) for asked in questions}) == 3
    assert papers_pdf(whole, key=False) == papers_pdf(class_set("dwelling-load", LEARNERS, seed=4), key=False)


def test_the_key_has_the_commonest_slips_beside_each_line(whole: Handed) -> None:
    """What is often written instead, with what was missed, and never an answer that is right."""
    asked = whole.papers[0].questions[0]
    fair = Fair(Again(asked))
    key = " ".join(text_of(papers_pdf(whole, key=True)).split())
    slips = common_slips(fair, "general_demand_va")
    assert 1 <= len(slips) <= 3
    assert all(wrong in key and said[:24] in key for wrong, said in slips)
    assert len(slips) <= len(usable_slips(fair, "general_demand_va"))
    assert all(wrong != fair.again.shown["general_demand_va"]["result"] for wrong, _ in slips)


@pytest.mark.parametrize("family", taught())
def test_a_paper_has_two_pages_at_most(family: str) -> None:
    """The longest of some questions of the hardest level."""
    longest = max(hard(family), key=lambda asked: len(asked.asked) + len(givens(asked)))
    pdf = papers_pdf(Handed("Longest", (Paper("Ann", (longest,)),)), key=False)
    assert len(PdfReader(io.BytesIO(pdf)).pages) <= 2


def test_a_name_is_printed_by_a_font_that_has_it_or_in_latin_letters(monkeypatch: pytest.MonkeyPatch) -> None:
    """Never as boxes."""
    monkeypatch.setattr("calc.practice.names._of_the_machine", lambda: ())
    assert named("Søren Ōé") == {"text": "Søren Ōé", "fonts": []}
    assert named("Оля")["text"] == "Оля"
    assert named("王小明") == {"text": "WangXiaoMing", "fonts": []}
    assert respelled(["Søren Ōé", "Оля", "王小明", "अनिल"]) == {"王小明": "WangXiaoMing", "अनिल": "anil"}
    assert "WangXiaoMing" in text_of(papers_pdf(class_set("raceway", ["王小明", "محمد"]), key=False))


def test_a_phone_s_page_holds_no_answer_and_gives_no_hint_that_was_not_wanted(whole: Handed) -> None:
    """Each result of a line that is asked is nowhere in the file, but where a given says the same."""
    for handed in (whole, class_set("branch-circuits", ["<b>Ann</b>"], level=3, hints=True)):
        paper = handed.papers[0]
        asked, again = paper.questions[0], Again(paper.questions[0])
        page = phone_page(handed, paper, "01")
        assert "<b>Ann" not in page
        assert ("Half worked" in page) == handed.hints
        assert all(f'data-head="{head}"' in page for head in paper.heads.values())
        given = question_text(asked)
        results = {again.shown[key]["result"] for key in asked.asked if " " in again.shown[key]["result"]}
        told = set() if not handed.hints else {result for result in results if any(result in hint for key in asked.asked for hint in hints(asked, key))}  # fmt: skip
        assert [result for result in results - told if result in page and result not in given] == []
        for word in ("http:", "https:", "src=", "fetch(", "slip", *(missed.name for missed in asked.slips)):
            assert word not in page.replace("img-src", "").replace("style-src", "").replace("script-src", "").replace("default-src", "")  # fmt: skip


@pytest.mark.parametrize("family", taught())
def test_no_hint_is_the_answer(family: str) -> None:
    """The line half worked stops before its result, a size's too."""
    for asked in hard(family)[:3]:
        again = Again(asked)
        for key in asked.asked:
            result = again.shown[key]["result"]
            assert not any(re.search(rf"(= |is |^){re.escape(result)}$", hint) for hint in hints(asked, key)), key


def test_what_is_handed_in_is_marked_whatever_it_comes_as(whole: Handed, tmp_path: Path) -> None:
    """A table by numbers or keys, a workbook, a phone's file; the set is found again by its own file."""
    write(whole, tmp_path)
    again = read_handed(tmp_path)
    assert again.id == whole.id
    book = openpyxl.load_workbook(tmp_path / "answers.xlsx")
    answers = right(whole, "Ann")
    heads = [cell.value for cell in book.active[1]]
    assert heads[1:] == whole.heads()
    for column, head in enumerate(heads[1:], 2):
        book.active.cell(2, column).value = answers.get(head)
    book.save(tmp_path / "back.xlsx")
    by_key = {key: right(whole, "Bo")[head] for (_, key), head in whole.paper("Bo").heads.items()}
    files = [
        tmp_path / "back.xlsx", tabled(tmp_path / "bo.csv", {"Bo": {**by_key, "general_demand_va": "1"}}),
        sent(tmp_path / "cy.json", whole, "Cy", right(whole, "Cy"), hints={"line 4": 2}),
    ]  # fmt: skip
    marked = mark_all(again, handed_in(again, files))
    assert (marked["Ann"].earned, marked["Ann"].right) == (marked["Ann"].most, len(marked["Ann"].lines))
    assert next(one.key for one in marked["Bo"].lines if one.verdict != "right") == "general_demand_va"
    assert marked["Cy"].earned == marked["Cy"].most - 0.5


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("name,x\nAnn,1\n", "'learner'"),
        ("learner,general_demand_va\nDee,1\n", "'Dee' is not in this class"),
        ("learner,general_demand_va\nAnn,1\nAnn,2\n", "row 3: 'Ann' is there twice"),
        ("learner,general_demand_va\nAnn,1,2\n", "row 2: has more cells"),
        ("", "'learner'"),
        ("learner,general_demand\nAnn,1\n", "column B: heading 'general_demand' is no line that is asked; nearest: general_demand_va"),
        ("learner,99\nAnn,1\n", "heading '99' is no line"),
        ("learner,7,7\nAnn,1,2\n", "heading '7' is there twice"),
        ("learner,7,line 7\nAnn,1,2\n", "row 2, column C: answers line 7 a second time"),
        ("learner,7\nAnn,\n", "answers.csv: holds no answer"),
        ("learner,,7\nAnn,1,2\n", "row 2, column B: has an answer and no heading"),
    ],
)  # fmt: skip
def test_a_bad_table_is_told_and_nothing_is_marked(whole: Handed, tmp_path: Path, text: str, said: str) -> None:
    """Each wrong heading, cell and row named, beside a table that is good."""
    (tmp_path / "answers.csv").write_text(text)
    good = tabled(tmp_path / "good.csv", {"Cy": {"line 4": "1"}})
    with pytest.raises(AnswersError) as caught:
        handed_in(whole, [good, tmp_path / "answers.csv"])
    assert said in str(caught.value)
    assert "answers.csv" in str(caught.value)
    assert "Nothing was marked." in str(caught.value)


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"set": "other"}, "made for another set"),
        ({"learner": "Dee"}, "'Dee' is not in this class"),
        ({"learner": 7}, "learner: is missing"),
        ({"answers": {"line 99": "1"}}, "asks no 'line 99'"),
        ({"answers": {"line 4": 7}}, "answers 'line 4': is not text"),
        ({"answers": []}, "answers"),
        ({"hints": {"line 4": 9}}, "hints 'line 4': is not a number up to 3"),
        ({"what": "sent back"}, "is no file that a learner's phone sent"),
        ({"schema_version": 2}, "is no file"),
    ],
)
def test_a_bad_file_of_a_phone_is_told(whole: Handed, tmp_path: Path, more: dict[str, Any], said: str) -> None:
    file = sent(tmp_path / "a.json", whole, "Ann", {"line 4": "1"}, **more)
    with pytest.raises(AnswersError, match=re.escape(said)):
        handed_in(whole, [file])
    file.write_text("[" * 5000)
    with pytest.raises(AnswersError, match=r"a\.json"):
        handed_in(whole, [file, file])


def test_a_phone_s_file_is_marked_by_its_set_alone(whole: Handed, tmp_path: Path) -> None:
    """Beside another question its line numbers would mean something else."""
    file = sent(tmp_path / "ann.json", whole, "Ann", {"line 4": "1"})
    with pytest.raises(
        AnswersError, match=r"sent for a class's set; 'studbay practice mark FOLDER ann\.json' marks it"
    ):
        of_paper(whole.papers[1], file)


def test_a_cell_that_became_a_date_is_told(whole: Handed, tmp_path: Path) -> None:
    write(whole, tmp_path)
    book = openpyxl.load_workbook(tmp_path / "answers.xlsx")
    book.active["B2"] = date(2026, 3, 4)
    book.save(tmp_path / "answers.xlsx")
    with pytest.raises(AnswersError, match="row 2, column B is a date"):
        handed_in(whole, [tmp_path / "answers.xlsx"])


def test_question_and_key_in_the_terminal(whole: Handed) -> None:
    asked = whole.papers[0].questions[0]
    text, key = question_text(asked), key_text(asked)
    total = next(line["result"] for line in asked.sheet().as_json()["lines"] if line["key"] == "standard_va")
    assert total not in text
    assert total in key


def test_asked_checks_stand_on_paper_and_key() -> None:
    handed = class_set("branch-circuits", LEARNERS, seed=7, level=3)
    texts = [text_of(papers_pdf(handed, key=key)) for key in (False, True)]
    asked = [paper.questions[0] for paper in handed.papers]
    checks = [check for each in asked for check in each.sheet().checks if check.key in each.asked]
    assert checks
    assert all(check.name in text for check in checks for text in texts)
    assert "passes or falls short?" in texts[0]


def test_the_teacher_gets_marks_and_which_rule_to_teach_again(whole: Handed, tmp_path: Path) -> None:
    """A workbook with a row a learner, and on a page each rule with who missed it and what."""
    rows = {paper.learner: {"general_demand_va": f"{Again(paper.questions[0]).numbers['general_connected_va']:.0f}"} for paper in whole.papers}  # fmt: skip
    marked = mark_all(whole, handed_in(whole, [tabled(tmp_path / "answers.csv", rows)]))
    weak, *_ = to_teach(marked)
    assert list(weak.who) == LEARNERS
    assert "demand" in weak.rule
    assert re.match(r"\d{3}\.\d+|Table", weak.rule)
    assert "They go through the demand steps together" in next(iter(weak.said))
    book = openpyxl.load_workbook(io.BytesIO(marks_xlsx(whole, marked)))
    marks = list(book["Marks"].values)
    assert [row[0] for row in marks] == ["learner", *LEARNERS]
    head = whole.paper("Ann").heads[0, "general_demand_va"]
    assert marks[1][marks[0].index(head)] == "slip: nothing taken off"
    assert list(book["Teach again"].values)[1][1:3] == (3, 3)
    page = text_of(picture_pdf(whole, marked))
    assert weak.rule in page
    assert "3 of 3" in page
    assert "Ann, Bo, Cy" in page


def test_the_next_set_asks_what_the_class_missed() -> None:
    """More of its questions have the line that was missed, and show the slip that was made."""
    plain = class_set("grounding", LEARNERS, seed=3)
    lines = [{skill("grounding", key) for key in paper.questions[0].asked} for paper in plain.papers]
    rare = min((each for asked in lines for each in asked), key=lambda each: sum(each in asked for asked in lines))
    chosen = class_set("grounding", LEARNERS, seed=3, missed=[Answered("grounding/1/2", rare, False)] * 5)
    having = [sum(rare in {skill("grounding", key) for key in paper.questions[0].asked} for paper in handed.papers) for handed in (plain, chosen)]  # fmt: skip
    assert having[0] < having[1] == len(LEARNERS)


def test_a_class_from_papers_to_the_next_set(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The commands: papers, what a phone sent marked into marks, picture and records, and a set after it. A name that is
    printed in other letters is told.
    """
    monkeypatch.setattr("calc.practice.names._of_the_machine", lambda: ())
    run, folder = CliRunner(), tmp_path / "set"
    made = run.invoke(
        main, ["practice", "class", "raceway", "Ann, 王小明", "--edition", "2026", "--hints", "--out", str(folder)]
    )
    assert made.exit_code == 0, made.output
    assert "王小明 is printed as WangXiaoMing" in made.output
    assert "Ann is printed" not in made.output
    handed = read_handed(folder)
    assert {asked.code.edition for paper in handed.papers for asked in paper.questions} == {"2026"}
    back = sent(tmp_path / "ann.json", handed, "Ann", {**right(handed, "Ann"), "line 1": "1"})
    for _ in range(2):  # marked twice, recorded once
        marked = run.invoke(main, ["practice", "mark", str(folder), str(back)])
        assert marked.exit_code == 0, marked.output
    assert "Teach again" in marked.output
    records = list((folder / "records").iterdir())
    assert [path.name for path in records if path.suffix == ".jsonl"] == ["01-ann.jsonl"]
    assert len((folder / "records" / "01-ann.jsonl").read_text().splitlines()) == len(handed.paper("Ann").lines)
    again = run.invoke(
        main, ["practice", "class", "raceway", "Ann, Bo", "--after", str(folder), "--out", str(tmp_path / "next")]
    )
    assert again.exit_code == 0, again.output
    (folder / "set.json").write_text("{}")
    assert run.invoke(main, ["practice", "mark", str(folder), str(back)]).exit_code == 2
    said = run.invoke(main, ["practice", "raceway"])
    assert "studbay practice sheet raceway" in said.output


def test_a_class_without_learners_is_told() -> None:
    with pytest.raises(AnswersError, match="needs a name"):
        class_set("box-fill", [])
