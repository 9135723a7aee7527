"""The circuits of a house, one row each, with the protection that each needs beside the one that it has; and the circuits
that a dwelling must have."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from calc.documents.house import amounts
from calc.documents.house.found import Found, checks, number, sheet_name, state, why, word
from calc.documents.house.made_of import NOT_STATED, cable_text, ungrounded
from calc.documents.house.schedules import unplaced
from calc.job import Circuit
from calc.verdict.standing import Standing
from calc.wiring.circuits import Branch, branches
from calc.wiring.house import House
from calc.work import FALLS_SHORT, NOT_SHOWN, PASSES, Sheet, loud
from calc.work.forms import CheckForm
from calc.work.keys import stem_and_item
from calc.work.table import SheetName, Table, weighed

FAMILY = "branch-circuits"
KINDS = {"arc_fault": "arc-fault", "ground_fault": "ground-fault"}
BOTH = "dual-function"
CONNECTION = ("dishwasher_receptacle_beside", "cord_long_enough", "cord_short_enough")
"""What is asked of how an appliance is plugged in: one row where all of it is met."""


def circuit_table(house: House, standing: Standing) -> Table | None:
    """One row for each circuit in scope, by panel; None where there is none."""
    found = Found(standing.sheets)
    every = {branch.name: branch for branch in branches(house)}
    circuits = [(every[s.subject], s) for s in found.all_of(FAMILY, "Branch circuit") if s.subject in every]
    if not circuits:
        return None
    rows: list[list[str]] = []
    sheets: list[SheetName | None] = []
    open_panels = unplaced(house, standing)
    panels = list(dict.fromkeys(branch.panel for branch, _ in circuits))
    for panel in panels:
        if len(panels) > 1:
            rows.append([panel or f"Panel {NOT_STATED}"])
            sheets.append(None)
        mine = [(branch, s) for branch, s in circuits if branch.panel == panel]
        rows += [_row(found, branch, s, proposed=panel not in open_panels) for branch, s in mine]
        sheets += [sheet_name(s) for _, s in mine]
    return Table(
        title="Circuits and protection",
        columns=weighed(
            ("Circuit", 38), ("Spaces", 13), ("Serves", 44), ("Load, A", 12, "right"), ("Breaker, A", 15, "right"),
            ("Wire", 20), ("AFCI required", 18), ("AFCI there", 15), ("GFCI required", 21), ("GFCI there", 15), ("State", 17),
        ),
        rows=rows,
        sheets=sheets,
        notes=[
            "Required: the section that asks for it. There: in the breaker, at the first outlet, at each outlet, or in the run.",
            *_resistant(circuits),
            *why((branch.name, [s]) for branch, s in circuits),
        ],
    )  # fmt: skip


def _row(found: Found, branch: Branch, sheet: Sheet, proposed: bool) -> list[str]:
    current, rating = number(sheet, "load_a"), number(sheet, "breaker_a") or branch.circuit.breaker_a
    return [
        branch.name + (" (existing)" if branch.circuit.status == "existing" else ""),
        _spaces(branch, sheet, proposed),
        _serves(branch),
        amounts.load_a(current) if current is not None else NOT_STATED,
        amounts.rating_a(rating) if rating else NOT_STATED,
        _wire(found, branch, sheet),
        *(cell for kind in KINDS for cell in (_required(sheet, kind), _there(branch.circuit, sheet, kind))),
        state([sheet]),
    ]


def _spaces(branch: Branch, sheet: Sheet, proposed: bool) -> str:
    """The spaces as the job has them or, of a new circuit where it is known which are free, as they are proposed."""
    stated = ", ".join(map(str, branch.circuit.positions))
    return stated or (word(sheet, "spaces") if proposed and branch.circuit.status == "new" else "") or NOT_STATED


def _serves(branch: Branch) -> str:
    """Its rooms; of a circuit without any, what is on it."""
    rooms = [room.name for room in branch.rooms]
    listed = [name for name in branch.circuit.rooms if name not in rooms]
    loads = [c.load.name for c in branch.loads if c.load.name.lower() != branch.name.lower()]
    return ", ".join([*rooms, *listed] or loads)


def _wire(found: Found, branch: Branch, sheet: Sheet) -> str:
    run = branch.run
    if run is not None and (run.cable or run.size or run.wiring_method or run.insulation):
        return ungrounded(run, found.of("feeder", "Conductors", run.name))
    if branch.circuit.cable is not None:
        return cable_text(branch.circuit.cable)
    return word(sheet, "conductor") or NOT_STATED


def _required(sheet: Sheet, kind: str) -> str:
    """The sections that ask for it; 'not known' where an entry would tell; 'no'."""
    if any(unknown.key == f"{kind}_provided" for unknown in sheet.unknowns):
        return "not known"
    cites = [cite for line in sheet.lines if line.key == kind for cite in line.cites]
    cites += [cite for check in checks(sheet, f"{kind}_provided") for cite in check.cites]
    sections = [*dict.fromkeys(cite.section for cite in cites if cite.section)]
    if sections:
        return ", ".join(sections)
    return "no" if kind in sheet else NOT_STATED


def _there(circuit: Circuit, sheet: Sheet, kind: str) -> str:
    """Where the protection is that the job states; '' where there is none and none is asked for."""
    types = (KINDS[kind], BOTH)
    if circuit.breaker_type in types:
        return "breaker"
    if circuit.first_outlet in types:
        return "first outlet"
    if any(check.holds.holds for check in checks(sheet, f"{kind}_provided")):
        return "outlets or run"
    return "" if _required(sheet, kind) == "no" else "none"


def _resistant(circuits: list[tuple[Branch, Sheet]]) -> Iterator[str]:
    asked = [branch.name for branch, s in circuits if "tamper_resistant" in s]
    if asked:
        sections = dict.fromkeys(
            cite.section
            for _, s in circuits
            for line in s.lines
            if line.key == "tamper_resistant"
            for cite in line.cites
        )
        yield f"Tamper-resistant 15 and 20 A receptacles ({', '.join(sections)}) on: {', '.join(asked)}."


def required_table(house: House, standing: Standing) -> Table | None:
    """What the dwelling as a whole must have, a row a requirement; then the multiwire circuits, a row each."""
    found = Found(standing.sheets)
    rows: list[list[str]] = []
    sheets: list[SheetName | None] = []
    for sheet in (s for title in ("Required circuits", "Replaced receptacles") for s in found.all_of(FAMILY, title)):
        rows += _requirements(sheet)
        sheets += [sheet_name(sheet)] * (len(rows) - len(sheets))
    for sheet in found.all_of(FAMILY, "Multiwire circuit"):
        rows.append(_together(sheet))
        sheets.append(sheet_name(sheet))
    if not rows:
        return None
    return Table(
        title="Required circuits, and circuits that share a neutral",
        columns=weighed(("Requirement", 62), ("Provided and required", 66), ("Section", 36), ("State", 18)),
        rows=rows,
        sheets=sheets,
    )


def _requirements(sheet: Sheet) -> Iterator[list[str]]:
    form = sheet.as_json()
    connections: dict[str, list[CheckForm]] = {}
    for check in form["checks"]:
        stem, item = stem_and_item(check["key"])
        if stem in CONNECTION and check["passes"]:
            connections.setdefault(item, []).append(check)
    for item, met in connections.items():
        yield [f"Receptacle and cord of {item}", _all_met(len(met)), _sections(met), loud(PASSES)]
    for check in form["checks"]:
        if any(check in met for met in connections.values()):
            continue
        status = PASSES if check["passes"] else FALLS_SHORT
        yield [_sentence(check["name"]), check["text"], ", ".join(check["sections"]), loud(status)]
    for unknown in form["not_shown"]:
        said = f"to be entered: {unknown['missing']}"
        yield [_sentence(unknown["name"]), said, ", ".join(unknown["sections"]), loud(NOT_SHOWN)]
    if sheet.refused is not None:
        sections = ", ".join(cite.section for cite in sheet.refused.cites if cite.section)
        yield [sheet.title, sheet.refused.reason, sections, loud(sheet.refused.status)]


def _together(sheet: Sheet) -> list[str]:
    """A multiwire circuit: what of it does not pass, or how many requirements are met."""
    checks_of = sheet.as_json()["checks"]
    missed = [row for row in _requirements(sheet) if row[-1] != PASSES]
    said = "; ".join(f"{name}: {text}" for name, text, *_ in missed) or _all_met(len(checks_of))
    return [f"{sheet.subject} share a neutral", said, _sections(checks_of), state([sheet])]


def _all_met(count: int) -> str:
    return f"all {count} requirements met" if count > 1 else "met"


def _sections(of: Iterable[CheckForm]) -> str:
    return ", ".join(dict.fromkeys(section for check in of for section in check["sections"]))


def _sentence(name: str) -> str:
    return name[:1].upper() + name[1:]
