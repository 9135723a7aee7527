"""The working folder: notebooks, job files, reports. Laid out for an install that has no clone."""

from __future__ import annotations

import contextlib
import json
import os
import shutil
import stat
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

from calc.intake import NotTaken, taken, text_of
from calc.job import create_job, file_stem, new_job
from calc.letters import visible
from calc.packet.restore import restore_job

START = "00-start-here.ipynb"
MOST_NOTEBOOK_BYTES = 50_000_000
LEFT_ALONE_S = 120
"""A kernel that no page is connected to and that does nothing is ended after so long: what was entered is in a draft."""
_PACKAGE = Path(__file__).parent


def shipped_notebooks() -> Path:
    """The notebooks that come with the program: in the wheel, or at the top of a clone."""
    inside = _PACKAGE / "notebooks"
    return inside if inside.is_dir() else _PACKAGE.parent / "notebooks"


def notebooks_folder(job_path: Path, told: Callable[[str], None] = lambda text: None) -> Path:
    """The notebooks to run for a job: those of a working folder that this user made here, else the shipped ones.

    Notebooks are code, and a job may lie in anybody's folder. ``told`` hears of notebooks above the job that differ from
    the program's: that they run, or that they don't.
    """
    places = (place for folder in job_path.resolve().parents for place in (folder, folder / "notebooks"))
    found = next((place for place in places if (place / START).is_file()), None)
    if found is None or found == shipped_notebooks().resolve():
        return shipped_notebooks()
    own = ", ".join(_differing(found))
    if not made_here(found):
        if own:
            told(f"{found} has notebooks of its own ({own}); they are not run, for it is no working folder that you made "
                 "here with studbay new. The program's notebooks are run instead.")  # fmt: skip
        return shipped_notebooks()
    if own:
        told(f"{found}: these notebooks differ from the program's: {own}")
    return found


def made_here(notebooks: Path) -> bool:
    """Whether this user made a notebooks folder on this machine, and nobody else can have written what is in it.

    It is remembered with the user's own files: a mark in the folder would come along with one that somebody sent.
    """
    try:
        known = text_of(taken(_remembered())).splitlines()
    except NotTaken:
        return False
    return str(notebooks.resolve()) in known and all(map(_own, (notebooks, *notebooks.glob("*.ipynb"))))


def remember(notebooks: Path) -> None:
    """Keep in mind that this user made a notebooks folder. Where that can't be kept, the program's own are run."""
    with contextlib.suppress(OSError):
        _remembered().parent.mkdir(parents=True, exist_ok=True)
        with _remembered().open("a", encoding="utf-8") as file:
            file.write(f"{notebooks.resolve()}\n")


def _remembered() -> Path:
    kept = os.environ.get("XDG_STATE_HOME") or Path.home() / ".local" / "state"
    return Path(kept) / "studbay" / "working-folders"


def _own(path: Path) -> bool:
    state = path.stat()
    return os.name != "posix" or (state.st_uid == os.getuid() and not state.st_mode & stat.S_IWOTH)


def _differing(notebooks: Path) -> list[str]:
    """Names of the notebooks that say something else than the program's of that name, or are not among them."""
    shipped = {path.name: _said(path) for path in shipped_notebooks().glob("*.ipynb")}
    here = {path.name: _said(path) for path in notebooks.glob("*.ipynb")}
    return sorted(name for name in {**shipped, **here} if shipped.get(name) != here.get(name))


def _said(notebook: Path) -> object:
    """What a notebook's cells say, and what its metadata say of it."""
    try:
        read = json.loads(text_of(taken(notebook, MOST_NOTEBOOK_BYTES, "notebook")))
        return read["metadata"].get("studbay"), ["".join(cell["source"]) for cell in read["cells"]]
    except (NotTaken, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return "nothing that can be read"


def lay_out(folder: Path, name: str, starter: str, packet: Path | None) -> Path:
    """Make a job file in the working folder, and put the notebooks there if it has none. Gives the job's path."""
    text = restore_job(packet) if packet is not None else new_job(name, starter)
    notebooks = folder / "notebooks"
    made = notebooks / "jobs" / f"{file_stem(name)}.toml"
    create_job(made, text)
    if not (notebooks / START).exists():
        for notebook in sorted(shipped_notebooks().glob("*.ipynb")):
            shutil.copy(notebook, notebooks / notebook.name)
        remember(notebooks)
    return made


def server_command(folder: Path, browser: bool, pages: bool, allow_root: bool = False) -> list[str]:
    """How to run the workbook's server: for this machine only, with its token, at the start notebook.

    ``pages``: the notebooks as pages (Voila), their code hidden and run at once; else JupyterLab. ``allow_root``: for a
    container whose only user is root, as whom Jupyter does not run unasked.
    """
    root = _root(folder)
    return [
        sys.executable, "-P", "-m", "jupyterlab", "--ServerApp.ip=127.0.0.1", f"--ServerApp.root_dir={root}",
        "--ServerApp.identity_provider_class=calc.access.TokenAlways",
        f"--LabApp.default_url={'/voila/render' if pages else '/lab/tree'}/notebooks/{START}",
        f"--LabApp.app_settings_dir={_PACKAGE / 'lab'}",  # no questions about news in front of a first-time user
        "--LabApp.expose_app_in_browser=True",  # so that a link on the start page can open a notebook and run it
        "--ServerApp.contents_manager_class=calc.keeping.Keeping",
        f"--MappingKernelManager.cull_idle_timeout={LEFT_ALONE_S}",  # of a kernel whose page is gone
        f"--MappingKernelManager.cull_interval={LEFT_ALONE_S // 4}",
        "--VoilaConfiguration.template=studbay",
        # pages set no mathematics, which Voila would fetch a program for
        "--ServerApp.tornado_settings={'mathjax_url': '/voila/static/none.js'}",
        *([] if browser else ["--no-browser"]),
        *(["--allow-root"] if allow_root else []),
    ]  # fmt: skip


def _root(folder: Path) -> Path:
    """The folder to serve: this one where it has notebooks that may run, the program's own where it has none.

    ValueError for one with notebooks that somebody else may have written: to open them is to run them.
    """
    here = folder.resolve()
    shipped = shipped_notebooks().resolve()
    if not (here / "notebooks" / START).exists() or here / "notebooks" == shipped:
        return shipped.parent
    if not made_here(here / "notebooks"):
        raise ValueError(f"{here / 'notebooks'} is no working folder that you made here, and to open its notebooks is to run "
                         "them. Make one of your own, studbay new NAME --folder FOLDER, and put the job files there.")  # fmt: skip
    return here


def server_environment() -> dict[str, str]:
    """The environment to run it in: Voila finds our template there."""
    paths = [str(_PACKAGE / "lab"), *filter(None, [os.environ.get("JUPYTER_PATH")])]
    return {**os.environ, "JUPYTER_PATH": os.pathsep.join(paths)}


def open_workbook(folder: Path, browser: bool, pages: bool, allow_root: bool = False) -> int:
    """Run the workbook until it is stopped; gives its exit code."""
    try:
        command = server_command(folder, browser, pages, allow_root)
    except ValueError as error:
        print(visible(str(error)), file=sys.stderr)
        return 2
    return subprocess.run(command, env=server_environment(), check=False).returncode
