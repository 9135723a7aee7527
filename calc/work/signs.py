"""Typographic signs for shown work, where it is read and not replayed: times, comparisons, minus, powers."""

from __future__ import annotations

import re

_SIGNS = ((" x ", " × "), (">=", "≥"), ("<=", "≤"))
_MINUS = re.compile(r" - (?=[\d(])")
_UNIT_GAP = re.compile(r"(?<=\d) (?=[%°A-Za-z])")
_POWERS = re.compile(r"\b(ft|in|cmil|m)([23])\b")


def with_signs(text: str) -> str:
    """The text of a formula, of its numbers or of a result with signs that print well; units stay by their numbers."""
    for plain, sign in _SIGNS:
        text = text.replace(plain, sign)
    text = _UNIT_GAP.sub("\u00a0", _MINUS.sub(" − ", text))
    return with_powers(text)


def with_powers(text: str) -> str:
    """The text with square and cubic units as they are written, where nothing else may change, as in a terminal."""
    return _POWERS.sub(lambda m: m.group(1) + {"2": "²", "3": "³"}[m.group(2)], text)
