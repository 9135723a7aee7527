"""The walk sheets: what a person must look at, stage by stage and room by room, and what was found before."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import tomli

from calc.codebook import Codebook
from calc.families.branch_circuits.schedule import last_space, spaces
from calc.families.branch_circuits.worked import all_circuits
from calc.job import Finding, Job, Run, format_length
from calc.job.taken_back import torque_set
from calc.job.walk import RIGHT
from calc.remedies.asked import SUBJECTS, Walked
from calc.remedies.lists import Checklist, Question, Questions, Record, Rows
from calc.remedies.problem import there_and_needed
from calc.remedies.survey import worked
from calc.wiring.house import House
from calc.wiring.places import HOUSE, OUTDOORS, one_place, places
from calc.work import Value

LOOKS = Path(__file__).parent / "looks.toml"
STAGES = {
    "footing": "Footing", "trench": "Trench", "rough": "Rough-in", "service-release": "Service release", "final": "Final",
}  # fmt: skip
STANDINGS = {"practice": "Good practice", "inspector": "Inspector decides", "building": "Building code"}


@dataclass(frozen=True)
class Look:
    """One thing to look at: where, what, and who asks for it."""

    key: str
    stage: str
    where: str
    text: str
    standing: str
    sections: tuple[str, ...] = ()
    mark: str = ""


@cache
def questions() -> dict[str, dict[str, Any]]:
    """The questions of the walk, by key."""
    return tomli.loads(LOOKS.read_text(encoding="utf-8"))


def looks(house: House) -> Iterator[Look]:
    """Every question that the job raises, in the order of the questions."""
    walked = Walked(house)
    for key, entry in questions().items():
        rule = entry.get("rule")
        if rule is not None and not house.code.has(rule):
            continue
        numbers = _numbers(house.code, entry) if rule is not None else {}
        cites = [house.code.cite(name) for name in (rule, *entry.get("also", ())) if name is not None]
        for where, words in SUBJECTS[entry["each"]](walked):
            if "of" in entry and words["use"] not in entry["of"]:
                continue
            yield Look(
                key,
                entry["stage"],
                where,
                entry["text"].format(**words, **numbers)
                + _short(walked, entry, words.get("about", words.get("name", ""))),
                "Code" if cites else STANDINGS[entry["standing"]],
                tuple(cite.section for cite in cites if cite.section),
                next((cite.mark for cite in cites if cite.mark), ""),
            )


def _short(walked: Walked, entry: dict[str, Any], about: str) -> str:
    """What the sheets know to fall short of what the question asks: nobody ticks that as right unseen."""
    if "sheet" not in entry:
        return ""
    said = []
    for s, check in walked.short(entry["sheet"], entry["checks"], about):
        there, needed = there_and_needed(s, check)
        said.append(f"{check.name}: {there}, needed {needed}" if needed else f"{check.name}: {there}")
    return f" Falls short as entered: {'; '.join(said)}." if said else ""


def _numbers(code: Codebook, entry: dict[str, Any]) -> dict[str, str]:
    """Lengths of the question's rules, as they stand in this edition and as people tape them."""
    wanted = {"value": entry["rule"], **entry.get("values", {})}
    return {name: _taped(code[rule]) for name, rule in wanted.items() if f"{{{name}}}" in entry["text"]}


def _taped(length: Value) -> str:
    """A length as inspectors' lists write it: inches, below a foot with their fractions, or feet."""
    if length.unit.text == "in" and length.number < 12:
        return format_length(length.number)
    return f"{length.number:g} {length.unit}"


def walk_sheets(house: House) -> list[Checklist]:
    """A sheet for each inspection stage that has something to look at, in order."""
    found = list(looks(house))
    return [
        _sheet(house.job, stage, title, [look for look in found if look.stage == stage])
        for stage, title in STAGES.items()
        if any(look.stage == stage for look in found)
    ]


def _sheet(job: Job, stage: str, title: str, found: list[Look]) -> Checklist:
    groups = [
        Questions(where, [_question(job, look) for look in found if look.where == where])
        for where in in_order(job, [look.where for look in found])
    ]
    intro = "Tick what is right; write down what is not, and where."
    return Checklist("stage", f"Walk sheet: {title}", job.job.name, intro, groups, stage)


def _question(job: Job, look: Look) -> Question:
    """A question, with what was answered to it on earlier walks. It is done where all of that is right."""
    answers = [
        each
        for each in job.findings
        if look.text in each.asked and each.stage == look.stage and _where(each) == look.where
    ]
    details = [
        ("Right" if each.kind == "right" else "Corrected" if each.closed else "Found", _answered(each))
        for each in answers
    ]
    done = bool(answers) and all(each.closed for each in answers)
    return Question(
        look.text, standing=look.standing, sections=look.sections, mark=look.mark, details=details, done=done
    )


def _answered(finding: Finding) -> str:
    said = "" if finding.text == RIGHT else finding.text.rstrip(".")
    return ", ".join(part for part in (said, _by(finding)) if part)


def _by(finding: Finding) -> str:
    return ", ".join(str(each) for each in (finding.who, finding.found_on) if each)


def _where(finding: Finding) -> str:
    return finding.room or finding.place or HOUSE


def in_order(job: Job, names: list[str]) -> list[str]:
    """Places in the order in which a crew walks: the whole house, its rooms as the job lists them, the rest, outdoors."""
    rooms = [room.name for room in job.rooms]
    rest = [name for name in dict.fromkeys(names) if name not in (HOUSE, OUTDOORS, *rooms)]
    return [name for name in (HOUSE, *rooms, *rest, OUTDOORS) if name in names]


def findings_sheet(job: Job) -> Checklist | None:
    """What people saw, read and corrected on earlier walks, the open ones first; None where nothing is written down.

    What was found right of the questions, and no more said of it, stands at the questions.
    """
    kinds = [
        ("Open", "seen", False),
        ("Closed", "seen", True),
        ("Said to be corrected", "corrected", True),
        ("Readings", "reading", True),
    ]
    listed = {
        title: [_finding(each) for each in job.findings if (each.kind, each.closed) == (kind, closed)]
        for title, kind, closed in kinds
    }
    listed["Noted"] = [_finding(each) for each in job.findings if each.kind == "right" and each.text != RIGHT]
    groups = [Questions(title, items) for title, items in listed.items() if items]
    intro = "As the job file keeps them."
    return Checklist("findings", "Findings so far", job.job.name, intro, groups) if groups else None


def _finding(finding: Finding) -> Question:
    done = ", ".join(str(each) for each in (finding.closed_by, finding.closed_on) if each)
    details = [("Found" if finding.kind == "seen" else "By", _by(finding))] if _by(finding) else []
    details += [("Asked", "; ".join(finding.asked))] if finding.asked else []
    details += [("Corrected", done)] if finding.closed_on else []
    place = finding.room or finding.place
    about = ", ".join(part for part in (STAGES.get(finding.stage or "", ""), place) if part)
    sections = (finding.section,) if finding.section else ()
    return Question(finding.text, about, sections=sections, details=details, done=finding.closed, where=place or "")


def torque_record(house: House) -> Record | None:
    """A record to fill in: the terminals of each panel, with their conductors as stated or worked out, and the torque that
    was read of one last."""
    read = {(finding.place or finding.room, of): cells for finding in house.job.findings
            for of, cells in [torque_set(finding) or ("", [])] if of}  # fmt: skip
    sizes = {s.subject: str(s.results.get("size", "")) for s in worked(house, "feeder")}
    groups = []
    for panel in house.job.panels:
        if panel.status != "removed":
            rows = [
                [name, wire, *read.get((panel.name, name), [""] * 4)]
                for name, wire in _terminals(house.job, panel.name, sizes)
            ]
            groups.append(Rows(panel.name, rows))
    if not groups:
        return None
    columns = ["Terminal", "Conductor", "Torque on the label", "Set to", "Tool", "By, date"]
    intro = "The label or the maker's sheet states the torque; a tool that measures it sets it."
    return Record("Torque record", house.job.job.name, intro, columns, groups)


def panel_faces(house: House) -> Record | None:
    """What stands in each space of the panels, odd ones first as a panel is read from the top; None without panels."""
    circuits, where = all_circuits(house), places(house.job)
    groups = []
    for work, s in circuits.panels:
        if s.refused is None:
            said = spaces(circuits, work)
            free = ("space", "", "")
            rows = [[str(at), *said.get(at, free)[:2]] for odd in (1, 2) for at in range(odd, last_space(work) + 1, 2)]
            groups.append(Rows(work.panel.name, rows, one_place(where[work.panel.name])))
    if not groups:
        return None
    return Record("Panels", house.job.job.name, "", ["Space", "Serves", "Breaker"], groups, part="panels")


def _terminals(job: Job, panel: str, sizes: dict[str, str]) -> Iterator[tuple[str, str]]:
    """Supply, neutral and ground of a panel, and the breakers of its runs."""
    supply = next((run for run in job.runs if run.feeds == panel and run.status != "removed"), None)
    wire = _wire(supply, sizes) if supply else ""
    for leg in range(1, 4 if supply is not None and supply.phases == 3 else 3):
        yield f"Supply, leg {leg}", wire
    yield "Neutral", ""
    yield "Equipment ground", ""
    for run in job.runs:
        if run.fed_from == panel and run.status != "removed":
            yield f"{run.name}, breaker", _wire(run, sizes)


def _wire(run: Run, sizes: dict[str, str]) -> str:
    if run.cable is not None:
        return run.cable.text
    sets = f"{run.sets} x " if run.sets > 1 else ""
    return " ".join(
        part for part in (f"{sets}{sizes.get(run.name, '')}", run.insulation or "", run.metal) if part.strip()
    )
