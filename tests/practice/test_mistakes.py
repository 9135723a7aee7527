"""Mistakes worked by hand: none is right, and most are named. ``python -m tests.practice.test_mistakes`` prints the table."""

from __future__ import annotations

import tomllib
from collections import Counter
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from calc.practice import mark, question, taught
from calc.practice.lesson import Again
from calc.practice.marking import Marked
from tests.replay.grammar import read
from tests.replay.quantities import in_unit

MISTAKES = tomllib.loads(Path(__file__).with_name("mistakes.toml").read_text(encoding="utf-8"))["mistakes"]
NAMED = 0.7  # of them, the part that must be named as a slip


@cache
def marked(number: int) -> Marked:
    """A mistake as it is marked: the answer as a person would write it, without its unit."""
    mistake: dict[str, Any] = MISTAKES[number]
    asked = question(mistake["lesson"], mistake["seed"], mistake["level"])
    assert mistake["line"] in asked.asked, mistake
    unit = Again(asked).shown[mistake["line"]]["unit"]
    answer = mistake.get("answer") or written(mistake["arithmetic"], unit)
    return next(one for one in mark(asked, {mistake["line"]: answer}) if one.key == mistake["line"])


def written(arithmetic: str, unit: str) -> str:
    """What the arithmetic comes to in the line's unit, to four digits, by the evaluator that shares no code with the program."""
    number = in_unit(read(arithmetic, "phrase")[0], unit)
    digits = max(0, 4 - len(str(int(abs(number))))) if abs(number) >= 1 else 5
    return f"{float(number):.{digits}f}"


@pytest.mark.parametrize("lesson", taught())
def test_no_mistake_is_right(lesson: str) -> None:
    numbers = [number for number, mistake in enumerate(MISTAKES) if mistake["lesson"] == lesson]
    assert len(numbers) >= 12
    assert [
        (MISTAKES[number]["did"], marked(number))
        for number in numbers
        if marked(number).verdict in ("right", "unreadable")
    ] == []


def test_seven_of_ten_are_named() -> None:
    assert len(MISTAKES) >= 150
    assert sum(marked(number).verdict == "slip" for number in range(len(MISTAKES))) >= NAMED * len(MISTAKES)


def test_what_no_slip_names_has_its_reason() -> None:
    unnamed = [number for number in range(len(MISTAKES)) if marked(number).verdict != "slip"]
    assert [MISTAKES[number] for number in unnamed if not MISTAKES[number].get("unnamed")] == []


if __name__ == "__main__":
    verdicts = {number: marked(number) for number in range(len(MISTAKES))}
    of_lesson = Counter((MISTAKES[number]["lesson"], one.verdict) for number, one in verdicts.items())
    for name in taught():
        print(
            f"{name:16} {of_lesson[name, 'slip']} of {sum(n for (each, _), n in of_lesson.items() if each == name)} named"
        )
    print(f"{'all':16} {sum(one.verdict == 'slip' for one in verdicts.values())} of {len(verdicts)} named")
    for number, one in verdicts.items():
        if one.verdict != "slip":
            print(
                f"  {one.verdict}: {MISTAKES[number]['lesson']}, {one.key}: {MISTAKES[number]['did']} ({one.given}; key {one.expected})"
            )
