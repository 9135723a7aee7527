"""Sheets of one kind, worked alike: what their lines share is printed once, at the head of the kind."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass, field
from typing import Any, TypeVar

Json = dict[str, Any]
K = TypeVar("K", bound=Hashable)
_LEAST = 2  # so many sheets must share a thing before it stands at their head


@dataclass(frozen=True)
class Shared:
    """What most lines or checks of one name share on the sheets of a kind; '' and () where each has its own."""

    formula: str = ""
    sections: tuple[str, ...] = ()
    rough: str = ""
    """The rule of thumb beside the result."""

    def __bool__(self) -> bool:
        return bool(self.formula or self.sections or self.rough)


NOTHING = Shared()


@dataclass
class Kind:
    """Sheets of one kind, and what they share."""

    sheets: list[Json]
    lines: dict[str, Shared] = field(init=False)
    """By the line's name, in the order of the lines; empty for a sheet that has none like it."""
    checks: dict[str, Shared] = field(init=False)

    def __post_init__(self) -> None:
        """Find what is shared."""
        several = self.sheets if len(self.sheets) >= _LEAST else []
        self.lines = _shared((line for sheet in several for line in sheet["lines"]), _formula)
        asked = (check for sheet in several for check in (*sheet["checks"], *sheet["not_shown"]))
        self.checks = _shared(asked, lambda check: "")


class Notes:
    """The notes of several sheets, each once and numbered through, and their cautions."""

    def __init__(self, sheets: list[Json]) -> None:
        texts = dict.fromkeys((note["kind"], note["text"]) for sheet in sheets for note in sheet["notes"])
        self._numbers = {text: number for number, text in enumerate(texts, 1)}
        self._sheets = sheets

    def rows(self) -> list[Json]:
        """The notes in order: mark, kind and text."""
        return [{"mark": mark, "kind": kind, "text": text} for (kind, text), mark in self._numbers.items()]

    def marks(self, sheet: Json, own: Iterable[int]) -> list[int]:
        """The numbers here of notes that a sheet numbers in its own way."""
        texts = {note["mark"]: (note["kind"], note["text"]) for note in sheet["notes"]}
        return sorted(self._numbers[texts[mark]] for mark in own)

    def cautions(self) -> list[tuple[str, list[str]]]:
        """Each caution with the subjects of the sheets that have it; with none where all of their kind do."""
        found: dict[str, list[Json]] = {}
        for sheet in self._sheets:
            for text in sheet["cautions"]:
                found.setdefault(text, []).append(sheet)
        return [(text, self._few(sheets)) for text, sheets in found.items()]

    def _few(self, having: list[Json]) -> list[str]:
        titles = {sheet["title"] for sheet in having}
        alike = [sheet for sheet in self._sheets if sheet["title"] in titles]
        return [] if len(alike) == len(having) else list(dict.fromkeys(sheet["subject"] for sheet in having))


def _shared(rows: Iterable[Json], formula_of: Callable[[Json], str]) -> dict[str, Shared]:
    named: dict[str, list[Json]] = {}
    for row in rows:
        named.setdefault(row["name"], []).append(row)
    found: dict[str, Shared] = {}
    for name, alike in named.items():
        roughs = ((row.get("expected_range") or {"outside": True, "text": ""}) for row in alike)
        shared = Shared(
            _usual((formula_of(row) for row in alike), ""),
            _usual((tuple(row["sections"]) for row in alike), ()),
            _usual(("" if rough["outside"] else rough["text"] for rough in roughs), ""),
        )
        if shared:
            found[name] = shared
    return found


def _formula(line: Json) -> str:
    """A line's formula, where it is not the name again."""
    return "" if line["formula"] == line["name"] else str(line["formula"])


def _usual(values: Iterable[K], nothing: K) -> K:
    """The value that most have, if enough do."""
    ((value, count),) = Counter(values).most_common(1)
    return value if count >= _LEAST else nothing
