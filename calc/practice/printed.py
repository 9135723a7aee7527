"""Practice sheets as people get them: on paper or in the terminal, the question and its key."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from calc.packet.typeset import set_pdf
from calc.packet.wording import clean, printed
from calc.practice.lesson import Question
from calc.practice.marking import Marked
from calc.work import as_text

RULE = "_" * 18


def givens(question: Question) -> list[tuple[str, str]]:
    """What the learner starts from: the givens of the sheet, each with its unit."""
    shown = question.sheet().as_json()["givens"]
    return [
        (given["name"], given["text"]) for given in shown if not given["name"].endswith("(count)") or given["value"] > 1
    ]


def question_text(question: Question) -> str:
    """The question in plain text: what is given, then each line to work, with room for its number."""
    lines = question.sheet().as_json()["lines"]
    asked = set(question.asked)
    out = [question.title, f"{question.sheet().title}, edition {question.code.edition}", "", "Given"]
    out += [f"  {name}: {text}" for name, text in givens(question)]
    out += ["", "Work each line. A line may use those above it."]
    for line in lines:
        room = f"{RULE} {line['unit']}".rstrip() if line["key"] in asked else RULE
        out.append(f"{line['number']:>3}  {line['name']}: {room}")
    return "\n".join(out) + "\n"


def key_text(question: Question) -> str:
    """The key: the sheet with its full shown work and reasons."""
    return as_text(question.sheet().as_json(), reasons=True)


def marks_text(marked: Sequence[Marked]) -> str:
    """What the learner is told, line by line, and how many lines were right."""
    out = []
    for one in marked:
        said = f"{one.given or '-'}" + ("" if one.verdict == "right" else f"  (follows: {one.expected})")
        out.append(f"{one.number or '-':>3}  {one.name}: {said}\n       {one.told}")
    right = sum(one.verdict == "right" for one in marked)
    return "\n".join([*out, f"\n{right} of {len(marked)} lines right."]) + "\n"


def class_pdf(questions: Sequence[Question], learners: Sequence[str], key: bool) -> bytes:
    """A set for a class: a question a learner on pages of its own; with ``key``, the worked sheets instead."""
    pages = [_page(question, learner, key) for question, learner in zip(questions, learners, strict=True)]
    title = f"{'Key to the practice' if key else 'Practice'} set: {questions[0].sheet().title}"
    content = {
        "title": clean(title), "description": "Practice sheets with invented houses.", "keywords": ["practice"],
        "footer_name": clean(title), "fingerprint": "", "pages": pages, "key": key,
    }  # fmt: skip
    return set_pdf("practice.typ", {"practice": content})


def _page(question: Question, learner: str, key: bool) -> dict[str, Any]:
    sheet = question.sheet().as_json()
    asked = set(question.asked)
    return {
        "learner": clean(learner),
        "title": clean(question.title),
        "about": clean(f"{sheet['title']}, edition {sheet['edition']}"),
        "givens": [[clean(name), printed(text)] for name, text in givens(question)],
        "lines": [
            {
                "number": line["number"], "name": clean(line["name"]), "unit": printed(line["unit"]),
                "asked": line["key"] in asked, "formula": printed(line["formula"]) if key else "",
                "numbers": printed(line["numbers"]) if key else "", "result": printed(line["result"]) if key else "",
                "sections": ", ".join(line["sections"]) if key else "", "reason": clean(line["reason"]) if key else "",
            }
            for line in sheet["lines"]
        ],
    }  # fmt: skip
