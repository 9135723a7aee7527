"""What is added to a house that stands: by which methods it fits, the measured demand, and what the work brings with it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from calc.documents.house import amounts
from calc.families import dwelling_load
from calc.job import Load, MeasuredDemand
from calc.verdict.standing import Standing
from calc.wiring.house import House, remembered
from calc.work.document import Facts, Part, Section
from calc.work.summary import Fact
from calc.work.table import Table, weighed

SET_TO = "Set to, A"
"""What a charger may be set to; nothing else has it."""


def additions(house: House, standing: Standing) -> Iterator[Section]:
    """Sections about work on an existing dwelling, as far as the scope has them."""
    equipment = markings(house, standing)
    if equipment is not None:
        yield Section("New equipment and its markings", [equipment])
    if _added_to(house, standing) and (brought := _compared(house)[2:]):
        yield Section("What the work brings with it", [replace(table, title="") for table in brought])


def methods(house: House, standing: Standing) -> list[Part]:
    """What each method says of an existing dwelling, and the record of its demand; nothing where the load isn't in scope."""
    if not _added_to(house, standing):
        return []
    heads = weighed(
        ("Method", 30), ("Calculated current, and the service that it takes or what it says of the one there", 60)
    )
    table = replace(_compared(house)[0], title="By each method", intro="", columns=heads)
    record = measured(house)
    return [table, *([Facts(record, "Measured demand")] if record else [])]


def _added_to(house: House, standing: Standing) -> bool:
    dwelling = house.job.dwelling
    return dwelling is not None and dwelling.status == "existing" and bool(standing.sheets.get(dwelling_load.FAMILY))


@remembered
def _compared(house: House) -> list[Table]:
    return dwelling_load.compared(house.whole_job, [house.code.edition])


def markings(house: House, standing: Standing) -> Table | None:
    """The new equipment of the circuits in scope with what its nameplate says, where there is more to it than its load, or
    where it comes to a house that stands."""
    covered = {s.subject for s in standing.sheets.get("branch-circuits", ())}
    added = [load for load in house.job.loads if load.status == "new" and {load.name, load.circuit} & covered]
    old = any(load.status == "existing" for load in house.job.loads) and bool(standing.sheets.get(dwelling_load.FAMILY))
    marked = [load for load in added if old or load.mca_a or load.mocp_a or load.setting_a]
    if not marked or not (old or house.job.dwelling is None):
        return None
    heads = weighed(
        ("Equipment", 30), ("Circuit", 26), ("Load, VA", 13, "right"), ("Volts", 9, "right"), ("Least circuit, A", 14, "right"),
        ("Largest breaker, A", 15, "right"), (SET_TO, 12, "right"), ("Disconnect in sight", 16),
    )  # fmt: skip
    rows = [_marked(load) for load in marked]
    told = [at for at in range(len(heads)) if any(row[at] for row in rows)]
    set_to = {
        at for at, head in enumerate(heads) if head.name == SET_TO and all(load.kind != "ev-supply" for load in marked)
    }
    silent = [heads[at].name.partition(",")[0].lower() for at in range(4, len(heads)) if at not in {*told, *set_to}]
    notes = [f"Not stated: {', '.join(silent)}."] if silent else []
    return Table("", [heads[at] for at in told], [[row[at] for at in told] for row in rows], notes=notes)


def _marked(load: Load) -> list[str]:
    setting = "" if load.setting_a is None else f"{load.setting_a:g}{', locked' if load.setting_locked else ''}"
    sight = {True: "yes", False: "no", None: ""}[load.disconnect_in_sight]
    named = f"{load.name}, {load.count} alike" if load.count > 1 else load.name
    return [named, load.circuit or "", amounts.whole_va(load.va), f"{load.volts}", _amperes(load.mca_a), _amperes(load.mocp_a),
            setting, sight]  # fmt: skip


def _amperes(amperes: float | None) -> str:
    return "" if amperes is None else amounts.rating_a(amperes)


def measured(house: House) -> list[Fact]:
    """Who recorded which demand, when and how; nothing where the job has no record."""
    said = house.job.measured_demand
    if said is None:
        return []
    dates = f"{said.from_date} to {said.to_date}" if said.from_date and said.to_date else "not stated"
    return [
        ("Record", f"{said.method.replace('-', ' ')}, {dates}"), ("Highest", _highest(said)),
        ("Recorded by", said.recorded_by or "not stated"), ("Occupied as usual", _yes(said.occupied)),
        ("Seasonal load added", "not stated" if said.seasonal_added_va is None else f"{amounts.whole_va(said.seasonal_added_va)} VA"),
        ("Generation", _yes(said.generation_or_shaving)),
    ]  # fmt: skip


def _highest(said: MeasuredDemand) -> str:
    amount = (
        f"{said.peak_kw:g} kW" if said.peak_kw is not None else f"{said.peak_a:g} A" if said.peak_a is not None else ""
    )
    source = amount or f"by the readings in {said.readings_file}"
    return f"{source}, intervals of {said.interval_min} min" if said.interval_min else source


def _yes(answer: bool | None) -> str:
    return {True: "yes", False: "no", None: "not stated"}[answer]
