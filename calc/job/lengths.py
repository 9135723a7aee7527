"""Lengths as people tape them: 12' 6", 12 ft 6 in, 7 ft 3-1/2 in, or a plain number in the key's unit."""

import re
from fractions import Fraction
from typing import Annotated

from pydantic import BeforeValidator

from calc.job.fields import Words, refuse

_NUMBER = r"(?:[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]*\.[0-9]+|[0-9]+\.?)"
_FEET = r"(?:feet|foot|ft\.?|')"
_INCHES = r"(?:inches|inch|in\.?|\"|'')"
_TAPED = re.compile(rf"(?:(?P<ft>{_NUMBER})\s*{_FEET}\s*-?\s*)?(?:(?P<in>{_NUMBER})\s*{_INCHES})?", re.IGNORECASE)
_QUOTES = str.maketrans({"’": "'", "′": "'", "‘": "'", "”": '"', "″": '"', "“": '"', "–": "-"})

LONGEST_TEXT = 40
SIXTEENTHS = 16
"""The finest division of a tape measure that a length is printed to."""


def _number(text: str) -> Fraction:
    whole, _, part = text.replace("-", " ").rpartition(" ")
    try:
        return (Fraction(whole) if whole else Fraction(0)) + Fraction(part)
    except ZeroDivisionError:
        raise ValueError(f"{text} divides by zero") from None


def parse_inches(text: str, plain: str = "in") -> float:
    """Inches in a taped length; a bare number is in the unit `plain` ('ft' or 'in').

    Raises ValueError when the text is no length, or gives 12 or more inches beside feet.
    """
    text = text.strip().translate(_QUOTES)
    if len(text) > LONGEST_TEXT:
        raise ValueError("that is too long for a length")
    if re.fullmatch(_NUMBER, text):
        return float(_number(text) * (12 if plain == "ft" else 1))
    taped = _TAPED.fullmatch(text)
    if taped is None or not any(taped.groups()):
        raise ValueError(f"{text!r} is not a length")
    feet = _number(taped["ft"]) if taped["ft"] else Fraction(0)
    inches = _number(taped["in"]) if taped["in"] else Fraction(0)
    if taped["ft"] and inches >= 12:
        raise ValueError("beside feet, inches go from 0 to under 12")
    if taped["in"] and feet.denominator != 1:
        raise ValueError("give whole feet beside inches")
    return float(feet * 12 + inches)


def parse_feet(text: str) -> float:
    """Feet in a taped length; a bare number is feet."""
    return parse_inches(text, "ft") / 12


def format_length(inches: float) -> str:
    """A length as a tape reads it, to the nearest 1/16 in: 87.5 -> '7 ft 3-1/2 in'."""
    sixteenths = round(abs(inches) * SIXTEENTHS)
    feet, rest = divmod(sixteenths, 12 * SIXTEENTHS)
    whole, part = divmod(rest, SIXTEENTHS)
    fraction = f"{Fraction(part, SIXTEENTHS)}" if part else ""
    taped = "-".join(p for p in (str(whole) if whole or not fraction else "", fraction) if p)
    sign = "-" if inches < 0 and sixteenths else ""
    return f"{sign}{feet} ft {taped} in" if feet else f"{sign}{taped} in"


def _reader(unit: str) -> BeforeValidator:
    def read(value: object) -> object:
        if not isinstance(value, str):
            return value
        try:
            return parse_feet(value) if unit == "ft" else parse_inches(value)
        except ValueError as error:
            raise refuse(_WORDS[unit].allowed, str(error)) from None

    return BeforeValidator(read, json_schema_input_type=float | str)


_WORDS = {
    "ft": Words("length", 'feet such as 12.5, or "12\' 6\\"" or "12 ft 6 in"'),
    "in": Words("length", 'inches such as 30, or "30-1/2 in" or "2 ft 6 in"'),
}
Feet = Annotated[float, _reader("ft"), _WORDS["ft"]]
Inches = Annotated[float, _reader("in"), _WORDS["in"]]
