"""Practice sheets as people get them: on paper or in the terminal, the question and its key."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from textwrap import wrap
from typing import Any

from calc.packet.typeset import set_pdf
from calc.packet.wording import clean, printed
from calc.practice.asking import HOW, AskedLine, about, asked_lines, givens
from calc.practice.fair import Fair
from calc.practice.lesson import Again, Question, checks_as_lines, missed
from calc.practice.marking import Marked, usable_slips
from calc.practice.names import fonts_for, named
from calc.practice.papers import Handed
from calc.practice.tutor import cost
from calc.work import as_text
from calc.work.text import WIDTH

RULE = "_" * 18
MOST_SLIPS = 3  # beside a line of the key
MOST_DIGITS = 3  # decimals of a slip below one


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


def marks_text(marked: Sequence[Marked], used: Mapping[str, int] | None = None) -> str:
    """What the learner is told, line by line, and how many lines were right; with hints, what they leave of it."""
    out = []
    for one in marked:
        said = f"{one.given or '-'}" + ("" if one.verdict == "right" else f"  (follows: {one.expected})")
        out.append(f"{one.number or '-':>3}  {one.name}: {said}\n       {one.told}")
    return "\n".join([*out, f"\n{summed(marked, used or {})}"]) + "\n"


def summed(marked: Sequence[Marked], used: Mapping[str, int]) -> str:
    """How many lines were right, and what is left of them after the hints that were used: '5 of 8 lines right, less hints 4.25.'"""
    keys = [one.key for one in marked if one.verdict == "right"]
    off = sum(cost(used.get(key, 0)) for key in keys)
    return f"{len(keys)} of {len(marked)} lines right" + (
        f"; less what hints cost, {len(keys) - off:g}." if off else "."
    )


def papers_pdf(handed: Handed, key: bool) -> bytes:
    """A set as PDF: each learner's paper on pages of its own; with ``key``, the worked sheets instead, each line with the
    slips that are made there.
    """
    title = clean(f"{'Key: ' if key else ''}{handed.title}")
    told: set[str] = set()
    content = {
        "title": title, "description": "Practice sheets with invented houses.", "keywords": ["practice"],
        "footer_name": title, "fingerprint": "", "key": key, "how": HOW, "minutes": handed.minutes,
        "note": handed.note if key else "",
        "pages": [
            {
                "learner": named(paper.learner),
                "questions": [
                    {**(_worked(asked, told) if key else _asked(asked)), "points": handed.points[at] if handed.points else 0}
                    for at, asked in enumerate(paper.questions)
                ],
            }
            for paper in handed.papers
        ],
    }  # fmt: skip
    return set_pdf("practice.typ", {"practice": content}, font_files=fonts_for(handed.learners))


def _asked(asked: Question) -> dict[str, Any]:
    return {
        "title": clean(asked.title),
        "about": clean(about(asked)),
        "givens": [[clean(name), printed(text)] for name, text in givens(asked)],
        "lines": [
            {"number": line.number, "name": clean(line.name), "unit": printed(line.unit), "asked": line.asked,
             "told": printed(line.told)}
            for line in asked_lines(asked)
        ],
    }  # fmt: skip


def _worked(asked: Question, told: set[str]) -> dict[str, Any]:
    """The worked sheet; a reason that was told on a sheet before is not told again."""
    sheet = asked.sheet().as_json()
    fair = Fair(Again(asked))
    return {
        "title": clean(asked.title),
        "about": clean(about(asked)),
        "lines": [
            {
                "number": line["number"], "name": clean(line["name"]), "formula": printed(line["formula"]),
                "numbers": printed(line.get("numbers", "")), "result": printed(line["result"]),
                "sections": ", ".join(line["sections"]), "reason": _once(clean(line["reason"]), told),
                "slips": [[printed(wrong), clean(said)] for wrong, said in common_slips(fair, line["key"])],
            }
            for line in [*sheet["lines"], *(each for each in checks_as_lines(sheet) if each["key"] in asked.asked)]
        ],
    }  # fmt: skip


def _once(text: str, told: set[str]) -> str:
    if text in told:
        return ""
    told.add(text)
    return text


def common_slips(fair: Fair, key: str) -> list[tuple[str, str]]:
    """What is often written at a line instead, with what was missed: a lesson's file has the commonest first (common
    practice, no source).
    """
    again = fair.again
    if key not in again.question.asked:
        return []
    words, unit = missed(again.question.family), again.shown[key]["unit"]
    digits = len(again.shown[key]["result"].split(" ")[0].partition(".")[2])
    told: dict[str, str] = {}
    for name, wrong in usable_slips(fair, key).items():
        said = (
            wrong
            if isinstance(wrong, str)
            else f"{wrong:,.{max(digits, MOST_DIGITS if abs(wrong) < 1 else 0)}f} {unit}".strip()
        )
        told.setdefault(said, words[name])
    return list(told.items())[:MOST_SLIPS]
