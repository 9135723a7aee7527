"""The result beside the entry: which sheet, the check with the least to spare, and what an edit changed."""

from __future__ import annotations

from functools import cache

from calc.families import families
from calc.job import changed, read_job
from calc.show.beside import changes, sheet_about, tightest
from calc.wiring.house import House
from calc.work import Sheet
from calc.workplace import shipped_notebooks


@cache
def house() -> House:
    return House.of(read_job(shipped_notebooks() / "jobs" / "fernhollow-lot-12.toml"))


def sheets(of: House, family: str) -> list[Sheet]:
    return list(families()[family].work(of))


def about(name: str, family: str) -> Sheet:
    found = sheet_about(sheets(house(), family), name, 0)
    assert found is not None
    return found


def test_the_sheet_is_that_of_the_entry_or_else_the_one_in_view() -> None:
    assert about("R9 attic hole", "feeder").subject == "R9 attic hole"
    assert about("nobody", "feeder").subject == "R1 service"
    assert sheet_about([], "R9", 0) is None


def test_the_tightest_check_is_told_with_its_margin() -> None:
    """20 A behind conductors good for 18.3 A is 9 % beyond; a count has no margin, so a cable's conductors are not told."""
    assert tightest(about("R9 attic hole", "feeder")) == (
        "breaker protects the conductors: 20 A, at most 18.3 A allowed (9% beyond)"
    )
    assert "to spare)" in tightest(about("R2 feeder", "feeder"))
    assert "3 conductors" not in tightest(about("R2 feeder", "feeder"))


def test_a_margin_of_percent_is_told() -> None:
    assert "% beyond)" in tightest(about("R10 far bedroom", "voltage-drop"))


def test_each_line_that_an_edit_changed_is_told_before_and_now() -> None:
    before = about("R2 feeder", "feeder").as_json()
    job = changed(house().whole_job, {"runs[2].calculated_a": 150})
    now = sheet_about(sheets(house().after(job), "feeder"), "R2 feeder", 0)
    assert now is not None
    assert ("calculated current", "164.3 A", "150 A") in changes(before, now.as_json())
    assert changes(before, before) == []
    assert changes(None, before) == []
