"""Putting finished files in place of the last ones, so that a reader always finds whole files."""

from __future__ import annotations

import contextlib
import os
import shutil
import time
from pathlib import Path

LONGEST_RUN_S = 3600
STAGE = ".studbay-stage-"
"""How the hidden folders begin in which packets are made, beside those that are there."""


def clear_left_over(folder: Path) -> None:
    """Remove the stages of a run that was killed: older than any packet takes, so not another run's."""
    for stage in folder.glob(f"{STAGE}*"):
        with contextlib.suppress(OSError):
            if stage.is_dir() and time.time() - stage.stat().st_mtime > LONGEST_RUN_S:
                shutil.rmtree(stage)


def install(stage: Path, folder: Path, *, last: str, replaces: str = "") -> None:
    """Move the stage's files into the folder, the one named ``last`` after all others.

    Each file is replaced in one step. If a step fails, what was there before is put back and the error passes on.
    Files of the folder that match the pattern ``replaces`` and weren't made this time are removed at the end; all
    others stay. Stage and folder must be on one file system.
    """
    folder.mkdir(exist_ok=True)
    made = sorted((path for path in stage.iterdir() if path.is_file()), key=lambda path: (path.name == last, path.name))
    before = stage / "before"
    before.mkdir()
    for path in made:
        _settle(path)
        if (folder / path.name).exists():
            shutil.copy2(folder / path.name, before / path.name)
    moved: list[Path] = []
    try:
        for path in made:
            os.replace(path, folder / path.name)
            moved.append(folder / path.name)
    except OSError:
        for target in moved:
            if (before / target.name).exists():
                os.replace(before / target.name, target)
            else:
                target.unlink()
        raise
    for stale in set(folder.glob(replaces) if replaces else ()) - set(moved):
        stale.unlink()
    _settle(folder)


def _settle(path: Path) -> None:
    """Have the system write a file, or a folder's list of files, to the disk."""
    if path.is_dir() and os.name == "nt":
        return  # Windows doesn't open folders
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
