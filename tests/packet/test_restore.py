"""The job file comes back out of a packet byte for byte, or it is said why not."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

import pytest
from pypdf import PdfWriter

from calc.packet import Collected, Display, RestoreError, restore_job, typeset
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
    with pytest.raises(RestoreError, match="can't be read"):
        restore_job(tmp_path / "gone.pdf")
    with pytest.raises(RestoreError, match="can't be read"):
        restore_job(tmp_path)
