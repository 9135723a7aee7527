"""The job file comes back out of a packet byte for byte, or it is said why not."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

import pytest
from pypdf import PdfWriter

from calc.packet import Collected, Display, RestoreError, restore_job, typeset
from calc.packet.document import JOB_ATTACHMENT
from tests.packet import samples


def packet(job_text: str, attachments: bool = True) -> bytes:
    return typeset(
        Collected([Display("sheet", samples.dwelling_sheet())]),
        name="A",
        fingerprint=samples.FINGERPRINT,
        job_text=job_text,
        attachments=attachments,
    )


@pytest.mark.parametrize(
    "text",
    [
        samples.JOB_TEXT,
        "",
        "\ufeff[job]\r\nname = 'x'\r\n",
        "# no last newline",
        "\t# \u202e 漢字 😀 #set page()\n" * 4000,
    ],
)
def test_round_trip_byte_for_byte(tmp_path: Path, text: str) -> None:
    pdf = tmp_path / "packet.pdf"
    pdf.write_bytes(packet(text))
    assert restore_job(pdf).encode("utf-8") == text.encode("utf-8")


def test_a_packet_without_attachments_says_so(tmp_path: Path) -> None:
    pdf = tmp_path / "packet.pdf"
    pdf.write_bytes(packet(samples.JOB_TEXT, attachments=False))
    with pytest.raises(RestoreError, match=r"packet\.pdf: carries no job file"):
        restore_job(pdf)


def test_another_pdf_is_no_packet(tmp_path: Path) -> None:
    writer = PdfWriter()
    writer.add_blank_page(72, 72)
    writer.add_attachment("photo.txt", b"hello")
    writer.write(tmp_path / "other.pdf")
    with pytest.raises(RestoreError, match="carries no job file"):
        restore_job(tmp_path / "other.pdf")


@pytest.mark.parametrize("content", [b"", b"hello", b"%PDF-1.7\n", b"%PDF-1.7\n%%EOF", b"\0" * 2000])
def test_what_is_no_pdf_is_said(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "x.pdf"
    path.write_bytes(content)
    with pytest.raises(RestoreError, match=r"x\.pdf: (not a PDF|carries no job file)"):
        restore_job(path)


def test_cut_off_packets_fail_in_words(tmp_path: Path) -> None:
    whole = packet(samples.JOB_TEXT)
    path = tmp_path / "x.pdf"
    for part in range(1, 12):
        path.write_bytes(whole[: len(whole) * part // 12])
        with suppress(RestoreError):
            assert restore_job(path) == samples.JOB_TEXT


def test_a_missing_file_and_a_folder_are_said(tmp_path: Path) -> None:
    with pytest.raises(RestoreError, match="does not exist"):
        restore_job(tmp_path / "gone.pdf")
    with pytest.raises(RestoreError, match="is a folder"):
        restore_job(tmp_path)
    os.mkfifo(tmp_path / "pipe.pdf")
    with pytest.raises(RestoreError, match="is not an ordinary file"):
        restore_job(tmp_path / "pipe.pdf")


def test_an_attachment_packed_in_an_unknown_way_is_said(tmp_path: Path) -> None:
    """The library has no error of its own for it: whatever it raises is a PDF that can't be read."""
    writer = PdfWriter()
    writer.add_blank_page(72, 72)
    writer.add_attachment(JOB_ATTACHMENT, b"hello")
    writer.write(tmp_path / "x.pdf")
    raw = (tmp_path / "x.pdf").read_bytes()
    assert b"/EmbeddedFile" in raw
    (tmp_path / "x.pdf").write_bytes(raw.replace(b"/Type /EmbeddedFile", b"/Filter /NoSuch1 /a"))
    with pytest.raises(RestoreError, match=r"x\.pdf: not a PDF that can be read: .*NoSuch1"):
        restore_job(tmp_path / "x.pdf")


def test_a_pdf_that_takes_too_long_is_given_up(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("calc.attached.LONGEST_S", 0.01)
    (tmp_path / "x.pdf").write_bytes(packet(samples.JOB_TEXT))
    with pytest.raises(RestoreError, match=r"it takes more than 0\.01 seconds"):
        restore_job(tmp_path / "x.pdf")
