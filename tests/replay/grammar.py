"""Recursive descent over the printed numbers of a line: 'larger of(3 A; 4 A) x 120 V' and its like."""

import functools
import math
import operator
import re
from fractions import Fraction
from typing import Any

import pint

from tests.replay.quantities import QUANTITY, REGISTRY, Fault, number, unit

COMPARE = {">=": operator.ge, "<=": operator.le, ">": operator.gt, "<": operator.lt, "=": operator.eq}


class Reader:
    """Recursive descent over one text; each method reads one rule of the grammar and returns its value."""

    def __init__(self, text: str) -> None:
        self.text, self.at = text, 0
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
        if match := self.take(QUANTITY):
            digits, word = match[1], match[2] or ""
            self.printed.append((digits, word))
            return REGISTRY.Quantity(number(digits), unit(word))
        if self.take(r"\("):
            value = self.sum()
        elif self.take(r"steps\("):
            value = self.steps()
        elif self.take(r"if\("):
            value = self.choice()
        else:
            name = self.need(rf"({'|'.join(CALLS)})\(", "a quantity, a bracket or a function")[1]
            arguments = [self.sum()]
            while self.take(";"):
                arguments.append(self.sum())
            count, function = CALLS[name]
            if len(arguments) not in count:
                raise Fault(f"{name!r} can't take {len(arguments)} values")
            value = function(*arguments)
        self.need(r"\)", "')'")
        return value

    def steps(self) -> pint.Quantity:
        """'amount: a x p % + b x q %'; the portions a, b must add up to the amount."""
        amount = self.sum()
        self.need(":", "':'")
        portions, demand = self.portion()
        while self.take(r"\+"):
            portion, part = self.portion()
            portions, demand = portions + portion, demand + part
        if portions != amount:
            raise Fault(f"the portions don't add up to the amount in {self.text!r}")
        return demand

    def portion(self) -> tuple[pint.Quantity, pint.Quantity]:
        amount = self.factor()
        self.need(r"x\b", "'x'")
        return amount, amount * self.factor()

    def choice(self) -> pint.Quantity:
        holds = self.comparison()
        self.need(";", "';'")
        first = self.sum()
        self.need(";", "';'")
        second = self.sum()
        same_kind(first, second)
        return first if holds else second

    def comparison(self) -> bool:
        left = self.sum()
        sign = self.need(r">=|<=|>|<|=", "a comparison")[0].strip()
        right = self.sum()
        same_kind(left, right)
        return COMPARE[sign](left, right)

    def comparisons(self) -> bool:
        holds = self.comparison()
        while self.take(";"):
            holds = self.comparison() and holds
        return holds


def same_kind(*values: pint.Quantity) -> None:
    if any(value.dimensionality != values[0].dimensionality for value in values):
        raise Fault("quantities of different kinds are compared")


def largest(*values: pint.Quantity) -> pint.Quantity:
    same_kind(*values)
    return max(values)


def smallest(*values: pint.Quantity) -> pint.Quantity:
    same_kind(*values)
    return min(values)


def excess(value: pint.Quantity, limit: pint.Quantity) -> pint.Quantity:
    return largest(value - limit, 0 * limit)


def whole(value: pint.Quantity, rounding: Any) -> pint.Quantity:
    """Rounded in its own unit: percent when it is one, else with the per cents multiplied out."""
    own = value if value.units == unit("%") else value.to_root_units()
    return REGISTRY.Quantity(Fraction(rounding(own.magnitude)), own.units)


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


CALLS = {  # name: how many values it takes, what it does
    "larger of": (range(1, 100), largest),
    "smaller of": (range(1, 100), smallest),
    "over": (range(2, 3), excess),
    "whole up": (range(1, 2), functools.partial(whole, rounding=math.ceil)),
    "whole down": (range(1, 2), functools.partial(whole, rounding=math.floor)),
    "whole half up": (range(1, 2), functools.partial(whole, rounding=half_up)),
    "root": (range(1, 2), root),
}


@functools.lru_cache(maxsize=20_000)
def read(text: str, rule: str) -> tuple[Any, tuple[tuple[str, str], ...]]:
    """The value of `text` by a rule of the grammar ('sum' or 'comparisons'), and the quantities in it."""
    reader = Reader(text)
    try:
        value = getattr(reader, rule)()
    except pint.DimensionalityError as error:
        raise Fault(f"unlike units meet in {text!r}") from error
    except ZeroDivisionError as error:
        raise Fault(f"division by zero in {text!r}") from error
    reader.end()
    return value, tuple(reader.printed)
