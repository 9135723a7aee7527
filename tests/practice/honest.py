"""A learner who makes no mistake but rounds by a habit of his own at each line, and goes on with what he wrote."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from math import floor, log10
from random import Random

from calc.practice import Question, taught
from calc.practice.lesson import Again
from calc.work import Value
from calc.work.keys import stem_of
from calc.work.printing import decimals_needed
from calc.work.values import compute

HABITS = (ROUND_HALF_UP, ROUND_HALF_EVEN, ROUND_CEILING, ROUND_FLOOR)
TRADE = {"VA", "A", "V", "in3", "in2", "in", "ft", "%", "kW", "ft2", "cmil"}  # their digits are those of the print


def answers(asked: Question, random: Random) -> dict[str, str]:
    """What he writes at each asked line."""
    again = Again(asked)
    written: dict[str, float] = {}
    down = taught()[asked.family].round_down
    for line in again.sheet.lines:
        if not isinstance(line.value, Value):
            continue
        worked = line.value.number
        if line.kind == "worked" and line.made is not None:
            worked = _worked(line.made, written, again) / line.value.unit.scale
        habit = ROUND_FLOOR if stem_of(line.key) in down else random.choice(HABITS)
        written[line.key] = _rounded(worked, again.shown[line.key]["result"], str(line.value.unit), habit, random)
    said = {key: f"{number:.9f}".rstrip("0").rstrip(".") for key, number in written.items()}
    return {key: said.get(key) or again.texts[key] for key in asked.asked}


def _worked(value: Value, written: dict[str, float], again: Again) -> float:
    """An expression by the learner's own numbers, in base units."""
    if value.made is None or value.made.kind == "lookup":
        if value.origin == "line":
            return written[value.at] * value.unit.scale
        if value.origin == "carried":
            text = next(
                each["text"] for each in again.public["givens"] if each["at"] == value.at and each["name"] == value.name
            )
            return float(text.split(" ")[0].replace(",", "")) * value.unit.scale
        return value.base
    args = [_worked(arg, written, again) for arg in value.made.args]
    return float(compute(value.made.kind, args, value.made.extra))


def _rounded(number: float, result: str, unit: str, habit: str, random: Random) -> float:
    """Rounded to the printed digits, or one more, or three where no unit says how many; what is even stays as it is."""
    printed = len(result.split(" ")[0].partition(".")[2])
    if decimals_needed(number) <= 2:
        return round(number, 9)
    digits = [printed, printed + 1]
    if unit not in TRADE and number:
        digits.append(max(0, 2 - floor(log10(abs(number)))))
    return float(Decimal(repr(round(number, 9))).quantize(Decimal(1).scaleb(-random.choice(digits)), habit))
