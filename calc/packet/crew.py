"""The crew's packet: fix list, walk sheets to tick, torque record, findings. It is never part of the permit packet."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from typing_extensions import TypedDict

from calc.job import Job
from calc.packet.collect import Collected
from calc.packet.document import FINGERPRINT_SHOWN, spans
from calc.packet.phone import PANELS, phone_page
from calc.packet.run import produced
from calc.packet.typeset import set_pdf
from calc.packet.warm import LONGEST_CELL_S
from calc.packet.wording import clean, clipped, printed, told
from calc.work import FALLS_SHORT

FOLDER = "crew"
PDF_NAME = "crew.pdf"
PAGE_NAME = "crew.html"
PARTS_NAME = "crew.json"

Json = dict[str, Any]


class CrewForm(TypedDict):
    """The file crew.json beside a crew's packet."""

    schema_version: Literal[1]
    job: str
    fingerprint: str
    """SHA-256 of the job file."""
    parts: list[Json]
    """A fix list, walk sheets, a record, findings: each in its own form, which ``part`` names."""


@dataclass(frozen=True)
class CrewResult:
    """A crew's packet made: its folder, its PDF, its page for the phone, and how many things are to be fixed."""

    folder: Path
    pdf: Path
    page: Path
    to_fix: int


def make_crew(
    job_path: Path,
    *,
    notebooks: list[Path],
    out_dir: Path,
    engine: str | None = None,
    progress: Callable[[str], None] = lambda text: None,
    longest_cell_s: int = LONGEST_CELL_S,
) -> CrewResult:
    """Make out_dir/<job's name>/crew/ with crew.pdf, crew.html for the phone, crew.json and the executed notebooks.

    Arguments and errors as for ``make_packet``. Nothing there changes until everything is made.
    """
    folder, _, collected = produced(
        job_path, notebooks=notebooks, out_dir=out_dir, within=FOLDER, last=PDF_NAME, setting=_set, engine=engine,
        progress=progress, longest_cell_s=longest_cell_s,
    )  # fmt: skip
    fixes = [part for part in collected.of("walk") if part["part"] == "fixes"]
    return CrewResult(
        folder,
        folder / PDF_NAME,
        folder / PAGE_NAME,
        sum(len(group["items"]) for part in fixes for group in part["groups"]),
    )


def _set(collected: Collected, stage: Path, job: Job) -> None:
    content = crew_document(collected, job)
    (stage / PDF_NAME).write_bytes(set_pdf("crew.typ", {"crew": content}, job.job.date or job.code.permit_date))
    page = phone_page(content, collected, name=job.job.name, address=job.job.address or "", fingerprint=job.fingerprint)
    (stage / PAGE_NAME).write_text(page, encoding="utf-8")
    (stage / PARTS_NAME).write_text(parts_json(collected, job), encoding="utf-8")


def parts_json(collected: Collected, job: Job) -> str:
    """The parts as displayed, for machines."""
    parts = {"schema_version": 1, "job": job.job.name, "fingerprint": job.fingerprint, "parts": collected.of("walk")}
    return json.dumps(parts, indent=1, ensure_ascii=False) + "\n"


def crew_document(collected: Collected, job: Job) -> Json:
    """Everything the template reads, every text cleaned."""
    name = job.job.address or job.job.name
    return {
        "title": f"Crew packet: {clipped(name, 120)}",
        "description": "For the crew: what to fix, what to look at, records to fill in.",
        "keywords": ["fix list", "walk sheet"],
        "footer_name": clipped(name, 44),
        "fingerprint": job.fingerprint[:FINGERPRINT_SHOWN],
        "facts": [[label, clipped(text, 90)] for label, text in _facts(job)],
        "parts": [_part(part) for part in collected.of("walk") if part["part"] != PANELS],
    }


def _facts(job: Job) -> list[tuple[str, str]]:
    card = job.job
    stated = [("Site", card.address), ("Permit", card.permit_number), ("Edition", job.code.edition),
              ("Contractor", card.contractor), ("Date", card.date)]  # fmt: skip
    return [(label, str(text)) for label, text in stated if text]


def _part(part: Json) -> Json:
    """One part as printed."""
    return {
        "part": clean(part["part"]),
        "title": clipped(part["title"], 120),
        "intro": clean(part["intro"]),
        "closing": clean(part.get("closing", "")),
        "to_confirm": [printed(each) for each in part.get("to_confirm", ())],
        "columns": [clean(name) for name in part.get("columns", ())],
        "groups": [_group(group) for group in part["groups"]],
        "indexes": [
            {
                "title": title,
                "rows": [[clean(name), spans(numbers)] for name, numbers in part.get(key, ())],
            }
            for title, key in (("By room", "by_room"), ("By trade", "by_trade"))
            if part.get(key)
        ],
    }


def _group(group: Json) -> Json:
    return {
        "name": clipped(group["name"], 90),
        "items": [_item(item) for item in group.get("items", ())],
        "rows": [[printed(cell) for cell in row] for row in group.get("rows", ())],
    }


def _item(item: Json) -> Json:
    """A fix, a thing to look at, or a finding: heading, text, labelled details, who asks for it."""
    if "remedy" in item:
        return _fix(item)
    sections = ", ".join(map(clean, item.get("sections", ())))
    standing = " ".join(part for part in (clean(item.get("standing", "")), sections) if part)
    return {
        "number": "",
        "heading": clipped(item.get("about", ""), 120),
        "text": told(item["text"]),
        "details": [[clean(label), printed(text)] for label, text in item.get("details", ())],
        "side": [standing, *([f"({clean(item['mark'])})"] if item.get("mark") else [])],
        "done": bool(item.get("done")),
    }


def _fix(item: Json) -> Json:
    details = [("Asked" if item["status"] == FALLS_SHORT else item["status"].capitalize(), item["what"]), ("There", item["there"]),
               ("Needed" if item["status"] == FALLS_SHORT else "Why", item["needed"]), ("Correction", item["remedy"] or item["asked"]),
               *(("Or", other) for other in item["others"]), *(("With it", other) for other in item["along"])]  # fmt: skip
    return {
        "number": str(item["number"]),
        "heading": clipped(": ".join(part for part in (item["where"], item["about"]) if part), 150),
        "text": "",
        "details": [[label, _sentence(text)] for label, text in details if text],
        "side": [clean(item["trade"]), ", ".join(map(clean, item["sections"]))],
        "done": False,
    }


def _sentence(text: str) -> str:
    line = told(text)
    return f"{line[:1].upper()}{line[1:]}"
