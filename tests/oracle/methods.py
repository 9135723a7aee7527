"""The optional, existing and measured methods and those of buildings again, in plain arithmetic on exact fractions.

Written from the rules alone; it shares with the standard oracle how a job's loads are read, which run together, what
vehicle supply counts for, and the demand tables.
"""

from __future__ import annotations

from contextlib import suppress
from datetime import date
from fractions import Fraction
from math import ceil, floor, sqrt
from typing import Any

from tests.oracle.standard import (
    COOKING,
    HEATS,
    PERCENT_A,
    PERCENT_B,
    Declined,
    Item,
    _number,
    _vehicle,
    column_c,
    dryers,
    laundry_circuits,
    percent,
    running,
    seasons,
    standard,
)

PUMPS = {"heat-pump", "mini-split"}
CREDITED = {
    "2017": {"vehicle-supply"},
    "2020": {"vehicle-supply"},
    "2023": {"energy-management", "vehicle-supply"},
    "2026": {"power-control"},
}


def items_of(job: dict[str, Any]) -> dict[str, Item]:
    """Loads that stay or come, by name."""
    return {said["name"]: Item(said) for said in job.get("loads", ()) if said.get("status", "new") != "removed"}


def volts_of(job: dict[str, Any]) -> int:
    """Volts between the legs."""
    return 208 if job.get("service", {}).get("system") == "208Y/120" else 240


def stepped(amount: Fraction, first: int) -> Fraction:
    """The first part in full, the rest at 40 %."""
    return min(amount, Fraction(first)) + max(amount - first, Fraction(0)) * 40 / 100


def area_and_circuits(job: dict[str, Any], edition: str) -> Fraction:
    """Lighting by area, kitchen and laundry circuits, VA."""
    dwelling = job["dwelling"]
    circuits = dwelling.get("small_appliance_circuits", 2) + laundry_circuits(dwelling)
    return _number(dwelling["floor_area_ft2"]) * (2 if edition == "2026" else 3) + 1500 * circuits


class House:
    """A house's loads apart: held by management, seasonal, vehicle supply, all else."""

    def __init__(self, job: dict[str, Any], edition: str, items: dict[str, Item]) -> None:
        self.edition = edition
        self.held: list[tuple[list[Item], Fraction]] = []  # loads of a system and what they count together
        free = dict(items)
        season_all = {name for name, item in items.items() if seasons(item, items)}
        for system in job.get("load_management", ()):
            controlled = [free[name] for name in system["controls"] if name in free]
            ok = system["kind"] in CREDITED[edition] and system.get("listed") and system.get("access_restricted")
            if edition in ("2017", "2020"):
                ok = ok and all(item.kind == "ev-supply" for item in controlled)
            if not controlled or not ok:
                continue
            most = _number(system["setpoint_a"]) * volts_of(job)
            most *= Fraction(5, 4) if edition in ("2023", "2026") else 1  # a continuous load there
            self.held.append((controlled, min(most, sum((self.plain(item) for item in controlled), Fraction(0)))))
            for item in controlled:
                del free[item.said["name"]]
        self.season_names = season_all
        self.climate = {name: item for name, item in free.items() if seasons(item, free)}
        self.rest = [item for name, item in free.items() if name not in self.climate]

    def plain(self, item: Item) -> Fraction:
        """What a load outside the season counts."""
        return _vehicle(item, self.edition) if item.kind == "ev-supply" else item.va

    def holds_season(self, loads: list[Item]) -> bool:
        return any(item.said["name"] in self.season_names for item in loads)

    def season(self, value: Any) -> Fraction:
        """The larger of heating and cooling, each load at ``value``."""
        sides = []
        for side in ("heat", "cool"):
            loads = [i for i in self.climate.values() if side in seasons(i, self.climate)]
            sides.append(running(loads, self.climate, value)[0])
        return max(sides)


def optional(job: dict[str, Any], edition: str) -> dict[str, float]:
    """Optional method: one total, or two in 2026 where vehicle supply is there."""
    if job.get("service", {}).get("rating_a", 100) < 100:
        raise Declined("under 100 A")
    house = House(job, edition, items_of(job))
    pump = any(item.kind in PUMPS for item in house.climate.values())
    electric = [
        item for item in house.climate.values()
        if item.kind in HEATS - PUMPS and not item.gas and not item.said.get("thermal_storage")
    ]  # fmt: skip
    strips = [item for item in electric if pump and item.kind == "supplemental-heat"]
    heaters = [item for item in electric if item not in strips]
    zones = sum(item.said.get("heat_zones") or item.count for item in heaters)

    def share(item: Item) -> Fraction:
        if item in strips:
            return item.va * 65 / 100
        return item.va * (40 if zones >= 4 else 65) / 100 if item in heaters else item.va

    beside = house.season(share) + sum((va for loads, va in house.held if house.holds_season(loads)), Fraction(0))
    cars = sum((house.plain(item) for item in house.rest if item.kind == "ev-supply"), Fraction(0))
    others = area_and_circuits(job, edition)
    others += sum((item.va for item in house.rest if item.kind != "ev-supply"), Fraction(0))
    for loads, va in house.held:
        if all(item.kind == "ev-supply" for item in loads):
            cars += va
        elif not house.holds_season(loads):
            others += va
    first, v = (8000 if edition == "2026" else 10_000), volts_of(job)
    inside, outside = stepped(others + cars, first) + beside, stepped(others, first) + beside + cars
    if edition == "2026" and cars:
        return {
            "optional_inside_va": float(inside),
            "optional_inside_a": float(inside / v),
            "optional_outside_va": float(outside),
            "optional_outside_a": float(outside / v),
        }
    return {"optional_va": float(inside), "optional_a": float(inside / v)}


def existing(job: dict[str, Any], edition: str) -> dict[str, float]:
    """Existing dwelling, with or without added heating or cooling."""
    if edition == "2026":
        raise Declined("the table of 2026 is not known")
    house = House(job, edition, items_of(job))
    amount = area_and_circuits(job, edition) + sum((house.plain(item) for item in house.rest), Fraction(0))
    amount += sum((va for loads, va in house.held if not house.holds_season(loads)), Fraction(0))
    beside = sum((va for loads, va in house.held if house.holds_season(loads)), Fraction(0))
    added = any(item.said.get("status", "new") == "new" for item in house.climate.values())
    reading = job["code"].get("readings", {}).get("existing_heat_cool", "larger-at-100-pct")
    if added or reading == "larger-at-100-pct":
        beside += house.season(lambda item: item.va)
    elif reading == "both-at-40-pct":
        amount += sum((item.va for item in house.climate.values()), Fraction(0))
    return _tested("existing", stepped(amount, 8000) + beside, job)


def measured(job: dict[str, Any], edition: str) -> dict[str, float]:
    """Measured demand at 125 % and the new load in full. Declined where a condition isn't stated."""
    record = job.get("measured_demand", {})
    needed = ["occupied", "overload_protected", "generation_or_shaving", "seasonal_added_va", "interval_min"]
    needed += ["from_date", "to_date"] + (["highest_leg"] if record.get("method") == "30-day" else [])
    if any(key not in record for key in needed):
        raise Declined("a condition isn't stated")
    v = volts_of(job)
    peak = _number(record["peak_kw"]) * 1000 if "peak_kw" in record else _number(record["peak_a"]) * v
    total = (peak + _number(record["seasonal_added_va"])) * 125 / 100
    new = {name: item for name, item in items_of(job).items() if item.said.get("status", "new") == "new"}
    house = House(job, edition, new)
    total += sum((house.plain(item) for item in house.rest), Fraction(0))
    total += sum((va for _, va in house.held), Fraction(0)) + house.season(lambda item: item.va)
    days = (date.fromisoformat(str(record["to_date"])) - date.fromisoformat(str(record["from_date"]))).days + 1
    sound = (
        days >= (365 if record["method"] == "1-year" else 30)
        and record["interval_min"] <= 15
        and record["occupied"]
        and record["overload_protected"]
        and not record["generation_or_shaving"]
        and (record["method"] == "1-year" or record["highest_leg"])
    )
    return _tested("measured", total, job, sound)


def _tested(name: str, total: Fraction, job: dict[str, Any], sound: bool = True) -> dict[str, float]:
    amperes = total / volts_of(job)
    passes = sound and floor(amperes + Fraction(1, 2)) <= job["service"]["rating_a"]
    return {f"{name}_va": float(total), f"{name}_a": float(amperes), "passes": passes}


# ---- buildings


def whole_building(job: dict[str, Any], edition: str) -> dict[str, Any]:
    """The building as one dwelling: areas and circuits added up, each load as often as its units have it.

    House loads become plain loads in full, with their motors.
    """
    units = job["dwelling"]["units"]
    number = {unit["name"]: unit.get("count", 1) for unit in units}
    everything = {
        "kind": "multifamily",
        "floor_area_ft2": sum(_number(u["floor_area_ft2"]) * number[u["name"]] for u in units),
        "small_appliance_circuits": sum(u.get("small_appliance_circuits", 2) * number[u["name"]] for u in units),
        "laundry_circuits": sum(u.get("laundry_circuits", 1) * number[u["name"]] for u in units),
    }
    loads = []
    for said in job.get("loads", ()):
        if said.get("status", "new") == "removed":
            continue
        if said.get("serves", "unit") == "unit":
            times = number[said["unit_group"]] if "unit_group" in said else sum(number.values())
            loads.append({**said, "count": said.get("count", 1) * times})
        else:
            item = Item(said)
            motor = {"motor_a": item.motor / item.volts} if item.motor and item.kind != "ev-supply" else {}
            plain = {"kind": "shop", "load_va": of_house(item, edition), "volts": item.volts, "count": item.count}
            wires = {"LN": "line-to-neutral", "LL": "line-to-line", "LLN": "line-to-line-and-neutral"}[item.wires]
            loads.append({"name": said["name"], "connection": wires, **plain, **motor})
    return {**job, "dwelling": everything, "loads": loads}


def of_house(item: Item, edition: str) -> Fraction:
    """What one load of the house counts."""
    if item.kind == "ev-supply":
        return _vehicle(item, edition) / item.count
    return max(item.each, Fraction(5000)) if item.kind == "dryer" and not item.gas else item.each


def building_standard(job: dict[str, Any], edition: str) -> dict[str, float]:
    """Standard method for all units and the house loads, on one phase or three."""
    whole = whole_building(job, edition)
    if job.get("service", {}).get("phases", 1) == 1:
        found = standard(whole, edition)
        return {key: found[key] for key in ("standard_va", "standard_a", "neutral_va", "neutral_a")}
    items = {said["name"]: Item(said) for said in whole["loads"]}
    ovens = [i for i in items.values() if i.kind in COOKING and not i.gas and i.each > 1750]
    tumblers = [i for i in items.values() if i.kind == "dryer" and not i.gas]
    names = {item.said["name"] for item in ovens + tumblers}
    rest = [said for said in whole["loads"] if said["name"] not in names]
    found = standard({**whole, "loads": rest, "service": {"system": "120/240"}}, edition)
    between = on_three_phases(ovens) + dryers_on_three_phases(tumblers, edition)
    total = Fraction(found["standard_va"]) + between
    neutral = Fraction(found["neutral_va"]) + between * 70 / 100
    volts = 208 * sqrt(3)
    neutral_a = float(neutral) / volts
    return {
        "standard_va": float(total),
        "standard_a": float(total) / volts,
        "neutral_va": float(neutral),
        "neutral_a": min(neutral_a, 200) + max(neutral_a - 200, 0) * 0.7,
    }


def on_three_phases(ovens: list[Item]) -> Fraction:
    """Cooking: the table for twice the largest number between two legs, and half as much again."""
    sizes = [item.each / 1000 for item in ovens for _ in range(item.count)]
    if not sizes:
        return Fraction(0)
    if max(sizes) > 27:
        raise Declined("over 27 kW")
    n = 2 * ceil(len(sizes) / 3)
    large = [size for size in sizes if size > Fraction("8.75")]
    average = sum(max(size, Fraction(12)) for size in large) / len(large) if large else Fraction(12)
    demand = column_c([average] * n)
    if len(set(sizes)) == 1 and not large:
        in_a = sizes[0] < Fraction("3.5")
        demand = min(demand, n * sizes[0] * percent(PERCENT_A if in_a else PERCENT_B, n, 30 if in_a else 16) / 100)
    return demand * 1000 * 3 / 2


def dryers_on_three_phases(tumblers: list[Item], edition: str) -> Fraction:
    """Dryers: the largest of them, as often as twice the largest number between two legs, and half as much again."""
    count = sum(item.count for item in tumblers)
    if count == 0:
        return Fraction(0)
    return dryers([max(item.each for item in tumblers)] * (2 * ceil(count / 3)), edition) * 3 / 2


SHARES = (
    (62, 23), (56, 24), (51, 25), (46, 26), (43, 27), (39, 28), (37, 29), (34, 30), (32, 31), (31, 32), (28, 33),
    (26, 34), (24, 35), (22, 36), (21, 37), (18, 38), (16, 39), (14, 40), (12, 41), (11, 42), (8, 43), (6, 44), (3, 45),
)  # fmt: skip
"""From so many dwellings on, this percent."""


def building_optional(job: dict[str, Any], edition: str) -> dict[str, float]:
    """Optional method of three dwellings or more, and of two like ones."""
    units = job["dwelling"]["units"]
    number = sum(unit.get("count", 1) for unit in units)
    if number == 2 and len(units) > 1:
        raise Declined("two unlike dwellings")
    staying = [said for said in job.get("loads", ()) if said.get("status", "new") != "removed"]
    in_units = [said for said in staying if said.get("serves", "unit") == "unit"]

    def have(kinds: set[str]) -> list[bool]:
        return [
            any(
                said["kind"] in kinds and not said.get("fuel_burning") and said.get("unit_group") in (None, u["name"])
                for said in in_units
            )
            for u in units
        ]

    if not all(have(HEATS | PUMPS | {"air-conditioner"})):
        raise Declined("a unit without electric heat or cooling")
    cook = have(COOKING)
    if any(cook) and not all(cook):
        raise Declined("only some cook with electricity")
    whole = whole_building({**job, "loads": in_units}, edition)
    house = House({**whole, "load_management": []}, edition, {said["name"]: Item(said) for said in whole["loads"]})
    dwelling = whole["dwelling"]
    connected = 3 * dwelling["floor_area_ft2"]
    connected += 1500 * (dwelling["small_appliance_circuits"] + dwelling["laundry_circuits"])
    connected += sum((house.plain(item) for item in house.rest), Fraction(0)) + house.season(lambda item: item.va)
    if not any(cook):
        connected += 8000 * number
    counted = number if number > 2 else 3
    share = next(pct for least, pct in SHARES if counted >= least)
    total = connected * counted / number * share / 100
    of_all = [Item(said) for said in staying if said.get("serves", "unit") == "house"]
    total += sum((of_house(item, edition) * item.count for item in of_all), Fraction(0))
    total += max((item.motor for item in of_all if item.kind != "ev-supply"), default=Fraction(0)) / 4
    if number == 2 or not any(cook):
        with suppress(Declined):
            total = min(total, Fraction(building_standard(job, edition)["standard_va"]))
    three = job.get("service", {}).get("phases", 1) == 3
    return {"optional_va": float(total), "optional_a": float(total) / (208 * sqrt(3) if three else volts_of(job))}
