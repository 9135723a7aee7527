"""Mends of a service that is too small: hold a vehicle charger to a setting, else a larger service with all it brings."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from calc.job import Job
from calc.remedies.conductors import smaller_loads
from calc.remedies.ways import Kind, Way
from calc.wiring.house import House

LEAST_SETTING_A = 6
OUTDOORS = {"emergency_disconnect": "service-disconnect", "emergency_disconnect_marked": True, "disconnect_outdoors": True,
            "disconnect_in_sight": True, "surge_protection": "type-2"}  # fmt: skip


def service_ways(house: House) -> Iterator[Way]:
    """Less load by management or setting, then the next services that are sold."""
    if house.job.service is None:
        return
    vehicles = [load for load in house.job.loads if load.kind == "ev-supply" and load.status != "removed"]
    for load in vehicles:
        most = int((load.load_va or 0) / load.volts * load.count)
        for amperes in range(most, LEAST_SETTING_A - 1, -1):
            system = {"name": f"Management of {load.name}", "kind": "energy-management", "listed": True, "controls": [load.name],
                      "setpoint_a": amperes, "scope": "loads", "access_restricted": True}  # fmt: skip
            text = f"a listed energy management system that holds {load.name} to {amperes} A, its setting locked"
            yield Way(Kind.LOAD, text, {"load_management[+]": system})
    yield from smaller_loads([load for load in house.job.loads if load.status == "new"])
    now = house.job.service.rating_a or house.job.service.main_a or 0
    for sold in (int(float(row["service_a"])) for row in house.code.rows("services_sold")):
        if sold > now:
            yield _larger(house.job, sold, now)


def _larger(job: Job, sold: int, now: int) -> Way:
    assert job.service is not None
    changes: dict[str, Any] = {"service.rating_a": sold, "service.main_a": sold}
    brings = ""
    if job.service.work == "kept":  # the rules for new services hold for it then
        changes |= {"service.work": "replaced", "service.load_method": "optional"}
        changes |= {f"service.{field}": value for field, value in OUTDOORS.items()}
        brings = ", sized by the optional method, with its emergency disconnect and surge protection"
    for number, panel in enumerate(job.panels, 1):
        if panel.service_equipment:
            changes |= {f"panels[{number}].main_a": sold, f"panels[{number}].bus_a": sold}
    return Way(Kind.SERVICE, f"a service of {sold} A instead of {now} A, with conductors to match{brings}", changes)
