"""Text on its way to the page: made safe for an archival PDF, and given the typographic signs that print well."""

from __future__ import annotations

import re
import unicodedata

_LONG_WORD = re.compile(r"\S{36,}")
_BREAK_EVERY = 18
_JOINERS = "\u200c\u200d"
_SIGNS = ((" x ", " × "), (">=", "≥"), ("<=", "≤"))
_MINUS = re.compile(r" - (?=[\d(])")
_POWERS = re.compile(r"\b(ft|in|cmil|m)([23])\b")


def clean(text: object) -> str:
    """One line of text that PDF/A can hold and that reads in the order typed.

    White space collapses to single spaces. Code points that archival PDF bars (private use, surrogates,
    non-characters) become U+FFFD. Invisible controls go: those that turn the reading direction could make a
    page say other than its file. Very long words get places to break.
    """
    kept = "".join(_kept(char) for char in str(text))
    return _LONG_WORD.sub(_with_breaks, " ".join(kept.split()))


def _kept(char: str) -> str:
    category = unicodedata.category(char)
    if category in ("Cc", "Zl", "Zp"):
        return " "
    if category in ("Co", "Cs", "Cn"):
        return "\ufffd"
    return "" if category == "Cf" and char not in _JOINERS else char


def _with_breaks(word: re.Match[str]) -> str:
    text = word.group()
    return "\u200b".join(text[i : i + _BREAK_EVERY] for i in range(0, len(text), _BREAK_EVERY))


def printed(text: object) -> str:
    """Shown work with typographic signs: 'x' between spaces, comparisons, minus, and powers of units."""
    line = clean(text)
    for plain, sign in _SIGNS:
        line = line.replace(plain, sign)
    line = _MINUS.sub(" − ", line)
    return _POWERS.sub(lambda m: m.group(1) + {"2": "²", "3": "³"}[m.group(2)], line)


def clipped(text: object, length: int) -> str:
    """Clean text of at most so many characters, with an ellipsis where it was cut."""
    line = clean(text)
    return line if len(line) <= length else line[: length - 1].rstrip() + "…"
