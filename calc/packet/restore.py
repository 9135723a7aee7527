"""The job file back out of a packet."""

from __future__ import annotations

from pathlib import Path

from calc.packet.document import JOB_ATTACHMENT

LARGEST_JOB_BYTES = 5_000_000


class RestoreError(ValueError):
    """No job file can be had from this PDF; the message says why."""


def restore_job(pdf: Path) -> str:
    """The text of the job file that a packet carries; in UTF-8 it has the very bytes of that file.

    Raises RestoreError if the file can't be read, isn't a PDF, or carries no job file.
    """
    from pypdf import PdfReader
    from pypdf.errors import PyPdfError

    try:
        found = PdfReader(pdf).attachments.get(JOB_ATTACHMENT)
    except OSError as error:
        raise RestoreError(f"{pdf}: can't be read: {error.strerror}") from error
    except (PyPdfError, ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise RestoreError(f"{pdf}: not a PDF that can be read: {_one_line(error)}") from error
    if not found:
        raise RestoreError(
            f"{pdf}: carries no job file. Either it isn't a packet, or the packet was made without attachments; "
            "its first page says which."
        )
    if len(found[0]) > LARGEST_JOB_BYTES:
        raise RestoreError(f"{pdf}: its job file is larger than {LARGEST_JOB_BYTES:,} bytes; none is that long.")
    try:
        return found[0].decode("utf-8")
    except UnicodeDecodeError as error:
        raise RestoreError(f"{pdf}: what it carries as {JOB_ATTACHMENT} is not text in UTF-8") from error


def _one_line(error: Exception) -> str:
    return " ".join(str(error).split()) or type(error).__name__
