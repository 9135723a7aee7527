"""The houses that pages are tested on: the demo houses, changed ones, and one that is larger than a house has to be."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from itertools import pairwise
from typing import Any

from calc.job import Job, changed, read_job
from calc.job.read import make_job
from calc.verdict.standing import Standing, standing
from calc.wiring.house import House
from tests import houses
from tests.houses import JOBS

DEMO = sorted(path.stem for path in JOBS.glob("*.toml"))
LONG = 300
"""The most letters that a name may have."""
MUCH = 80


@cache
def demo(name: str) -> tuple[House, Standing]:
    """A demo house and how it stands."""
    house = houses.demo(name)
    return house, standing(house)


def stands(job: Job) -> tuple[House, Standing]:
    """A house and how it stands."""
    house = House.of(job)
    return house, standing(house)


def with_changes(name: str, changes: Mapping[str, Any]) -> tuple[House, Standing]:
    """A demo house with other values at the given places, and how it stands."""
    return stands(changed(read_job(JOBS / f"{name}.toml"), changes))


@cache
def large() -> tuple[House, Standing]:
    """150 circuits in five panels one behind the other, 80 rooms; names of 80 letters, with and without blanks, and of each kind
    some of the most that a name may have."""
    long = ("long name of a thing " * LONG)[: LONG - 10].strip()

    def most(n: int) -> int:
        return MUCH if n % 20 else LONG

    panels: list[dict[str, Any]] = [
        {"name": f"Panel {n}", "bus_a": 400, "main_a": 400, "spaces": 84, "interrupting_a": 22_000} for n in range(1, 6)
    ]
    panels[0] |= {"name": f"Panel 1 {long}", "fed_from": "utility", "service_equipment": True, "neutral_bonded": True}
    names = [panel["name"] for panel in panels]
    feeders = [
        {"name": f"F{n} {long}"[: most(n - 1)], "role": "feeder", "fed_from": above, "feeds": below, "volts": 240, "length_ft": 20,
         "cable": "4/0-4/0-4/0-2/0 SER Al", "wiring_method": "SER", "calculated_a": 100, "breaker_a": 200}
        for n, (above, below) in enumerate(pairwise(names), 1)
    ]  # fmt: skip
    branches = [
        {"name": f"B{n} {'x' * LONG}"[: most(n)], "role": "branch", "fed_from": names[n % 5], "calculated_a": 10, "volts": 120,
         "length_ft": 30, "cable": "12/2 NM", "breaker_a": 20}
        for n in range(40)
    ]  # fmt: skip
    rooms = [{"name": f"Room {n} {long}"[: most(n)].strip(), "use": "bedroom"} for n in range(80)]
    circuits = [
        {"name": f"C{n} {long if n % 2 else 'y' * LONG}"[: most(n // 2)].strip(), "panel": names[n % 5], "purpose": "general",
         "rooms": [rooms[n % 80]["name"]], "breaker_type": "arc-fault"}
        for n in range(150)
    ]  # fmt: skip
    boxes = [
        {"name": f"Box {n} {long}"[: most(n)].strip(), "gangs": 1, "box": "3 x 2 x 3-1/2 device", "cables": ["14/2 NM"]}
        for n in range(60)
    ]
    service = {
        "name": "Service", "role": "service", "fed_from": "utility", "feeds": names[0], "volts": 240, "length_ft": 30,
        "material": "aluminum", "insulation": "XHHW-2", "wiring_method": "PVC-40", "sets": 2, "size": "250",
    }  # fmt: skip
    data = {
        "code": {"edition": "2023"}, "job": {"name": "large"}, "scope": {"covers": ["house"]},
        "dwelling": {"kind": "one-family", "status": "new", "floor_area_ft2": 9000}, "service": {"rating_a": 400},
        "fault": {"transformer_kva": 50, "impedance_pct": 2.0}, "panels": panels, "runs": [service, *feeders, *branches],
        "rooms": rooms, "circuits": circuits, "boxes": boxes,
    }  # fmt: skip
    return stands(make_job(data))
