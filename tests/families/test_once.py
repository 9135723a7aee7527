"""Work that is asked for twice is done once, for the same job and code only."""

from __future__ import annotations

from calc.families import feeder, voltage_drop
from calc.wiring.once import once
from calc.wiring.reading import codebook_for
from tests.families.runs import LUGS_75, job, run


def test_the_same_things_are_worked_once_and_equal_ones_anew() -> None:
    asked: list[object] = []

    @once
    def worked(thing: object, overrides: dict[str, float] | None = None) -> int:
        asked.append(thing)
        return len(asked)

    first, twin = [1], [1]
    assert (worked(first), worked(first), worked(twin)) == (1, 1, 2)
    assert (worked(first, {}), worked(first, {})) == (3, 4)  # lines replaced: another sheet each time
    assert worked(first) == 1


def test_sheets_asked_for_twice_are_the_same_and_lines_replaced_leave_them_alone() -> None:
    it = job(run(size="8", calculated_a=30, length_ft=50, **LUGS_75), "2023")
    code = codebook_for(it)
    (sheet,) = feeder.work(it, code)
    assert feeder.work(it, code) == [sheet]
    (other,) = feeder.work(it, code, {"calculated_a": 35.0})
    assert (other.results["calculated_a"], sheet.results["calculated_a"]) == (35, 30)
    assert voltage_drop.work(it, code) is voltage_drop.work(it, code)
