"""Each table cell and rule value stands twice; a change of any one of them is noticed, by its meaning."""

from __future__ import annotations

from dataclasses import replace

import pytest

from calc.codebook import open_codebook
from calc.codebook.files import edition
from tests.codebook.second_reading import __main__ as writer
from tests.codebook.second_reading import compare
from tests.mutants import data


def test_the_codebook_agrees_with_its_second_reading() -> None:
    """What pages say that were gathered apart from it, and the fence around what none of them says."""
    assert compare.all_differences() == []


def test_the_fence_holds_what_no_page_confirms_and_nothing_else() -> None:
    """After a deliberate change: python -m tests.codebook.second_reading, and read the difference."""
    stands = compare.FIXED.read_text(encoding="utf-8") == writer.text()
    assert stands, "the codebook has changed: if you meant it, python -m tests.codebook.second_reading"


@pytest.fixture(scope="module")
def judged() -> list[data.Mutant]:
    return list(data.mutants())


def test_each_changed_cell_and_value_is_noticed(judged: list[data.Mutant]) -> None:
    """Every mutant of a cell, a value, a band, a member or a section number, one at a time, in memory."""
    assert len(judged) > 10_000
    assert [one.where for one in judged if not one.noticed] == []


def test_most_cells_and_all_bands_stand_against_a_page(judged: list[data.Mutant]) -> None:
    """The fence is for what no page confirms: of cells seven in ten, of values half, of bands each."""
    for kind, least in (("cell", 0.7), ("value", 0.5), ("band", 1.0)):
        of_kind = [one for one in judged if one.kind == kind]
        assert sum(one.noticed == "gathered" for one in of_kind) / len(of_kind) >= least, kind


def test_a_section_is_compared_as_it_is_written() -> None:
    """250.140 is another section than 250.14, though the numbers are one."""
    rule = replace(edition("2023").rules["old_cord_connection"], section="250.14, exception")
    assert "old_cord_connection, section" in " ".join(said for _, said in compare.rule_differences("old_cord_connection", "2023", rule))  # fmt: skip
    plain = replace(edition("2023").rules["new_cord_connection"], section="250.14")
    assert list(compare.rule_differences("new_cord_connection", "2023", plain))


@pytest.mark.parametrize(
    ("rule", "year", "value"),
    [("unit_load", "2026", 2), ("ground_fault_outdoor", "2023", 50), ("ground_fault_outdoor", "2026", 60), ("cooking_column_b_limit", "2017", 8.75)],
)  # fmt: skip
def test_what_is_read_a_second_time_is_what_families_get(rule: str, year: str, value: float) -> None:
    assert float(compare.gathered_field(rule, year, "value") or 0) == value
    assert edition(year).rules[rule].value == value
    assert open_codebook(year).has(rule)
