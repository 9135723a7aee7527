"""The drop along the tree and against length, as charts; each run by the three methods, as a table."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from calc.families.voltage_drop.advice import supply
from calc.families.voltage_drop.methods import METHODS
from calc.job import Run
from calc.wiring.house import House
from calc.wiring.tree import upstream
from calc.wiring.wires import called
from calc.work import NOT_WORKED, Sheet, Value
from calc.work.chart import Chart, Curve, Curves
from calc.work.table import Table, figures

POINTS = 12


def along_the_tree(house: House, sheets: Sequence[Sheet]) -> Chart | None:
    """Percent lost from the service on, one line for each run that feeds no other and has all sheets of its way.

    Service conductors are left out, as in the total that the recommendation speaks of.
    """
    by_name = {s.subject: s for s in sheets if "total_drop_pct" in s and not supply(house.job.run(s.subject))}
    above = {name: up if up is None or not supply(up) else None for name, up in house.told(upstream).items()}
    ends = [name for name in by_name if not any(up is not None and up.name == name for up in above.values())]
    curves = []
    for name in ends:
        points, path = [(0.0, 0.0)], _path_to(above, house.job.run(name))
        if not all(run.name in by_name for run in path):
            continue
        for run in path:
            far, lost = points[-1]
            points.append((far + (run.length_ft or 0.0), lost + by_name[run.name].value("drop_pct").number))
        curves.append(Curve(name, [(round(x, 1), round(y, 3)) for x, y in points]))
    if not curves:
        return None
    limit = house.code["drop_total"].number
    said = "; ".join(f"{c.name} {c.points[-1][1]:.2f} % at {c.points[-1][0]:,.0f} ft" for c in curves)
    return Chart(
        "Voltage drop along the tree",
        f"Percent of voltage lost against distance from the service. {said}. Recommended total {limit:g} %.",
        Curves(curves, "ft from the service", "% lost", [(f"recommended total {limit:g} %", limit)]),
    )


def _path_to(above: dict[str, Run | None], run: Run) -> list[Run]:
    path = [run]
    while (up := above[path[0].name]) is not None:
        path.insert(0, up)
    return path


def against_length(
    sheet: Sheet,
    size: str,
    sizes: Sequence[str],
    limit: Value,
    length_ft: float,
    drop_pct: Callable[[str, float], float | None],
) -> Chart:
    """Drop against length for the size used and its neighbours; ``drop_pct`` works a sheet for a size and a length."""
    at = sizes.index(size)
    reach = 1.5 * length_ft
    curves = []
    for other in sizes[max(at - 1, 0) : at + 3]:
        lengths = [reach * step / POINTS for step in range(1, POINTS + 1)]
        worked = [(x, drop_pct(other, x)) for x in lengths]
        points = [(0.0, 0.0), *((round(x, 1), round(pct, 3)) for x, pct in worked if pct is not None)]
        curves.append(Curve(called(other), points))
    here = sheet.value("drop_pct").number
    said = "; ".join(f"{c.name} {c.points[-1][1]:.2f} % at {reach:,.0f} ft" for c in curves)
    return Chart(
        f"Drop against length: {sheet.subject}",
        f"{sheet.subject} with {called(size)} loses {here:.2f} % in {length_ft:,.0f} ft. {said}. Limit {limit.number:g} %.",
        Curves(
            curves,
            "ft one way",
            "% lost",
            [(f"limit {limit.number:g} %", limit.number)],
            [(f"{sheet.subject}, {called(size)}", round(length_ft, 1), round(here, 3))],
        ),
    )


def by_method(sheets: Sequence[Sheet], chosen: str) -> Table:
    """Each run by the three methods, in volts and percent of its base."""
    return Table(
        title="Voltage drop by three methods",
        intro="The method that the job chose is worked line by line on each sheet; here all three stand side by side.",
        columns=figures("Run", "Base", "By direct-current resistance", "By effective impedance", "By exact solution"),
        rows=[_row(s, chosen) for s in sheets],
    )


def _row(sheet: Sheet, chosen: str) -> list[str]:
    if "drop_v" not in sheet:
        return [sheet.subject, "", *[sheet.status] * 3]
    base = sheet.value("base_v").number
    row = [sheet.subject, f"{base:g} V"]
    for method in METHODS:
        key = "drop_v" if method == chosen else f"{method.replace('-', '_')}_drop_v"
        drop = sheet.value(key).number if key in sheet else None
        row.append(NOT_WORKED if drop is None else f"{drop:.2f} V, {drop / base * 100:.2f} %")
    return row
