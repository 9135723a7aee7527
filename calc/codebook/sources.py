"""Where a number came from: the codes that a ``source`` names, and what each of them stands for (sources.toml).

A ``source`` is codes with blanks between them, then, where more is to be said, a semicolon and a note in words:
``S11 recall; the second section recalled``.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import tomli

FILE = Path(__file__).parent / "sources.toml"
KINDS = ("standard", "handbook", "teaching", "maker", "office", "forum", "physics", "practice", "notes", "recall")


@dataclass(frozen=True)
class Source:
    """One page, book, form or memory that values were taken from, as it can be looked for again."""

    code: str
    title: str
    by: str
    year: str
    where: str
    read: str
    kind: str

    @property
    def text(self) -> str:
        """The full citation on one line."""
        head = ", ".join(part for part in (self.title, self.by, self.year) if part)
        return f"{head}. Used: {self.where}. Read: {self.read}. Kind: {self.kind}."


@cache
def sources() -> dict[str, Source]:
    """Each source by its code."""
    return {code: Source(code, **entry) for code, entry in tomli.loads(FILE.read_text(encoding="utf-8")).items()}


def split(said: str) -> tuple[tuple[str, ...], str]:
    """The codes and the note of a ``source``. An amendments file may cite in words of its own: those are the note."""
    codes, _, note = said.partition(";")
    named = tuple(codes.split())
    return (named, note.strip()) if all(code in sources() for code in named) else ((), said)
