"""The standard method of the family against a second implementation in plain arithmetic, over 2,000 random jobs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from fractions import Fraction
from math import isclose
from typing import Any

import pytest

from calc.codebook import open_codebook
from calc.families.dwelling_load import work
from calc.job.read import make_job
from calc.wiring.house import House
from calc.work import Refused, Sheet, Value, given
from tests.drawn import drawn
from tests.oracle import standard as second
from tests.oracle.jobs import EDITIONS, random_job
from tests.oracle.standard import Declined, standard

JOBS = drawn(2000)
BOOKS = {edition: open_codebook(edition) for edition in EDITIONS}
ABSENT = {"dryer_demand_va", "cooking_demand_va", "climate_va", "standard_service_a"}
"""Lines that a sheet lacks where the second implementation says 0: no such load, or nothing sold that large."""


def dwellings(
    seed: int, overrides: Mapping[str, float] | None = None
) -> Iterator[tuple[dict[str, Any], Sheet, str | None]]:
    """The job of a seed, the sheet of each of its dwellings, and the group of units that the sheet is about.

    The sheet of a whole building has a second implementation of its own.
    """
    said = random_job(seed)
    house = House(make_job(said), BOOKS[said["code"]["edition"]])
    worked = work(house.with_lines("dwelling-load", overrides or {}))
    sheets = [sheet for sheet in worked if not sheet.subject.endswith("whole building")]
    groups = [unit["name"] for unit in said["dwelling"].get("units", ())] or [None]
    for sheet, group in zip(sheets, groups, strict=True):
        yield said, sheet, group


def differences(said: dict[str, Any], sheet: Sheet, group: str | None) -> list[str]:
    """What the sheet and the second implementation say differently."""
    try:
        wanted = standard(said, said["code"]["edition"], group)
    except Declined as declined:
        return [] if sheet.refused and "neutral_va" not in sheet.results else [f"not refused: {declined}"]
    if sheet.refused:
        return [f"refused: {sheet.refused}"]
    got = sheet.results
    return [
        f"{key}: sheet {got.get(key)}, second {value}"
        for key, value in wanted.items()
        if not isclose(got.get(key, 0.0 if key in ABSENT else -1.0), value, rel_tol=1e-9, abs_tol=1e-6)
    ]


@pytest.mark.drawn
def test_both_agree_on_every_job() -> None:
    """Load, current, rating, neutral and number of circuits agree; refusals are for the same dwellings."""
    seen: Counter[str] = Counter()
    for seed in range(JOBS):
        for said, sheet, group in dwellings(seed):
            off = differences(said, sheet, group)
            assert not off, f"seed {seed}, {group or 'house'}, {said['code']['edition']}: {'; '.join(off)}"
            seen.update(_traits(said, sheet))
            if seed % 40 == 0:
                sheet.as_json()  # replayed, line by line
    rare = {trait: seen[trait] for trait in TRAITS if seen[trait] < TRAITS[trait] * JOBS / 2000}
    assert not rare, f"too few of these among the random jobs: {rare}"


TRAITS = {
    **dict.fromkeys(EDITIONS, 400), "120/240": 1000, "208Y/120": 500, "one-family": 1000, "two-family": 300,
    "multifamily": 300, "refused": 50, "heating_together": 50, "climate_side_with_motor": 20, "raised_motor_va": 5,
    "cooking_average_kw[all]": 100, "cooking_average_kw[column C]": 100, "cooking_smaller_kw": 300,
    "cooking_outside_table_va": 200, "small_fastened_va": 100, "fastened_counting_hp": 20, "neutral_motor_va": 50,
    "other_season_neutral_va": 100, "dryer_demand_va": 500,
}  # fmt: skip
"""How often each must come up among 2,000 jobs, at least, for the comparison to mean something."""


def _traits(said: dict[str, Any], sheet: Sheet) -> Iterator[str]:
    yield from (said["code"]["edition"], said["service"]["system"], said["dwelling"]["kind"])
    if sheet.refused:
        yield "refused"
    yield from sheet.results.keys() & TRAITS.keys()


def test_a_slip_in_any_group_is_seen() -> None:
    """Each group's demand left out of the sheet makes the two disagree."""
    for key in ("general_demand_va", "cooking_demand_va", "dryer_demand_va", "climate_va", "largest_motor_va"):
        with_it = [seed for seed in range(60) for _, sheet, _ in dwellings(seed) if sheet.results.get(key)]
        assert with_it
        for seed in with_it[:5]:
            assert any(differences(*dwelling) for dwelling in dwellings(seed, {key: 0.0})), (key, seed)


def number(n: int, unit: str = "") -> Value:
    return given("number", n, unit, "")


def test_each_cell_of_the_cooking_table_is_what_was_typed_a_second_time() -> None:
    """Percent of columns A and B, kilowatts of column C, for 1 to 80 appliances."""
    for n in range(1, 81):
        row = BOOKS["2023"].row("cooking_demand", appliances=number(n))
        each = row["column_c_each_kw"].number if row.has("column_c_each_kw") else 0
        assert row["column_a_pct"].number == second.percent(second.PERCENT_A, n, 30)
        assert row["column_b_pct"].number == second.percent(second.PERCENT_B, n, 16)
        assert row["column_c_kw"].number + n * each == second.column_c([Fraction(12)] * n)


@pytest.mark.parametrize("edition", EDITIONS)
def test_each_row_of_the_dryer_table_is_what_was_typed_a_second_time(edition: str) -> None:
    """Percent for 1 to 60 dryers, and the same rows missing in 2026."""
    for n in range(1, 61):
        try:
            percent = second.dryers([Fraction(5000)] * n, edition) / (n * 50)
        except Declined:
            with pytest.raises(Refused):
                BOOKS[edition].row("dryer_demand", dryers=number(n))
            continue
        assert BOOKS[edition].row("dryer_demand", dryers=number(n))["demand_pct"].number == percent


@pytest.mark.parametrize("edition", EDITIONS)
def test_each_rating_is_what_was_typed_a_second_time(edition: str) -> None:
    """The next standard rating and the next service that is sold, from each ampere; 10 A came in 2023."""
    standard_ratings = [10, *second.RATINGS] if edition >= "2023" else second.RATINGS
    for rule, ratings in (("standard_ratings", standard_ratings), ("services_sold", second.SOLD)):
        for amperes in range(1, ratings[-1] + 1):
            fits = next(rating for rating in ratings if rating >= amperes)
            assert BOOKS[edition].at_least(rule, number(amperes, "A")).number == fits
