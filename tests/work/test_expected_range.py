"""The rough range of a result: worked from a rule of thumb, to two figures."""

from __future__ import annotations

import pytest

from calc.work import constant, given
from calc.work.expected_range import expected

AREA = given("floor area", 3240, "ft2", "dwelling.floor_area_ft2")
THUMB = {"low": 4, "high": 45, "for_each": "dwelling.floor_area_ft2", "basis": "So it is."}


@pytest.mark.parametrize(("load", "outside"), [(60_485, False), (13_000, False), (12_999, True), (150_001, True)])
def test_range_is_the_rule_times_its_quantity(load: float, outside: bool) -> None:
    found = expected(constant("load", load, "VA"), THUMB, [AREA])
    assert found is not None
    assert (found.low, found.high, found.outside) == (13_000, 150_000, outside)
    assert found.text.startswith("expect roughly 13,000 to 150,000 VA")
    assert found.text.endswith("look at the entries again") == outside


def test_without_low_end_only_much_is_noticed() -> None:
    found = expected(constant("drop", 0.01, "%"), {"high": 10, "basis": "So it is."}, [])
    assert found is not None
    assert (found.text, found.outside) == ("expect roughly up to 10 %", False)


def test_none_without_a_rule_a_number_or_its_quantity() -> None:
    load = constant("load", 100, "VA")
    assert expected(load, None, [AREA]) is None
    assert expected("4/0 AWG", THUMB, [AREA]) is None
    assert expected(load, THUMB, []) is None
