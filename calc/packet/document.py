"""The worked annex as the template reads it: every sheet in full by subject, rules that are not plain, inputs, what is attached."""

from __future__ import annotations

import hashlib
import json
import re
from collections import Counter
from collections.abc import Callable, Collection, Iterable
from itertools import count, groupby
from typing import Any, Literal

from typing_extensions import TypedDict

from calc.packet.alike import Kind, Notes
from calc.packet.collect import Collected
from calc.packet.displays import Once, follower, kind_head, notes_block, sheet_page
from calc.packet.inputs import card_rows, inputs
from calc.packet.subjects import by_subject, chapter_of, kind_of, said_as
from calc.packet.wording import clean, clipped, titled, told
from calc.work import loud, worst
from calc.work.forms import SheetForm

Json = dict[str, Any]

JOB_ATTACHMENT = "job.toml"
SHEETS_ATTACHMENT = "sheets.json"
FINGERPRINT_SHOWN = 12

_CAUTION_LINE = "This states worked arithmetic on what the job file gives; the code as adopted and the office decide."
_ATTACHED_LINE = {True: "This PDF carries the job file and sheets as attachments.", False: "No attachments."}
_MARKED = ("amended", "from memory", "unconfirmed")


def document(
    collected: Collected, *, name: str, fingerprint: str, job_text: str, attachments: bool, learner: bool = False
) -> Json:
    """Everything the template reads, as JSON: every sheet in full, by subject.

    name: the job's name; fingerprint: of the job file, hexadecimal; job_text: the job file itself, attached
    together with the sheets when ``attachments``; learner: with the reason of each line and check where it first comes
    up, and a margin to work in.
    """
    facts = [(label, text) for label, text in card_rows(job_text) if text]
    where = titled(dict(facts).get("Site address", name), 120)
    sheets = sheets_json(collected, name, fingerprint)
    verdict = collected.verdict
    elsewhere = {} if learner else _in_the_permit_set(collected)
    return {
        "title": f"{'Worked calculations to learn from' if learner else 'Worked annex'}: {where}",
        "description": "Every sheet of the job in full: each line with its numbers, its result and its section; checks.",
        "keywords": ["electrical calculations", "worked annex"],
        "where": where,
        "kind": "Worked calculations to learn from" if learner else "Worked annex",
        "footer_name": clipped(where, 60),
        "fingerprint": fingerprint[:FINGERPRINT_SHOWN],
        "learner": learner,
        "facts": [
            ["Job", clipped(name, 110)],
            *facts,
            *_adopted(collected),
            ["Sheets", f"fingerprint {sheets_fingerprint(sheets)}"],
        ],
        "verdict": {"status": loud(verdict["status"]), "words": clean(verdict["verdict"])},
        "caution_line": _CAUTION_LINE,
        "attached_line": _ATTACHED_LINE[attachments],
        "attachments": _attached(job_text, sheets) if attachments else [],
        "chapters": _chapters(collected, name, elsewhere, reason=Once(never=not learner)),
        "elsewhere": [clean(title) for title in dict.fromkeys(elsewhere.values())],
        "marked": _marked(collected),
        "inputs": inputs(job_text),
        "to_confirm": [told(each["text"]) for each in verdict["to_confirm"]],
    }


def _adopted(collected: Collected) -> list[list[str]]:
    """Edition and amendments, as the sheets were worked."""
    sheet = next(iter(collected.of("sheet")), None)
    if sheet is None:
        return []
    amendments = ", ".join(map(clean, sheet["amendments"]))
    return [["Edition", clean(sheet["edition"])], ["Amendments", amendments or "none"]]


class SheetsForm(TypedDict):
    """The file sheets.json beside a packet, which the PDF carries too."""

    schema_version: Literal[1]
    job: str
    fingerprint: str
    """SHA-256 of the job file."""
    sheets: list[SheetForm]
    """As the notebooks showed them."""


def sheets_json(collected: Collected, name: str, fingerprint: str) -> str:
    """The sheets as displayed, for machines: the file kept beside the packet and attached to it. A sheet a line."""
    head = _compact({"schema_version": 1, "job": name, "fingerprint": fingerprint})
    sheets = ",\n".join(map(_compact, collected.of("sheet")))
    text = f'{head[:-1]}, "sheets": [\n{sheets}\n]}}\n'
    return text.encode("utf-8", "replace").decode("utf-8")  # half a character, as JSON allows, can't be written


def _compact(part: Json) -> str:
    return json.dumps(part, ensure_ascii=False, allow_nan=False)


def _chapters(collected: Collected, name: str, elsewhere: Collection[str], reason: Once) -> list[Json]:
    """Chapters with what their sheets share, their subjects with each sheet, and the tables and charts shown with them."""
    shown = collected.of("sheet")
    kinds = _kinds(shown)
    printed_at, numbers = _lines_in_print(shown), count(1)
    chapters: list[Json] = []
    for chapter, subjects in by_subject(shown, name):
        used = list(dict.fromkeys(kind_key(shown[place]) for subject in subjects for place in subject.sheets))
        heads = [kind_head(kinds[key], key[1], reason) for key in used]
        notes = Notes([shown[place] for subject in subjects for place in subject.sheets])
        members = []
        for subject in subjects:
            sheets = [shown[place] for place in subject.sheets]
            pages = [
                sheet_page(sheet, next(numbers), kinds[kind_key(sheet)], notes, reason, printed_at) for sheet in sheets
            ]
            heading = titled(chapter.heading(subject.name, sheets, name), 400)
            members.append(
                {"title": heading, "status": loud(worst([sheet["status"] for sheet in sheets])), "sheets": pages}
            )
        chapters.append(
            {"title": chapter.title, "kinds": heads, "members": members, "followers": []} | notes_block(notes)
        )
    _with_followers(collected, chapters, elsewhere)
    return chapters


def _kinds(sheets: list[Json]) -> dict[tuple[str, str], Kind]:
    found: dict[tuple[str, str], list[Json]] = {}
    for sheet in sheets:
        found.setdefault(kind_key(sheet), []).append(sheet)
    return {key: Kind(alike) for key, alike in found.items()}


def _lines_in_print(sheets: list[Json]) -> Callable[[str, Json], str]:
    """Where a person finds the line of another sheet that a number came from: 'Conductors, branch, line 2'."""
    known = {f"{sheet['title']}{of}": sheet for sheet in sheets for of in (f", {sheet['subject']}", "")}

    def printed_at(at: str, here: Json) -> str:
        place, _, line = at.rpartition(", line ")
        sheet = known.get(place)
        if sheet is None or sheet["title"] != place.removesuffix(f", {sheet['subject']}"):
            return ""
        of = "" if sheet["subject"] == here["subject"] else f" of {sheet['subject']}"
        return f"{sheet['title']}{of}, line {line}"

    return printed_at


def kind_key(sheet: Json) -> tuple[str, str]:
    """By what sheets are of one kind: their family and their title without the manner."""
    return sheet["family"], kind_of(sheet)


def _in_the_permit_set(collected: Collected) -> dict[str, str]:
    """Titles of tables and drawings that the permit set has, each with what it is called there, in the order shown: an
    annex stands beside it."""
    sections = [section for document in collected.of("document") for section in document["sections"]]
    there = {section["title"] for section in sections} | {
        part.get("title") for each in sections for part in each["parts"]
    }
    shown = [display.data["title"] for display in collected.displays if display.kind in ("table", "chart")]
    called = {title: [title, *said_as(title)] for title in shown}
    return {title: name for title, names in called.items() for name in names if name in there}


def _with_followers(collected: Collected, chapters: list[Json], elsewhere: Collection[str]) -> None:
    """Put each table and chart into the chapter of its notebook's sheets; those of a notebook without any stand apart."""
    by_title = {chapter["title"]: chapter for chapter in chapters}
    for _, shown in groupby(collected.displays, key=lambda display: display.notebook):
        displays = list(shown)
        of = [chapter_of(display.data).title for display in displays if display.kind == "sheet"]
        items = [follower(display) for display in displays
                 if display.kind in ("table", "chart") and display.data["title"] not in elsewhere]  # fmt: skip
        if items:
            title = Counter(of).most_common(1)[0][0] if of else "Tables and charts"
            if title not in by_title:
                by_title[title] = {
                    "title": title,
                    "kinds": [],
                    "members": [],
                    "followers": [],
                    "notes": [],
                    "cautions": [],
                }
                chapters.append(by_title[title])
            by_title[title]["followers"] += items


def _marked(collected: Collected) -> list[Json]:
    """The rules whose values a local amendment sets, or that are from memory or not confirmed, each once."""
    found: dict[str, Json] = {}
    for sheet in collected.of("sheet"):
        kinds = {note["mark"]: note["kind"] for note in sheet["notes"]}
        for rule in sheet["rules"]:
            for kind in dict.fromkeys(kinds[mark] for mark in rule["marks"] if kinds.get(mark) in _MARKED):
                row = {
                    "kind": kind,
                    "section": clean(rule["section"]) or "—",
                    "words": told(rule["words"]),
                    "set_by": clean(rule["set_by"]),
                }
                found[json.dumps(row)] = row
    order = {kind: place for place, kind in enumerate(_MARKED)}
    return sorted(found.values(), key=lambda row: (order[row["kind"]], _section_order(row["section"])))


def spans(numbers: Iterable[int]) -> str:
    """'1–3, 7' for 1, 2, 3, 7."""
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(str(first) if first == last else f"{first}–{last}" for first, last in runs)


def _section_order(section: str) -> list[tuple[int, str]]:
    """220.53 before 220.103: numbers compare as numbers, before any letters; a rule of no section comes last."""
    parts = re.findall(r"[0-9]+|[^0-9]+", section)
    return [(int(part), "") if part[0] in "0123456789" else (10**9, part) for part in parts]


def _attached(job_text: str, sheets_text: str) -> list[Json]:
    return [
        job_attached(job_text),
        {
            "path": SHEETS_ATTACHMENT,
            "text": sheets_text,
            "mime": "application/json",
            "relationship": "data",
            "description": "The sheets of this packet, for machines",
        },
    ]


def job_attached(job_text: str) -> Json:
    """The job file as an attachment, from which the job is restored."""
    return {
        "path": JOB_ATTACHMENT,
        "text": job_text,
        "mime": "application/toml",
        "relationship": "source",
        "description": "The job file from which this was made",
    }


def sheets_fingerprint(sheets: str) -> str:
    """What the worked annex is known by, printed in it and in the permit set: of the sheets as they are attached."""
    return hashlib.sha256(sheets.encode()).hexdigest()[:FINGERPRINT_SHOWN]


def annex_places(collected: Collected, name: str) -> dict[tuple[str, str, str], str]:
    """Where the worked annex has each sheet, by family, title and subject; ``name`` is the job's."""
    shown = collected.of("sheet")
    order = [
        shown[place] for _, subjects in by_subject(shown, name) for subject in subjects for place in subject.sheets
    ]
    return {
        (sheet["family"], sheet["title"], sheet["subject"]): str(number) for number, sheet in enumerate(order, start=1)
    }
