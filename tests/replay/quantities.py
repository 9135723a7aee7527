"""Numbers and units as printed, in exact fractions and `pint` units.

Every unit name is a base unit of its own, so kW, kVA and VA, or ft, kft and in, never convert into each
other; they meet only through a printed factor such as 1,000 VA/kW. The exceptions: VA = V x A, ohm = V / A,
% = 0.01, and a name that ends in 2 or 3 is that power (ft2 = ft x ft, in3 = in x in x in).

Rounding: a number rounds to a printed one when they differ by at most half of the last printed digit. So in
an exact tie either neighbour is right, and nowhere else.
"""

import functools
import math
import re
from fractions import Fraction
from typing import Any

import pint

WORDS = "x|and|if|is|provided|required|allowed"  # of the grammar: no unit goes by them
NAME = rf"(?!(?:{WORDS})\b)(?:%|[A-Za-z°]+(?:-[A-Za-z]+)*[23]?)"
UNIT = rf"{NAME}(?: {NAME})*(?:/{NAME})*"  # 'VA', 'in3/conductor', 'ohm cmil/ft'
NUMBER = r"-?(?:\d{1,3}(?:,\d{3})+|\d+)(?:\.\d+)?(?![,.]?\d)"
QUANTITY = rf"({NUMBER})(?:(?: |(?=%))({UNIT}))?(?![A-Za-z0-9_°%])"


class Fault(ValueError):
    """Text that can't be read, or a number that isn't what it should be."""


REGISTRY = pint.UnitRegistry(None, non_int_type=Fraction)
REGISTRY.define("percent = 0.01")


@functools.cache
def unit(text: str) -> pint.Unit:
    """The unit that a printed word such as '', 'VA', 'in3/conductor' or '%' means."""
    top, *below = text.split("/")
    return math.prod(map(named_unit, top.split()), start=REGISTRY.Unit("")) / math.prod(
        map(named_unit, below), start=REGISTRY.Unit("")
    )


@functools.cache
def named_unit(name: str) -> pint.Unit:
    """One unit name: derived, a power, or a base unit that is defined the first time it is met."""
    if name == "%":
        return REGISTRY.Unit("percent")
    if name in ("VA", "ohm"):
        volt, ampere = named_unit("V"), named_unit("A")
        return volt * ampere if name == "VA" else volt / ampere
    if name[-1] in "23":
        return named_unit(name[:-1]) ** int(name[-1])
    word = re.sub(r"\W", "_", name.removesuffix("s"))  # '3 circuits' is in the unit of '1,500 VA/circuit'
    REGISTRY.define(f"{word} = [{word}]")
    return REGISTRY.Unit(word)


@functools.lru_cache(maxsize=100_000)
def number(text: str) -> Fraction:
    return Fraction(text.replace(",", ""))


@functools.lru_cache(maxsize=100_000)
def exact(value: float) -> Fraction:
    """The decimal that a JSON number was written as, not its nearest binary fraction."""
    return Fraction(repr(value))


def is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def in_unit(quantity: pint.Quantity, to: str) -> Fraction:
    try:
        return Fraction(quantity.to(unit(to)).magnitude)
    except pint.DimensionalityError as error:
        raise Fault(f"the numbers don't come out in {to or 'a plain number'}") from error


@functools.lru_cache(maxsize=100_000)
def rounds_to(value: Fraction, printed: str) -> bool:
    """Whether `value`, rounded to the decimals of `printed`, is `printed`."""
    decimals = len(printed.partition(".")[2])
    return 2 * abs(value - number(printed)) * 10**decimals <= 1


@functools.lru_cache(maxsize=100_000)
def printed_quantity(text: str) -> tuple[str, str]:
    """Number and unit of a printed result, as text."""
    match = re.fullmatch(QUANTITY, text)
    if not match:
        raise Fault(f"{text!r} is not a number with a unit")
    return match[1], match[2] or ""
