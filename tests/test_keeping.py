"""What JupyterLab keeps of the program's own notebooks: use aside, a changed cell in the notebook itself."""

from __future__ import annotations

import asyncio
import shutil
from pathlib import Path
from typing import Any

import nbformat
import pytest

from calc.keeping import USED, WIDGET, Keeping
from calc.workplace import shipped_notebooks

NAME = "01-dwelling-load.ipynb"
PATH = f"notebooks/{NAME}"


@pytest.fixture
def files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Keeping:
    """The files of a clone."""
    (tmp_path / "notebooks").mkdir()
    shutil.copy(shipped_notebooks() / NAME, tmp_path / PATH)
    monkeypatch.setattr("calc.keeping.shipped_notebooks", lambda: tmp_path / "notebooks")
    return Keeping(root_dir=str(tmp_path))


def _used(files: Keeping, source: str | None = None) -> dict[str, Any]:
    """The notebook as a page saves it, run with a person there."""
    content: dict[str, Any] = asyncio.run(files.get(PATH))["content"]
    cell = next(cell for cell in content["cells"] if cell["cell_type"] == "code")
    cell["source"] = source if source is not None else cell["source"]
    data = {WIDGET: {"model_id": "1", "version_major": 2, "version_minor": 0}, "text/plain": "Form()"}
    cell["outputs"] = [
        nbformat.v4.new_output("display_data", data),
        nbformat.v4.new_output("display_data", {"text/html": "kept"}, metadata={"studbay": {"picture": True}}),
    ]
    asyncio.run(files.save({"type": "notebook", "content": content}, PATH))
    return content


def test_use_is_kept_aside_and_opened_again(files: Keeping) -> None:
    own = Path(files.root_dir) / PATH
    before = own.read_bytes()
    _used(files)
    assert own.read_bytes() == before
    again = asyncio.run(files.get(PATH))["content"]
    assert [output["data"] for output in again["cells"][1]["outputs"]] == [{"text/html": "kept"}]


def test_a_changed_cell_changes_the_notebook(files: Keeping) -> None:
    """Who edits a notebook means to: the packet runs what it says then."""
    _used(files)
    _used(files, source="print(1)")
    assert "print(1)" in (Path(files.root_dir) / PATH).read_text()
    assert not (Path(files.root_dir) / USED / NAME).exists()


def test_a_notebook_that_became_another_is_opened_as_it_is(files: Keeping) -> None:
    """Use of an earlier version of the program says nothing of this one."""
    _used(files)
    own = Path(files.root_dir) / PATH
    own.write_text(own.read_text().replace("# Open the job and the code that it adopts", "# Another version"))
    assert "kept" not in str(asyncio.run(files.get(PATH))["content"])


def test_a_notebook_of_a_working_folder_is_saved_where_it_lies(files: Keeping) -> None:
    root = Path(files.root_dir)
    (root / "mine" / "notebooks").mkdir(parents=True)
    shutil.copy(root / PATH, root / "mine" / PATH)
    content = asyncio.run(files.get(f"mine/{PATH}"))["content"]
    content["cells"][1]["outputs"] = [nbformat.v4.new_output("display_data", {"text/html": "kept"})]
    asyncio.run(files.save({"type": "notebook", "content": content}, f"mine/{PATH}"))
    assert "kept" in (root / "mine" / PATH).read_text()
    assert not (root / USED).exists()
