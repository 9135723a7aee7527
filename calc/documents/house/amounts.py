"""How pages of the house print amounts: one rounding rule a quantity, the unit in the column's head.

Rounding never makes a shortfall look met: what is used of a limit is rounded up, what is left of it down.
"""

from __future__ import annotations

from math import ceil, floor

from calc.work import Check
from calc.work.printing import rounded
from calc.work.values import EXACT_DECIMALS

MEASURED = ("A", "VA", "V", "in", "ft", "in2", "in3", "ft2", "cmil", "%", "ohm")
"""Units of what is measured: of a count, a share that is left says nothing."""


def load_a(amperes: float) -> str:
    """Amperes of a load, to a tenth: '252.0'."""
    return f"{rounded(amperes, 1):,}"


def rating_a(amperes: float) -> str:
    """Amperes of a rating, as it is marked: '400', '12.5'."""
    return f"{amperes:,.10g}"


def fault_a(amperes: float) -> str:
    """Available fault current in whole amperes, up."""
    return f"{_up(amperes):,}"


def whole_va(va: float) -> str:
    """Volt-amperes, whole."""
    return f"{rounded(va, 0):,}"


def volume(in3: float) -> str:
    """Cubic inches to a hundredth: '18.00'."""
    return f"{rounded(in3, 2):,}"


def feet(ft: float) -> str:
    """Feet, to a tenth where it is no whole number."""
    return f"{rounded(ft, 1):,}".removesuffix(".0")


def drop(pct: float) -> str:
    """A voltage drop in percent, to a hundredth, up: 3.001 never reads as 3.00."""
    return f"{ceil(round(pct * 100, 6)) / 100:.2f}"


def used(share: float) -> str:
    """How much of a limit is used, in whole percent, up."""
    return f"{_up(share * 100):,}"


def left(share: float) -> str:
    """How much of a limit is left when this share of it is used, in whole percent, down: '8', '-3'."""
    return f"{floor(round(100 - share * 100, 6)):,}"


def share_used(check: Check) -> float | None:
    """What part of a limit is used: the load of what carries it, the drop of what is allowed; None where it is a count."""
    holds = check.holds
    if str(holds.left.unit) not in MEASURED:
        return None
    needed, there = holds.left.number, holds.right.number
    if holds.sign in (">=", ">"):
        needed, there = there, needed
    if there <= 0:
        return 0.0 if needed <= 0 else float("inf")
    return round(needed / there, EXACT_DECIMALS)


def _up(number: float) -> int:
    return ceil(round(number, 6))
