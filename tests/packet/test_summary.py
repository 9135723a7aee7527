"""Rows put together on page 1: what is added up, what never is; and how shown work is written for print."""

from __future__ import annotations

from decimal import Decimal

import pytest

from calc.packet.document import spans
from calc.packet.summary import Row, variants
from calc.packet.wording import clean, printed
from tests.packet import samples


def total(rows: list[Row], column: int) -> Decimal:
    return sum((Decimal(row.cells[column].replace(",", "") or "0") for row in rows), Decimal(0))


def test_putting_rows_together_keeps_every_column_s_sum() -> None:
    full, *shorter, elsewhere = variants(samples.front(60)["table"])
    assert [len(rows) for rows in shorter] == [30, 24, 18, 12]
    for rows in shorter:
        assert [total(rows, column) for column in (2, 3, 4, 6)] == [total(full, column) for column in (2, 3, 4, 6)]
        (together,) = [row for row in rows if row.rolled]
        gone = len(full) - len(rows) + 1
        assert together.cells[0] == f"{gone}\u00a0smaller loads together"
        kept = {row.cells[0] for row in rows}
        assert {row.cells[0] for row in full if row.emphasis} <= kept, "a subtotal went"
    assert [row.rolled for row in elsewhere] == [True, False]


def test_the_smallest_loads_go_first() -> None:
    full, first, *_ = variants(samples.front(30)["table"])
    gone = {row.cells[0] for row in full} - {row.cells[0] for row in first}
    assert gone == {f"Sump pump {i}" for i in range(1, 23)}


@pytest.mark.parametrize("text", ["about 100", "NaN", "Infinity", "1e9999999", "100 W"])
def test_what_is_no_number_is_never_added_up(text: str) -> None:
    table = samples.front(60)["table"]
    table["rows"][-2][3] = text
    for rows in variants(table)[1:-1]:
        assert [row.cells[3] for row in rows].count(printed(text)) == 1


def test_few_rows_are_left_alone() -> None:
    full, elsewhere = variants(samples.front(0)["table"])[0], variants(samples.front(0)["table"])[-1]
    assert len(full) == 21
    assert elsewhere[0].rolled


def test_shown_work_is_written_with_signs_of_print() -> None:
    assert printed("3,240 ft2 x 3 VA/ft2") == "3,240\u00a0ft² × 3\u00a0VA/ft²"
    assert printed("400 A - 252.0 A >= 20 in3") == "400\u00a0A − 252.0\u00a0A ≥ 20\u00a0in³"
    assert printed("kitchen - north x") == "kitchen - north x"


def test_text_is_made_safe_and_stays_one_line() -> None:
    assert clean(" a\n\tb\u2028c\x00d ") == "a b c d"
    assert clean("\ud800\ue000\uffff") == "\ufffd\ufffd\ufffd"
    assert clean("a\u202eb\u200fc\u00add") == "abcd"
    assert clean(None) == "None"
    assert clean("a\x00b\tc") == "a b c"
    assert clean("u\u0308") == "\u00fc"


def test_runs_of_sheets_are_written_short() -> None:
    assert spans([3, 1, 2, 7, 9, 10]) == "1–3, 7, 9–10"
    assert spans([]) == ""
