"""The warm engine shows what the stock one does, on every notebook but the one that works thousands of houses for its chart.

The stored outputs are the stock engine's: nbval runs each notebook on a kernel and compares. Here each is run warm, in
a process of its own because only one without threads may fork.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

NOTEBOOKS = Path(__file__).parents[2] / "notebooks"
PATHS = sorted(path for path in NOTEBOOKS.glob("*.ipynb") if path.stem != "20-real-houses")
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


@pytest.mark.skipif(sys.platform != "linux", reason="the system ends a child with its parent on Linux alone")
def test_a_child_ends_with_a_killed_parent(tmp_path: Path) -> None:
    """In the midst of a cell that never ends; and one that has more to send than a pipe holds."""
    for cell in ("while True: pass", "print('x' * 10_000_000)"):
        mark = f"import os; from pathlib import Path; Path({str(tmp_path / 'pid')!r}).write_text(str(os.getpid()))"
        code = (
            "import nbformat; from types import SimpleNamespace; from calc.packet import warm\n"
            "warm.warm_up(())\n"
            f"cells = [nbformat.v4.new_code_cell(one) for one in {[mark, cell]!r}]\n"
            "told = dict.fromkeys(('cell_start', 'cell_complete', 'cell_exception'), lambda *_, **__: None)\n"
            "warm._run_cells(SimpleNamespace(nb=nbformat.v4.new_notebook(cells=cells), **told), 60)\n"
        )
        with subprocess.Popen([sys.executable, "-c", code]) as parent:
            child = 0
            until = time.monotonic() + 30
            while not child and time.monotonic() < until:
                text = (tmp_path / "pid").read_text() if (tmp_path / "pid").exists() else ""
                child = int(text or 0)
                time.sleep(0.05)
            parent.kill()
        gone = False
        while not gone and time.monotonic() < until + 10:
            gone = not Path(f"/proc/{child}").exists() or "Z" in Path(f"/proc/{child}/stat").read_text().split()[2]
            time.sleep(0.05)
        assert child
        assert gone
        (tmp_path / "pid").unlink()
