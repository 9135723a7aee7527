"""Practice sheets as people get them: on paper or in the terminal, the question and its key."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from textwrap import wrap
from typing import Any

from calc.families import families
from calc.packet.typeset import set_pdf
from calc.packet.wording import clean, printed
from calc.practice.asking import HOW, AskedLine, about, asked_lines, givens
from calc.practice.lesson import Question, checks_as_lines
from calc.practice.marking import Marked
from calc.work import as_text
from calc.work.text import WIDTH

RULE = "_" * 18


def question_text(question: Question, left: Collection[str] | None = None) -> str:
    """The question in plain text: what is given, then each line to work, with room for its number; with ``left`` only
    those lines are to be worked.
    """
    out = [question.title, about(question), "", "Given"]
    out += [f"  {name}: {text}" for name, text in givens(question)]
    out += ["", *wrap(HOW, WIDTH)]
    out += [f"{line.number:>3}  {line.name}: {_room(line)}" for line in asked_lines(question, left)]
    return "\n".join(out) + "\n"


def _room(line: AskedLine) -> str:
    return f"{RULE} {line.unit}".rstrip() if line.asked else line.told


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
    title = f"{'Key to the practice' if key else 'Practice'} set: {families()[questions[0].family].TITLE}"
    content = {
        "title": clean(title), "description": "Practice sheets with invented houses.", "keywords": ["practice"],
        "footer_name": clean(title), "fingerprint": "", "pages": pages, "key": key, "how": HOW,
    }  # fmt: skip
    return set_pdf("practice.typ", {"practice": content})


def _page(question: Question, learner: str, key: bool) -> dict[str, Any]:
    sheet = question.sheet().as_json()
    return {
        "learner": clean(learner),
        "title": clean(question.title),
        "about": clean(about(question)),
        "givens": [[clean(name), printed(text)] for name, text in givens(question)],
        "asked": [
            {"number": line.number, "name": clean(line.name), "unit": printed(line.unit), "asked": line.asked,
             "told": printed(line.told)}
            for line in asked_lines(question)
        ],
        "worked": [] if not key else [
            {
                "number": line["number"], "name": clean(line["name"]), "formula": printed(line["formula"]),
                "numbers": printed(line.get("numbers", "")), "result": printed(line["result"]),
                "sections": ", ".join(line["sections"]), "reason": clean(line["reason"]),
            }
            for line in [*sheet["lines"], *(each for each in checks_as_lines(sheet) if each["key"] in question.asked)]
        ],
    }  # fmt: skip
