"""The permit set of a house set at once, without a notebook in between."""

from __future__ import annotations

from calc.documents.permit import permit_set
from calc.packet import permit
from calc.packet.collect import Collected, Display
from calc.packet.typeset import set_pdf
from calc.show.display import MIME, show_document
from calc.wiring.house import House


def set_of(house: House) -> bytes:
    """The PDF of the permit set of a house; its annex has no sheets."""
    job = house.whole_job
    shown = show_document(permit_set(house)).forms[MIME.format("document")]
    content = permit.permit_set(
        Collected([Display("document", shown)]),
        name=job.job.name, fingerprint=job.fingerprint, job_text="", sheets="", attachments=False,
    )  # fmt: skip
    return set_pdf("reader.typ", {"reader": content}, job.job.date)
