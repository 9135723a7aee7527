"""The pages gathered apart from the program's files, and how cells are compared: by their meaning, not their print."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

FILE = Path(__file__).parent / "gathered.json"


@cache
def gathered() -> dict[str, Any]:
    """All that was gathered."""
    loaded: dict[str, Any] = json.loads(FILE.read_text(encoding="utf-8"))
    return loaded


def at(path: str) -> Any:
    """What stands at a path such as 'tables/310.12/rule/factor'; a number picks from a list."""
    found: Any = gathered()
    for part in path.split("/"):
        found = found[int(part)] if isinstance(found, list) else found[part]
    return found


def cell(found: object) -> str:
    """A cell as it is compared: 0.0730 is 0.073, nothing is ''."""
    if found is None:
        return ""
    text = str(found)
    try:
        return f"{float(text):.10g}"
    except ValueError:
        return text


Rows = dict[tuple[str, ...], dict[str, str]]
"""A table by its keys: each row's other cells by column."""


def keyed(rows: list[dict[str, object]] | tuple[Mapping[str, str], ...], keys: tuple[str, ...]) -> Rows:
    """Rows by their keys, every cell as it is compared."""
    return {
        tuple(cell(row[key]) for key in keys): {name: cell(found) for name, found in row.items() if name not in keys}
        for row in rows
    }


def cited() -> set[str]:
    """The codes of sources that what was gathered names, in its lists and in its words."""
    return set(re.findall(r"\bS\d\d\b", FILE.read_text(encoding="utf-8"))) | set(gathered()["examples"])
