"""Solving a question from what is printed: its givens, the lines before, the code's numbers and tables, and nothing else."""

from __future__ import annotations

import re
from typing import Any

from calc.practice import Question
from calc.practice.lesson import Again
from calc.practice.printed import question_text
from calc.work.printing import leaves, quantity
from tests.replay.grammar import read
from tests.replay.quantities import Fault, in_unit, printed_quantity, rounds_to

ALSO = {"THHN": "THWN-2", "pvc": "PVC", "none": ""}  # a row of a table that the code's own note names for another word
DEFAULT = {"gang", "conductor"}  # one of each where nothing is said


def unsolved(asked: Question) -> list[str]:
    """Each asked line that can't be worked from the print, with what is missing."""
    again, text = Again(asked), question_text(asked)
    words = text.casefold().replace("-", " ")
    known = {
        (number.replace(",", ""), unit) for number, unit in re.findall(r"(-?[\d,]*\.?\d+) ?([A-Za-z%°][\w%/]*)?", text)
    }
    values = {number for number, _ in known} | {f"{float(number) * 12:g}" for number, unit in known if unit == "ft"}
    words += (
        " ".join(line["result"] for line in again.shown.values() if line.get("kind") == "found")
        .casefold()
        .replace("-", " ")
    )
    stepped = {line.key for line in again.sheet.lines if line.made is not None and line.made.made is not None
               and line.made.made.kind == "steps"}  # fmt: skip
    by_code = {quantity(leaf.number, leaf.unit) for line in again.sheet.lines if line.made is not None
               for leaf in leaves(line.made) if leaf.origin in ("rule", "constant")}  # fmt: skip
    found = []
    for key, line in again.shown.items():
        if "lookup" not in line:
            break  # the checks
        missing = _missing(line, words, values, by_code) if line["kind"] != "found" and key not in stepped else []
        if key in asked.asked and (missing or not _comes_to(line)):
            found.append(f"{asked.title}, {asked.code.edition}, {key}: {missing or line['numbers']}")
        values |= {line["result"].split(" ")[0].replace(",", "")}
        words += f" {line['result']}".casefold().replace("-", " ")
    return found


def _missing(line: dict[str, Any], words: str, values: set[str], by_code: set[str]) -> list[str]:
    if line["lookup"] is not None:
        row = line["lookup"]["row"].values()
        return [str(each) for each in row if isinstance(each, str) and not _said(each, words)]
    if not line["numbers"]:
        return []
    _, shown = read(line["numbers"], "phrase")
    return [
        f"{digits} {unit}" for digits, unit in shown
        if digits.replace(",", "") not in values and f"{digits} {unit}".strip() not in by_code
        and not (digits == "1" and unit.removesuffix("s") in DEFAULT) and f"{digits} {unit}s".strip() not in by_code
    ]  # fmt: skip


def _said(word: str, words: str) -> bool:
    return any(each.casefold().replace("-", " ") in words for each in (word, ALSO.get(word, word)))


def _comes_to(line: dict[str, Any]) -> bool:
    """Whether the evaluator, which shares no code with the program, gets the key's number from the printed ones."""
    if line["kind"] != "worked" or not line["numbers"]:
        return True
    try:
        return rounds_to(in_unit(read(line["numbers"], "phrase")[0], line["unit"]), printed_quantity(line["result"])[0])
    except Fault:
        return False


def numbers(asked: Question) -> dict[str, float | str]:
    """The right answer of each asked line, by key."""
    again = Again(asked)
    return {key: again.texts[key] if key in again.texts else again.numbers[key] for key in asked.asked}


__all__ = ["numbers", "unsolved"]
