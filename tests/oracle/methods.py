"""The optional, existing and measured methods again, in plain arithmetic on exact fractions.

Written from the rules alone, for a one-family house; it shares with the standard oracle how a job's loads are read,
which run together, and what vehicle supply counts for.
"""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from math import floor
from typing import Any

from tests.oracle.standard import HEATS, Declined, Item, _number, _vehicle, running_together, seasons

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
    circuits = dwelling.get("small_appliance_circuits", 2) + dwelling.get("laundry_circuits", 1)
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
            running = [i for i in self.climate.values() if side in seasons(i, self.climate)]
            sides.append(running_together(running, value)[0])
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
