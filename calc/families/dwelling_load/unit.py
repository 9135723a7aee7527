"""What a sheet is worked for: the house, one dwelling unit of several, or the whole building with its units."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

from calc.job import Job, Load, place
from calc.job.house import Dwelling, UnitGroup
from calc.job.panels import Building
from calc.wiring.reading import Counted, counted, read
from calc.work import Value, given, total


@dataclass(frozen=True)
class DwellingUnit:
    """One dwelling unit or a building of them: area, circuits that count, loads.

    ``house_loads`` serve the building as a whole; ``groups`` are the units in it and ``number`` is how many.
    ``accessory`` are dwellings on the service of a house, counted with it.
    """

    kind: Literal["house", "unit", "building"]
    subject: str
    area: Value
    small_appliance_circuits: Value
    laundry_circuits: Value
    loads: list[Counted]
    house_loads: list[Counted] = field(default_factory=list)
    groups: tuple[UnitGroup, ...] = ()
    number: Value | None = None
    accessory: tuple[Building, ...] = ()

    @property
    def one_family(self) -> bool:
        """Whether it is a one-family house."""
        return self.kind == "house"


def dwelling_units(job: Job) -> list[DwellingUnit]:
    """The house; or the building, and one of each group of units that are alike in it."""
    dwelling = job.dwelling
    assert dwelling is not None
    if not dwelling.units:
        return [_house(job, dwelling)]
    units = [
        _unit(group, f"{job.job.name}, {group.name}", [load for load in job.loads if _in(load, group)])
        for group in dwelling.units
    ]
    house = [load for load in job.loads if load.serves == "house"]
    return [units_together(job, dwelling.units, house, f"{job.job.name}, whole building"), *units]


def _unit(part: UnitGroup, subject: str, loads: Sequence[Load]) -> DwellingUnit:
    return DwellingUnit(
        kind="unit",
        subject=subject,
        area=read(part, "floor_area_ft2"),
        small_appliance_circuits=read(part, "small_appliance_circuits"),
        laundry_circuits=read(part, "laundry_circuits"),
        loads=counted(loads),
    )


def _house(job: Job, dwelling: Dwelling) -> DwellingUnit:
    """The house with each accessory dwelling on its service, as far as their area is known."""
    accessory = tuple(building for building in job.buildings if _on_the_service(job, building))
    known = [building for building in accessory if building.floor_area_ft2 is not None]

    def of_all(field: str) -> Value:
        beside = [read(building, field, f"{field_name(field)}, {building.name}") for building in known]
        return total([read(dwelling, field), *beside])

    return DwellingUnit(
        kind="house",
        subject=job.job.name,
        area=of_all("floor_area_ft2"),
        small_appliance_circuits=of_all("small_appliance_circuits"),
        laundry_circuits=of_all("laundry_circuits"),
        loads=counted(job.loads),
        accessory=accessory,
    )


def _on_the_service(job: Job, building: Building) -> bool:
    """Whether it is an accessory dwelling without a service of its own."""
    of_its_own = any(
        panel.building == building.name and (panel.service_equipment or panel.fed_from == "utility")
        for panel in job.panels
    )
    return building.kind == "accessory-dwelling" and building.status != "removed" and not of_its_own


def part(subject: str, loads: Sequence[Counted]) -> DwellingUnit:
    """A part of a dwelling by its loads alone: its lighting and its circuits are counted apart."""
    area, circuits = given("floor area", 0, "ft2", ""), given("circuits", 0, "circuit", "")
    return DwellingUnit("unit", subject, area, circuits, circuits, list(loads))


def units_together(job: Job, groups: Sequence[UnitGroup], house: Sequence[Load], subject: str) -> DwellingUnit:
    """Units that are fed together, each group as often as it is there; the loads of the house beside them apart."""
    numbers = {group.name: given(f"number of {group.name}", group.count, "", place(group, "count")) for group in groups}

    def of_all(field: str) -> Value:
        return total(read(group, field, f"{field_name(field)}, {group.name}") * numbers[group.name] for group in groups)

    in_units = []
    for c in counted([load for load in job.loads if any(_in(load, group) for group in groups)]):
        number = sum(group.count for group in groups if _in(c.load, group))
        units = given(f"units with {c.load.name}", number, "", "dwelling.units")
        in_units.append(Counted(c.load, c.count * units if c.load.count > 1 else units, c.each))
    return DwellingUnit(
        kind="building",
        subject=subject,
        area=of_all("floor_area_ft2"),
        small_appliance_circuits=of_all("small_appliance_circuits"),
        laundry_circuits=of_all("laundry_circuits"),
        loads=in_units,
        house_loads=counted(house),
        groups=tuple(groups),
        number=total(numbers.values()),
    )


def field_name(field: str) -> str:
    """'floor area' of 'floor_area_ft2'."""
    return field.removesuffix("_ft2").replace("_", " ")


def _in(load: Load, group: UnitGroup) -> bool:
    return load.serves == "unit" and load.unit_group in (None, group.name)
