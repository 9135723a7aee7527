"""Text on its way to the page: made safe for an archival PDF, and given the typographic signs that print well."""

from __future__ import annotations

import re
import unicodedata

from calc.job.spoken import for_a_reader
from calc.work.signs import with_signs

_REPLACED = "\ufffd"
_JOINERS = "\u200c\u200d"
_BREAK = "\u200b"
_LONG_WORD = re.compile(r"\S{24,}")
_BREAK_EVERY = 9
_LONE_MARK = re.compile(r"(?:^|(?<=[\s\ufffd]))[\u0300-\u036f]+")
# All that DejaVu Sans, the charts' font, has of Latin, Greek, Cyrillic, and the signs of print and arithmetic.
_DRAWABLE = (
    r"\t\n\r -~\xa0-\xac\xae-\u024f\u0391-\u03a1\u03a3-\u0482\u1e00-\u1ef9\u2010-\u2027\u2030-\u205e"
    r"\u2070\u2074-\u208e\u2100-\u2109\u210b-\u2149\u2190-\u22ff\u2500-\u25ff\ufffd"
)
_UNDRAWABLE = re.compile(f"[^{_DRAWABLE}]")


def clean(text: object) -> str:
    """One line of text that PDF/A can hold and that reads in the order typed.

    White space collapses to single spaces. Code points that archival PDF bars (private use, surrogates,
    non-characters) become U+FFFD. Invisible controls go: those that turn the reading direction could make a
    page say other than its file. Very long words get places to break.
    """
    whole = str(text)
    if not (whole.isascii() and whole.isprintable()):  # nearly all text is plain, and has nothing to look for
        whole = "".join(map(_kept, unicodedata.normalize("NFC", whole)))
    kept = " ".join(whole.split())
    return _LONG_WORD.sub(_with_breaks, _LONE_MARK.sub("", kept))


def _kept(char: str) -> str:
    category = unicodedata.category(char)
    if category in ("Cc", "Zl", "Zp"):
        return " "
    if category in ("Co", "Cs", "Cn"):
        return _REPLACED
    return "" if category == "Cf" and char not in _JOINERS else char


def _with_breaks(word: re.Match[str]) -> str:
    text = word.group()
    return _BREAK.join(text[i : i + _BREAK_EVERY] for i in range(0, len(text), _BREAK_EVERY))


def clean_drawing(svg: str) -> str:
    """An SVG with U+FFFD for each character that isn't sure to be drawn.

    Text in a drawing is set without the fallbacks that other text has: one joined or accented script there would
    fail the whole export. The words beside a drawing keep everything.
    """
    return _UNDRAWABLE.sub(_REPLACED, svg)


def printed(text: object) -> str:
    """Shown work with typographic signs: times, comparisons, minus, powers; units stay by their numbers."""
    return with_signs(clean(text))


def told(text: object) -> str:
    """The program's own words: the labels of entries in place of their keys."""
    return printed(for_a_reader(str(text)))


def titled(text: object, length: int) -> str:
    """Clean text for a heading, which stands in the outline too: no places to break in it, the page makes those."""
    return clipped(text, length + len(str(text))).replace(_BREAK, "")[:length]


def clipped(text: object, length: int) -> str:
    """Clean text of at most so many characters, with an ellipsis where it was cut."""
    line = clean(text)
    return line if len(line) <= length else line[: length - 1].rstrip() + "…"
