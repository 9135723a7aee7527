"""What a batch made, in one look: CSV and XLSX for machines and offices, a PDF with a chart for people."""

from __future__ import annotations

import io
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from calc.letters import FORMULA, visible
from calc.packet.batch import Done
from calc.packet.typeset import set_pdf
from calc.packet.wording import clean

HEADINGS = (
    "Job", "Outcome", "Stands", "Calculated A", "Service A", "Method", "What does not pass", "Why it failed", "Seconds",
)  # fmt: skip


def summary_rows(found: Sequence[Done]) -> list[list[str]]:
    """A row a job, under HEADINGS."""
    return [[visible(cell).replace("\n", " ") for cell in _row(done)] for done in found]


def _row(done: Done) -> list[str]:
    stands = "failed" if done.outcome == "failed" else done.verdict
    amperes, service = done.figures.get("calculated_a"), done.figures.get("service_a")
    return [
        done.name, done.outcome, stands, "" if amperes is None else f"{amperes:.1f}",
        "" if service is None else f"{service:g}", done.figures.get("method", ""), "; ".join(done.falls_short), done.why,
        f"{done.seconds:.2f}",
    ]  # fmt: skip


def as_csv(found: Sequence[Done]) -> bytes:
    """The summary as CSV. Text that a spreadsheet would take for a formula is held by an apostrophe."""
    import pandas as pd

    rows = [[_held(cell) for cell in row] for row in summary_rows(found)]
    whole: str = pd.DataFrame(rows, columns=list(HEADINGS)).to_csv(index=False, lineterminator="\n")
    return whole.encode("utf-8")


def as_xlsx(found: Sequence[Done]) -> bytes:
    """The summary as a workbook; every cell is text or a number, none a formula."""
    import openpyxl

    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Packets"
    sheet.append(list(HEADINGS))
    for number, row in enumerate(summary_rows(found), 2):
        for column, text in enumerate(row, 1):
            cell = sheet.cell(number, column)
            if HEADINGS[column - 1] in ("Calculated A", "Service A", "Seconds") and text:
                cell.value = float(text)
            else:
                cell.value, cell.data_type = text, "s"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def as_pdf(found: Sequence[Done], title: str) -> bytes:
    """The summary as PDF: counts, calculated amperes by job as bars against their service, what falls short where."""
    bars: list[dict[str, Any]] = [
        {"name": clean(done.name), "amperes": done.figures["calculated_a"], "service": done.figures.get("service_a")}
        for done in found if "calculated_a" in done.figures
    ]  # fmt: skip
    counts: dict[str, int] = {}
    for done in found:
        counts[done.outcome] = counts.get(done.outcome, 0) + 1
    content: dict[str, Any] = {
        "title": clean(title),
        "description": "What a batch of packets made, and what falls short where.",
        "keywords": ["permit packets"],
        "footer_name": clean(title),
        "fingerprint": "",
        "counts": [[word, number] for word, number in counts.items()],
        "bars": bars,
        "top": max([value for bar in bars for value in (bar["amperes"], bar["service"] or 0.0)], default=1.0),
        "headings": [HEADINGS[at] for at in (0, 1, 2, 3, 4, 6)],
        "rows": [[clean(row[at]) for at in (0, 1, 2, 3, 4, 6)] for row in summary_rows(found)],
        "failures": [[clean(done.name), clean(done.why)] for done in found if done.why],
    }
    return set_pdf("overview.typ", {"overview": content})


def write_summary(found: Sequence[Done], out_dir: Path, title: str) -> list[Path]:
    """Write packets.csv, packets.xlsx and packets.pdf into the folder, each whole or not at all."""
    made = []
    for name, content in (
        ("packets.csv", as_csv(found)), ("packets.xlsx", as_xlsx(found)), ("packets.pdf", as_pdf(found, title)),
    ):  # fmt: skip
        part = out_dir / f".{name}.part"
        part.write_bytes(content)
        made.append(part.replace(out_dir / name))
    return made


def _held(text: str) -> str:
    return f"'{text}" if text.startswith(FORMULA) else text
