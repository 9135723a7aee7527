"""Printing from a notebook: the command line makes the packet, so that both are the same to the byte."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

from calc.apart import packet_command
from calc.job import JobError, read_job
from calc.show.notebooks import notebooks_of

REPORTS = Path("..") / "reports"  # beside the notebooks' folder, where the command line puts them too
_STEPS = ("running ", "setting ")
Progress = Callable[[int, int, str], None]


def pdf_of(job_path: Path) -> Path | None:
    """The packet of a job, where one was made."""
    try:
        pdf = REPORTS / read_job(job_path).job.name / "permit-set.pdf"
    except JobError:
        return None
    return pdf if pdf.is_file() else None


def print_packet(job_path: Path, progress: Progress) -> str:
    """Run the command line's packet maker; ``progress`` is told the notebook it runs, of how many. Gives what to say."""
    command = packet_command(job_path, REPORTS)
    steps = 1 + sum(notebook.packet for notebook in notebooks_of(Path()))
    done, told = 0, []
    with subprocess.Popen(
        command, text=True, encoding="utf-8", stdout=subprocess.DEVNULL, stderr=subprocess.PIPE
    ) as maker:
        for line in maker.stderr or ():
            if line.startswith(_STEPS):
                done += line.startswith(_STEPS[0])
                progress(done, steps, line.strip())
            else:
                told.append(line.strip())
    if maker.returncode in (0, 1):
        short = "" if maker.returncode == 0 else " Something in its scope does not pass, and page 1 says so."
        return f"The packet is made.{short}"
    return "\n".join(["No packet was made.", *told])
