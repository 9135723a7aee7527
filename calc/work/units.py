"""Units of traced values: exponents of base units, with counts (circuit, appliance, conductor) as units.

Every unit name is a base of its own, so that kW and VA, or feet and inches, meet only through a factor that is
printed (``1,000 VA/kW``). The exceptions are the ones electricity gives for nothing: VA is V times A, an ohm is
V per A, and a square or cubic foot or inch is a power of its length. Percent is a plain number of scale 0.01.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

_COMPOUND: dict[str, dict[str, int]] = {
    "VA": {"V": 1, "A": 1},
    "ohm": {"V": 1, "A": -1},
    "ft2": {"ft": 2},
    "in2": {"in": 2},
    "in3": {"in": 3},
}
_SCALE = {"%": 0.01}

# The last word of a line's key says its unit: ``general_demand_va`` is in VA.
KEY_UNITS: dict[str, str] = {
    "va": "VA", "kva": "kVA", "kw": "kW", "a": "A", "v": "V", "ohm": "ohm", "pct": "%",
    "ft": "ft", "ft2": "ft2", "in": "in", "in2": "in2", "in3": "in3", "kft": "kft",
    "cmil": "cmil", "kcmil": "kcmil", "c": "°C", "f": "°F", "hp": "hp", "day": "day", "min": "min",
}  # fmt: skip

# Counts print in the plural: '3 circuits', but '1,500 VA/circuit'.
COUNTS = frozenset(
    ("appliance", "bay", "cable", "check", "circuit", "condition", "conductor", "day", "device", "electrode", "gang", "leg",
     "outlet", "pole", "receptacle", "riser", "room", "set", "space", "unit", "zone")
)  # fmt: skip

# The decimals a page prints unless replaying a line needs more.
DECIMALS: dict[str, int] = {
    "VA": 0,
    "A": 1,
    "V": 2,
    "in3": 2,
    "in2": 3,
    "in": 1,
    "ft": 1,
    "%": 2,
    "kW": 1,
    "ft2": 0,
    "cmil": 0,
}


@dataclass(frozen=True)
class Unit:
    """A unit: its printed text, its dimensions and its scale (0.01 for percent, else 1)."""

    text: str
    dims: tuple[tuple[str, int], ...]
    scale: float = 1.0

    def __str__(self) -> str:
        return self.text


@cache
def unit(text: str) -> Unit:
    """The unit written as ``text``: '' for a plain number, else names joined by '/' ('VA/ft2')."""
    dims: dict[str, int] = {}
    scale = 1.0
    for place, name in enumerate(part for part in text.split("/") if part):
        sign = 1 if place == 0 else -1
        if name in _SCALE:
            scale *= _SCALE[name] ** sign
            continue
        for base, power in _COMPOUND.get(name, {name: 1}).items():
            dims[base] = dims.get(base, 0) + sign * power
    return Unit(text, _tidy(dims), scale)


@cache
def key_unit(key: str) -> Unit | None:
    """The unit that a key or a column ends in ('..._ohm_per_kft': ohm/kft), or None where its last word is not one."""
    front, per, under = key.rpartition("_per_")
    words = [front.rpartition("_")[2], under] if per else [key.rpartition("_")[2]]
    texts = [KEY_UNITS.get(word, word) for word in words]
    return unit("/".join(texts)) if per or words[0] in KEY_UNITS else None


def times(a: Unit, b: Unit, sign: int = 1) -> Unit:
    """The unit of a product (or, with ``sign`` -1, of a quotient)."""
    dims = dict(a.dims)
    for base, power in b.dims:
        dims[base] = dims.get(base, 0) + sign * power
    return of_dims(_tidy(dims))


@cache
def of_dims(dims: tuple[tuple[str, int], ...]) -> Unit:
    """A unit with a readable text for these dimensions."""
    if not dims:
        return unit("")
    for name in ("VA", "ohm", "ft2", "in2", "in3"):
        if unit(name).dims == dims:
            return unit(name)
    over = [name for name, power in dims if power > 0 for _ in range(power)]
    under = [name for name, power in dims if power < 0 for _ in range(-power)]
    return Unit("/".join([" ".join(over) or "1", *under]), dims)


def _tidy(dims: dict[str, int]) -> tuple[tuple[str, int], ...]:
    return tuple(sorted((base, power) for base, power in dims.items() if power))
