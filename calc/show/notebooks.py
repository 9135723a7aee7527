"""The notebooks of a folder, as their metadata and first heading tell of them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import NamedTuple


class Notebook(NamedTuple):
    """A notebook of ours: its file, the family it works, its heading, and whether a packet takes it in."""

    file: str
    family: str
    heading: str
    packet: bool


def notebooks_of(folder: Path) -> list[Notebook]:
    """Our notebooks in a folder, by name; other files are passed over."""
    found = (_read(path) for path in sorted(folder.glob("*.ipynb")))
    return [notebook for notebook in found if notebook is not None]


def _read(path: Path) -> Notebook | None:
    try:
        read = json.loads(path.read_text(encoding="utf-8"))
        ours = read["metadata"]["studbay"]
        heading = next(line for line in "".join(read["cells"][0]["source"]).splitlines() if line.startswith("# "))
        return Notebook(path.name, str(ours["family"]), heading.lstrip("# ").strip(), ours.get("packet") is True)
    except (OSError, ValueError, KeyError, TypeError, IndexError, AttributeError, StopIteration):
        return None
