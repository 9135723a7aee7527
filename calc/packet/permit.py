"""The permit set as the template reads it: the document that a notebook showed, and the annex that stands behind it."""

from __future__ import annotations

from typing import Any

from calc.packet.collect import Collected
from calc.packet.document import FINGERPRINT_SHOWN, annex_places, job_attached, sheets_fingerprint
from calc.packet.sections import section_pages
from calc.packet.wording import clean, clipped

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
    document = office_document(collected)
    if document is None:
        raise NoPermitSet(f"{name}: no notebook of the packet shows a permit set")
    subject = clipped(document["subject"], 300)
    pages = section_pages(document, annex_places(collected, name))
    own = f"the worked annex, {ANNEX_NAME}, fingerprint {sheets_fingerprint(sheets)}"
    _say(pages, f"Every sheet stands in full in {annex or own}. {_CARRIED[attachments]}")
    return {
        "title": f"{subject}: {clean(document['title'])}",
        "description": "What a permit office decides from: verdict, loads, compliance, wiring, plans.",
        "keywords": ["electrical permit set", "electrical load summary"],
        "subject": subject,
        "kind": clean(document["title"]),
        "footer_name": clipped(subject, 60),
        "fingerprint": fingerprint[:FINGERPRINT_SHOWN],
        "attachments": [job_attached(job_text)] if attachments else [],
        "sections": pages,
    }


def office_document(collected: Collected) -> Json | None:
    """The document for the office, where a notebook showed one."""
    return next((each for each in collected.of("document") if each["reader"] == "office"), None)


def _say(pages: list[Json], words: str) -> None:
    """Add a line to the verdict."""
    for page in pages:
        for part in page["parts"]:
            if part["kind"] == "verdict":
                part["details"].append(words)
                return
