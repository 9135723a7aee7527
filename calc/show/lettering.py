"""How wide text is in the font of the charts, and where a line of it breaks."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from functools import cache
from pathlib import Path

import matplotlib as mpl
from matplotlib.ft2font import FT2Font, LoadFlags

_FILES = {False: "DejaVuSans.ttf", True: "DejaVuSans-Bold.ttf"}
_EM = 1000
_UNIT_GAP = re.compile(r"(?<=\d) (?=(?:A|V|VA|kVA|ft|in|%)(?:\W|$))")


@cache
def _font(bold: bool) -> FT2Font:
    font = FT2Font(str(Path(mpl.get_data_path()) / "fonts" / "ttf" / _FILES[bold]))
    font.set_size(_EM, 72)
    return font


@cache
def _advance(letter: str, bold: bool) -> float:
    """The width of a letter as a part of the font's size; of one that the font lacks, the whole of it."""
    if unicodedata.combining(letter):
        return 0.0
    font = _font(bold)
    if not font.get_char_index(ord(letter)):
        return 1.0
    return float(font.load_char(ord(letter), flags=LoadFlags.NO_HINTING).linearHoriAdvance) / 65536 / _EM


def width_pt(text: str, size_pt: float, bold: bool = False) -> float:
    """The width of a line of text in points."""
    return size_pt * sum(_advance(letter, bold) for letter in text)


def broken(text: str, room_pt: float, size_pt: float, bold: bool = False) -> list[str]:
    """The text in lines no wider than the room: between words, within one only where it is wider by itself. A unit stays
    with its number."""
    lines: list[str] = []
    row = ""
    plain = " ".join(text.split())
    for word in _pieces(_UNIT_GAP.sub("\u00a0", plain).split(" "), room_pt, size_pt, bold):
        longer = f"{row} {word}".strip(" ")
        if row and width_pt(longer, size_pt, bold) > room_pt:
            lines.append(row)
            row = word
        else:
            row = longer
    return [*lines, row] if row else lines


def _pieces(words: Iterable[str], room_pt: float, size_pt: float, bold: bool) -> Iterable[str]:
    for word in words:
        rest = word
        while width_pt(rest, size_pt, bold) > room_pt and len(rest) > 1:
            most = next(n for n in range(len(rest), 0, -1) if n == 1 or width_pt(rest[:n], size_pt, bold) <= room_pt)
            yield rest[:most]
            rest = rest[most:]
        yield rest
