"""Connected and demand load of the service and of each panel as one table."""

from __future__ import annotations

from calc.families import dwelling_load
from calc.families.branch_circuits.beside import Beside, beside, connected_va
from calc.wiring.house import House
from calc.wiring.tree import live_panels
from calc.work.printing import rounded
from calc.work.table import Table, columns


def loads_beside(house: House) -> Table:
    """A row for the service, where its load is worked, and one a panel."""
    rows = [_row("Service", _of_service(house))] if not dwelling_load.needs(house.job) else []
    rows += [_row(panel.name, beside(house, panel)) for panel in house.told(live_panels)]
    return Table(
        title="Connected and demand load",
        intro="Connected load is what all nameplates add up to; demand is what a service, feeder or panel is sized for.",
        columns=columns("Where", "Connected, VA", "Demand, VA", "Demand, A", "What the demand is", right=(1, 2, 3)),
        rows=rows,
        notes=["General lighting and receptacles have no nameplate: they count by floor area, in the demand alone."],
    )


def _row(name: str, both: Beside) -> list[str]:
    demand = f"{rounded(both.demand_va, 0):,}" if both.demand_va is not None else "-"
    amperes = f"{both.demand_a:,.1f}" if both.demand_a is not None else "-"
    return [name, f"{rounded(both.connected_va, 0):,}", demand, amperes, both.why]


def _of_service(house: House) -> Beside:
    """All of the job's loads, and the load by the method that sizes the service."""
    method = house.job.service.load_method if house.job.service else "standard"
    connected = connected_va(house.job)
    found = dwelling_load.work(house)[0].results
    if f"{method}_a" not in found:
        return Beside(connected, None, None, "the dwelling load is not worked")
    return Beside(connected, found.get(f"{method}_va"), found[f"{method}_a"],
                  f"the {method} method: demand factors, and general lighting by area")  # fmt: skip
