"""What an honest person may get at a line, with pencil, code book and rounding at each step.

Each line has a span: what its expression gives over the spans of the lines before it, widened by rounding the result up
or down as the trade prints it. A span is a point at counts, sizes, ratings, table values and all that comes out even.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import product
from math import ceil, floor, isclose, log10

from calc.practice.lesson import Again, taught
from calc.work import Value
from calc.work.keys import stem_of
from calc.work.printing import decimals_needed
from calc.work.sheet import Line
from calc.work.units import COUNTS, DECIMALS
from calc.work.values import COMPARE, EXACT_DECIMALS, Comparison, compute

THREE = 3  # significant digits, which a person keeps at least
EVEN = 2  # decimals of a number that nobody rounds
MOST_DECIMALS = 4  # that a plain number is printed with
ALIKE = 1e-9  # numbers that differ by less, for their size, are one
NEAR = 0.01  # what rounding to the nearest may change a number by, as a share of it
Span = tuple[float, float]


class Torn(Exception):
    """A choice or a whole number that honest rounding could turn."""


class Fair:
    """The spans of a sheet's lines. ``own`` are further numbers that a learner may go on with: those written at lines that
    were right, and a slip's number in full at lines that were not.
    """

    def __init__(self, again: Again, own: Mapping[str, float] | None = None) -> None:
        self.again, self.own = again, own or {}
        lesson = taught().get(again.question.family)
        self._downward = lesson.round_down if lesson else ()
        self._given = {(each["name"], each["at"]): each["text"] for each in again.public["givens"]}
        self.spans: dict[str, Span] = {}
        self._unsettled: set[str] = set()
        for line in again.sheet.lines:
            if isinstance(line.value, Value):
                self.spans[line.key] = self._span(line, line.value)

    def exact(self, key: str) -> bool:
        """Whether a line has one right answer to the last digit: a count, a rating, a cell of a table, a given."""
        line = self._line(key)
        if line is None or not isinstance(line.value, Value) or line.kind == "looked up":
            return True
        made = line.made.made if line.made is not None else None
        if made is None:  # restated: as exact as what it restates
            return line.made is not None and line.made.origin not in ("line", "carried")
        return made.kind == "whole" or str(line.value.unit) in COUNTS

    def rounds_down(self, key: str) -> bool:
        """Whether a line is a most, so that rounding up is wrong."""
        return stem_of(key) in self._downward

    def torn(self) -> Iterator[str]:
        """Lines and asked checks whose choice could turn within honest rounding: nobody can be marked fairly there."""
        yield from self._unsettled
        for line in self.again.sheet.lines:
            by = line.lookup.chosen_by if line.lookup is not None else ()
            if not all(map(self._settled, line.compared)) or any(self._turns(line.key, value) for value in by):
                yield line.key
        asked = set(self.again.question.asked)
        yield from (each.key for each in self.again.sheet.checks if each.key in asked and not self._settled(each.holds))

    def around(self, key: str, number: float) -> Span:
        """The span of another number at the same line, such as a slip's: as wide for its size as the line's own."""
        low, high = self.spans[key]
        value = self.again.numbers[key]
        point = self.exact(key) or value == 0
        ends = (number,) if point else (number * low / value, number * high / value, number)
        return self._rounded(key, min(ends), max(ends), number, decimals_needed(number))

    def within(self, key: str, number: float, span: Span) -> bool:
        """Whether a number at a line is in a span, or prints as one that is."""
        unit = self.again.shown[key]["unit"]
        half = 0 if self.exact(key) else 0.5 * 10.0 ** -DECIMALS.get(unit, MOST_DECIMALS)
        close = ALIKE * max(1, abs(number))
        return span[0] - half - close <= number <= span[1] + half * (not self.rounds_down(key)) + close

    def _line(self, key: str) -> Line | None:
        return next((line for line in self.again.sheet.lines if line.key == key), None)

    def _span(self, line: Line, value: Value) -> Span:
        number = value.number
        low = high = number
        if line.made is not None and line.kind == "worked":
            try:
                ends = self._of(line.made)
                low, high = (min(end / value.unit.scale for end in ends), max(end / value.unit.scale for end in ends))
            except Torn:
                self._unsettled.add(line.key)
        if not self.exact(line.key) and line.kind != "replaced":
            low, high = self._rounded(line.key, low, high, number)
        beside = (number, self.own.get(line.key, number))
        return min(low, *beside), max(high, *beside)

    def _rounded(self, key: str, low: float, high: float, number: float, decimals: int | None = None) -> Span:
        """The span with its ends rounded outward, to as few digits as people keep; never finer than it is printed, or
        than ``decimals``.
        """
        result, unit = self.again.shown[key]["result"], self.again.shown[key]["unit"]
        printed = len(result.split(" ")[0].partition(".")[2]) if decimals is None else decimals
        point = isclose(low, high, rel_tol=1e-9, abs_tol=1e-9)
        if point and decimals_needed(number) <= min(printed, EVEN):
            return low, high
        size = max(abs(low), abs(high))
        three = THREE - 1 - floor(log10(size)) if size else 0
        kept = 0 if self.rounds_down(key) else max(0, min(printed, max(three, DECIMALS.get(unit, 0))))
        step = 10.0**-kept
        down, up = floor(low / step + 1e-9) * step, ceil(high / step - 1e-9) * step
        if self.rounds_down(key):
            up = high if decimals is not None else max(high, printed_number(result))
        return down, up

    def _of(self, value: Value) -> Span:
        """What an expression may come to, in base units."""
        if value.made is None or value.made.kind == "lookup":
            return self._leaf(value)
        kind, extra = value.made.kind, value.made.extra
        spans = [self._of(arg) for arg in value.made.args]
        if kind == "if":
            return spans[2 if self._choice(spans[0], extra, spans[1]) else 3]
        if kind == "div" and spans[1][0] * spans[1][1] <= 0:
            return value.base, value.base
        rising = kind in ("add", "larger of", "smaller of")  # then the ends are enough
        corners = zip(*spans, strict=True) if rising else product(*map(set, spans))
        ends = [float(compute(kind, list(corner), extra)) for corner in corners]
        if kind == "whole" and min(ends) != max(ends):
            raise Torn
        return min(ends), max(ends)

    def _leaf(self, value: Value) -> Span:
        scale = value.unit.scale
        if value.origin == "line" and value.at in self.spans:
            low, high = self.spans[value.at]
            return low * scale, high * scale
        text = self._given.get((value.name, value.at), "")
        shown = printed_number(text) * scale if text and value.origin == "carried" else value.base
        return min(shown, value.base), max(shown, value.base)

    def _choice(self, left: Span, sign: str, right: Span) -> bool:
        held = {COMPARE[sign](round(a, EXACT_DECIMALS), round(b, EXACT_DECIMALS)) for a, b in product(left, right)}
        if len(held) > 1:
            raise Torn
        return held.pop()

    def _settled(self, pair: Comparison) -> bool:
        try:
            self._choice(self._of(pair.left), pair.sign, self._of(pair.right))
        except Torn:
            return False
        return True

    def _turns(self, key: str, by: Value) -> bool:
        """Whether another row would be chosen at an end of the span of what chooses it."""
        span = self.spans.get(by.at) if by.origin == "line" else None
        if span is None or span[0] == span[1]:
            return False
        now = self.again.numbers.get(key, self.again.texts.get(key))
        return any(self.again.tried(key, {by.at: end}) != now for end in span)


def printed_number(result: str) -> float:
    """The number of a printed result, such as '7,452 VA'."""
    return float(result.split(" ")[0].replace(",", ""))


def near(number: float, decimals: int, value: float) -> bool:
    """Whether a number is the value rounded to the nearest of so many decimals, two digits at least, and hardly moved."""
    digits = f"{abs(number):.{max(decimals, 0)}f}".replace(".", "").lstrip("0")
    off = abs(number - value)
    return len(digits) >= 2 and off <= 0.5 * 10**-decimals + 1e-9 and off <= NEAR * abs(value)


def turned(before: Again, after: Again, keys: Iterable[str]) -> str:
    """The first line with one right answer, or check, that came out otherwise when a rounded number was put in; or ''."""
    fair = Fair(before)
    return next((key for key in keys if key in before.shown and fair.exact(key) and _answer(before, key) != _answer(after, key)), "")  # fmt: skip


def _answer(again: Again, key: str) -> float | str | None:
    return again.texts.get(key, again.numbers.get(key))
