"""Printing from a notebook: the very packet of the command line."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from calc.show.printing import pdf_of, print_packet
from calc.workplace import remember, shipped_notebooks

RUN = ("01-dwelling-load.ipynb", "02-feeder.ipynb", "00-start-here.ipynb", "30-permit-set.ipynb")


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A working folder with some of the notebooks and an amended job, seen as a notebook sees it."""
    notebooks = tmp_path / "notebooks"
    (notebooks / "jobs").mkdir(parents=True)
    for name in RUN:
        shutil.copy(shipped_notebooks() / name, notebooks)
    shutil.copytree(shipped_notebooks() / "jobs" / "amendments", notebooks / "jobs" / "amendments")
    shutil.copy(shipped_notebooks() / "jobs" / "fernhollow-lot-12.toml", notebooks / "jobs" / "house.toml")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    remember(notebooks)  # or the program's own would be run
    monkeypatch.chdir(notebooks)
    monkeypatch.setenv("JPY_SESSION_NAME", "a person's page")
    return tmp_path


def by_command(place: Path, *also: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "calc", "packet", "notebooks/jobs/house.toml", "--out", "by-command", *also]
    environment = {name: value for name, value in os.environ.items() if name != "JPY_SESSION_NAME"}
    return subprocess.run(command, cwd=place, env=environment, capture_output=True, text=True)


def test_printed_from_a_page_is_the_command_line_s_packet_to_the_byte(place: Path) -> None:
    """And without attachments it is another packet that says so."""
    told: list[tuple[int, int, str]] = []
    said = print_packet(Path("jobs") / "house.toml", lambda *step: told.append(step))
    assert said == "The packet is made. Something in its scope does not pass, and page 1 says so."
    assert told[0] == (1, 4, "running 01-dwelling-load.ipynb")
    assert told[-1] == (3, 4, "setting the packet")
    made = pdf_of(Path("jobs") / "house.toml")
    assert made is not None
    assert made.resolve() == place / "reports" / "fernhollow-lot-12" / "permit-set.pdf"
    assert by_command(place).returncode == 1
    for one in sorted(made.parent.iterdir()):
        assert one.read_bytes() == (place / "by-command" / "fernhollow-lot-12" / one.name).read_bytes(), one.name
    assert b"Marrow Creek" in (made.parent / "sheets.json").read_bytes(), "the amendments are in it"
    assert by_command(place, "--out", "plain", "--no-attachments").returncode == 1
    plain = place / "plain" / "fernhollow-lot-12" / "permit-set.pdf"
    assert (b"job.toml" in made.read_bytes(), b"job.toml" in plain.read_bytes()) == (True, False)


def test_what_went_wrong_is_said_and_no_packet_is_claimed(place: Path) -> None:
    (Path("jobs") / "bad.toml").write_text('[code]\nedition = "1999"\n')
    said = print_packet(Path("jobs") / "bad.toml", lambda *step: None)
    assert said.splitlines()[0] == "No packet was made."
    assert "edition" in said
    assert pdf_of(Path("jobs") / "bad.toml") is None
    assert pdf_of(Path("jobs") / "house.toml") is None
