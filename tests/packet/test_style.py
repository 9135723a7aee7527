"""The one visual language: readable on white and on tinted rows, and told apart without colour."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path

import pytest

STYLE = json.loads((Path(__file__).parents[2] / "calc" / "show" / "style.json").read_text(encoding="utf-8"))


def luminance(colour: str) -> float:
    """Relative luminance, as WCAG 2 defines it."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a: str, b: str) -> float:
    high, low = sorted((luminance(a), luminance(b)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_contrast_is_measured_as_wcag_does() -> None:
    """WCAG 2.2, technique G18: black on white is 21:1; #777777 on white is just under 4.5:1."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("colour", ["ink", "muted", "accent", "pass", "short", "refused"])
@pytest.mark.parametrize("ground", ["paper", "wash"])
def test_text_has_contrast(colour: str, ground: str) -> None:
    """WCAG 2.2, 1.4.3: 4.5:1 for text."""
    assert contrast(STYLE["colours"][colour], STYLE["colours"][ground]) >= 4.5


def test_rules_that_carry_meaning_have_contrast() -> None:
    """WCAG 2.2, 1.4.11: 3:1 for graphics needed to understand."""
    assert contrast(STYLE["colours"]["rule"], STYLE["colours"]["paper"]) >= 3


def test_series_differ_in_grey_or_in_hatch() -> None:
    series = STYLE["series"]
    assert len({one["hatch"] for one in series}) == len(series)
    greys = sorted(luminance(one["colour"]) for one in series)
    assert all(after - before > 0.05 for before, after in pairwise(greys))
