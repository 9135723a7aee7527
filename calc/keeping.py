"""What JupyterLab keeps of a notebook of the workbook: pictures in place of live parts, and outputs aside.

A live part stored in a notebook is a name that means something to one kernel only: opened again it is 'model not found'.
So what is saved has the picture that stands beside each live part (`calc/show/album.py`), and not the part.

The program's own notebooks are code that a packet runs, and in a clone they are under version control. To use one changes
nothing in it: where its cells say what they said, what was saved lies in ``reports/used``, and JupyterLab opens that. Whoever
changes a cell changes the notebook. So there is one name for each notebook, and nothing to choose.
"""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import Any

import nbformat
from jupyter_server.services.contents.largefilemanager import AsyncLargeFileManager

from calc.workplace import shipped_notebooks

USED = Path("reports") / "used"
WIDGET = "application/vnd.jupyter.widget-view+json"
NO_PICTURE = "<p>This part is live, and has no picture: run the notebook to use it.</p>"


def still(content: dict[str, Any]) -> dict[str, Any]:
    """A notebook with the picture of each live part in its place; one without a picture says that it is live."""
    cells = [
        {**cell, "outputs": _still_outputs(cell["outputs"])} if "outputs" in cell else cell for cell in content["cells"]
    ]
    metadata = {key: value for key, value in content["metadata"].items() if key != "widgets"}
    return {**content, "cells": cells, "metadata": metadata}


def _still_outputs(outputs: list[dict[str, Any]]) -> list[dict[str, Any]]:
    pictured = any(output.get("metadata", {}).get("studbay", {}).get("picture") for output in outputs)
    kept = []
    for output in outputs:
        if WIDGET not in output.get("data", {}):
            kept.append(output)
        elif not pictured:
            kept.append({**output, "data": {"text/html": NO_PICTURE, "text/plain": "a live part"}})
    return kept


def said(content: dict[str, Any]) -> list[str]:
    """What the cells of a notebook say, without what came of them."""
    return ["".join(cell["source"]) for cell in content["cells"]]


class Keeping(AsyncLargeFileManager):
    """The server's files, its notebooks kept as this module says."""

    async def get(
        self, path: str, content: bool = True, type: Any = None, format: Any = None, require_hash: bool = False
    ) -> Any:
        """A file; of a notebook of the program that was used, what was saved of its use."""
        model = await super().get(path, content, type, format, require_hash)
        aside = self._aside(path) if model["type"] == "notebook" and content else None
        if aside is None or not aside.is_file():
            return model
        used = await asyncio.to_thread(nbformat.read, aside, as_version=4)
        own = await asyncio.to_thread(nbformat.read, self._get_os_path(path), as_version=4)
        if said(used) != said(own):  # the program's has become another since
            return model
        self.mark_trusted_cells(used, path)
        model["content"] = used
        return model

    async def save(self, model: dict[str, Any], path: str = "") -> Any:
        """Save a file; the use of one of the program's notebooks aside."""
        if model.get("type") != "notebook" or "studbay" not in model["content"]["metadata"]:
            return await super().save(model, path)
        model = {**model, "content": still(model["content"])}
        aside = self._aside(path)
        if aside is None:
            return await super().save(model, path)
        own = await asyncio.to_thread(nbformat.read, self._get_os_path(path), as_version=4)
        if said(own) != said(model["content"]):
            aside.unlink(missing_ok=True)
            return await super().save(model, path)
        notebook = nbformat.from_dict(model["content"])
        self.check_and_sign(notebook, path)
        aside.parent.mkdir(parents=True, exist_ok=True)
        await asyncio.to_thread(nbformat.write, notebook, aside)
        return await self.get(path, content=False)

    def _aside(self, path: str) -> Path | None:
        """Where the use of one of the program's own notebooks is kept; None for any other file."""
        full = Path(self._get_os_path(path)).resolve()
        if full.parent != shipped_notebooks().resolve():
            return None
        return full.parent.parent / USED / full.name
