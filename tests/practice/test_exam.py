"""An exam: mixed families, one edition, points and time, the same work for each learner, and marks by the work of a line.

``python -m tests.practice.test_exam 20`` prints how far the papers of so many exams of a class of twelve are apart.
"""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from calc.cli import main
from calc.practice.classes import MarkedPaper, marked_paper
from calc.practice.effort import question_minutes
from calc.practice.exam import exam
from calc.practice.handed_in import HandedIn
from calc.practice.lesson import Again
from calc.practice.papers import AnswersError, Handed, read_handed

LEARNERS = [f"Learner {number}" for number in range(1, 7)]
APART = 0.05  # of the work of a paper, that papers may differ by


def work(handed: Handed) -> list[float]:
    return [sum(question_minutes(asked) for asked in paper.questions) for paper in handed.papers]


@pytest.mark.parametrize(("seed", "level"), [(1, 2), (3, 3)])
def test_each_learner_has_the_same_work(seed: int, level: int) -> None:
    """Other houses, the same families, points and edition; the work by measure a twentieth apart at most, and told."""
    handed = exam(LEARNERS, seed=seed, level=level)
    works = work(handed)
    assert max(works) / min(works) < 1 + APART
    assert f"{max(works) / min(works) - 1:.1%} apart" in handed.note
    assert len({tuple(asked.family for asked in paper.questions) for paper in handed.papers}) == 1
    assert len(handed.points) == len(handed.families) == 4
    assert {asked.code.edition for paper in handed.papers for asked in paper.questions} == {"2023"}
    assert len({str(asked.job.data) for paper in handed.papers for asked in paper.questions}) == 4 * len(LEARNERS)
    assert sum(handed.points) < handed.minutes < 1.6 * sum(handed.points)


def test_points_follow_the_work_of_the_lines() -> None:
    """All right is all points; a size to be found is worth more than a number put down again."""
    handed = exam(LEARNERS[:2], of=["grounding", "voltage-drop"])
    paper = handed.papers[0]
    right = {(at, key): Again(paper.questions[at]).shown[key]["result"] for at, key in paper.lines}

    def marked(*left: tuple[int, str]) -> MarkedPaper:
        given = {place: text for place, text in right.items() if place not in left}
        return marked_paper(paper, HandedIn(paper.learner, given), handed.points)

    assert marked().earned == marked().most == sum(handed.points)
    assert marked((1, "size_for_limit")).earned < marked((1, "base_v")).earned < sum(handed.points)


def test_an_exam_from_paper_to_marks(tmp_path: Path) -> None:
    """The commands: papers with time and points, their key with the measured spread, and marks by question and line."""
    folder = tmp_path / "exam"
    made = CliRunner().invoke(
        main, ["practice", "exam", "Ann, Bo", "--of", "raceway, grounding", "--seed", "7654321", "--out", str(folder)]
    )
    assert made.exit_code == 0, made.output
    papers, key = (" ".join(page.extract_text() for page in PdfReader(io.BytesIO((folder / name).read_bytes())).pages)
                   for name in ("papers.pdf", "key.pdf"))  # fmt: skip
    handed = read_handed(folder)
    assert f"{handed.minutes} minutes, {sum(handed.points)} points, 2 questions." in " ".join(papers.split())
    assert "apart" in key
    assert "apart" not in papers
    page = next(folder.glob("01-*.html")).read_text()
    assert ["7654321" in each for each in (made.output, key, papers, page)] == [True, True, False, False]
    place = next(place for place in handed.papers[0].lines if place[0] == 1)
    head, result = handed.papers[0].heads[place], Again(handed.papers[0].questions[1]).shown[place[1]]["result"]
    assert head.startswith("Q2 line ")
    (tmp_path / "back.csv").write_text(f'learner,{head}\nAnn,"{result}"\n')
    marked = CliRunner().invoke(main, ["practice", "mark", str(folder), str(tmp_path / "back.csv")])
    assert marked.exit_code == 0, marked.output
    assert f"of {sum(handed.points)} points" in marked.output
    assert handed.papers[0].place(head.replace("Q2", "Q9")) is None


def test_an_exam_that_can_t_be_is_told() -> None:
    with pytest.raises(AnswersError, match="needs a name"):
        exam([])
    with pytest.raises(ValueError, match="no lesson for 'box'"):
        exam(["Ann"], of=["box"])
    with pytest.raises(ValueError, match="edition is 1999"):
        exam(["Ann"], edition="1999", of=["raceway"])


if __name__ == "__main__":
    for level in (2, 3):
        apart = []
        for seed in range(int(sys.argv[1])):
            works = work(exam([str(number) for number in range(12)], seed=seed, level=level))
            apart.append(max(works) / min(works) - 1)
        print(
            f"level {level}: {len(apart)} exams of 12 papers, {max(apart):.1%} apart at most, {sum(apart) / len(apart):.1%} on average"
        )
