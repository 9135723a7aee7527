"""Voltage drop: what each run loses on the way, alone and with all that lies upstream of it, and what would mend it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from calc.families.feeder.runs import worked
from calc.families.voltage_drop import advice, pictures
from calc.families.voltage_drop.methods import METHODS, Longest, all_lost
from calc.families.voltage_drop.path import Loaded, Path, loaded, path
from calc.families.voltage_drop.sizes import Candidates, sizes_table
from calc.families.voltage_drop.solve import candidates, circular_mils, size_for_limit
from calc.job import Job, Run
from calc.wiring.house import House, remembered
from calc.wiring.reading import blank_sheet, carry
from calc.wiring.tree import begins_at, live_runs, supply_of, upstream
from calc.work import Refused, Sheet, Value, whole
from calc.work.chart import Chart
from calc.work.table import Table

FAMILY = "voltage-drop"
TITLE = "Voltage drop"
PLACE = 3
TITLES = {
    "direct-current": "Voltage drop by direct-current resistance",
    "effective": "Voltage drop by effective impedance",
    "exact": "Voltage drop by exact solution",
}
Up = tuple[Run, Sheet]  # the run upstream and its sheet


def needs(job: Job) -> list[str]:
    """What the job lacks for this family, in words; empty where it has all."""
    return [] if upstream(job) else ["one or more [[runs]]"]


def work(house: House) -> list[Sheet]:
    """One sheet for each run, in the job's order."""
    return [run_sheet(house, house.job.run(name)) for name in house.told(upstream)]


def charts(house: House, sheets: Sequence[Sheet]) -> list[Chart]:
    """The drop along the tree, and against length for the sizes around that of the run that is nearest its limit."""
    tree = pictures.along_the_tree(house, sheets)
    worst = max((s for s in sheets if "size_for_limit" in s), key=lambda s: _used(house, s), default=None)
    length = None if worst is None else _against_length(house, worst)
    return [chart for chart in (tree, length) if chart is not None]


def tables(house: House) -> list[Table]:
    """Each run by the three methods; and the sizes that serve it, in each metal, with the drop of each."""
    found = [(run, worked(house, run)[1]) for run in house.told(live_runs)]
    sizes = [Candidates(run, sizing, drop_by_size(house, run)) for run, sizing in found if sizing is not None]
    by_size = [sizes_table(sizes)] if sizes else []
    return [pictures.by_method(work(house), house.job.code.readings.drop_method), *by_size]


def _used(house: House, sheet: Sheet) -> float:
    """The share of its limit that a run's drop takes."""
    limit = advice.limit(house.code, house.job.run(sheet.subject))
    assert limit is not None, "a sheet with a size for its limit has one"
    return sheet.value("drop_pct").number / limit.number


def _against_length(house: House, sheet: Sheet) -> Chart | None:
    it = loaded(house, house.job.run(sheet.subject))
    wires, limit, method = it.wires, advice.limit(house.code, it.run), house.job.code.readings.drop_method
    sizes = candidates(house.code, wires.metal)
    if limit is None or wires.size not in sizes:
        return None

    def drop_pct(size: str, length_ft: float) -> float | None:
        tried = replace(wires, size=size, length=replace(wires.length, number=length_ft))
        try:
            return alone(replace(it, wires=tried), method, None).value("drop_pct").number
        except Refused:  # no voltage would be left
            return None

    return pictures.against_length(sheet, wires.size, sizes, limit, wires.length.number, drop_pct)


def alone(loaded: Loaded, method: str, lost: Value | None) -> Sheet:
    """A sheet of its own with the run's own drop by one method: a size tried, another method. Raises Refused."""
    s = blank_sheet(FAMILY, TITLES[method], loaded.run.name, loaded.house.code)
    _drop(s, loaded, method, lost)
    return s


def drop_by_size(house: House, run: Run) -> Callable[[str, str], float | None]:
    """The run's own drop in percent for another size and metal, by the job's method; None where it can't be worked.

    Of the run alone, as if its supply were at nominal voltage. A neutral is taken as large as the other conductors.
    """
    try:
        it = loaded(house, run)
    except Refused:
        return lambda size, metal: None

    def drop_pct(size: str, metal: str) -> float | None:
        wires = replace(it.wires, size=size, neutral_size=it.wires.neutral_size and size, metal=metal)
        try:
            return alone(replace(it, wires=wires), house.job.code.readings.drop_method, None).value("drop_pct").number
        except Refused:  # no voltage would be left
            return None

    return drop_pct


def _drop(sheet: Sheet, loaded: Loaded, method: str, lost: Value | None) -> tuple[Path, Longest]:
    """Lines for the run's own drop, in volts and in percent; its path and how to find its longest length."""
    way = path(sheet, loaded, lost if method == "exact" else None)
    drop, longest = METHODS[method](sheet, loaded.house.code, way)
    if drop.number >= way.base.number:
        raise all_lost(way)
    sheet.line("drop_pct", drop / way.base)
    return way, longest


@remembered
def run_sheet(house: House, run: Run) -> Sheet:
    """The sheet of one run that is not removed."""
    above = house.told(supply_of, run)
    up = None if above is None else (above, run_sheet(house, above))
    method = house.job.code.readings.drop_method
    s = house.sheet(FAMILY, TITLES[method], run.name)
    with s.up_to_a_refusal():
        it, lost = loaded(house, run), _lost(s, up)
        way, longest = _drop(s, it, method, lost)
        _beside(s, it, method, lost)
        total = _total(s, run, up)
        limit = advice.limit(house.code, run)
        size, most = "", ""
        if limit is not None:
            size = size_for_limit(
                s, house.code, it.wires.metal, limit,
                lambda size: alone(replace(it, wires=replace(it.wires, size=size)), method, lost),
            )  # fmt: skip
            if method == "direct-current":
                circular_mils(s, house.code, way, limit)
            longest_run = s.line("longest_run_ft", whole(longest(limit), "down"))
            most = f"{longest_run.number:,.0f} ft"
        unsaid = house.told(begins_at, run)
        advice.judge(s, house.code, run, total, f"{size} or larger, or a run of {most} at most", unsaid)
    _cautions(s, run)
    return s


def _beside(sheet: Sheet, loaded: Loaded, method: str, lost: Value | None) -> None:
    """The drop by the methods not chosen, each from a sheet of its own; and of a multiwire run with both legs alike."""
    for other in METHODS:
        if other != method:
            try:
                sheet.line(f"{other.replace('-', '_')}_drop_v", _drop_of(alone(loaded, other, lost)))
            except Refused as refusal:
                sheet.remark("note_no_other", method=TITLES[other], reason=refusal.reason)
    if loaded.run.multiwire and loaded.neutral is None:
        sheet.line("balanced_drop_v", _drop_of(alone(replace(loaded, alike=True), method, lost)))


def _drop_of(other: Sheet) -> Value:
    return carry(other, "drop_v", other.title[0].lower() + other.title[1:])


def _lost(sheet: Sheet, up: Up | None) -> Value | None:
    """What is lost upstream, from the utility on, in percent; None at the start, and where it is not known."""
    if up is None:
        return None
    run, above = up
    if above.refused is not None:
        sheet.remark("note_upstream_unknown", run=run.name, status=above.refused.status)
        return None
    return _carried(above, "from_utility_pct" if "from_utility_pct" in above else "total_drop_pct")


def _carried(sheet: Sheet, key: str) -> Value:
    return carry(sheet, key, f"{sheet.words.text(key, 'name')} of {sheet.subject}")


def _total(sheet: Sheet, run: Run, up: Up | None) -> Value:
    """Percent lost in feeders and branch circuits; where service conductors are described, from the utility too."""
    own = sheet.value("drop_pct")
    if up is None:
        return sheet.line("total_drop_pct", own)
    above, sheet_above = up
    if advice.supply(above) == advice.supply(run):
        if sheet_above.refused is not None:
            raise sheet_above.refused.under(f"The total is not known without that of {above.name}: ")
        total = sheet.line("total_drop_pct", _carried(sheet_above, "total_drop_pct") + own)
        if "from_utility_pct" in sheet_above:
            sheet.line("from_utility_pct", _carried(sheet_above, "from_utility_pct") + own)
        return total
    total = sheet.line("total_drop_pct", own)
    if sheet_above.refused is None:
        sheet.line("from_utility_pct", _carried(sheet_above, "total_drop_pct") + total)
    return total


def _cautions(sheet: Sheet, run: Run) -> None:
    sheet.caution("caution_advice")
    sheet.caution("caution_ampacity")
    if run.wiring_method == "overhead":
        sheet.caution("caution_overhead", run=run.name)
