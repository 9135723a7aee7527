"""The load summary that a permit office reads first, and the charts: drawn from the worked sheet, never worked anew."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from calc.families.dwelling_load.demand import Group
from calc.families.dwelling_load.methods import NAMES, Worked, rule_of
from calc.families.dwelling_load.unit import DwellingUnit
from calc.job import Job
from calc.wiring.house import House
from calc.wiring.reading import Counted
from calc.work import Sheet, Value, loud
from calc.work.chart import Chart, Levels, Pairs
from calc.work.keys import item_of
from calc.work.printing import rounded
from calc.work.summary import Fact, Summary
from calc.work.table import Table, weighed

STATUS_COLUMNS = {"existing": "Existing VA", "new": "New VA", "removed": "Removed VA"}
HALF = 0.5  # VA: what printing in whole VA can hide
FIRST_ROWS = ("general_lighting_va", "small_appliances_va", "laundry_va", "measured_season_va")
READINGS = ("", "_inside", "_outside")
"""Ends of a method's name in results: one result, or one for each reading of an unsettled rule."""


def front(house: House, unit: DwellingUnit, found: Worked, neutral: Sheet | None) -> Summary:
    """Page 1 of the packet; ``neutral`` is the sheet that has its load."""
    s = found.sheet
    shown = {line["key"]: line for line in s.as_json()["lines"]}
    return Summary(
        title="Electrical load summary",
        facts=_facts(house, unit, found.method),
        table=_table(house.job, found, shown),
        totals=_totals(house.job, found, shown, neutral),
        figures=_figures(found),
        verdict=loud(s.status),
        verdict_detail=_detail(s, found.method, shown),
        preparer=[("Prepared by", house.job.job.prepared_by or ""), ("License", house.job.job.license or "")],
    )


def _figures(found: Worked) -> dict[str, Any]:
    """What machines want of page 1; of two readings of an unsettled rule, the larger."""
    results = found.sheet.as_json()["results"]
    figures: dict[str, Any] = {"method": NAMES[found.method]}
    for name, key in (("calculated_a", "{}{}_a"), ("service_a", "{}{}_service_a")):
        ends = [results[end] for reading in READINGS if (end := key.format(found.method, reading)) in results]
        if ends:
            figures[name] = max(ends)
    if "service_rating_a" in results:
        figures["service_a"] = results["service_rating_a"]
    return figures


def _facts(house: House, unit: DwellingUnit, method: str) -> list[Fact]:
    adopted = f"{house.job.code.basis} {house.job.code.edition}" + (
        f", {house.job.code.adopted_as}" if house.job.code.adopted_as else ""
    )
    facts = [
        ("Site", house.job.job.address), ("Permit", house.job.job.permit_number), ("Jurisdiction", house.job.job.jurisdiction),
        ("Owner", house.job.job.owner), ("Contractor", house.job.job.contractor), ("Edition adopted", adopted),
        ("Amendments", ", ".join(house.code.amendments) or "none"),
        ("Method", f"{NAMES[method].capitalize()}, {house.code.cite(rule_of(method, unit)).section}"),
        ("Dwelling", _dwelling(house.job, unit)), ("System", _system(house.job)),
    ]  # fmt: skip
    return [(label, text) for label, text in facts if text]


def _dwelling(job: Job, unit: DwellingUnit) -> str:
    dwelling = job.dwelling
    assert dwelling is not None
    units = f", {unit.number.number:.0f} units" if unit.number is not None else ""
    return f"{dwelling.kind}, {dwelling.status}{units}, {unit.area.number:,.0f} ft2"


def _system(job: Job) -> str:
    if job.service is None:
        return "120/240 V, single-phase, 3-wire"
    if job.service.phases == 3:
        return f"{job.service.system} V, three-phase, 4-wire"
    return f"{job.service.system} V, single-phase, 3-wire"


@dataclass(frozen=True)
class _Row:
    """A row of the load table; ``status`` None for a total of those above it."""

    name: str
    sections: str
    status: str | None
    va: float | None
    factor: str = ""
    demand: float | None = None


def _table(job: Job, found: Worked, shown: Mapping[str, Any]) -> Table:
    """The loads with what each group of them comes to, and the total: each total is the sum of the rows over it."""
    rows = [*_group_rows(job, found, shown), *_removed_rows(job)]
    totals = [shown[key] for reading in READINGS if (key := f"{found.method}{reading}_va") in shown]
    summed = [row.demand for row in rows if row.demand is not None]
    rows += [
        _Row(_sentence(each["name"]), ", ".join(each["sections"]), None, None, _chosen(each), each["value"])
        for each in totals
    ]
    there = [status for status in STATUS_COLUMNS if any(row.status == status for row in rows)]
    names = ["Load VA"] if there == ["new"] else [STATUS_COLUMNS[status] for status in there]
    strong = [at for at, row in enumerate(rows) if row.demand is not None and row.va is None]
    columns = weighed(
        ("Item", 44), ("Section", 18), *((name, 13, "right") for name in names), ("Demand factor", 27), ("Demand VA", 13, "right")
    )  # fmt: skip
    cells = [
        [row.name, row.sections, *(_va(row.va) if row.status == status else "" for status in there), row.factor, _va(row.demand)]
        for row in rows
    ]  # fmt: skip
    return Table("Loads", columns, cells, strong=strong, notes=_rounding(summed, totals))


def _group_rows(job: Job, found: Worked, shown: Mapping[str, Any]) -> Iterator[_Row]:
    assert job.dwelling is not None
    general = "existing" if job.dwelling.status == "existing" else "new"
    open_rows = [
        _Row(f"{_sentence(line['name'])}, {line['numbers']}", ", ".join(line["sections"]), general, line["value"])
        for line in (shown[key] for key in FIRST_ROWS if key in shown)
    ]  # fmt: skip
    values = {key: line["value"] for key, line in shown.items()}
    for group in found.demand.groups:
        line = shown[group.value.at]
        loads = [_load_row(counted, shown) for counted in group.loads] if group.connected else []
        name, sections, factor = (
            _sentence(line["name"].partition(":")[0]),
            ", ".join(line["sections"]),
            _factor(group, shown),
        )
        rows = [*open_rows, *loads]
        if not open_rows and len(loads) == 1 and _connected(group, values) - (loads[0].va or 0) < HALF:
            yield replace(loads[0], sections=sections, factor=factor, demand=line["value"])
            continue
        open_rows = []
        yield from rows
        listed, connected = sum(row.va or 0 for row in rows), _connected(group, values)
        if rows and group.connected and connected - listed > HALF:
            yield _Row("Further loads, on the lines of the calculation", "", general, connected - listed)
        yield _Row(name, sections, None, None, factor, line["value"])


def _removed_rows(job: Job) -> list[_Row]:
    return [
        _Row(_called(load.name, load.count, load.va), "", "removed", load.total_va)
        for load in job.loads if load.status == "removed"
    ]  # fmt: skip


def _load_row(counted: Counted, shown: Mapping[str, Any]) -> _Row:
    """A load by what it counts for; where that is the least of its kind, beside what was entered."""
    count, load = round(counted.count.number), counted.load
    name = _called(load.name, count, load.va)
    least = next((line for key, line in shown.items() if item_of(key) == load.name and _is_least(line)), None)
    if least is None:
        return _Row(name, "", load.status, counted.va.number)
    one = least["value"] if " x " in least["numbers"] or count == 1 else least["value"] * count
    more = (
        f"{name}: {load.va:,.0f} counts as the least, {least['numbers'].rpartition(' and ')[2]}"
        if one - counted.va.number > HALF
        else name
    )
    return _Row(more, ", ".join(least["sections"]), load.status, one)


def _is_least(line: Mapping[str, Any]) -> bool:
    return line["unit"] == "VA" and "larger of " in line["numbers"]


def _called(name: str, count: int, va: float) -> str:
    return f"{name}, {count} x {va:,.0f}" if count > 1 else name


def _chosen(total: Mapping[str, Any]) -> str:
    """What the total is a choice of, where it is no sum: 'smaller of 35,820 VA and 31,610 VA'."""
    return str(total["numbers"]) if "er of " in total["numbers"] else ""


def _rounding(demands: Sequence[float], totals: Sequence[Mapping[str, Any]]) -> list[str]:
    """What the printed rows add up to, where printing whole VA makes that differ from the printed total."""
    summed = sum(rounded(va, 0) for va in demands)
    close = [each for each in totals if 0 < abs(rounded(each["value"], 0) - summed) <= len(demands)]
    return [f"Rows are printed in whole VA: as printed they add up to {summed:,} VA."] if close else []


def _va(va: float | None) -> str:
    return "" if va is None else f"{rounded(va, 0):,}"


def _sentence(name: str) -> str:
    return f"{name[:1].upper()}{name[1:]}"


def _factor(group: Group, shown: Mapping[str, Any]) -> str:
    """What the group's load was multiplied by, as its line prints it."""
    line = shown[group.value.at]
    if ", portions of " in line["numbers"]:
        return str(line["numbers"]).partition(", portions of ")[0]
    if group.key in ("fastened", "dryers"):
        return str(shown["fastened_demand_pct" if group.key == "fastened" else "dryer_demand_pct"]["result"])
    if group.key == "cooking":
        row = next((line for key, line in shown.items() if key.startswith("cooking_column_c_row_kw")), None)
        return row["sections"][0] if row else "100 %"
    if group.key == "climate":
        side = next(shown[key] for key in line["uses"])
        return str(side["numbers"]).replace(" VA", "") if "%" in side["numbers"] else "100 %"
    if " x " in line["numbers"] and line["numbers"].endswith("%"):
        percent = str(line["numbers"]).rpartition(" x ")[2]
        return f"{percent} of the largest" if group.key == "motor" else percent
    return "100 %"


def _totals(job: Job, found: Worked, shown: dict[str, Any], neutral: Sheet | None) -> list[Fact]:
    bus = next((panel.bus_a for panel in job.panels if panel.service_equipment and panel.bus_a), None)
    main = job.service.main_a if job.service else None
    entries = []
    for reading in READINGS:
        said = {"": "", "_inside": ", vehicle in the steps", "_outside": ", vehicle beside them"}[reading]
        entries += [
            (f"Total load{said}", _result(shown, f"{found.method}{reading}_va")),
            (f"Calculated current{said}", _result(shown, f"{found.method}{reading}_a")),
            (f"Smallest service sold{said}", _result(shown, f"{found.method}{reading}_service_a")),
        ]
    if neutral is not None and not neutral.refused:
        lines = {line["key"]: line for line in neutral.as_json()["lines"]}
        entries.append(("Neutral current", _result(lines, "neutral_a")))
    entries += [
        ("Service rating", _result(shown, "service_rating_a")),
        ("Main breaker", f"{main} A" if main else ""),
        ("Bus rating", f"{bus} A" if bus else ""),
    ]
    return [(label, text) for label, text in entries if text]


def _result(shown: Mapping[str, Any], key: str) -> str:
    return str(shown[key]["result"]) if key in shown else ""


def _detail(sheet: Sheet, method: str, shown: dict[str, Any]) -> str:
    if sheet.refused:
        return sheet.refused.reason
    checks = sheet.as_json()["checks"]
    if not checks:
        currents = [text for reading in READINGS if (text := _result(shown, f"{method}{reading}_a"))]
        return f"calculated current {' or '.join(currents)}"
    said = [
        f"{check['name']}: {check['text']}" + ("" if check["passes"] else f"; to correct it: {check['remedy']}")
        for check in sorted(checks, key=lambda check: check["passes"])
        if not check["passes"] or check["key"].endswith("serves")
    ]
    return ". ".join(said)


def charts(found: Worked) -> list[Chart]:
    """From connected to demand load by group, and the calculated current against ratings."""
    s, method = found.sheet, found.method
    values = {line.key: line.value.number for line in s.lines if isinstance(line.value, Value)}
    rows = [(s.words.text(f"group_{g.key}", "name"), _connected(g, values), round(g.value.number, 1))
            for g in found.demand.groups]  # fmt: skip
    drawn = [Chart("From connected load to demand load", _pairs_alt(rows),
                   Pairs(rows, "connected", "demand", "VA"))]  # fmt: skip
    labels = {"": "calculated current", "_inside": "vehicle in the steps", "_outside": "vehicle beside them"}
    bars = [
        (label, round(values[f"{method}{end}_a"], 1)) for end, label in labels.items() if f"{method}{end}_a" in values
    ]
    if "neutral_a" in values:
        bars.append(("neutral current", round(values["neutral_a"], 1)))
    lines = [
        (label, values[key])
        for key, label in ((f"{method}_standard_rating_a", "standard rating"), ("service_rating_a", "service"))
        if key in values
    ]
    said = [f"{label} {value:,.1f} A" for label, value in bars] + [f"{label} {value:,.0f} A" for label, value in lines]
    alt = f"{'; '.join(said)}."
    drawn.append(
        Chart("Calculated current against ratings", alt[:1].upper() + alt[1:],
              Levels(bars, lines, "A"))
    )  # fmt: skip
    return drawn


def _connected(group: Group, values: dict[str, float]) -> float:
    """What the group adds up to before its demand."""
    for key in (f"{group.key}_connected_va", f"{group.key}_general_va", f"{group.key}_season_va"):
        if key in values:
            return values[key]
    return sum(c.va.number for c in group.loads) if group.connected else 0.0


def _pairs_alt(rows: Sequence[tuple[str, float, float]]) -> str:
    said = "; ".join(
        f"{label} {rounded(before, 0):,} VA connected, {rounded(after, 0):,} VA demand" for label, before, after in rows
    )
    return f"{said}."
