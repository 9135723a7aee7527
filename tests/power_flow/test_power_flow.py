"""Voltage drop against a power-flow solution: the exact method agrees, the approximate ones stand off as far as they may."""

from __future__ import annotations

import pytest

pytest.importorskip("opendssdirect", reason="OpenDSSDirect.py is not installed")

from tests.power_flow.cases import Case, singles, trees
from tests.power_flow.compare import offsets

CASES = [*singles(), *trees()]


def test_there_are_thirty_runs_and_trees() -> None:
    assert len(CASES) >= 30


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_exact_solution_agrees(case: Case) -> None:
    """Total drop at the end of each run, within 0.1 % of nominal voltage.

    It is within 0.001 % but for what the names of voltages leave open (a wye has 120 V to the neutral by name and
    120.09 V by its 208) and a neutral whose current stands a little off its leg's.
    """
    for offset in offsets(case):
        assert abs(offset.off_pct["exact"]) < 0.02, offset


def test_where_the_approximate_methods_mislead() -> None:
    """Direct current misses reactance in large conductors and the power factor in small ones; impedance rounds."""
    off = {offset.case: offset for case in singles() for offset in offsets(case)}
    large, small, printed = (
        off[name]
        for name in (
            "240 V, 500 cu in steel, 500 ft, 350 A, 0.7",
            "120 V, 12 cu, 60 ft, 16 A, 0.6",
            "120 V, 10 cu in steel, 90 ft, 20 A, 0.85",
        )
    )
    assert large.off_pct["direct-current"] < -0.5 * large.solved_pct, "more than half of the drop is missed"
    assert small.off_pct["direct-current"] > 0.5 * small.solved_pct, "half of the drop is added"
    assert 0.03 < printed.off_pct["effective"] / printed.solved_pct < 0.05, "1.1 is printed for 1.053"
    usual = [o for o in off.values() if o.solved_pct < 5 and "0.85" not in o.case and "wye" not in o.case]
    assert all(abs(o.off_pct["effective"]) < 0.05 for o in usual), "elsewhere it stands within 0.05 % of nominal"
