"""The permit set as the template reads it: the document that a notebook showed, and the annex that stands behind it."""

from __future__ import annotations

from typing import Any

from calc.packet.collect import Collected
from calc.packet.document import annex_places, job_attached, sheets_fingerprint
from calc.packet.sections import reader_pages

Json = dict[str, Any]
PERMIT_NAME = "permit-set.pdf"
ANNEX_NAME = "worked-annex.pdf"

_CARRIED = {True: "This PDF carries the job file.", False: "No attachments."}


class NoPermitSet(ValueError):
    """The notebooks showed no document for the office."""


def permit_set(
    collected: Collected, *, name: str, fingerprint: str, job_text: str, sheets: str, attachments: bool, annex: str = ""
) -> Json:
    """Everything the template reads, as JSON.

    name: the job's name; fingerprint: of the job file, hexadecimal; job_text: the job file itself, attached when
    ``attachments``; sheets: the sheets that the annex shows, as they are attached to it; annex: the annex of a plan, which
    its lots share, in words. NoPermitSet where no notebook showed one.
    """
    document = collected.document_for("office")
    if document is None:
        raise NoPermitSet(f"{name}: no notebook of the packet shows a permit set")
    made = reader_pages(
        document,
        annex_places(collected, name),
        description="What a permit office decides from: verdict, loads, compliance, wiring, plans.",
        keywords=["electrical permit set", "electrical load summary"],
        fingerprint=fingerprint,
        attachments=[job_attached(job_text)] if attachments else [],
    )
    own = f"the worked annex, {ANNEX_NAME}, fingerprint {sheets_fingerprint(sheets)}"
    _say(made["sections"], f"Every sheet stands in full in {annex or own}. {_CARRIED[attachments]}")
    return made


def _say(pages: list[Json], words: str) -> None:
    """Add a line to the verdict."""
    for page in pages:
        for part in page["parts"]:
            if part["kind"] == "verdict":
                part["details"].append(words)
                return
