"""The load summary that a permit office reads first, and the charts: drawn from the worked sheet, never worked anew."""

from __future__ import annotations

from typing import Any

from calc.codebook import Codebook
from calc.families.charting import Chart
from calc.families.dwelling_load.demand import Demand, Group
from calc.families.dwelling_load.unit import DwellingUnit
from calc.job import Job
from calc.job.loads import Load
from calc.work import Sheet

COLUMNS = ("Item", "Section", "Existing VA", "New VA", "Removed VA", "Demand factor", "Demand VA")
STATUS_COLUMN = {"existing": 2, "new": 3, "removed": 4}


def front(job: Job, code: Codebook, unit: DwellingUnit, s: Sheet, demand: Demand) -> dict[str, Any]:
    """Page 1 of the packet, in the public form that `calc.packet` typesets."""
    shown = {line["key"]: line for line in s.as_json()["lines"]}
    return {
        "title": "Electrical load summary",
        "facts": _facts(job, code),
        "table": {
            "columns": [
                {"name": name, "align": "left" if at in (0, 1, 5) else "right"} for at, name in enumerate(COLUMNS)
            ],
            "rows": [*_general_rows(job, s, shown), *_load_rows(demand, shown), *_removed_rows(job)],
        },
        "totals": _totals(job, shown),
        "verdict": "REFUSED" if s.refused else "PASS" if s.passes else "FALLS SHORT",
        "verdict_detail": _detail(s, shown),
        "preparer": [["Prepared by", job.job.prepared_by or ""], ["License", job.job.license or ""]],
    }


def _facts(job: Job, code: Codebook) -> list[list[str]]:
    adopted = f"{job.code.basis} {job.code.edition}" + (f", {job.code.adopted_as}" if job.code.adopted_as else "")
    facts = [
        ("Site", job.job.address), ("Permit", job.job.permit_number), ("Jurisdiction", job.job.jurisdiction),
        ("Owner", job.job.owner), ("Contractor", job.job.contractor), ("Edition adopted", adopted),
        ("Amendments", ", ".join(code.amendments) or "none"),
        ("Method", f"Standard method, {code.cite('standard_method').section}"),
    ]  # fmt: skip
    return [[label, text] for label, text in facts if text]


def _general_rows(job: Job, s: Sheet, shown: dict[str, Any]) -> list[list[str]]:
    assert job.dwelling is not None
    status = "existing" if job.dwelling.status == "existing" else "new"
    rows = []
    for key in ("general_lighting_va", "small_appliances_va", "laundry_va"):
        if key in shown:
            line = shown[key]
            rows.append(
                _row(f"{line['name'].capitalize()}, {line['numbers']}", line["sections"], status, line["result"])
            )
    if "general_demand_va" in shown:
        line = shown["general_demand_va"]
        factor = line["numbers"].partition(": ")[2].rstrip(")")
        rows.append(_demand_row("General load after demand", line, factor))
    return rows


def _load_rows(demand: Demand, shown: dict[str, Any]) -> list[list[str]]:
    rows = []
    for group in demand.groups:
        if group.key == "general":
            continue
        line = shown[group.value.at]
        if group.connected:
            rows += [_load_row(counted.load) for counted in group.loads]
        rows.append(_demand_row(line["name"].partition(":")[0].capitalize(), line, _factor(group, shown)))
    return rows


def _factor(group: Group, shown: dict[str, Any]) -> str:
    if group.key in ("fastened", "dryers"):
        percent = shown["fastened_demand_pct" if group.key == "fastened" else "dryer_demand_pct"]
        return str(percent["result"])
    if group.key == "cooking":
        row = next((line for key, line in shown.items() if key.startswith("cooking_column_c_row_kw")), None)
        return row["sections"][0] if row else "100 %"
    if group.key == "motor":
        return str(shown["largest_motor_va"]["numbers"]).rpartition(" x ")[2] + " of the largest"
    return "100 %"


def _removed_rows(job: Job) -> list[list[str]]:
    return [_load_row(load) for load in job.loads if load.status == "removed"]


def _load_row(load: Load) -> list[str]:
    name = f"{load.name}, {load.count} x {load.va:,.0f}" if load.count > 1 else load.name
    return _row(name, [], load.status, f"{load.total_va:,.0f}")


def _row(name: str, sections: list[str], status: str, va: str) -> list[str]:
    row = [name, ", ".join(sections), "", "", "", "", ""]
    row[STATUS_COLUMN[status]] = va.removesuffix(" VA")
    return row


def _demand_row(name: str, line: dict[str, Any], factor: str) -> list[str]:
    return [name, ", ".join(line["sections"]), "", "", "", factor, str(line["result"]).removesuffix(" VA")]


def _totals(job: Job, shown: dict[str, Any]) -> list[list[str]]:
    service, panels = job.service, job.panels
    bus = next((panel.bus_a for panel in panels if panel.service_equipment and panel.bus_a), None)
    entries = [
        ("Total load", _result(shown, "standard_va")),
        ("Calculated current", _result(shown, "standard_a")),
        ("Neutral current", _result(shown, "neutral_a")),
        ("Service rating", _result(shown, "service_rating_a")),
        ("Main breaker", f"{service.main_a} A" if service and service.main_a else ""),
        ("Bus rating", f"{bus} A" if bus else ""),
        ("Smallest service sold that serves", _result(shown, "standard_service_a")),
    ]
    return [[label, text] for label, text in entries if text]


def _result(shown: dict[str, Any], key: str) -> str:
    return str(shown[key]["result"]) if key in shown else ""


def _detail(s: Sheet, shown: dict[str, Any]) -> str:
    if s.refused:
        return s.refused.reason
    check = next((check for check in s.as_json()["checks"] if check["key"] == "service_serves"), None)
    if check is None:
        return f"calculated current {_result(shown, 'standard_a')}"
    if check["passes"]:
        return f"service {check['holds'].replace(' >= ', ' covers ')}"
    return f"service {check['holds'].replace(' >= ', ' is under ')}; to mend it: {check['mend']}"


def charts(s: Sheet, demand: Demand) -> list[Chart]:
    """From connected to demand load by group, and the calculated current against ratings."""
    rows = [[s.words.text(f"group_{g.key}", "name"), _connected(s, g), round(g.value.number, 1)] for g in demand.groups]
    total = s.value("standard_va").number
    found = [Chart("pairs", "From connected load to demand load", _pairs_alt(rows, total),
                   {"rows": rows, "before": "connected", "after": "demand", "unit": "VA"})]  # fmt: skip
    lines = [
        [label, s.value(key).number]
        for key, label in (("standard_standard_rating_a", "standard rating"), ("service_rating_a", "service"))
        if any(line.key == key for line in s.lines)
    ]
    amperes = s.value("standard_a").number
    alt = (
        f"Calculated current {amperes:,.1f} A; " + "; ".join(f"{label} {value:,.0f} A" for label, value in lines) + "."
    )
    bars = [["calculated current", round(amperes, 1)], ["neutral current", round(s.value("neutral_a").number, 1)]]
    found.append(
        Chart("levels", "Calculated current against ratings", alt, {"bars": bars, "lines": lines, "unit": "A"})
    )
    return found


def _connected(s: Sheet, group: Group) -> float:
    if group.key == "general":
        return s.value("general_connected_va").number
    return sum(counted.load.total_va for counted in group.loads) if group.connected else 0.0


def _pairs_alt(rows: list[list[Any]], total: float) -> str:
    said = "; ".join(f"{label} {before:,.0f} VA connected, {after:,.0f} VA demand" for label, before, after in rows)
    return f"{said}. Total demand {total:,.0f} VA."
