"""How shown work and text are written for print."""

from __future__ import annotations

from calc.packet.document import spans
from calc.packet.wording import clean, printed


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
