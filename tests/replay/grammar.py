"""Recursive descent over the printed numbers of a line: '(larger of 3 A and 4 A) x 120 V' and its like.

phrase      = "larger of" product "and" product | "largest of" product {"," product} "and" product  (smaller, smallest)
            | sum "if" comparison ", otherwise" sum
            | sum ", portions of" sum        the sum is then of portions: atom "x" percent {"+" atom "x" percent}
            | sum {", not less than 0" | ", rounded up" | ", rounded down" | ", rounded to" whole}
whole       = "a whole number" | "whole amperes" | "whole kilowatts" | number "decimals"
sum         = product {("+" | "-") product}
product     = factor {("x" | "/") factor}
factor      = "√" atom | atom ["²"]
atom        = quantity | "(" phrase ")"
comparison  = sum ("is at least" | "is at most" | "is more than" | "is less than") sum
comparisons = comparison {";" comparison}
required    = "met" | "not met" | side "provided," sum "required" | side ", at most" sum "allowed" | side ", none allowed"
side        = "none" | sum | size "(" sum ")"        the size is what the sum is of: '8 AWG (16,510 cmil)'
"""

import functools
import math
import operator
import re
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pint

from tests.replay.quantities import QUANTITY, REGISTRY, Fault, number, unit

COMPARE = {
    "is at least": operator.ge,
    "is at most": operator.le,
    "is more than": operator.gt,
    "is less than": operator.lt,
}
SIGNS = {">=": operator.ge, "<=": operator.le}  # of a check, for machines


class Reader:
    """Recursive descent over one text; each method reads one rule of the grammar and returns its value."""

    def __init__(self, text: str) -> None:
        self.text, self.at = text, 0
        self.bare = False  # whether the last piece is a bracket or a plain number, which alone can be squared
        self.printed: list[tuple[str, str]] = []  # every quantity met: number and unit as printed

    def take(self, pattern: str) -> re.Match[str] | None:
        match = re.compile(rf"\s*(?:{pattern})").match(self.text, self.at)
        if match:
            self.at = match.end()
        return match

    def need(self, pattern: str, what: str) -> re.Match[str]:
        match = self.take(pattern)
        if not match:
            raise Fault(f"expected {what} at {self.text[self.at :]!r} of {self.text!r}")
        return match

    def end(self) -> None:
        self.need(r"$", "the end")

    def phrase(self) -> pint.Quantity:
        """What is said in words, or a sum."""
        if pick := self.take(r"(largest|larger|smallest|smaller) of\b"):
            return self.chosen(pick[1])
        start = self.at
        value = self.sum()
        if self.take(r"if\b"):
            holds = self.comparison()
            self.need(r",\s*otherwise\b", "', otherwise'")
            other = self.sum()
            same_kind(value, other)
            return value if holds else other
        if self.take(r",\s*portions of\b"):
            end, self.at = self.at, start
            portions = self.portions()
            self.need(r",\s*portions of\b", "portions alone")
            assert self.at == end
            same_kind(portions, whole := self.sum())
            if portions != whole:
                raise Fault(f"the portions don't add up to the amount in {self.text!r}")
            return value
        while tail := self.take(
            r",\s*(not less than 0|rounded (?:up|down|to (?:a whole number|whole [a-z]+|\d+ decimals)))(?!\w)"
        ):
            value = at_end(value, tail[1])
        return value

    def chosen(self, word: str) -> pint.Quantity:
        """'larger of a and b', 'largest of a, b and c'."""
        values = [self.product()]
        while self.take(r","):
            values.append(self.product())
        self.need(r"and\b", "'and'")
        values.append(self.product())
        if (len(values) == 2) is not (word in ("larger", "smaller")):
            raise Fault(f"{word!r} can't be of {len(values)} values")
        return largest(*values) if word in ("larger", "largest") else smallest(*values)

    def sum(self) -> pint.Quantity:
        value = self.product()
        while sign := self.take(r"[+-]"):
            value = value + self.product() if sign[0].strip() == "+" else value - self.product()
        return value

    def product(self) -> pint.Quantity:
        value = self.factor()
        while sign := self.take(r"x\b|/"):
            value = value * self.factor() if sign[0].strip() == "x" else value / self.factor()
        return value

    def factor(self) -> pint.Quantity:
        if self.take("√"):
            return root(self.atom())
        value = self.atom()
        if self.bare and self.take("²"):  # '3 ft²' could be the square of 3 ft, or an area
            return value * value
        return value

    def atom(self) -> pint.Quantity:
        if match := self.take(QUANTITY):
            digits, word = match[1], match[2] or ""
            self.bare = not word
            self.printed.append((digits, word))
            return REGISTRY.Quantity(number(digits), unit(word))
        self.need(r"\(", "a quantity, a bracket or a root")
        value = self.phrase()
        self.need(r"\)", "')'")
        self.bare = True
        return value

    def portions(self) -> pint.Quantity:
        """The first factors of 'a x p % + b x q %' together."""
        together = self.portion()
        while self.take(r"\+"):
            together = together + self.portion()
        return together

    def portion(self) -> pint.Quantity:
        amount = self.atom()
        self.need(r"x\b", "'x'")
        same_kind(self.atom(), REGISTRY.Quantity(Fraction(1), unit("%")))
        return amount

    def comparison(self) -> bool:
        left = self.sum()
        sign = self.need(rf"({'|'.join(COMPARE)})\b", "a comparison in words")[1]
        right = self.sum()
        same_kind(left, right)
        return COMPARE[sign](left, right)

    def comparisons(self) -> bool:
        holds = self.comparison()
        while self.take(";"):
            holds = self.comparison() and holds
        return holds

    def side(self) -> pint.Quantity:
        """A sum; in brackets the size that it is of may stand before it, '8 AWG (16,510 cmil)'."""
        self.take(r"\d+(?:/0)? (?:AWG|kcmil)(?= \()")
        return self.sum()

    def required(self) -> bool:
        """The words of a check: '55 A provided, 60 A required', '31 in, at most 24 in allowed', 'met'."""
        if answer := self.take(r"(not )?met\b"):
            return answer[1] is None
        left = None if self.take(r"none\b") else self.side()
        if self.take(r"provided,"):
            right, compare = self.side(), COMPARE["is at least"]
            self.need(r"required\b", "'required'")
        else:
            self.need(",", "'provided,' or ','")
            compare = COMPARE["is at most"]
            nothing = self.take(r"none\b")
            right = None if nothing else (self.need(r"at most\b", "'none' or 'at most'"), self.sum())[1]
            self.need(r"allowed\b", "'allowed'")
        left = left if left is not None else right if right is None else 0 * right
        if left is None:
            return True
        right = 0 * left if right is None else right
        same_kind(left, right)
        return compare(left, right)


def same_kind(*values: pint.Quantity) -> None:
    if any(value.dimensionality != values[0].dimensionality for value in values):
        raise Fault("quantities of different kinds are compared")


def largest(*values: pint.Quantity) -> pint.Quantity:
    same_kind(*values)
    return max(values)


def smallest(*values: pint.Quantity) -> pint.Quantity:
    same_kind(*values)
    return min(values)


WHOLE = {"amperes": "A", "kilowatts": "kW"}


def at_end(value: pint.Quantity, words: str) -> pint.Quantity:
    """What the words after a comma do with a value."""
    if words == "not less than 0":
        return largest(value, 0 * value)
    how = words.removeprefix("rounded ").split()
    if how[0] in ("up", "down"):
        return rounded(value, math.ceil if how[0] == "up" else math.floor)
    if how[1] == "whole":
        same_kind(value, REGISTRY.Quantity(Fraction(1), unit(WHOLE.get(how[2], how[2]))))
    return rounded(value, half_up, int(how[1]) if how[2] == "decimals" else 0)


def rounded(value: pint.Quantity, rounding: Callable[[Fraction], int], places: int = 0) -> pint.Quantity:
    """Rounded in its own unit: percent when it is one, else with the per cents multiplied out."""
    own = value if value.units == unit("%") else value.to_root_units()
    return REGISTRY.Quantity(Fraction(rounding(own.magnitude * 10**places), 10**places), own.units)


def half_up(size: Fraction) -> int:
    """The nearest whole number; a half goes up."""
    return math.floor(size + Fraction(1, 2))


def root(value: pint.Quantity) -> pint.Quantity:
    """Square root, exact where the answer has 40 decimals or fewer."""
    value = value.to_root_units()
    scale, size = 10**40, Fraction(value.magnitude)
    if size < 0:
        raise Fault("root of a negative number")
    digits = math.isqrt(size.numerator * size.denominator * scale**2)
    return REGISTRY.Quantity(Fraction(digits, size.denominator * scale), value.units ** Fraction(1, 2))


@functools.lru_cache(maxsize=20_000)
def read(text: str, rule: str) -> tuple[Any, tuple[tuple[str, str], ...]]:
    """The value of `text` by a rule of the grammar ('phrase', 'comparisons' or 'required'), and the quantities in it."""
    reader = Reader(text)
    try:
        value = getattr(reader, rule)()
    except pint.DimensionalityError as error:
        raise Fault(f"unlike units meet in {text!r}") from error
    except ZeroDivisionError as error:
        raise Fault(f"division by zero in {text!r}") from error
    reader.end()
    return value, tuple(reader.printed)


def compared(left: pint.Quantity, right: pint.Quantity, sign: str) -> bool:
    """Whether two sides compare so: '>=' or '<='."""
    same_kind(left, right)
    if sign not in SIGNS:
        raise Fault(f"no sign {sign!r}")
    return SIGNS[sign](left, right)
