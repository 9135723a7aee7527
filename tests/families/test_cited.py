"""What a step rests on stays what it rests on, and whatever doesn't pass says what would mend it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from calc.families import families
from tests import houses
from tests.families.cited import FILES, cited, fence, sheets


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_each_step_cites_the_rules_that_it_rests_on(path: Path) -> None:
    """A step that lost its section can't be looked up; see tests/families/cited.py for what to do about a meant change."""
    for key, rules, ready in cited(path):
        assert key in fence(), f"{key} is new: python -m tests.families.cited writes it"
        always, most, remedy = fence()[key]
        assert ready or not remedy, f"{key} has no remedy ready"
        assert always <= rules <= most, f"{key}: cites {sorted(rules)}, not {sorted(always)} and of {sorted(most)}"


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_each_check_that_fails_says_its_remedy_and_each_open_requirement_its_entry(path: Path) -> None:
    for sheet in sheets(path):
        for check in sheet.checks:
            assert check.remedy or check.holds.holds, f"{sheet.family}: {check.key}"
        for each in sheet.unknowns:
            assert each.missing, f"{sheet.family}: {each.key}"
            assert each.at, f"{sheet.family}: {each.key}"


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_no_text_of_a_sheet_has_a_place_that_was_not_filled(path: Path) -> None:
    for sheet in sheets(path):
        made = (*sheet.lines, *sheet.checks, *sheet.unknowns)
        texts = [text for each in made for text in (each.name, each.reason)]
        for text in (*texts, *sheet.cautions, *(text for _, text in sheet.remarks)):
            assert not re.search(r"\{\w+\}", text), f"{sheet.family}: {text}"


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_each_row_of_a_table_says_what_it_is_about_and_fills_its_columns(path: Path) -> None:
    house = houses.at(path)
    for family in families().values():
        for table in () if family.needs(house.whole_job) else family.tables(house):
            for row in table.rows:
                assert len(row) == len(table.columns), (table.title, row)
                assert str(row[0]).strip(), (table.title, row)
