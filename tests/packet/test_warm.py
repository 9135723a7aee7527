"""The warm engine shows what the stock one does, on every notebook.

The stored outputs are the stock engine's: nbval runs each notebook on a kernel and compares. Here each is run warm, in
a process of its own because only one without threads may fork.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

NOTEBOOKS = Path(__file__).parents[2] / "notebooks"
PATHS = sorted(NOTEBOOKS.glob("*.ipynb"))
WIDGET = "application/vnd.jupyter.widget-view+json"
RUN = """
import json, sys
from calc.packet import pool, warm
warm.warm_up(pool.PRELOADED)
engine = warm.register()
import papermill
cells = [
    [cell for cell in papermill.execute_notebook(path, None, engine_name=engine, cwd=sys.argv[1], progress_bar=False).cells
     if cell.cell_type == "code"]
    for path in sys.argv[2:]
]
json.dump([[cell.outputs for cell in book] for book in cells], sys.stdout)
"""


def run_warm() -> list[list[list[dict[str, Any]]]]:
    """The outputs of each cell of each notebook."""
    done = subprocess.run(
        [sys.executable, "-c", RUN, str(NOTEBOOKS), *map(str, PATHS)], capture_output=True, text=True, check=True
    )
    return json.loads(done.stdout)


def shown(outputs: list[dict[str, Any]]) -> list[tuple[str, object]]:
    """What a person sees: text with its lines joined, data by kind; not the number of the cell's run."""
    found: list[tuple[str, object]] = []
    for output in outputs:
        if output["output_type"] == "stream":
            found.append((output["name"], _joined(output["text"])))
        for kind, content in output.get("data", {}).items():
            found.append((kind, "a widget, whose id is random" if kind == WIDGET else _joined(content)))
    return found


def _joined(content: object) -> object:
    if isinstance(content, list) and all(isinstance(line, str) for line in content):
        content = "".join(content)
    return re.sub(r"model_id='\w+'", "", content) if isinstance(content, str) else content


def test_warm_shows_what_is_stored() -> None:
    for path, ran in zip(PATHS, run_warm(), strict=True):
        stored = [cell for cell in json.loads(path.read_text())["cells"] if cell["cell_type"] == "code"]
        assert len(ran) == len(stored)
        for number, (cell, outputs) in enumerate(zip(stored, ran, strict=True), start=1):
            assert shown(outputs) == shown(cell["outputs"]), f"{path.name}, code cell {number}"
