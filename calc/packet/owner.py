"""The owner's page as PDF: the document that the owner's notebook showed, and nothing else."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from calc.job import Job
from calc.packet.collect import Collected
from calc.packet.run import PacketError, produced
from calc.packet.sections import reader_pages
from calc.packet.typeset import set_pdf
from calc.packet.warm import LONGEST_CELL_S
from calc.work import PASSES

FOLDER = "owner"
PDF_NAME = "owner.pdf"

Json = dict[str, Any]


@dataclass(frozen=True)
class OwnerResult:
    """An owner's page made: its folder and PDF, and whether what is planned fits."""

    folder: Path
    pdf: Path
    fits: bool


def make_owner(
    job_path: Path,
    *,
    notebooks: list[Path],
    out_dir: Path,
    engine: str | None = None,
    progress: Callable[[str], None] = lambda text: None,
    longest_cell_s: int = LONGEST_CELL_S,
) -> OwnerResult:
    """Make out_dir/<job's name>/owner/ with owner.pdf and the executed notebooks. Arguments and errors as for ``make_packet``."""
    folder, _, collected = produced(
        job_path, notebooks=notebooks, out_dir=out_dir, within=FOLDER, last=PDF_NAME, setting=_set, engine=engine,
        progress=progress, longest_cell_s=longest_cell_s,
    )  # fmt: skip
    parts = [part for section in _shown(collected)["sections"] for part in section["parts"]]
    fits = any(part["kind"] == "verdict" and part["status"] == PASSES for part in parts)
    return OwnerResult(folder, folder / PDF_NAME, fits)


def _shown(collected: Collected) -> Json:
    """The document for the owner. PacketError where no notebook showed one."""
    document = collected.document_for("owner")
    if document is None:
        raise PacketError("no notebook shows an owner's page; nothing was made")
    return document


def _set(collected: Collected, stage: Path, job: Job) -> None:
    content = reader_pages(
        _shown(collected),
        {},
        description="For the owner: what the service carries, what fits under which condition, what a new service would be.",
        keywords=["electrical service", "owner"],
        fingerprint=job.fingerprint,
        attachments=[],
    )
    (stage / PDF_NAME).write_bytes(set_pdf("reader.typ", {"reader": content}, job.job.date or job.code.permit_date))
