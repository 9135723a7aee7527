"""A sense of size: what a result roughly comes to by a rule of thumb, so that an absurd entry is noticed.

A rule of thumb stands with the words of its line: ``low`` and ``high`` in the line's unit, ``for_each`` where they are
for each unit of another quantity, named by its place in the job or by its line, and ``basis``, in words. It is common
practice without a source: it decides nothing and is never a check.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from calc.work.forms import RangeForm
from calc.work.printing import quantity
from calc.work.units import Unit
from calc.work.values import Value

NOTE = "rule of thumb"
FIGURES = 2  # an estimate has no more


@dataclass(frozen=True)
class Expected:
    """The rough range of one line. ``low`` is 0 where only much is worth a second look."""

    low: float
    high: float
    unit: Unit
    outside: bool
    basis: str

    @property
    def text(self) -> str:
        """What stands beside the result."""
        high = quantity(self.high, self.unit)
        said = f"expect roughly {self.low:,.10g} to {high}" if self.low else f"expect roughly up to {high}"
        return f"{said}: this is outside, so look at the entries again" if self.outside else said

    @property
    def note(self) -> str:
        """Where the range is from."""
        return f"{self.basis} Common practice, no source: it decides nothing."

    def as_json(self) -> RangeForm:
        """The public form."""
        return {"low": self.low, "high": self.high, "unit": str(self.unit), "outside": self.outside, "text": self.text}


def expected(result: object, rule: Mapping[str, Any] | None, known: Iterable[Value]) -> Expected | None:
    """The range for a line's result by the rule of thumb of its entry; None without one, or without its quantity."""
    if rule is None or not isinstance(result, Value):
        return None
    times = 1.0
    if "for_each" in rule:
        times = next((value.number for value in known if value.at == rule["for_each"]), 0.0)
    if times <= 0:
        return None
    low, high = (_rough(rule.get(end, 0) * times) for end in ("low", "high"))
    return Expected(low, high, result.unit, not low <= result.number <= high, rule["basis"])


def _rough(number: float) -> float:
    """The number to two figures."""
    exact = Decimal(repr(number))
    return float(round(exact, FIGURES - 1 - exact.adjusted())) if number else 0.0
