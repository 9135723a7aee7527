"""Traced values: numbers that know their name, unit, origin and, within one line, how they were made.

Ordinary arithmetic on values builds the expression that a sheet prints. A value can't decide a Python ``if``:
choices on numbers are tables, ``larger``, ``tiers`` or ``when``, so that every choice is printed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property, partial
from math import ceil, floor, sqrt
from typing import Any, Literal

from calc.work import units
from calc.work.status import NOT_SHOWN, NOT_WORKED, Status
from calc.work.units import Unit

EXACT_DECIMALS = 9  # 0.83 x 20 is not 16.6 in binary; nine decimals are far below any trade quantity

Origin = Literal["given", "rule", "line", "carried", "constant", "made"]


class WorkError(Exception):
    """A family worked a sheet in a way that can't be shown: a fault of the program, not of the job."""


class Refused(Exception):
    """A result that can't be supported. Carries the reason in plain words and the sections behind it."""

    status: Status = NOT_WORKED

    def __init__(self, reason: str, *cites: Citation) -> None:
        super().__init__(reason)
        self.reason, self.cites = reason, cites

    def __eq__(self, other: object) -> bool:
        return type(self) is type(other) and vars(self) == vars(other)

    def __hash__(self) -> int:
        return hash(self.reason)

    def under(self, before: str) -> Refused:
        """The same refusal where another result rests on it, with what it is to that result in front."""
        return Refused(before + self.reason, *self.cites)


class Missing(Refused):
    """A result for which an entry is missing: it can be worked once the entry is made. ``at`` is its place in the job."""

    status = NOT_SHOWN

    def __init__(self, reason: str, *cites: Citation, at: str) -> None:
        super().__init__(reason, *cites)
        self.at = at

    def __reduce__(self) -> tuple[object, ...]:
        return partial(type(self), at=self.at), (self.reason, *self.cites)  # copied and sent to other processes whole

    def under(self, before: str) -> Missing:
        """The same missing entry, for a result that rests on it."""
        return Missing(before + self.reason, *self.cites, at=self.at)


@dataclass(frozen=True)
class Citation:
    """Where a value or a procedure comes from: a rule of the codebook, as it stands in the edition used.

    ``mark`` is 'from memory', 'unconfirmed', 'amended' or '' and ``note`` is what a reader must be told then.
    """

    rule: str
    name: str
    section: str
    words: str
    confidence: str
    set_by: str
    mark: str = ""
    note: str = ""

    def __hash__(self) -> int:
        return hash(self.rule)


@dataclass(frozen=True)
class Lookup:
    """A cell of a table: which table file, which row, which column."""

    table: str
    file: str
    row: tuple[tuple[str, Any], ...]
    column: str
    text: str  # 'Table 220.55, column B, appliances 3'
    chosen_by: tuple[Value, ...] = ()  # the values that chose the row


@dataclass(frozen=True)
class Bands:
    """Steps of a demand factor: (upper limit or None, percent), with the unit of the limits."""

    steps: tuple[tuple[float | None, float], ...]
    unit: Unit
    cite: Citation


@dataclass(frozen=True)
class Op:
    """How a value was made, within one line."""

    kind: str
    args: tuple[Value, ...] = ()
    extra: Any = None


@dataclass(frozen=True)
class Value:
    """A number with its unit, name and origin. ``at`` is its place in the job file, or the line it is."""

    number: float
    unit: Unit
    name: str = ""
    origin: Origin = "made"
    at: str = ""
    made: Op | None = None
    cites: tuple[Citation, ...] = ()
    rests_on: frozenset[Citation] = field(default_factory=frozenset)  # marked citations, through all lines

    @property
    def base(self) -> float:
        """The number with its scale taken in: 75 % is 0.75."""
        return self.number * self.unit.scale

    def __bool__(self) -> bool:
        raise WorkError(f"'{self.name}' can't decide an 'if': print the choice with a table, larger or when")

    def __add__(self, other: Value) -> Value:
        return _sum("add", self, other)

    def __sub__(self, other: Value) -> Value:
        return _sum("sub", self, other)

    def __mul__(self, other: Value) -> Value:
        return make("mul", (self, other), units.times(self.unit, other.unit))

    def __truediv__(self, other: Value) -> Value:
        if other.number == 0:
            raise WorkError(f"'{self.name}' divided by '{other.name}', which is nothing")
        return make("div", (self, other), units.times(self.unit, other.unit, -1))

    def __ge__(self, other: Value) -> Comparison:
        return Comparison(self, ">=", other)

    def __le__(self, other: Value) -> Comparison:
        return Comparison(self, "<=", other)

    def __gt__(self, other: Value) -> Comparison:
        return Comparison(self, ">", other)

    def __lt__(self, other: Value) -> Comparison:
        return Comparison(self, "<", other)


Sign = Literal[">=", "<=", ">", "<"]
COMPARE: dict[str, Callable[[Any, Any], bool]] = {
    ">=": lambda a, b: a >= b,
    "<=": lambda a, b: a <= b,
    ">": lambda a, b: a > b,
    "<": lambda a, b: a < b,
}


@dataclass(frozen=True)
class Comparison:
    """Two values compared: what a check or a printed choice rests on."""

    left: Value
    sign: Sign
    right: Value

    def __post_init__(self) -> None:
        _same(self.left, self.right)

    @cached_property
    def holds(self) -> bool:
        """Whether it is so, at nine decimals."""
        return COMPARE[self.sign](round(self.left.base, EXACT_DECIMALS), round(self.right.base, EXACT_DECIMALS))

    def __bool__(self) -> bool:
        raise WorkError(f"comparing '{self.left.name}' can't decide an 'if': use when, which or check")


@dataclass(frozen=True)
class Text:
    """A looked-up word: a conductor size, a trade size. No arithmetic is done on it."""

    text: str
    lookup: Lookup
    cites: tuple[Citation, ...] = ()


def given(name: str, number: float, unit_text: str, at: str) -> Value:
    """A value that the job states; ``at`` is its place in the job file."""
    return Value(float(number), units.unit(unit_text), name, "given", at)


def constant(name: str, number: float, unit_text: str) -> Value:
    """A conversion that is no rule of any code, such as 1,000 VA per kW."""
    return Value(float(number), units.unit(unit_text), name, "constant")


VA_PER_KW = constant("VA per kW", 1000, "VA/kW")
IN_PER_FT = constant("inches per foot", 12, "in/ft")


def carried(value: Value, sheet_title: str, number: int) -> Value:
    """A line of another sheet, used here as a given: 'Dwelling load line 14'."""
    return Value(
        value.number, value.unit, value.name, "carried", f"{sheet_title}, line {number}", rests_on=value.rests_on
    )


def total(values: Iterable[Value], unit_text: str = "VA") -> Value:
    """The sum of the values; one value is itself; none is a printed nothing."""
    found = list(values)
    if not found:
        return Value(0.0, units.unit(unit_text), "none", "constant")
    while len(found) > 1:  # by pairs: it prints alike, and thousands are hardly deeper than a dozen
        pairs = zip(found[::2], found[1::2], strict=False)
        found = [*(a + b for a, b in pairs), *found[len(found) // 2 * 2 :]]
    return found[0]


def larger(*values: Value) -> Value:
    """The largest of the values, printed as a choice."""
    return _pick("larger of", values)


def smaller(*values: Value) -> Value:
    """The smallest of the values, printed as a choice."""
    return _pick("smaller of", values)


def excess(amount: Value, limit: Value) -> Value:
    """What ``amount`` has above ``limit``, else nothing."""
    _same(amount, limit)
    return make("excess", (amount, limit), amount.unit)


def whole(amount: Value, way: Literal["up", "down", "half up"], places: int = 0) -> Value:
    """``amount`` as a whole number of its own unit, or with so many decimals; a percent is no amount to round."""
    if amount.unit.scale != 1:
        raise WorkError(f"'{amount.name}' is a percent: it is printed, not rounded")
    if places and way != "half up":
        raise WorkError(f"'{amount.name}' is rounded up or down to whole numbers only")
    return make("whole", (amount,), amount.unit, (way, places))


def root(amount: Value) -> Value:
    """Square root of a plain number or of a unit whose powers are even: of ft2 it is in ft."""
    if any(power % 2 for _, power in amount.unit.dims):
        raise WorkError(f"root of '{amount.name}', which is in {amount.unit}")
    halved = tuple((base, power // 2) for base, power in amount.unit.dims)
    return make("root", (amount,), units.of_dims(halved) if halved else amount.unit)


def tiers(amount: Value, bands: Bands) -> Value:
    """Each portion of ``amount`` at its own percent."""
    if amount.unit.dims != bands.unit.dims:
        raise WorkError(f"'{amount.name}' is not in the unit of {bands.cite.rule}")
    return make("steps", (amount,), amount.unit, bands, cites=(bands.cite,))


def when(condition: Comparison, a: Value, b: Value) -> Value:
    """``a`` where the condition holds, else ``b``. Rare: thresholds belong in tables."""
    _same(a, b)
    return make("if", (condition.left, condition.right, a, b), a.unit, condition.sign)


def portions(amount: Any, bands: Bands) -> list[tuple[Any, float]]:
    """The amount cut at the band limits: (portion, percent), first to last; the first portion always."""
    result: list[tuple[Any, float]] = []
    low: Any = 0
    for limit, percent in bands.steps:
        top = amount if limit is None else min(amount, type(amount)(limit))
        if top > low or not result:
            result.append((top - low, percent))
        low = top
    return result


def compute(kind: str, numbers: Sequence[Any], extra: Any) -> Any:
    """One operation on base numbers, floats or exact fractions alike."""
    if kind == "add":
        return numbers[0] + numbers[1]
    if kind == "sub":
        return numbers[0] - numbers[1]
    if kind == "mul":
        return numbers[0] * numbers[1]
    if kind == "div":
        return numbers[0] / numbers[1]
    if kind == "larger of":
        return max(numbers)
    if kind == "smaller of":
        return min(numbers)
    if kind == "excess":
        return numbers[0] - min(numbers[0], numbers[1])
    if kind == "whole":
        way, scale = extra[0], 10 ** extra[1]
        # a float a hair off a whole number is that whole number: 7,440 / 2,400 must not come out a circuit short
        near = numbers[0] * scale if isinstance(numbers[0], Fraction) else round(numbers[0] * scale, EXACT_DECIMALS)
        found = {"up": ceil(near), "down": floor(near), "half up": floor(near + Fraction(1, 2))}[way]
        return type(numbers[0])(found) / scale
    if kind == "root":
        return type(numbers[0])(sqrt(numbers[0]))
    if kind == "steps":
        return sum(part * type(part)(str(percent)) / 100 for part, percent in portions(numbers[0], extra))
    if kind == "if":
        return numbers[2] if COMPARE[extra](numbers[0], numbers[1]) else numbers[3]
    raise WorkError(f"no operation '{kind}'")


def make(kind: str, args: tuple[Value, ...], unit: Unit, extra: Any = None, cites: tuple[Citation, ...] = ()) -> Value:
    """The value that an operation on ``args`` gives, remembering how."""
    for arg in args:
        if arg.made is not None and arg.made.kind == "lookup":
            raise WorkError(f"'{arg.name}' is looked up: give it a line of its own before using it")
    base = compute(kind, [arg.base for arg in args], extra)
    seen = dict.fromkeys([*cites, *(cite for arg in args for cite in arg.cites)])
    rests: frozenset[Citation] = frozenset().union(*(arg.rests_on for arg in args))
    return Value(base / unit.scale, unit, made=Op(kind, args, extra), cites=tuple(seen), rests_on=rests)


def _sum(kind: str, a: Value, b: Value) -> Value:
    _same(a, b)
    return make(kind, (a, b), a.unit)


def _pick(kind: str, values: tuple[Value, ...]) -> Value:
    if len(values) == 1:
        return values[0]
    for value in values[1:]:
        _same(values[0], value)
    return make(kind, values, values[0].unit)


def _same(a: Value, b: Value) -> None:
    if a.unit.dims != b.unit.dims:
        raise WorkError(f"'{a.name}' in {a.unit or 'no unit'} meets '{b.name}' in {b.unit or 'no unit'}")
