"""Learners' names on paper, in any script: by a font of this machine where the program's own lack the letters, else spelled
in Latin letters.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

from anyascii import anyascii

from calc.packet.typeset import font_folders
from calc.packet.wording import clean

ENDINGS = (".ttf", ".otf", ".ttc", ".otc")
PLAIN = 0x250  # below it every letter is in the program's own text font


def named(learner: str) -> dict[str, object]:
    """A name as it is printed: its text, and the families of fonts beside the program's that have its letters."""
    found = [_font(letter) for letter in _other(learner)]
    if None in found:
        return {"text": clean(anyascii(learner)) or "?", "fonts": []}
    return {
        "text": clean(learner),
        "fonts": list(dict.fromkeys(family for each in found if each for _, family in [each])),
    }


def respelled(learners: Iterable[str]) -> dict[str, str]:
    """The names that are printed in Latin letters since no font of this machine has theirs, each with how it is printed."""
    return {name: str(named(name)["text"]) for name in learners if None in map(_font, _other(name))}


def fonts_for(learners: Iterable[str]) -> list[Path]:
    """The files of the fonts that the names take."""
    found = [_font(letter) for learner in learners for letter in _other(learner)]
    return list(dict.fromkeys(path for each in found if each for path, _ in [each]))


def _other(learner: str) -> list[str]:
    return sorted({letter for letter in clean(learner) if ord(letter) >= PLAIN and letter.isprintable()})


@cache
def _font(letter: str) -> tuple[Path, str] | None:
    """A font file that has a letter, and its family; the program's own come first."""
    return next(((path, family) for path, family, letters in _fonts() if ord(letter) in letters), None)


def _fonts() -> Iterator[tuple[Path, str, frozenset[int]]]:
    own = [path for folder in font_folders() for path in sorted(folder.glob("DejaVuSans.ttf"))]
    yield from map(_read, own)
    for path in _of_the_machine():
        yield _read(path)


@cache
def _of_the_machine() -> tuple[Path, ...]:
    from matplotlib.font_manager import findSystemFonts

    return tuple(sorted(Path(name) for name in findSystemFonts() if name.lower().endswith(ENDINGS)))


@cache
def _read(path: Path) -> tuple[Path, str, frozenset[int]]:
    """A font's family and letters; no letters where it can't be read."""
    from fontTools.ttLib import TTFont, TTLibError

    try:
        font = TTFont(path, fontNumber=0, lazy=True)
        return (
            path,
            str(font["name"].getDebugName(16) or font["name"].getDebugName(1)),
            frozenset(font.getBestCmap() or ()),
        )
    except (TTLibError, OSError, KeyError, ValueError):
        return path, "", frozenset()
