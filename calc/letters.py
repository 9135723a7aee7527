"""Text from outside on its way to a terminal or a spreadsheet."""

from __future__ import annotations

import unicodedata

FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""What a spreadsheet takes for the beginning of a formula."""


def visible(text: str) -> str:
    """The lines of a text with '?' for each character that isn't one to be seen.

    Job files, tables and file names come from anywhere; what they say must not move the cursor of a terminal, colour
    it, write over a line or turn the reading direction.
    """
    lines = text.replace("\r\n", "\n").replace("\t", " ").split("\n")
    return "\n".join(line if line.isprintable() else "".join(map(_seen, line)) for line in lines)


def _seen(char: str) -> str:
    return char if char.isprintable() or unicodedata.category(char) == "Zs" else "?"
