"""What a crew's phone sends back, taken into the findings of the job: all of a file, or nothing and every reason.

    back = taken_back(job, Path("back-lot-12-ic.json"))
    save_job(back.job)

The same file twice adds nothing. A later file of the same phone holds what the earlier did; only what is new is added.
Where a file and the job say different things, both stay, the question stays open, and the conflict is named.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import Any

from calc.job.edit import changed
from calc.job.model import Job
from calc.job.problems import printable
from calc.job.sent_back import SentEntry, check_same_job, read_back
from calc.job.walk import RIGHT
from calc.job.walk import Finding as Written

LONGEST_SECTION = 300
CUT = 120
_TORQUE = re.compile(
    r"Torque of (?P<of>.+): (?P<value>[\d.]+ \S+?)(?:, (?P<label>[\d.]+ \S+) on the label)?(?:; tool (?P<tool>.+))?"
)

Finding = dict[str, Any]
"""A finding as the job file says it."""


@dataclass
class Back:
    """A job with what was sent back, and what became of it."""

    job: Job
    added: list[Finding] = field(default_factory=list)
    closed: int = 0
    """Findings of the job that are corrected now."""
    known: int = 0
    """Entries that the job had already."""
    conflicts: list[str] = field(default_factory=list)
    earlier: bool = False
    """Whether the page was made from an earlier state of the job file."""

    @property
    def right(self) -> int:
        """Questions that were found right."""
        return sum(len(each["asked"]) for each in self.added if each.get("kind") == "right")


def taken_back(job: Job, path: Path) -> Back:
    """The job with a file's entries among its findings. JobError names everything that is wrong with the file."""
    sent = read_back(path)
    check_same_job(job, sent, path)
    back = Back(job, earlier=sent.fingerprint != job.fingerprint)
    findings: list[Finding] = [dict(each) for each in job.data.get("findings", [])]
    rooms = {room.name for room in job.rooms}
    for entry in sent.entries:
        if entry.finding is not None and entry.kind == "corrected":
            _close(findings, entry, back)
        if entry.finding is None or entry.text:
            _take(findings, _finding(entry, rooms) | {"source": printable(path.name)}, back)
    back.added = _together(findings, back.added)
    if back.added or back.closed:
        back.job = changed(job, {"findings": findings})
    return back


def _finding(entry: SentEntry, rooms: set[str]) -> Finding:
    """An entry as a finding."""
    made: Finding = {}
    if entry.kind in ("right", "corrected", "reading"):
        made["kind"] = entry.kind
    if entry.stage:
        made["stage"] = entry.stage
    if entry.place:
        made["room" if entry.place in rooms else "place"] = entry.place
    made["text"] = _text(entry)
    if asked := entry.asked or entry.finding:
        made["asked"] = [asked]
    if entry.sections:
        made["section"] = ", ".join(entry.sections)[:LONGEST_SECTION]
    made |= {"who": entry.who, "found_on": datetime.fromisoformat(entry.when).date()}
    if entry.closed_on:
        made |= {"closed_on": entry.closed_on} | ({"closed_by": entry.closed_by} if entry.closed_by else {})
    return made


def _text(entry: SentEntry) -> str:
    if entry.kind == "reading":
        of = f" of {entry.of}" if entry.of else ""
        label = f", {entry.label} {entry.unit} on the label" if entry.label else ""
        tool = f"; tool {entry.tool}" if entry.tool else ""
        return f"{(entry.quantity or '').capitalize()}{of}: {entry.value} {entry.unit}{label}{tool}"
    return (entry.text or "").strip() or {"right": RIGHT, "wrong": "Not right.", "corrected": "Corrected."}[entry.kind]


def torque_set(finding: Written) -> tuple[str, list[str]] | None:
    """The terminal that a torque was read of, and what a record says of it: by the label, set to, tool, by whom and when;
    None where the finding is another."""
    found = _TORQUE.fullmatch(finding.text) if finding.kind == "reading" else None
    if found is None:
        return None
    by = ", ".join(str(each) for each in (finding.who, finding.found_on) if each)
    return found["of"], [found["label"] or "", found["value"], found["tool"] or "", by]


def _take(findings: list[Finding], new: Finding, back: Back) -> None:
    """Add a finding, unless the job has it; name what the job says otherwise of the same question."""
    here = [old for old in findings if _same_place(old, new)]
    for old in here:
        if _alike(old, new):
            _close_like(old, new, back)
            return
    for old in here:
        asked = set(new.get("asked", ())) & set(old.get("asked", ()))
        if asked and (conflict := _conflict(old, new)):
            back.conflicts.append(f"'{min(asked)[:CUT]}': {conflict}")
    findings.append(new)
    back.added.append(new)


def _same_place(old: Mapping[str, Any], new: Mapping[str, Any]) -> bool:
    return all(old.get(key) == new.get(key) for key in ("stage", "room", "place"))


def _alike(old: Mapping[str, Any], new: Mapping[str, Any]) -> bool:
    """Whether the job has it: the same said by the same person on the same day, and of the same question."""
    same = all(old.get(key) == new.get(key) for key in ("kind", "text", "who")) and _day(old) == _day(new)
    return same and set(new.get("asked", ())) <= set(old.get("asked", ()))


def _close_like(old: Finding, new: Mapping[str, Any], back: Back) -> None:
    """The same finding, which may be corrected by now."""
    if "closed_on" in new and "closed_on" not in old:
        old |= {key: new[key] for key in ("closed_on", "closed_by") if key in new}
        back.closed += 1
        return
    back.known += 1


def _conflict(old: Mapping[str, Any], new: Mapping[str, Any]) -> str:
    """What the job and the file say differently of one question; '' where they agree."""
    if _open(old) and new.get("kind") == "right":
        return f"right by {_by(new)}, and open as {_by(old)} found it: it stays open until that is closed"
    if _open(new) and old.get("kind") == "right":
        return f"not right by {_by(new)}, and right by {_by(old)}: it is open"
    if _open(new) and _open(old) and old.get("who") == new.get("who") and _day(old) == _day(new):
        return f"{_by(new)} sent it before in other words: both are kept"
    return ""


def _close(findings: list[Finding], entry: SentEntry, back: Back) -> None:
    """A finding of the job that somebody says is corrected."""
    on = datetime.fromisoformat(entry.when).date()
    of = [each for each in findings if each.get("text") == entry.finding and each.get("kind", "seen") == "seen"]
    still = [each for each in of if "closed_on" not in each]
    said = f"'{(entry.finding or '')[:CUT]}'"
    if len(still) == 1:
        still[0] |= {"closed_on": on, "closed_by": entry.who}
        back.closed += 1
    elif any((each.get("closed_by"), _as_date(each.get("closed_on"))) == (entry.who, on) for each in of):
        back.known += 1
    elif still:
        back.conflicts.append(
            f"{said}: {len(still)} findings say so; close in the job the one that {entry.who} corrected on {on}"
        )
    elif of:
        back.conflicts.append(f"{said}: corrected by {entry.who} on {on}, and closed in the job already: that stays")
    else:
        back.conflicts.append(f"{said}: corrected by {entry.who} on {on}, and no longer in the job")


def _together(findings: list[Finding], added: list[Finding]) -> list[Finding]:
    """What one person found right at one place on one day as one finding, in the list of all findings too."""
    kept: list[Finding] = []
    for new in added:
        plain = new.get("kind") == "right" and new["text"] == RIGHT
        like = next((each for each in kept if plain and _same_place(each, new) and _day(each) == _day(new)
                     and all(each.get(key) == new.get(key) for key in ("kind", "text", "who"))), None)  # fmt: skip
        if like is None:
            kept.append(new)
            continue
        like["asked"] = [*like["asked"], *new["asked"]]
        like.pop("section", None)
        findings.pop(next(at for at, each in enumerate(findings) if each is new))
    return kept


def _open(finding: Mapping[str, Any]) -> bool:
    return finding.get("kind", "seen") == "seen" and "closed_on" not in finding


def _day(finding: Mapping[str, Any]) -> date | None:
    return _as_date(finding.get("found_on"))


def _as_date(value: Any) -> date | None:
    return date.fromisoformat(value) if isinstance(value, str) else value


def _by(finding: Mapping[str, Any]) -> str:
    return ", ".join(str(part) for part in (finding.get("who"), finding.get("found_on")) if part)


def summed_up(back: Back) -> Iterator[str]:
    """What became of a file, in lines for a person."""
    more = [each for each in back.added if each.get("kind") != "right"]
    opened = sum(map(_open, more))
    yield (f"{len(more)} findings and readings added, {opened} of them open; {back.right} questions right; {back.closed} findings "
           f"corrected; {back.known} known already")  # fmt: skip
    if back.earlier:
        yield "The page was made from an earlier state of the job file; what it asked may have changed since."
    yield from (f"Conflict: {each}" for each in back.conflicts)
