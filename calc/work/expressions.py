"""Expressions as a person writes them: in names for the formula, in printed numbers for the replay, in one grammar.

    4,600 VA x 2 + (larger of 1,176 VA and 720 VA) x 25 %        252.02 A, rounded to whole amperes
    3,000 VA x 100 % + 12,720 VA x 35 %, portions of 15,720 VA   15.6 kW - 12 kW, not less than 0
    √((3 ohm)² + (4 ohm)²)                                       1 if 132 in is at least 120 in, otherwise 0

What is said in words stands alone or in brackets, so that it reads in one way only. ``tests/replay`` reads it back.
"""

from __future__ import annotations

from calc.work import printing, units
from calc.work.printing import Digits, quantity
from calc.work.values import Comparison, Value, WorkError, portions

COMPARED = {">=": "is at least", "<=": "is at most", ">": "is more than", "<": "is less than"}
MET = "condition"
"""The unit of what is met or not: 1 or 0 of it is no amount."""

_SIGNS = {"add": ("+", 1), "sub": ("-", 1), "mul": ("x", 2), "div": ("/", 2)}
_MOST = {"larger of": "largest of", "smaller of": "smallest of"}
_WHOLE = {"A": "whole amperes", "kW": "whole kilowatts"}

Part = tuple[str, int]
"""A text and how closely it holds together: 0 said in words, 1 a sum, 2 a product, 3 one piece."""


def formula(value: Value) -> str:
    """The expression in names."""
    return _Names().part(value)[0]


def numbers(value: Value, digits: Digits) -> str:
    """The expression in printed numbers, ready for replay."""
    return _Numbers(digits).part(value)[0]


def comparison(found: Comparison, digits: Digits) -> str:
    """'200 A is at least 175.9 A': of what is so."""
    left, right = _sides(found, digits)
    return f"{left} {COMPARED[found.sign]} {right}"


def required(found: Comparison, digits: Digits, called: tuple[str, str] | None = None) -> str:
    """What there is beside what is asked for, which reads right whether it suffices or not.

    '200 A provided, 175.9 A required'; '31 in, at most 24 in allowed'; of a condition 'met' or 'not met'. The left side is
    what there is. ``called``: what the sides go by, '8 AWG (16,510 cmil) provided, 6 AWG (26,240 cmil) required'.
    """
    if found.left.unit.text == MET and found.right.number == 1 and found.sign == ">=":
        return "met" if found.holds else "not met"
    left, right = _sides(found, digits)
    if called is not None:
        left, right = f"{called[0]} ({left})", f"{called[1]} ({right})"
    elif found.left.number == 0 and (not found.left.unit.text or found.left.unit.text in units.COUNTS):
        left = "none"
    if found.sign == ">=":
        return f"{left} provided, {right} required"
    if found.sign == "<=":
        if found.right.number == 0:
            return "met" if left == "none" else f"{left}, none allowed"
        return f"{left}, at most {right} allowed"
    raise WorkError(f"a check of '{found.left.name}' says at least or at most, not '{found.sign}'")


def _sides(found: Comparison, digits: Digits) -> tuple[str, str]:
    writer = _Numbers(digits)
    return writer.within(found.left, 1), writer.within(found.right, 1)


class _Writer:
    """Writes an expression; what its operands are called is for the two below to say."""

    def leaf(self, value: Value) -> str:
        raise NotImplementedError

    def squared(self, value: Value) -> str:
        """The base of a square."""
        return f"({self.part(value)[0]})"

    def listed(self, value: Value) -> str:
        """One of several between which the largest or the smallest is chosen."""
        return self.within(value, 2)

    def tiers(self, value: Value) -> Part:
        raise NotImplementedError

    def within(self, value: Value, least: int) -> str:
        """The text, in brackets where it holds together less closely than asked for."""
        text, strength = self.part(value)
        return f"({text})" if strength < least else text

    def part(self, value: Value) -> Part:
        op = value.made
        if op is None or op.kind == "lookup":
            return self.leaf(value), 3
        if op.kind == "mul" and op.args[0] is op.args[1]:
            return f"{self.squared(op.args[0])}²", 3
        if op.kind in _SIGNS:
            sign, strength = _SIGNS[op.kind]
            left = self.within(op.args[0], strength)
            right = self.within(op.args[1], strength + (1 if op.kind in ("sub", "div") else 0))
            return f"{left} {sign} {right}", strength
        return self.phrase(value)

    def phrase(self, value: Value) -> Part:
        """What takes words, or a root."""
        op = value.made
        assert op is not None
        if op.kind == "steps":
            return self.tiers(value)
        if op.kind in _MOST:
            *most, last = [self.listed(arg) for arg in op.args]
            return f"{op.kind if len(most) == 1 else _MOST[op.kind]} {', '.join(most)} and {last}", 0
        if op.kind == "root":
            inside, strength = self.part(op.args[0])
            bare = strength == 3 and not op.args[0].unit.text and op.args[0].made is None and " " not in inside
            return f"√{inside}" if bare else f"√({inside})", 3
        if op.kind == "if":
            left, right, first, second = [self.within(arg, 1) for arg in op.args]
            return f"{first} if {left} {COMPARED[op.extra]} {right}, otherwise {second}", 0
        if op.kind == "excess":
            return f"{self.within(op.args[0], 1)} - {self.within(op.args[1], 2)}, not less than 0", 0
        assert op.kind == "whole", op.kind
        inner = op.args[0]
        goes_on = inner.made is not None and inner.made.kind in (
            "excess",
            "whole",
        )  # 'a - b, not less than 0, rounded up'
        text = self.part(inner)[0] if goes_on else self.within(inner, 1)
        return f"{text}, rounded {_rounding(value, *op.extra)}", 0


class _Names(_Writer):
    def leaf(self, value: Value) -> str:
        return value.name

    def squared(self, value: Value) -> str:
        text = self.part(value)[0]
        return f"({text})" if " " in text else text

    def listed(self, value: Value) -> str:
        text = self.within(value, 2)
        return f"({text})" if value.made is None and ("," in text or " and " in text) else text

    def tiers(self, value: Value) -> Part:
        assert value.made is not None
        amount, bands = value.made.args[0], value.made.extra
        met = portions(amount.number, bands)
        shares = [printing.quantity(percent, units.unit("%")) for _, percent in met]
        name = self.within(amount, 2)
        if len(met) == 1:
            return f"{name} x {shares[0]}", 2
        sizes = [printing.quantity(part, bands.unit) for part, _ in met[:-1]]
        steps = [
            f"{'next' if at else 'first'} {size} at {share}"
            for at, (size, share) in enumerate(zip(sizes, shares, strict=False))
        ]
        return f"{name}: {', '.join(steps)}, rest at {shares[-1]}", 0


class _Numbers(_Writer):
    def __init__(self, digits: Digits) -> None:
        self.digits = digits

    def leaf(self, value: Value) -> str:
        return quantity(value.number, value.unit, printing.leaf_decimals(value, self.digits))

    def squared(self, value: Value) -> str:
        text, strength = self.part(value)
        return text if strength == 3 and not value.unit.text and value.made is None else f"({text})"

    def tiers(self, value: Value) -> Part:
        assert value.made is not None
        amount = value.made.args[0]
        met = portions(printing.printed(amount, self.digits), value.made.extra)
        shares = [quantity(percent, units.unit("%")) for _, percent in met]
        if len(met) == 1:
            return f"{self.within(amount, 2)} x {shares[0]}", 2
        parts = [
            f"{quantity(float(part), amount.unit)} x {share}" for (part, _), share in zip(met, shares, strict=True)
        ]
        return f"{' + '.join(parts)}, portions of {self.within(amount, 1)}", 0


def _rounding(value: Value, way: str, places: int) -> str:
    if way != "half up":
        return way
    return f"to {places} decimals" if places else f"to {_WHOLE.get(value.unit.text, 'a whole number')}"
