"""What a list of many jobs says of each: its address, its permit, and the check with the least left of its limit."""

from __future__ import annotations

import pytest

from calc.documents.permit import permit_set
from calc.job import changed
from calc.wiring.house import House
from tests import houses


@pytest.fixture(scope="module")
def house() -> House:
    return houses.demo("cask-lane-27")


def test_the_least_margin_is_that_of_the_worst_check_and_negative_where_it_falls_short(house: House) -> None:
    """124 A on a service of 100 A: 24 % too little, and no check is worse."""
    figures = permit_set(house).figures
    assert (figures["address"], figures["tightest"], figures["margin_pct"]) == (
        "27 Cask Lane, Old Ferrow", "The house: service serves the calculated load", -24)  # fmt: skip
    larger = permit_set(
        house.with_job(changed(house.whole_job, {"service.rating_a": 150, "service.main_a": 150}))
    ).figures
    assert larger["margin_pct"] >= 0  # type: ignore[operator]


def test_a_job_without_a_permit_number_has_none_in_its_figures(house: House) -> None:
    assert "permit_number" not in permit_set(house).figures
    with_number = house.with_job(changed(house.whole_job, {"job.permit_number": "OF-26-1"}))
    assert permit_set(with_number).figures["permit_number"] == "OF-26-1"
