"""The job file back out of a packet."""

from __future__ import annotations

from pathlib import Path

from calc.attached import attached
from calc.intake import MOST_BYTES, NotTaken
from calc.packet.document import JOB_ATTACHMENT


class RestoreError(ValueError):
    """No job file can be had from this PDF; the message says why."""


def restore_job(pdf: Path) -> str:
    """The text of the job file that a packet carries; in UTF-8 it has the very bytes of that file.

    Raises RestoreError if the file can't be read, isn't a PDF, or carries no job file.
    """
    try:
        found = attached(pdf, JOB_ATTACHMENT)
    except NotTaken as error:
        raise RestoreError(f"{pdf}: {error}") from None
    if found is None:
        raise RestoreError(
            f"{pdf}: carries no job file. Either it isn't a packet, or the packet was made without attachments; "
            "its first page says which."
        )
    if len(found) > MOST_BYTES:
        raise RestoreError(f"{pdf}: its job file is larger than {MOST_BYTES:,} bytes; none is that long.")
    try:
        return found.decode("utf-8")
    except UnicodeDecodeError as error:
        raise RestoreError(f"{pdf}: what it carries as {JOB_ATTACHMENT} is not text in UTF-8") from error
