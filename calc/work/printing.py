"""How numbers print: quantities, and how many digits.

A page prints the fewest digits with which a line, and each line that uses it, still works out from its printed
numbers. ``settle`` finds those digits.
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING

from calc.work import units
from calc.work.units import Unit
from calc.work.values import COMPARE, EXACT_DECIMALS, Value, compute

if TYPE_CHECKING:
    from calc.work.sheet import Check, Line

Digits = dict[str, int]
remembered = lru_cache(maxsize=20_000)
"""For what is asked of the same few numbers over and over: a line's number stands in each line that uses it."""


@remembered
def rounded(number: float, decimals: int) -> Decimal:
    """The number to so many decimals, halves up, as a person rounds."""
    exact = Decimal(repr(round(number, EXACT_DECIMALS) + 0.0))  # no minus nothing
    return exact.quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_UP)


@remembered
def decimals_needed(number: float) -> int:
    """How many decimals write the number exactly (nine at most)."""
    text = f"{rounded(number, EXACT_DECIMALS):f}".rstrip("0")
    return len(text.partition(".")[2])


def quantity(number: float | Decimal, unit: Unit, decimals: int | None = None) -> str:
    """'3,240 ft2'; without ``decimals``, as many as the number has."""
    value = float(number)
    places = decimals_needed(value) if decimals is None else decimals
    text = f"{rounded(value, places):,f}"
    if unit.text in units.COUNTS and text != "1":
        return f"{text} {unit}s"
    return f"{text} {unit}" if unit.text else text


def leaf_decimals(value: Value, digits: Digits) -> int:
    """Decimals that this operand prints with: lines as settled, all else in full."""
    if value.origin in ("line", "carried"):
        return digits.get(value.at, decimals_needed(value.number))
    return decimals_needed(value.number)


def printed(value: Value, digits: Digits) -> Fraction:
    """The value worked out from its printed operands, scale taken in."""
    if value.made is None or value.made.kind == "lookup":
        return _exact(value.number, leaf_decimals(value, digits), value.unit.scale)
    op = value.made
    worked: Fraction = compute(op.kind, [printed(arg, digits) for arg in op.args], op.extra)
    return worked


@remembered
def _exact(number: float, decimals: int, scale: float) -> Fraction:
    return Fraction(rounded(number, decimals)) * Fraction(str(scale))


def leaves(value: Value) -> list[Value]:
    """The operands that the expression is made of."""
    if value.made is None or value.made.kind == "lookup":
        return [value]
    return [leaf for arg in value.made.args for leaf in leaves(arg)]


def settle(lines: list[Line], checks: list[Check]) -> Digits:
    """Decimals for each line, the fewest with which everything printed still replays."""
    digits: Digits = {}
    soft: dict[str, Value] = {}
    for line in lines:
        if isinstance(line.value, Value):
            soft[line.key] = line.value
    in_full = {line.key for line in lines if line.lookup is not None}  # a cell prints as the table has it
    compared = [pair for line in lines for pair in line.compared] + [check.holds for check in checks]
    made = [line.made for line in lines if line.made is not None]
    for expression in [*made, *(side for pair in compared for side in (pair.left, pair.right))]:
        soft.update({leaf.at: leaf for leaf in leaves(expression) if leaf.origin == "carried"})
    needed = {at: decimals_needed(value.number) for at, value in soft.items()}
    for at, value in soft.items():
        default = units.DECIMALS.get(value.unit.text, 2 if value.unit.dims else 4)
        digits[at] = needed[at] if at in in_full else min(default, needed[at])
    rounded_off = {at for at in soft if digits[at] < needed[at]}

    def short(*expressions: Value) -> set[str]:
        """The operands that print with fewer digits than they have: without one, nothing can be widened."""
        return {leaf.at for expression in expressions for leaf in leaves(expression) if leaf.at in rounded_off}

    def widen(*expressions: Value) -> bool:
        """One more digit where it brings most: at the operand whose rounding moves the expression furthest."""
        moved: dict[str, Fraction] = {}
        for expression in expressions:
            now = _as_printed(expression, digits)
            for at in short(expression):
                then = _as_printed(expression, {**digits, at: needed[at]})
                change = Fraction(0) if now is None or then is None else abs(then - now)
                moved[at] = max(moved.get(at, Fraction(0)), change)
        if not moved:
            return False
        most = max(sorted(moved), key=lambda at: moved[at])
        digits[most] += 1
        if digits[most] == needed[most]:
            rounded_off.discard(most)
        return True

    settled = not rounded_off
    while not settled:
        settled = True
        for line in lines:
            if line.made is None or not isinstance(line.value, Value) or not short(line.made, line.value):
                continue
            from_print = _as_printed(line.made, digits)
            places = digits[line.key]
            if (
                from_print is None
                or _rounded(from_print / Fraction(str(line.value.unit.scale)), places)
                != rounded(line.value.number, places)
            ) and (widen(line.made) or widen(line.value)):  # its own last digit can be a rounding of a rounding
                settled = False
        for pair in compared:
            if not short(pair.left, pair.right):
                continue
            left, right = _as_printed(pair.left, digits), _as_printed(pair.right, digits)
            unlike = left is None or right is None or COMPARE[pair.sign](left, right) != pair.holds
            if unlike and widen(pair.left, pair.right):
                settled = False
    return digits


def _as_printed(value: Value, digits: Digits) -> Fraction | None:
    """Worked out from printed operands; None where so few digits make it meaningless, as 1 / 0.00 is."""
    try:
        return printed(value, digits)
    except (ZeroDivisionError, ValueError):
        return None


def _rounded(number: Fraction, decimals: int) -> Decimal:
    exact = Decimal(number.numerator) / number.denominator
    return exact.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)
