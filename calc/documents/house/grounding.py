"""The grounding of a house: each electrode with its conductor, and each bond; required beside provided."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from calc.documents.house.found import Found, checks, sheet_name, why, word
from calc.documents.house.made_of import METALS, NOT_STATED, trade_size
from calc.families.grounding.electrodes import label
from calc.job import Electrode, Job
from calc.verdict.standing import Standing
from calc.wiring.house import House
from calc.wiring.wires import called
from calc.work import FALLS_SHORT, NOT_SHOWN, PASSES, Check, Sheet, loud
from calc.work.keys import item_of, stem_of
from calc.work.table import Table, weighed

OF_SERVICE, OF_BUILDING = "Grounding and bonding of the service", "Grounding of a separate building"
BONDS = {
    "main_bonding_jumper": "main bonding jumper",
    "supply_side_bonding_jumper": "supply-side bonding jumper",
    "water_bond": "bond of the water piping",
    "gas_bond": "bond of the gas piping",
}


@dataclass(frozen=True)
class Ground:
    """One electrode or bond: conductor required and provided, the sections, and what they come to."""

    name: str
    what: str
    required: str
    provided: str
    sections: str
    state: str
    short: str
    """What a diagram says of it; '' where it says nothing."""


def grounding_table(house: House, standing: Standing) -> Table | None:
    """One row for each electrode and bond of the service and of each building in scope; None where there is none."""
    found = Found(standing.sheets)
    places = [("", _service_sheet(found))]
    places += [(sheet.subject, sheet) for sheet in found.all_of("grounding", OF_BUILDING)]
    rows, sheets, notes = [], [], []
    for where, sheet in places:
        if sheet is None:
            continue
        made = [*electrodes_of(house.whole_job, found, where), *([] if where else bonds_of(house.whole_job, found))]
        rows += [[where or "Service", e.name, e.what, e.required, e.provided, e.sections, e.state] for e in made]
        sheets += [sheet_name(sheet)] * len(made)
        notes += why([(where or "Service", [sheet])])
    if not rows:
        return None
    return Table(
        title="Grounding and bonding",
        columns=weighed(
            ("Where", 20), ("Electrode or bond", 34), ("As entered", 40), ("Conductor required", 24), ("Provided", 24),
            ("Section", 34), ("State", 20),
        ),
        rows=rows,
        sheets=sheets,
        notes=["Sizes in AWG. 'As required': the job leaves the size to the requirement.", *notes],
    )  # fmt: skip


def electrodes_of(job: Job, found: Found, building: str) -> list[Ground]:
    """The electrodes of the service ('') or of a building, as the sheet has them; none where none is in scope."""
    sheet = found.of("grounding", OF_BUILDING, building) if building else _service_sheet(found)
    if building:
        listed = next((b.electrodes for b in job.buildings if b.name == building), ())
    else:
        listed = job.grounding.electrodes if job.grounding is not None else ()
    if sheet is None:
        return []
    used = [electrode for electrode in listed if electrode.used]
    return [
        *(_electrode(sheet, electrode, label(electrode, used)) for electrode in used),
        *(_unused(sheet, label(electrode, listed)) for electrode in listed if not electrode.used),
    ]


def _electrode(sheet: Sheet, electrode: Electrode, name: str) -> Ground:
    mine = [check for check in sheet.checks if item_of(check.key) == name]
    size = next((check for check in mine if check.key.startswith("electrode_serves")), None)
    worked = word(sheet, f"electrode_conductor[{name}]")
    required = (size.called or ("", ""))[1] if size is not None else worked
    provided = called(electrode.conductor) if electrode.conductor else "as required" if worked else NOT_STATED
    entered = [
        f"{electrode.count} of" if electrode.count > 1 else "",
        f"{electrode.length_ft:g} ft" if electrode.length_ft else "",
        f"{electrode.spacing_ft:g} ft apart" if electrode.spacing_ft else "",
        f"seen by {electrode.seen_by}" if electrode.seen_by else "",
    ]
    metal = METALS[electrode.material]
    return Ground(
        name,
        ", ".join(part for part in entered if part).replace(" of, ", " of "),
        _sized(required, metal),
        _sized(provided, metal),
        _sections(mine, sheet, name),
        _state(mine, "" if any(item_of(asked.key) == name for asked in sheet.unknowns) else worked),
        f"{trade_size(worked)} {metal} to {name}" if worked else f"{name}: conductor {NOT_STATED}",
    )


def _unused(sheet: Sheet, name: str) -> Ground:
    mine = [check for check in checks(sheet, "all_used") if item_of(check.key) == name]
    said = word(sheet, f"unused_electrode[{name}]")
    return Ground(
        name, said or "not connected", "", "not connected", _sections(mine, sheet, name), _state(mine, said), ""
    )


def bonds_of(job: Job, found: Found) -> list[Ground]:
    """The bonds of the service, and the termination for other systems."""
    sheet, grounding = _service_sheet(found), job.grounding
    if sheet is None or grounding is None:
        return []
    return [*_jumpers(sheet, job), *_intersystem(sheet)]


def _jumpers(sheet: Sheet, job: Job) -> Iterator[Ground]:
    for key, name in BONDS.items():
        worked = word(sheet, key)
        if not worked:
            if _asks(sheet, f"{key}_serves") or (sheet.refused is not None and key == "water_bond"):
                yield Ground(name, "", NOT_STATED, NOT_STATED, "", loud(NOT_SHOWN), "")
            continue
        mine = list(checks(sheet, f"{key}_serves"))
        required = (mine[0].called or ("", ""))[1] if mine else worked
        stated = getattr(job.grounding, key)
        none = not worked[:1].isdigit()
        yield Ground(
            name,
            worked if none else "",
            "none" if none else _sized(required, "Cu"),
            "" if none else _sized(called(stated), "Cu") if stated else "as required",
            _sections(mine, sheet, "", f"{key}_table", f"{key}_csst", key),
            _state(mine, "" if _asks(sheet, f"{key}_serves") else worked),
            "" if none or key == "supply_side_bonding_jumper" else f"{trade_size(worked)} Cu {name}",
        )


def _intersystem(sheet: Sheet) -> Iterator[Ground]:
    for check in checks(sheet, "intersystem_there"):
        there = "there" if check.holds.holds else "missing"
        sections = ", ".join(dict.fromkeys(cite.section for cite in check.cites))
        short = "intersystem bonding termination" if check.holds.holds else ""
        yield Ground("intersystem bonding termination", "", "one", there, sections, _state([check], there), short)
    if _asks(sheet, "intersystem_there"):
        yield Ground("intersystem bonding termination", "", "one", NOT_STATED, "", loud(NOT_SHOWN), "")


def _asks(sheet: Sheet, key: str) -> bool:
    """Whether an entry is missing that would decide it."""
    return any(asked.key == key for asked in sheet.unknowns)


def _service_sheet(found: Found) -> Sheet | None:
    return next(iter(found.all_of("grounding", OF_SERVICE)), None)


def _sized(size: str, metal: str) -> str:
    return f"{trade_size(size)} {metal}" if size[:1].isdigit() else size


def _state(mine: list[Check], worked: str) -> str:
    """Of its own checks; what the sheet did not come to has no pass to show."""
    if any(not check.holds.holds for check in mine):
        return loud(FALLS_SHORT)
    return loud(PASSES) if worked else loud(NOT_SHOWN)


def _sections(mine: list[Check], sheet: Sheet, item: str, *keys: str) -> str:
    """The sections of its checks and of the lines about it, each once."""
    about = [line for line in sheet.lines if not stem_of(line.key).endswith("_cmil")]
    lines = [line for line in about if (item_of(line.key) == item if item else line.key in keys)]
    table = [line for line in about if item and line.key.startswith("electrode_table")]
    cites = [cite for line in (*table, *lines) for cite in line.cites] + [
        cite for check in mine for cite in check.cites
    ]
    return ", ".join(dict.fromkeys(cite.section for cite in cites if cite.section))
