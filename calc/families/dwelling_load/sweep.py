"""Curves: the calculated current as one thing of the house changes, each point the whole house worked again."""

from __future__ import annotations

from collections.abc import Callable

from calc.families.dwelling_load.methods import NAMES, worked
from calc.families.dwelling_load.summary import READINGS
from calc.families.dwelling_load.unit import dwelling_units
from calc.families.dwelling_load.whatif import present_rating
from calc.job import Job, changed
from calc.wiring.house import House
from calc.work.chart import Chart, Curve, Curves, Point

STEPS = 24
SAID = {"": "", "_inside": ", in the steps", "_outside": ", beside them"}


def sweeps(house: House) -> list[Chart]:
    """Current by the size of the first vehicle supply, and by floor area, for each method that gives an answer."""
    charts = []
    car = next(
        (n for n, load in enumerate(house.whole_job.loads, 1) if load.kind == "ev-supply" and load.status != "removed"),
        None,
    )
    if car is not None:
        load = house.whole_job.loads[car - 1]
        entry = {
            key: value
            for key, value in house.whole_job.data["loads"][car - 1].items()
            if key not in ("load_va", "nameplate_a")
        }
        own = load.va / load.volts
        charts.append(_sweep(house, "Current by the size of the vehicle charger", "A, nameplate of the charger",
                             own, own * 1.5, lambda x: changed(house.whole_job, {f"loads[{car}]": entry | {"nameplate_a": x}})))  # fmt: skip
    if house.whole_job.dwelling is not None and house.whole_job.dwelling.floor_area_ft2:
        own = house.whole_job.dwelling.floor_area_ft2
        charts.append(_sweep(house, "Current by floor area", "ft2", own, own * 2,
                             lambda x: changed(house.whole_job, {"dwelling.floor_area_ft2": x})))  # fmt: skip
    return [chart for chart in charts if chart is not None]


def _sweep(house: House, title: str, axis: str, own: float, end: float, at: Callable[[float], Job]) -> Chart | None:
    """One chart, from a quarter of ``end`` to ``end``, with the job's own point among the points; none where no method is
    worked."""
    xs = sorted({round(end * (STEPS + 3 * n) / (4 * STEPS), 6) for n in range(STEPS + 1)} | {own})
    points: dict[str, list[Point]] = {}
    for x in xs:
        for key, value in _currents(house if x == own else house.with_job(at(x))).items():
            points.setdefault(key, []).append((x, round(value, 6)))
    at_own = {name: y for name, curve in points.items() for x, y in curve if x == own}
    decides = NAMES[house.whole_job.service.load_method if house.whole_job.service else "standard"]
    marks = [(f"{y:,.1f} A", own, y) for name, y in at_own.items() if name.startswith(decides)]
    rating = present_rating(house)
    lines = [(f"service {rating:,.0f} A", rating)] if rating else []
    said = "; ".join(f"{name} from {curve[0][1]:,.0f} A to {curve[-1][1]:,.0f} A" for name, curve in points.items())
    alt = f"From {xs[0]:,.0f} to {xs[-1]:,.0f} {axis}: {said}. At the job's own {own:,.0f}: " + "; ".join(
        f"{name} {y:,.1f} A" for name, y in at_own.items()
    )
    data = Curves([Curve(name, curve) for name, curve in points.items()], axis, "A", lines, marks)
    return Chart(title, f"{alt}.", data) if points else None


def _currents(house: House) -> dict[str, float]:
    """Calculated current by each method that isn't refused."""
    unit, found = dwelling_units(house.whole_job)[0], {}
    for method, name in NAMES.items():
        results = worked(house, unit, method).sheet.results
        for end in READINGS:
            if "refused" not in results and f"{method}{end}_a" in results:
                found[f"{name}{SAID[end]}"] = results[f"{method}{end}_a"]
    return found
