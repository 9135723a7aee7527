"""The standard method again, in plain arithmetic on exact fractions.

Written from the rules before the family was read; where the two then differed, the rule decided which was mended. It
takes a job as TOML gives it, works one dwelling (the house, or one unit of a group) and returns the numbers that the
sheet of that dwelling must show.
It imports nothing of ours and reads no data file: its table values are typed here a second time.
"""

from __future__ import annotations

from collections.abc import Callable
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
    "disposer", "compactor", "hood",
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
        blower = self.gas and self.kind not in COOKING  # what burns fuel draws power for its blower
        return self.each if self.kind in MOTORS or "motor_hp" in self.said or blower else Fraction(0)


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
    """The sides of the year on which a load runs: by its kind, or with the equipment that it serves.

    A gas furnace is both: it heats, and its blower may move the air of the cooling.
    """
    own = ({"heat"} if item.kind in HEATS else set()) | ({"cool"} if item.kind in COOLS else set())
    if own and not item.gas:
        return own
    if blower_cools(item):
        own.add("cool")
    partners = [items[name] for name in item.said.get("runs_with", ()) if name in items]
    for partner in partners:
        own |= ({"heat"} if partner.kind in HEATS else set()) | ({"cool"} if partner.kind in COOLS else set())
    return own


def blower_cools(item: Item) -> bool:
    """Whether a gas furnace's blower is taken to move the cooling's air: as said, or where nothing is said at all."""
    if item.kind != "furnace" or not item.gas:
        return False
    return bool(item.said.get("moves_cooling_air", not item.said.get("runs_with")))


def running(side: list[Item], items: dict[str, Item], value: Callable[[Item], Number]) -> tuple[Number, list[Item]]:
    """The largest load of a season. A gas burner that is held out leaves the blower that cools too in both seasons."""
    if not any(item.kind in COOLS for item in items.values()):
        return running_together(side, value)
    blowers = [item for item in side if item.gas and "cool" in seasons(item, items)]
    va, chosen = running_together([item for item in side if item not in blowers], value)
    return va + sum((value(item) for item in blowers), Fraction(0)), [*chosen, *blowers]


def running_together(side: list[Item], value: Callable[[Item], Number]) -> tuple[Number, list[Item]]:
    """The largest load of those on a side that can run at one time, by trying each with and without."""
    if not side:
        return Fraction(0), []
    head, rest = side[0], side[1:]
    apart = [other for other in rest if _held_apart(head, other)]
    va, chosen = running_together([other for other in rest if other not in apart], value)
    with_head = (va + value(head), [head, *chosen])
    if not apart:
        return with_head
    without = running_together(rest, value)
    return with_head if with_head[0] >= without[0] else without


def _held_apart(one: Item, other: Item) -> bool:
    a, b = one.said, other.said
    return b["name"] in a.get("locked_out_by", ()) or a["name"] in b.get("locked_out_by", ())


# ---- the whole dwelling


@dataclass
class Part:
    """Demand of one kind of load, by how it is connected."""

    va: Number
    wires: str


def loads_of(job: dict[str, Any], group: str | None) -> dict[str, Item]:
    """Loads that stay or come, of the house or of one unit of the group."""
    found = {}
    for said in job.get("loads", ()):
        in_unit = said.get("serves", "unit") == "unit" and said.get("unit_group") in (None, group)
        if said.get("status", "new") != "removed" and (group is None or in_unit):
            found[said["name"]] = Item(said)
    return found


def standard(job: dict[str, Any], edition: str, group: str | None = None) -> dict[str, float]:
    """Results of the standard method for the house, or for one unit of a group. Declined when there are none."""
    house = next((u for u in job["dwelling"].get("units", ()) if u["name"] == group), job["dwelling"])
    wye = job.get("service", {}).get("system", "120/240") == "208Y/120"
    items = loads_of(job, group)
    climate = [item for item in items.values() if seasons(item, items)]
    rest = [item for item in items.values() if item not in climate]
    ovens = [item for item in rest if item.kind in COOKING and not item.gas]
    tumblers = [item for item in rest if item.kind == "dryer" and not item.gas]
    appliances = [item for item in rest if _is_appliance(item)]
    others = [item for item in rest if item not in ovens + tumblers + appliances]

    area = _number(house["floor_area_ft2"])
    circuits = house.get("small_appliance_circuits", 2) + laundry_circuits(house)
    general = lighting(area * (2 if edition == "2026" else 3) + 1500 * circuits)
    parts = [Part(general, "LN")]

    # appliances fastened in place: those large enough share a factor, small ones count in full
    counting = [item for item in appliances if _is_large(item, edition)]
    factor = Fraction(75 if sum(item.count for item in counting) >= 4 else 100, 100)
    parts += [Part(item.va * (factor if item in counting else 1), item.wires) for item in appliances]

    # dryers, cooking: what the tables give for them, and small cooking appliances at nameplate
    by_table = [item for item in ovens if item.each > 1750]
    dryer_va = dryers([item.each for item in tumblers for _ in range(item.count)], edition)
    table_va = cooking([item.each / 1000 for item in by_table for _ in range(item.count)]) * 1000
    small = [item for item in ovens if item not in by_table]
    parts += [Part(dryer_va, "table"), Part(table_va, "table"), *(Part(item.va, item.wires) for item in small)]

    # vehicle supply and everything else, in full
    parts += [Part(_vehicle(item, edition) if item.kind == "ev-supply" else item.va, item.wires) for item in others]

    # heating against cooling, and a quarter of the largest motor
    sides = {s: [item for item in climate if s in seasons(item, items)] for s in ("heat", "cool")}
    heat_va, heating = running(sides["heat"], items, lambda item: item.va)
    cool_va, cooling = running(sides["cool"], items, lambda item: item.va)
    cooling_alone = [item for item in cooling if item not in heating and item.kind in MOTORS]
    raised = max(cooling_alone, key=lambda item: item.motor, default=None) if edition != "2017" and heating else None
    compared = cool_va + (raised.motor / 4 if raised else 0)
    season = cooling if compared > heat_va else heating
    parts += [Part(item.va, item.wires) for item in season]
    left_out = job["code"].get("readings", {}).get("motor_at_75_pct") == "not-counted" and factor != 1
    starting = [item for item in appliances if not (left_out and item in counting)]
    motors = [item for item in (*season, *starting, *others) if item.motor > 0 and item.kind != "ev-supply"]
    largest = max(motors, key=lambda item: (item.motor, item.wires != "LN"), default=None)
    if largest:
        parts.append(Part(largest.motor / 4, largest.wires))
    if raised and season is cooling and cool_va <= heat_va and largest and largest.motor > raised.motor:
        parts.append(Part(raised.motor / 4, raised.wires))  # cooling came in at 125 %, beside a larger motor's quarter

    total = sum((part.va for part in parts), Fraction(0))
    one_leg = sum((part.va for part in parts if part.wires == "LN"), Fraction(0))

    # the neutral sees whatever loads it most at one time, counted or not, and its own largest motor
    neutral = sum((part.va for part in parts if part.wires in ("LN", "LLN")), Fraction(0))
    neutral_one_leg = one_leg

    def to_neutral(item: Item) -> Number:
        return item.va if item.wires == "LN" else Fraction(0)

    most = max(running(side, items, to_neutral)[0] for side in sides.values())
    extra = max(most - sum(map(to_neutral, season), Fraction(0)), Fraction(0))
    if largest and largest.wires != "LN":
        extra += max((item.motor for item in motors if item.wires == "LN"), default=Fraction(0)) / 4
    neutral += extra
    neutral_one_leg += extra
    if wye:
        amperes = one_leg / 240 + (total - one_leg) / 208
        neutral += dryer_va + table_va
        neutral_a = neutral_one_leg / 240 + (neutral - neutral_one_leg) / 208
    else:
        amperes = total / 240
        neutral += (dryer_va + table_va) * 70 / 100
        neutral_a = min(neutral / 240, 200) + max(neutral / 240 - 200, Fraction(0)) * 70 / 100

    whole = floor(amperes + Fraction(1, 2))
    least = max(whole, 100) if job["dwelling"]["kind"] == "one-family" else whole
    if least > RATINGS[-1]:
        raise Declined("past the largest standard rating")
    found = {
        "general_demand_va": general,
        "dryer_demand_va": dryer_va,
        "cooking_demand_va": table_va,
        "climate_va": sum((item.va for item in season), Fraction(0)),
        "standard_va": total,
        "standard_a": amperes,
        "standard_whole_a": whole,
        "standard_standard_rating_a": next(rating for rating in RATINGS if rating >= least),
        "standard_service_a": next((rating for rating in SOLD if rating >= least and group is None), 0),
        "neutral_va": neutral,
        "neutral_a": neutral_a,
        "general_circuits_15a": ceil(area * 3 / 120 / 15),
        "general_circuits_20a": ceil(area * 3 / 120 / 20),
    }
    return {key: float(value) for key, value in found.items()}


def laundry_circuits(house: dict[str, Any]) -> int:
    """As many as there are; a one-family house has one at least, a unit of a building may share a laundry."""
    said = int(house.get("laundry_circuits", 1))
    return max(said, 1) if house.get("kind") == "one-family" else said


def _is_appliance(item: Item) -> bool:
    """Whether it counts among the appliances fastened in place."""
    if item.kind == "pool-pump":
        return item.said.get("counted_as") == "appliance"
    if item.kind == "other":
        return item.said.get("fastened") is True
    return item.kind in FASTENED and item.said.get("fastened") is not False


def _is_large(item: Item, edition: str) -> bool:
    """From 2020 only appliances of 500 W or more, or 1/4 hp or more, count toward the four."""
    return edition == "2017" or item.each >= 500 or _number(item.said.get("motor_hp", 0)) >= Fraction(1, 4)


def _vehicle(item: Item, edition: str) -> Number:
    """Vehicle supply: its rating, or the setting that it is locked to (from 2020); from 2023 at least 7,200 VA."""
    each = item.each
    if item.said.get("setting_locked") and edition != "2017":
        each = min(each, _number(item.said["setting_a"]) * item.volts)
    if edition in ("2023", "2026"):
        each = max(each, Fraction(7200))
    return each * item.count


RATINGS = [
    15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400, 450, 500,
    600, 700, 800, 1000, 1200, 1600, 2000, 2500, 3000, 4000, 5000, 6000,
]  # fmt: skip
SOLD = [100, 125, 150, 200, 225, 300, 400]
