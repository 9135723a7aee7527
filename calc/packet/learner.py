"""The learner's version of the worked annex: with the reason of each line and check, and a margin to work in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from calc.job import Job
from calc.packet.collect import Collected
from calc.packet.run import produced
from calc.packet.typeset import typeset
from calc.packet.warm import LONGEST_CELL_S
from calc.work import PASSES

FOLDER = "learner"
PDF_NAME = "learner.pdf"


@dataclass(frozen=True)
class LearnerResult:
    """A learner's annex made: its folder and PDF, and the verdict of the whole."""

    folder: Path
    pdf: Path
    verdict: dict[str, Any]

    @property
    def passes(self) -> bool:
        """Whether everything in its scope is worked and passes."""
        return bool(self.verdict["status"] == PASSES)


def make_learner(
    job_path: Path,
    *,
    notebooks: list[Path],
    out_dir: Path,
    attachments: bool = True,
    engine: str | None = None,
    progress: Callable[[str], None] = lambda text: None,
    longest_cell_s: int = LONGEST_CELL_S,
) -> LearnerResult:
    """Make out_dir/<job's name>/learner/ with learner.pdf and the executed notebooks. Arguments and errors as for
    ``make_packet``."""

    def setting(collected: Collected, stage: Path, job: Job) -> None:
        pdf = typeset(
            collected,
            name=job.job.name,
            fingerprint=job.fingerprint,
            job_text=job_path.read_text(encoding="utf-8"),
            dated=job.job.date or job.code.permit_date,
            attachments=attachments,
            learner=True,
        )
        (stage / PDF_NAME).write_bytes(pdf)

    folder, _, collected = produced(
        job_path, notebooks=notebooks, out_dir=out_dir, within=FOLDER, last=PDF_NAME, setting=setting, engine=engine,
        progress=progress, longest_cell_s=longest_cell_s,
    )  # fmt: skip
    return LearnerResult(folder, folder / PDF_NAME, collected.verdict)
