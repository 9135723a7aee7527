"""How much work a question is, in minutes: what makes two papers alike, and how long an exam is to take.

The minutes of each kind of step are common practice of setting papers, no source; papers are compared by them, so their
ratios matter more than their size.
"""

from __future__ import annotations

from calc.practice.asking import givens
from calc.practice.lesson import Again, Question
from calc.work.printing import leaves

READ, A_GIVEN = 1.0, 0.1
RESTATED, WORKED, A_NUMBER, LOOKED_UP, FOUND, DECIDED = 0.3, 0.4, 0.2, 1.0, 2.0, 0.8


def line_minutes(again: Again, key: str) -> float:
    """The minutes of one line: a number put down again, worked from so many, looked up, a size found, a check decided."""
    line = next((line for line in again.sheet.lines if line.key == key), None)
    if line is None:
        return DECIDED
    if line.kind == "looked up":
        return LOOKED_UP
    if line.kind == "found" or line.made is None:
        return FOUND
    numbers = len(list(leaves(line.made)))
    return RESTATED if numbers < 2 else WORKED + A_NUMBER * numbers


def question_minutes(asked: Question) -> float:
    """The minutes of a question: reading it, and each line that is asked."""
    again = Again(asked)
    return READ + A_GIVEN * len(givens(asked)) + sum(line_minutes(again, key) for key in asked.asked)
