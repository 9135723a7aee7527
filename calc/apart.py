"""The command line in a process of its own, for pages and programs that make what it makes."""

from __future__ import annotations

import sys
from pathlib import Path


def packet_command(job_path: str | Path, out: str | Path) -> list[str]:
    """The command that makes a job's packet under ``out``. -P: nothing that lies in the present folder is imported."""
    main = "from calc.cli import main; main()"
    return [sys.executable, "-P", "-c", main, "packet", str(job_path), "--out", str(out)]
