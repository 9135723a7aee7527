"""A class: paper for each, answers marked in one go, and a picture of what went wrong."""

from __future__ import annotations

import csv
import io
from datetime import date
from pathlib import Path

import openpyxl
import pytest
from pypdf import PdfReader

from calc.practice.asking import asked_lines
from calc.practice.classes import AnswersError, ClassSet, marks_xlsx, to_teach, wrong_lines
from calc.practice.lesson import Again
from calc.practice.printed import key_text, question_text
from calc.show.charts import draw

LEARNERS = ["Ann", "Bo", "Cy"]


@pytest.fixture
def whole() -> ClassSet:
    return ClassSet("dwelling-load", 4, 2, LEARNERS)


def test_each_learner_has_other_numbers_and_the_key_has_the_work(whole: ClassSet, tmp_path: Path) -> None:
    questions, key, _ = whole.write(tmp_path)
    text = "\n".join(page.extract_text() for page in PdfReader(questions).pages)
    worked = "\n".join(page.extract_text() for page in PdfReader(key).pages)
    for learner in LEARNERS:
        assert f"For: {learner}" in text
        assert f"For: {learner}" in worked
    assert "Your working" in text
    totals = [asked.sheet().as_json()["lines"][-1]["result"] for asked in whole.questions]
    assert all(total.split()[0] in worked for total in totals)
    loads = {str(asked.job.data["loads"]) for asked in whole.questions}
    assert len(loads) == 3


def test_the_same_set_is_the_same_paper(whole: ClassSet, tmp_path: Path) -> None:
    one = [path.read_bytes() for path in whole.write(tmp_path / "a")]
    assert one == [path.read_bytes() for path in whole.write(tmp_path / "b")]


def test_answers_are_marked_in_one_go(whole: ClassSet, tmp_path: Path) -> None:
    _, _, table = whole.write(tmp_path)
    rows = list(csv.reader(table.open()))
    for row, asked in zip(rows[1:], whole.questions, strict=True):
        results = {line["key"]: line["result"] for line in asked.sheet().as_json()["lines"]}
        row += [results.get(key, "") for key in rows[0][1:]]
    rows[2][rows[0].index("general_demand_va")] = "1"
    with table.open("w", newline="") as file:
        csv.writer(file).writerows(rows)
    marked = whole.mark(table)
    assert {one.verdict for one in marked["Ann"]} == {"right"}
    assert next(one.key for one in marked["Bo"] if one.verdict == "wrong") == "general_demand_va"
    chart = wrong_lines(marked)
    assert chart.alt.startswith("general load after demand: 1 of 3 not right")
    assert "not right" in draw(chart)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("name,x\nAnn,1\n", "'learner'"),
        ("learner,general_demand_va\nDee,1\n", "'Dee' is not in this class"),
        ("learner,general_demand_va\nAnn,1\nAnn,2\n", "row 3: 'Ann' is there twice"),
        ("learner,general_demand_va\nAnn,1,2\n", "row 2: has more cells"),
        ("", "'learner'"),
        (
            "learner,general_demand\nAnn,1\n",
            "heading 'general_demand' is no line that is asked; nearest: general_demand_va",
        ),
        ("learner,99\nAnn,1\n", "heading '99' is no line"),
        ("learner,7,7\nAnn,1,2\n", "heading '7' is there twice"),
    ],
)
def test_a_bad_table_is_told(whole: ClassSet, tmp_path: Path, text: str, said: str) -> None:
    table = tmp_path / "answers.csv"
    table.write_text(text)
    with pytest.raises(AnswersError) as caught:
        whole.mark(table)
    assert said in str(caught.value)
    assert "answers.csv" in str(caught.value)


def test_question_and_key_in_the_terminal(whole: ClassSet) -> None:
    asked = whole.questions[0]
    text, key = question_text(asked), key_text(asked)
    total = next(line["result"] for line in asked.sheet().as_json()["lines"] if line["key"] == "standard_va")
    assert total not in text
    assert total in key


def test_asked_checks_stand_on_paper_and_key(tmp_path: Path) -> None:
    whole = ClassSet("branch-circuits", 7, 3, LEARNERS)
    texts = ["\n".join(page.extract_text() for page in PdfReader(path).pages) for path in whole.write(tmp_path)[:2]]
    checks = [check for asked in whole.questions for check in asked.sheet().checks if check.key in asked.asked]
    assert checks
    for check in checks:
        assert all(check.name in " ".join(text.split()) for text in texts)
    assert "passes or falls short?" in " ".join(texts[0].split())


def test_a_class_without_learners_is_told() -> None:
    with pytest.raises(ValueError, match="needs a name"):
        ClassSet("box-fill", 1, 1, [])


def test_answers_may_be_a_workbook_headed_by_the_numbers_on_the_paper(whole: ClassSet, tmp_path: Path) -> None:
    """Each learner's own numbers; sizes and numbers as they are; a cell that became a date is told with its place."""
    book = openpyxl.Workbook()
    numbers = sorted({line.number for asked in whole.questions for line in asked_lines(asked) if line.asked})
    book.active.append(["learner", *(f"line {number}" for number in numbers)])
    for learner, asked in zip(LEARNERS, whole.questions, strict=True):
        right = {
            line["number"]: line["result"] for line in asked.sheet().as_json()["lines"] if line["key"] in asked.asked
        }
        book.active.append([learner, *(right.get(number, "") for number in numbers)])
    book.save(tmp_path / "answers.xlsx")
    marked = whole.mark(tmp_path / "answers.xlsx")
    assert {one.verdict for lines in marked.values() for one in lines} == {"right"}
    book.active["B2"] = date(2026, 3, 4)
    book.save(tmp_path / "answers.xlsx")
    with pytest.raises(AnswersError, match="row 2, column B is a date"):
        whole.mark(tmp_path / "answers.xlsx")


def test_the_teacher_gets_marks_and_what_to_teach_again(whole: ClassSet, tmp_path: Path) -> None:
    """A workbook with a row a learner, and each slip with who made it."""
    table = tmp_path / "answers.csv"
    connected = [Again(asked).numbers.get("general_connected_va") for asked in whole.questions]
    table.write_text(
        "learner,general_demand_va\n"
        + "".join(f"{who},{said}\n" for who, said in zip(LEARNERS, connected, strict=True))
    )
    marked = whole.mark(table)
    (what, who), *_ = to_teach(marked, "dwelling-load")
    assert "They go through the demand steps together" in what
    assert who == LEARNERS
    book = openpyxl.load_workbook(io.BytesIO(marks_xlsx(marked, "dwelling-load")))
    rows = list(book["Marks"].values)
    assert [row[0] for row in rows] == ["learner", *LEARNERS]
    assert rows[1][rows[0].index("general_demand_va")] == "slip: nothing taken off"
    assert list(book["Teach again"].values)[1][1:] == (3, "Ann, Bo, Cy")
