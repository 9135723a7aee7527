"""The file that a crew's phone sends back: its form, and reading it with every wrong entry named."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path
from typing import Annotated, Literal

from pydantic import AfterValidator, ValidationError

from calc.intake import NotTaken, taken, text_of
from calc.job.fields import REQUIRED, Date, Many, Notes, Part, Text, Words, field, refuse
from calc.job.model import Job
from calc.job.problems import JobError, Problem, file_error, located, printable, troubles_of
from calc.job.walk import Stage

KIND = "file that a crew's phone sent back"
_NEEDED = {"right": ["asked"], "wrong": ["asked"], "corrected": ["asked"], "note": ["text"],
           "reading": ["quantity", "value", "unit"]}  # fmt: skip
"""What an entry of a kind can't do without."""


def _moment(text: str) -> str:
    try:
        datetime.fromisoformat(text)
    except ValueError:
        raise refuse("a date with its time, such as 2026-04-20T14:05") from None
    return text


def _reading(text: str) -> str:
    whole, _, rest = text.partition(".")
    if not (
        whole.isascii() and whole.isdigit() and (not rest or (rest.isascii() and rest.isdigit())) and len(text) < 13
    ):
        raise refuse("a number, such as 550 or 0.4")
    return text


Moment = Annotated[Text, AfterValidator(_moment), Words("text", "a date with its time")]
Number = Annotated[Text, AfterValidator(_reading), Words("text", "a number")]


class SentEntry(Part):
    """One thing that was ticked, read or noted."""

    kind: Literal["right", "wrong", "corrected", "note", "reading"] = field("Kind", "what was entered", REQUIRED)
    who: Text = field("Who", "who entered it", REQUIRED)
    when: Moment = field("When", "when it was entered, by the phone's clock", REQUIRED)
    stage: Stage | None = field("Stage", "inspection stage")
    place: Text | None = field("Place", "room, building or panel")
    asked: Notes | None = field("Asked", "the question or the correction that it answers")
    finding: Notes | None = field("Finding", "the text of the job's finding that is corrected")
    sections: Many[Text] = field("Sections", "sections behind the question", ())
    text: Notes | None = field("Text", "what was seen")
    closed_by: Text | None = field("Closed by", "who found it right later")
    closed_on: Date | None = field("Closed on", "when it was found right")
    quantity: Text | None = field("Quantity", "what was read: torque, insulation, voltage")
    of: Text | None = field("Of", "of what it was read, or between what")
    value: Number | None = field("Value", "the reading")
    unit: Text | None = field("Unit", "its unit")
    label: Number | None = field("On the label", "torque that the label states")
    tool: Text | None = field("Tool", "tool that set or read it")


class SentBack(Part):
    """The file that a crew's phone sends back."""

    schema_version: Literal[1] = field("Format", "version of this format", REQUIRED)
    what: Literal["sent back"] = field("What", "that it is such a file", REQUIRED)
    job: Text = field("Job", "name of the job", REQUIRED)
    address: Text | None = field("Address", "where the house stands")
    fingerprint: Text = field("Fingerprint", "SHA-256 of the job file that the page was made from", REQUIRED)
    made: Moment = field("Made", "when it was sent", REQUIRED)
    entries: Many[SentEntry] = field("Entries", "what was ticked, read and noted", REQUIRED)


def read_back(path: Path) -> SentBack:
    """A file, its form checked. JobError names each wrong entry."""
    try:
        data = json.loads(text_of(taken(path, kind=KIND)), parse_constant=_no_number)
    except NotTaken as error:
        raise file_error(path, error.read, error.hint, error.line) from None
    except (ValueError, RecursionError):
        raise file_error(path, f"is not the {KIND}: it holds no JSON") from None
    if not isinstance(data, dict) or data.get("what") != "sent back":
        raise file_error(path, f"is not the {KIND}", "the page's button 'Send back' makes one")
    try:
        sent = SentBack.model_validate(data)
    except ValidationError as error:
        raise JobError([located(each, path, data, {}) for each in troubles_of(error, SentBack)]) from None
    lacking = [
        Problem(printable(path), None, f"entries[{number}]", f"is {entry.kind} and lacks {', '.join(missing)}")
        for number, entry in enumerate(sent.entries, 1)
        if (missing := [name for name in _NEEDED[entry.kind] if getattr(entry, name) is None and entry.finding is None])
    ]
    if lacking:
        raise JobError(lacking)
    return sent


def _no_number(name: str) -> float:
    raise ValueError(name)


def check_same_job(job: Job, sent: SentBack, path: Path) -> None:
    """JobError where the file is another job's: of another name, or of another house."""
    card = job.job
    if sent.job != card.name or (sent.address and card.address and sent.address != card.address):
        of = ", ".join(part for part in (sent.job, sent.address) if part)
        here = ", ".join(part for part in (card.name, card.address) if part)
        raise file_error(
            path, f"is of another job, {printable(of)}; this one is {printable(here)}", "nothing was taken in"
        )
