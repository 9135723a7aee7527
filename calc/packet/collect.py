"""What executed notebooks displayed, in order: the only thing that a packet is made from.

Notebooks are read as plain JSON: nothing here needs nbformat, whose import costs more than the whole typesetting.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

from calc.work import NOT_SHOWN, worst

Kind = Literal["verdict", "sheet", "table", "chart", "walk", "document"]

MIME: dict[Kind, str] = {
    "verdict": "application/vnd.studbay.verdict+json",
    "sheet": "application/vnd.studbay.sheet+json",
    "table": "application/vnd.studbay.table+json",
    "chart": "application/vnd.studbay.chart+json",
    "walk": "application/vnd.studbay.walk+json",
    "document": "application/vnd.studbay.document+json",
}
SVG_MIME = "image/svg+xml"
SCHEMA_VERSIONS = {"sheet": 2, "walk": 2, "verdict": 1, "document": 1}

# What each display must hold for the packet to set it; the rest may be absent.
_REQUIRED: dict[Kind, tuple[str, ...]] = {
    "verdict": ("schema_version", "scope", "stated", "status", "verdict", "items", "open", "outside", "to_confirm"),
    "sheet": (
        "schema_version", "family", "title", "subject", "edition", "amendments", "lines", "checks", "not_shown", "status", "results",
        "givens", "rules", "cautions", "notes", "refused",
    ),
    "table": ("title", "columns", "rows"),
    "chart": ("title", "alt"),
    "walk": ("schema_version", "part", "title", "subject", "intro", "groups"),
    "document": ("schema_version", "reader", "title", "subject", "sections", "figures", "verdict"),
}  # fmt: skip


class CollectError(ValueError):
    """A notebook, or something that it displayed, can't be used; the message names notebook, cell and reason."""


@dataclass(frozen=True)
class Display:
    """One display: its kind, its JSON as displayed, the drawing of a chart, and where it was shown."""

    kind: Kind
    data: dict[str, Any]
    svg: str = ""
    notebook: str = ""
    cell: int = 0


@dataclass(frozen=True)
class Collected:
    """All displays of some notebooks, in the order shown; a display shown twice alike counts once."""

    displays: list[Display] = field(default_factory=list)

    def of(self, kind: Kind) -> list[dict[str, Any]]:
        """The JSON of each display of one kind, in order."""
        return [d.data for d in self.displays if d.kind == kind]

    def document_for(self, reader: str) -> dict[str, Any] | None:
        """The document for a reader, such as 'office' or 'owner', where a notebook showed one."""
        return next((each for each in self.of("document") if each["reader"] == reader), None)

    @property
    def verdict(self) -> dict[str, Any]:
        """The verdict of the whole as the notebooks showed it; where none did, what their sheets come to."""
        for shown in (*self.of("verdict"), *(document["verdict"] for document in self.of("document"))):
            if shown:
                return dict(shown)
        statuses = [sheet["status"] for sheet in self.of("sheet")]
        status = worst(statuses) if statuses else NOT_SHOWN
        return {"status": status, "verdict": f"What is shown: {status}", "outside": [], "to_confirm": []}


def collect(notebooks: Iterable[Path]) -> Collected:
    """The displays of executed notebooks, in the order of the notebooks and of their cells.

    A notebook that shows nothing of ours contributes nothing. Raises CollectError for a file that isn't a
    notebook, a cell that ended in an error, or a display that isn't what its type promises.
    """
    displays: list[Display] = []
    for path in notebooks:
        for display in _displays(path):
            if not any((d.kind, d.data) == (display.kind, display.data) for d in displays):
                displays.append(display)
    return Collected(displays)


def _displays(path: Path) -> list[Display]:
    found: list[Display] = []
    for number, cell in enumerate(_cells(path), start=1):
        where = f"{path.name}, cell {number}"
        for output in cell.get("outputs", ()):
            if output.get("output_type") == "error":
                raise CollectError(f"{where}: ended in {output.get('ename')}: {output.get('evalue')}")
            bundle = output.get("data", {})
            for kind, mime in MIME.items():
                if mime in bundle:
                    found.append(_display(kind, bundle, path.name, number, where))
    return found


def _cells(path: Path) -> list[dict[str, Any]]:
    try:
        notebook = json.loads(path.read_text(encoding="utf-8"), parse_constant=_not_a_number)
        cells: list[dict[str, Any]] = [dict(cell) for cell in notebook["cells"]]
    except OSError as error:
        raise CollectError(f"{path.name}: can't be read: {error.strerror}") from error
    except (ValueError, KeyError, TypeError) as error:
        raise CollectError(f"{path.name}: not a Jupyter notebook (format 4): {error}") from error
    return cells


def _not_a_number(name: str) -> float:
    raise ValueError(f"holds {name}, which is not a number")


def _display(kind: Kind, bundle: dict[str, Any], notebook: str, cell: int, where: str) -> Display:
    data = bundle[MIME[kind]]
    if not isinstance(data, dict):
        raise CollectError(f"{where}: a {kind} must be a JSON object, not {type(data).__name__}")
    missing = [key for key in _REQUIRED[kind] if key not in data]
    if missing:
        raise CollectError(f"{where}: the {kind} lacks {', '.join(missing)}")
    if kind in SCHEMA_VERSIONS and data["schema_version"] != SCHEMA_VERSIONS[kind]:
        raise CollectError(
            f"{where}: {kind} format {data['schema_version']!r}; this version of Studbay sets {SCHEMA_VERSIONS[kind]}"
        )
    if kind == "document":
        for section in data["sections"]:
            for part in section["parts"]:
                if part["kind"] == "chart":
                    _drawing(part, part.get("svg"), where)
    svg = _drawing(data, bundle.get(SVG_MIME), where) if kind == "chart" else ""
    return Display(kind, data, svg, notebook, cell)


def _drawing(chart: dict[str, Any], drawing: Any, where: str) -> str:
    """The drawing of a chart; CollectError where it has none, or no words for who can't see it."""
    if not drawing:
        raise CollectError(f"{where}: the chart '{chart['title']}' has no drawing ({SVG_MIME})")
    if not str(chart["alt"]).strip():
        raise CollectError(f"{where}: the chart '{chart['title']}' has no description in words (alt)")
    return drawing if isinstance(drawing, str) else "".join(drawing)
