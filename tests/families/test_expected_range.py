"""Rules of thumb: the estimate beside a main result holds for real houses, and an absurd entry falls out of it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from calc.families import families
from calc.job import Job, changed, read_job
from calc.show.html import sheet_html
from calc.wiring.house import House
from calc.wiring.reading import WORDS, codebook_for
from calc.work import Words, as_text

JOBS = sorted((Path(__file__).parents[2] / "notebooks" / "jobs").glob("*.toml"))
CASK = read_job(next(path for path in JOBS if path.stem == "cask-lane-27-new-service"))


def sheets(job: Job) -> list[dict[str, Any]]:
    code = codebook_for(job)
    ready = {name: family for name, family in families().items() if not family.needs(job)}
    return [sheet.as_json() for family in ready.values() for sheet in family.work(House(job, code))]


def outside(job: Job) -> set[str]:
    """The lines whose result is outside their rough range."""
    lines = [line for sheet in sheets(job) for line in sheet["lines"] if line["expected_range"]]
    return {line["key"] for line in lines if line["expected_range"]["outside"]}


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_estimates_hold_for_the_demo_houses(path: Path) -> None:
    assert outside(read_job(path)) == set()


@pytest.mark.parametrize(
    ("changes", "noticed"),
    [
        ({"dwelling.floor_area_ft2": 14_800}, {"optional_va", "general_circuits_15a"}),  # one digit too many
        ({"dwelling.floor_area_ft2": 148}, {"optional_va", "standard_va"}),  # one too few
    ],
)
def test_a_digit_too_many_or_too_few_is_noticed(changes: dict[str, Any], noticed: set[str]) -> None:
    assert noticed <= outside(changed(CASK, changes))


def test_an_estimate_is_printed_beside_its_result_and_is_no_verdict() -> None:
    job = changed(CASK, {"dwelling.floor_area_ft2": 14_800})
    plain, absurd = (next(sheet for sheet in sheets(each) if "optional_va" in sheet["results"]) for each in (CASK, job))
    for show in (as_text, sheet_html):
        of_plain, of_absurd = (" ".join(show(sheet).split()) for sheet in (plain, absurd))
        assert "expect roughly 5,200 to 67,000 VA" in of_plain
        assert "so look at the entries again" in of_absurd
        assert "so look at the entries again" not in of_plain
        assert "Common practice, no source" in of_plain
    assert [check["key"] for check in plain["checks"]] == [check["key"] for check in absurd["checks"]]


def test_each_rule_of_thumb_says_what_it_rests_on() -> None:
    """A range and its basis in a sentence, in every words file; a family may have none where no honest rule exists."""
    having = set()
    for path in WORDS.glob("*.toml"):
        for key, entry in Words(path).entries.items():
            if expected_range := entry.get("expected_range"):
                having.add(path.stem)
                assert expected_range.keys() <= {"low", "high", "for_each", "basis"}, key
                assert 0 <= expected_range.get("low", 0) < expected_range["high"], key
                assert expected_range["basis"].endswith("."), key
    assert set(families()) - having == {"grounding", "raceway", "rough-in", "panels"}
