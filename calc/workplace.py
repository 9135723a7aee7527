"""The working folder: notebooks, job files, reports. Laid out for an install that has no clone."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

from calc.job import create_job, file_stem, new_job
from calc.packet.restore import restore_job

START = "00-start-here.ipynb"
_PACKAGE = Path(__file__).parent


def shipped_notebooks() -> Path:
    """The notebooks that come with the program: in the wheel, or at the top of a clone."""
    inside = _PACKAGE / "notebooks"
    return inside if inside.is_dir() else _PACKAGE.parent / "notebooks"


def notebooks_folder(job_path: Path) -> Path:
    """The notebooks to run for a job: those of its working folder, else the shipped ones."""
    for folder in job_path.resolve().parents:
        for place in (folder, folder / "notebooks"):
            if (place / START).exists():
                return place
    return shipped_notebooks()


def lay_out(folder: Path, name: str, starter: str, packet: Path | None) -> Path:
    """Make a job file in the working folder, and put the notebooks there if it has none. Gives the job's path."""
    text = restore_job(packet) if packet is not None else new_job(name, starter)
    notebooks = folder / "notebooks"
    made = notebooks / "jobs" / f"{file_stem(name)}.toml"
    create_job(made, text)
    if not (notebooks / START).exists():
        for notebook in sorted(shipped_notebooks().glob("*.ipynb")):
            shutil.copy(notebook, notebooks / notebook.name)
    return made


def server_command(folder: Path, browser: bool, pages: bool, allow_root: bool = False) -> list[str]:
    """How to run the workbook's server: for this machine only, with its token, at the start notebook.

    ``pages``: the notebooks as pages (Voila), their code hidden and run at once; else JupyterLab. ``allow_root``: for a
    container whose only user is root, as whom Jupyter does not run unasked.
    """
    here = folder.resolve()
    root = here if (here / "notebooks" / START).exists() else shipped_notebooks().parent
    return [
        sys.executable, "-m", "jupyterlab", "--ServerApp.ip=127.0.0.1", f"--ServerApp.root_dir={root}",
        "--ServerApp.identity_provider_class=calc.access.TokenAlways",
        f"--LabApp.default_url={'/voila/render' if pages else '/lab/tree'}/notebooks/{START}",
        f"--LabApp.app_settings_dir={_PACKAGE / 'lab'}",  # no questions about news in front of a first-time user
        "--LabApp.expose_app_in_browser=True",  # so that a link on the start page can open a notebook and run it
        "--VoilaConfiguration.template=studbay",
        # pages set no mathematics, which Voila would fetch a program for
        "--ServerApp.tornado_settings={'mathjax_url': '/voila/static/none.js'}",
        *([] if browser else ["--no-browser"]),
        *(["--allow-root"] if allow_root else []),
    ]  # fmt: skip


def server_environment() -> dict[str, str]:
    """The environment to run it in: Voila finds our template there."""
    paths = [str(_PACKAGE / "lab"), *filter(None, [os.environ.get("JUPYTER_PATH")])]
    return {**os.environ, "JUPYTER_PATH": os.pathsep.join(paths)}


def open_workbook(folder: Path, browser: bool, pages: bool, allow_root: bool = False) -> int:
    """Run the workbook until it is stopped; gives its exit code."""
    return subprocess.run(
        server_command(folder, browser, pages, allow_root), env=server_environment(), check=False
    ).returncode
