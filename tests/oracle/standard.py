"""The standard method again, in plain arithmetic on exact fractions.

Written from the rules alone, without reading the family that it checks. It takes a job as TOML gives it, works one
dwelling (the house, or one unit of a group) and returns the numbers that the sheet of that dwelling must show.
It imports nothing of ours and reads no data file: its table values are typed here a second time.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor
from typing import Any

Number = Fraction


class Declined(Exception):
    """The rules give no answer; the sheet has to be refused."""


# ---- what a job says

COOKING = {"range", "cooktop", "wall-oven"}
FASTENED = {
    "water-heater", "tankless-water-heater", "heat-pump-water-heater", "dishwasher", "disposer", "microwave", "hood",
    "compactor", "fan", "well-pump", "sump-pump", "hydromassage-tub",
}  # fmt: skip
HEATS = {"space-heat", "supplemental-heat", "furnace", "boiler", "heat-pump", "mini-split"}
COOLS = {"air-conditioner", "heat-pump", "mini-split"}
MOTORS = {
    "air-conditioner", "heat-pump", "mini-split", "fan", "well-pump", "sump-pump", "pool-pump", "hydromassage-tub",
}  # fmt: skip


def _number(value: Any) -> Number:
    return Fraction(str(value))


@dataclass(frozen=True)
class Item:
    """A load of the job: what one is rated, how many, how it is connected."""

    said: dict[str, Any]

    @property
    def kind(self) -> str:
        return str(self.said["kind"])

    @property
    def gas(self) -> bool:
        return bool(self.said.get("fuel_burning", False))

    @property
    def volts(self) -> int:
        return int(self.said["volts"])

    @property
    def count(self) -> int:
        return int(self.said.get("count", 1))

    @property
    def each(self) -> Number:
        if "load_va" in self.said:
            return _number(self.said["load_va"])
        return _number(self.said["nameplate_a"]) * self.volts

    @property
    def va(self) -> Number:
        return self.each * self.count

    @property
    def wires(self) -> str:
        """'LN' one leg to neutral, 'LL' two legs, 'LLN' two legs and neutral."""
        usual = "LN" if self.volts == 120 else "LLN" if self.kind in COOKING or self.kind == "dryer" else "LL"
        short = {"line-to-line": "LL", "line-to-neutral": "LN", "line-to-line-and-neutral": "LLN"}
        return short.get(self.said.get("connection", ""), usual)

    @property
    def motor(self) -> Number:
        """VA of its largest motor; 0 when it has none."""
        if "motor_a" in self.said:
            return _number(self.said["motor_a"]) * self.volts
        return self.each if self.kind in MOTORS or "motor_hp" in self.said else Fraction(0)


# ---- demand of each group


def lighting(connected: Number) -> Number:
    """Lighting demand factors: 3,000 VA in full, up to 120,000 VA at 35 %, the rest at 25 %."""
    first = min(connected, 3000)
    second = min(max(connected - 3000, Fraction(0)), 117_000)
    return first + second * 35 / 100 + max(connected - 120_000, Fraction(0)) * 25 / 100


def dryers(sizes: list[Number], edition: str) -> Number:
    """Each dryer at its nameplate or 5,000 VA, then by count."""
    n = len(sizes)
    if edition == "2026" and 6 <= n <= 42:
        raise Declined("the 2026 table is not known from 6 to 42 dryers")
    if edition == "2026":
        pct = Fraction(100 if n <= 2 else 80 if n <= 5 else 25)
    elif n <= 11:
        pct = Fraction([100, 100, 100, 100, 100, 85, 75, 65, 60, 55, 50, 47][n])
    elif n <= 23:
        pct = Fraction(47 - (n - 11))
    else:
        pct = 35 - Fraction(n - 23, 2) if n <= 42 else Fraction(25)
    return sum((max(size, Fraction(5000)) for size in sizes), Fraction(0)) * pct / 100


PERCENT_A = [80, 75, 70, 66, 62, 59, 56, 53, 51, 49, 47, 45, 43, 41, 40, 39, 38, 37, 36, 35, 34, 33, 32, 31, 30]
PERCENT_B = [80, 65, 55, 50, 45, 43, 40, 36, 35, 34, *[32] * 5, *[28] * 5, *[26] * 5, *[24] * 5, *[22] * 10, *[20] * 10, *[18] * 10]  # fmt: skip
KILOWATTS_C = [8, 11, 14, 17]


def percent(column: list[int], n: int, beyond: int) -> Number:
    """Percent of column A or B for n appliances."""
    return Fraction(column[n - 1] if n <= len(column) else beyond)


def column_c(sizes: list[Number]) -> Number:
    """Column C with its increase over 12 kW (notes 1 and 2), kW."""
    n = len(sizes)
    if n == 0:
        return Fraction(0)
    table = Fraction(KILOWATTS_C[n - 1]) if n <= 4 else Fraction(15 + n) if n <= 40 else 25 + Fraction(3 * n, 4)
    average = sum((max(size, Fraction(12)) for size in sizes), Fraction(0)) / n
    return table * (100 + 5 * floor(average - 12 + Fraction(1, 2))) / 100


def cooking(sizes: list[Number]) -> Number:
    """Demand of the appliances over 1-3/4 kW, kW: all in column C, or the small ones by their own column (note 3)."""
    if any(size > 27 for size in sizes):
        raise Declined("over 27 kW")
    small = [size for size in sizes if size <= Fraction("8.75")]
    large = [size for size in sizes if size > Fraction("8.75")]
    in_a = [size for size in small if size < Fraction("3.5")]
    in_b = [size for size in small if size >= Fraction("3.5")]
    by_column = column_c(large)
    if in_a:
        by_column += sum(in_a) * percent(PERCENT_A, len(in_a), 30) / 100
    if in_b:
        by_column += sum(in_b) * percent(PERCENT_B, len(in_b), 16) / 100
    if small and any(size > 12 for size in large):
        return by_column  # notes 1 and 2 speak of appliances over 8-3/4 kW only
    return min(column_c(sizes), by_column)


# ---- heating and cooling


def seasons(item: Item, items: dict[str, Item]) -> set[str]:
    """The sides of the year on which a load runs."""
    own = ({"heat"} if item.kind in HEATS else set()) | ({"cool"} if item.kind in COOLS else set())
    follows = item.kind == "fan" or (item.gas and item.kind in HEATS)  # a blower runs with whatever it serves
    if follows:
        for name in item.said.get("runs_with", ()):
            if name in items:
                own |= seasons(items[name], items) if items[name].kind != "fan" else set()
    return own


def largest_together(side: list[Item], value: Any) -> tuple[Number, list[Item]]:
    """The largest load of those on a side that can run at one time."""
    if not side:
        return Fraction(0), []
    head, rest = side[0], side[1:]
    without = largest_together(rest, value)
    free = [other for other in rest if not _excluded(head, other)]
    va, chosen = largest_together(free, value)
    with_head = (va + value(head), [head, *chosen])
    return with_head if with_head[0] >= without[0] else without


def _excluded(one: Item, other: Item) -> bool:
    a, b = one.said, other.said
    return b["name"] in a.get("locked_out_by", ()) or a["name"] in b.get("locked_out_by", ())


# ---- the whole dwelling


@dataclass
class Load:
    """Demand that reaches the feeder, kept apart by connection."""

    va: Number
    wires: str


def standard(job: dict[str, Any], edition: str, group: str | None = None) -> dict[str, float]:
    """Results of the standard method for the house, or for one unit of a group. Declined when there are none."""
    dwelling = job["dwelling"]
    unit = next((u for u in dwelling.get("units", ()) if u["name"] == group), dwelling)
    wye = job.get("service", {}).get("system", "120/240") == "208Y/120"
    items = {}
    for said in job.get("loads", ()):
        in_group = said.get("unit_group") in (None, group) and said.get("serves", "unit") == "unit"
        if said.get("status", "new") != "removed" and (group is None or in_group):
            items[said["name"]] = Item(said)

    area = _number(unit["floor_area_ft2"])
    circuits = unit.get("small_appliance_circuits", 2) + unit.get("laundry_circuits", 1)
    general = lighting(area * (2 if edition == "2026" else 3) + 1500 * circuits)
    parts = [Load(general, "LN")]
    on_neutral = general  # VA on the neutral of a single-phase system

    climate = {name for name, item in items.items() if seasons(item, items)}
    rest = [item for name, item in items.items() if name not in climate]

    # cooking and dryers
    ovens = [item for item in rest if item.kind in COOKING and not item.gas]
    tumblers = [item for item in rest if item.kind == "dryer" and not item.gas]
    tabled = [item for item in ovens if item.each > 1750]
    for small in ovens:
        if small.each <= 1750:
            parts.append(Load(small.va, small.wires))
            on_neutral += 0 if small.wires == "LL" else small.va * (Fraction(7, 10) if small.wires == "LLN" else 1)
    cooking_va = cooking([item.each / 1000 for item in tabled for _ in range(item.count)]) * 1000
    dryer_va = dryers([item.each for item in tumblers for _ in range(item.count)], edition)
    parts += [Load(cooking_va, "LLN"), Load(dryer_va, "LLN")]
    on_neutral += (cooking_va + dryer_va) * 70 / 100

    # appliances fastened in place
    rest = [item for item in rest if item not in ovens and item not in tumblers]
    fastened = [item for item in rest if _in_group(item, edition)]
    factor = Fraction(75 if sum(item.count for item in fastened) >= 4 else 100, 100)
    parts += [Load(item.va * factor, item.wires) for item in fastened]
    fastened_va = sum((item.va for item in fastened), Fraction(0)) * factor
    on_neutral += sum((item.va * factor for item in fastened if item.wires != "LL"), Fraction(0))

    # vehicle supply and everything else, in full
    others = [item for item in rest if item not in fastened]
    for item in others:
        va = _vehicle(item, edition) if item.kind == "ev-supply" else item.va
        parts.append(Load(va, item.wires))
        on_neutral += 0 if item.wires == "LL" else va

    # heating against cooling
    heat_side = [items[n] for n in items if n in climate and "heat" in seasons(items[n], items)]
    cool_side = [items[n] for n in items if n in climate and "cool" in seasons(items[n], items)]
    heat_va, heating = largest_together(heat_side, lambda item: item.va)
    cool_va, cooling = largest_together(cool_side, lambda item: item.va)
    quarter = Fraction(0)
    if edition != "2017":
        quarter = max((item.motor for item in cooling if item not in heating), default=Fraction(0)) / 4
    running = cooling if cool_va + quarter > heat_va else heating
    parts += [Load(item.va, item.wires) for item in running]
    on_neutral += max(
        largest_together(side, lambda item: item.va if item.wires != "LL" else Fraction(0))[0]
        for side in (heat_side, cool_side)
    )

    # a quarter of the largest motor
    motors = [item for item in (*running, *others) if item.motor > 0 and item.kind != "ev-supply"]
    largest = max(motors, key=lambda item: item.motor, default=None)
    motor_va = largest.motor / 4 if largest else Fraction(0)
    if largest:
        parts.append(Load(motor_va, largest.wires))
    on_neutral += max((item.motor for item in motors if item.wires != "LL"), default=Fraction(0)) / 4

    total = sum((part.va for part in parts), Fraction(0))
    one_leg = sum((part.va for part in parts if part.wires == "LN"), Fraction(0))
    if wye:
        amperes = one_leg / 240 + (total - one_leg) / 208
        neutral_full = sum((part.va for part in parts if part.wires == "LLN"), Fraction(0))
        neutral_va, neutral_a = one_leg + neutral_full, one_leg / 240 + neutral_full / 208
    else:
        amperes = total / 240
        neutral_va = on_neutral
        before = neutral_va / 240
        neutral_a = min(before, 200) + max(before - 200, Fraction(0)) * 70 / 100

    found = {
        "general_demand_va": general,
        "cooking_demand_va": cooking_va,
        "dryer_demand_va": dryer_va,
        "fastened_va": fastened_va,
        "motor_va": motor_va,
        "standard_va": total,
        "standard_a": amperes,
        "neutral_va": neutral_va,
        "neutral_a": neutral_a,
        "general_circuits_15a": Fraction(ceil(area * 3 / 120 / 15)),
        "general_circuits_20a": Fraction(ceil(area * 3 / 120 / 20)),
        "standard_rating_a": Fraction(next_rating(amperes, dwelling["kind"] == "one-family")),
    }
    return {key: float(value) for key, value in found.items()}


def _in_group(item: Item, edition: str) -> bool:
    """Whether it counts among the appliances fastened in place."""
    if item.said.get("fastened") is False:
        return False
    member = item.kind in FASTENED
    member |= item.kind == "pool-pump" and item.said.get("counted_as") == "appliance"
    member |= item.kind == "other" and item.said.get("fastened") is True
    if edition == "2017":
        return member
    return member and (item.each >= 500 or _number(item.said.get("motor_hp", 0)) >= Fraction(1, 4))


def _vehicle(item: Item, edition: str) -> Number:
    """Vehicle supply: its rating, or the setting that it is locked to (from 2020); from 2023 at least 7,200 VA."""
    each = item.each
    if item.said.get("setting_locked") and edition != "2017":
        each = _number(item.said["setting_a"]) * item.volts
    if edition in ("2023", "2026"):
        each = max(each, Fraction(7200))
    return each * item.count


RATINGS = [
    15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400, 450, 500,
    600, 700, 800, 1000, 1200, 1600, 2000, 2500, 3000, 4000, 5000, 6000,
]  # fmt: skip


def next_rating(amperes: Number, one_family: bool) -> int:
    """The smallest standard rating that serves; a one-family service is never under 100 A."""
    whole = max(floor(amperes + Fraction(1, 2)), 100 if one_family else 0)
    return next(rating for rating in RATINGS if rating >= whole)
