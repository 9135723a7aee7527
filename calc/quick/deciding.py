"""What decides an answer: the same small job worked again with the next size, so that one sees what it would change."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module

from calc.job import SIZES, changed
from calc.quick.reading import Reading
from calc.wiring.house import House
from calc.wiring.wires import called
from calc.work import Sheet


def a_size_larger(reading: Reading, house: House, sheet: Sheet) -> str:
    """What the next larger size would bring: '10 AWG: 5.66 % becomes 3.55 %'."""
    return _with(house, sheet, lambda size: SIZES[SIZES.index(size) + 1 :][:1])


def a_size_smaller(reading: Reading, house: House, sheet: Sheet) -> str:
    """What the next smaller size would bring."""
    return _with(house, sheet, lambda size: SIZES[: SIZES.index(size)][-1:])


def _with(house: House, sheet: Sheet, beside: Callable[[str], tuple[str, ...]]) -> str:
    run = house.whole_job.runs[0]
    for size in beside(run.given_size):
        change = {"runs[1].size": size, "runs[1].cable": None, "runs[1].material": run.metal,
                  "runs[1].wiring_method": run.wiring_method or (run.cable.kind if run.cable else None)}  # fmt: skip
        other = House.of(changed(house.whole_job, change))
        tried: list[Sheet] = import_module("calc.families.voltage_drop").work(other)
        drops = [_percent(one) for one in (sheet, tried[0])]
        return f"{called(size)}: {drops[0]} becomes {drops[1]}" if all(drops) else ""
    return ""


def _percent(sheet: Sheet) -> str:
    return str(next((line["result"] for line in sheet.as_json()["lines"] if line["key"] == "drop_pct"), ""))
