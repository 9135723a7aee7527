"""The dwelling unit that a sheet is worked for."""

from __future__ import annotations

from dataclasses import dataclass

from calc.families.reading import Counted, counted, read
from calc.job import Job
from calc.job.house import Dwelling, UnitGroup
from calc.work import Value


@dataclass(frozen=True)
class DwellingUnit:
    """One dwelling unit: its area, its circuits that count, its loads."""

    subject: str
    area: Value
    small_appliance_circuits: Value
    laundry_circuits: Value
    loads: list[Counted]
    one_family: bool


def dwelling_units(job: Job) -> list[DwellingUnit]:
    """The house, or one of each group of units that are alike in a building with more."""
    assert job.dwelling is not None
    parts: list[Dwelling | UnitGroup] = list(job.dwelling.units) or [job.dwelling]
    return [_unit(job, part) for part in parts]


def _unit(job: Job, part: Dwelling | UnitGroup) -> DwellingUnit:
    group = part.name if isinstance(part, UnitGroup) else None
    one_family = group is None
    loads = [
        load for load in job.loads
        if one_family or (load.serves == "unit" and load.unit_group in (None, group))
    ]  # fmt: skip
    return DwellingUnit(
        subject=f"{job.job.name}, {group}" if group else job.job.name,
        area=read(part, "floor_area_ft2"),
        small_appliance_circuits=read(part, "small_appliance_circuits"),
        laundry_circuits=read(part, "laundry_circuits"),
        loads=counted(loads),
        one_family=one_family,
    )
