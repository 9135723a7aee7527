"""The words of a family, from its TOML file: names and reasons of its lines, cautions and notes."""

from __future__ import annotations

from copy import copy
from pathlib import Path
from typing import Any

import tomli

from calc.work.values import WorkError


class Words:
    """The words of a family: names and reasons of its lines, cautions and notes, from one TOML file.

    ``manner`` is how a sheet is worked. What is true in one manner only stands in a table of its name in the entry,
    ``[climate_va.optional]``, and is used in place of the entry's own text.

    ``beside`` are the words of a family whose lines it prints too: what its own file lacks is looked up there.
    """

    def __init__(self, path: Path, beside: Words | None = None) -> None:
        self.path, self.beside = path, beside
        self.entries: dict[str, dict[str, Any]] = tomli.loads(path.read_text(encoding="utf-8"))
        self.manner: tuple[str, ...] = ()

    def of(self, *manner: str) -> Words:
        """The same words for sheets that are worked in this manner; of several, the first that an entry has counts."""
        other = copy(self)
        other.manner = manner
        return other

    def text(self, key: str, part: str, **fill: str) -> str:
        """One text of an entry, its {placeholders} filled."""
        entry = self.entries.get(key)
        if entry is None and self.beside is not None:
            return self.beside.text(key, part, **fill)
        if entry is None or part not in entry:
            raise WorkError(f"{self.path.name} has no '{part}' for '{key}'")
        text: str = entry[part]
        for manner in self.manner:
            if part in entry.get(manner, ()):
                text = entry[manner][part]
                break
        return text.format_map(fill)

    def has(self, key: str, part: str) -> bool:
        """Whether an entry has such a text."""
        return part in self.entries.get(key, ()) or (self.beside is not None and self.beside.has(key, part))

    def expected_range(self, key: str) -> dict[str, Any] | None:
        """The rule of thumb of an entry, where it has one."""
        if key not in self.entries and self.beside is not None:
            return self.beside.expected_range(key)
        rule: dict[str, Any] | None = self.entries[key].get("expected_range")
        return rule
