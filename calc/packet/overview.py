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
    "Job", "Address", "Permit number", "Outcome", "Stands", "Least margin, %", "Of", "Calculated A", "Service A", "Method",
    "What does not pass", "Why it failed", "Seconds",
)  # fmt: skip
NUMBERS = ("Least margin, %", "Calculated A", "Service A", "Seconds")
MOST_NAMED = 3
ON_PAPER = [
    HEADINGS.index(name)
    for name in ("Job", "Address", "Permit number", "Stands", "Least margin, %", "Of", "What does not pass")
]


def summary_rows(found: Sequence[Done], most: int | None = None) -> list[list[str]]:
    """A row a job, under HEADINGS; ``most`` of what does not pass by name, and the number of the rest."""
    return [[visible(cell).replace("\n", " ") for cell in _row(done, most)] for done in found]


def _row(done: Done, most: int | None) -> list[str]:
    short = list(done.falls_short[:most])
    short += [f"and {len(done.falls_short) - most} more"] if most is not None and len(done.falls_short) > most else []
    stands = "failed" if done.outcome == "failed" else done.verdict
    amperes, service = done.figures.get("calculated_a"), done.figures.get("service_a")
    margin = done.figures.get("margin_pct")
    return [
        done.name, done.figures.get("address", ""), done.figures.get("permit_number", ""), done.outcome, stands,
        "" if margin is None else f"{margin:g}", done.figures.get("tightest", ""), "" if amperes is None else f"{amperes:.1f}",
        "" if service is None else f"{service:g}", done.figures.get("method", ""), "; ".join(short), done.why,
        f"{done.seconds:.2f}",
    ]  # fmt: skip


def as_csv(found: Sequence[Done]) -> bytes:
    """The summary as CSV. Text that a spreadsheet would take for a formula is held by an apostrophe."""
    import pandas as pd

    rows = [
        [cell if name in NUMBERS else _held(cell) for name, cell in zip(HEADINGS, row, strict=True)]
        for row in summary_rows(found)
    ]
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
            if HEADINGS[column - 1] in NUMBERS and text:
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
        "headings": [HEADINGS[at] for at in ON_PAPER],
        "rows": [[clean(row[at]) for at in ON_PAPER] for row in summary_rows(found, MOST_NAMED)],
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
