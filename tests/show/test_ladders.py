"""The ampacities of all runs in one chart: a row for each, no text on another, within its box."""

from __future__ import annotations

import pytest

from calc.families import families
from calc.show.charts import draw
from calc.wiring.tree import live_runs
from calc.work.chart import Ladders
from tests.documents.houses import demo, large
from tests.show.test_one_line import assert_sound


@pytest.mark.parametrize("name", ["fernhollow-lot-14", "tinkers-row-4", "large"])
def test_every_run_is_one_row(name: str) -> None:
    """The ampacity is 100 %, and the least of the rungs is that; however many runs, each drawing fits a page."""
    house, _ = large() if name == "large" else demo(name)
    charts = families()["feeder"].charts(house, [])
    rows = []
    for chart in charts:
        assert isinstance(chart.data, Ladders)
        assert_sound(draw(chart))
        rows += chart.data.rows
    assert len(charts) == 1 or name == "large"
    assert len(rows) == len(live_runs(house.whole_job))
    for label, places in rows:
        assert min(places[:4]) == pytest.approx(100, abs=0.01), label
