"""What a replaced service or panel brings with it, by edition: where each thing is asked. The checks stand elsewhere."""

from __future__ import annotations

from collections.abc import Mapping

from calc.codebook import Codebook
from calc.job import Job
from calc.work.table import Table, columns

ASKED = {
    "Surge-protective device": ("surge_service", "Required circuits and equipment"),
    "Disconnect outdoors": ("emergency_disconnect", "Outdoor disconnect"),
    "On the house or within sight of it": ("emergency_at_house", "Outdoor disconnect"),
    "Its marking": ("emergency_marked", "Outdoor disconnect"),
}
"""Requirement: the rule that asks for it, and the sheet that checks it."""
BEYOND = {
    "Old panel beyond the new disconnect: neutral and ground apart": ("neutral_apart", "Panel"),
    "Its feeder: an equipment grounding conductor beside the neutral": ("feeder_wires", "Panel"),
}


NOT_ASKED, SILENT = "not asked", "silent on it"


def service_change(job: Job, books: Mapping[str, Codebook]) -> list[Table]:
    """A table where the job replaces its service, or parts of it; a column an edition."""
    service = job.service
    if service is None or service.work not in ("replaced", "riser-only"):
        return []
    rows = []
    asked = ASKED | (BEYOND if _becomes_subpanel(job) else {})
    for name, (rule, checked) in asked.items():
        rows.append([name, *(_cell(code, rule, service.work) for code in books.values()), checked])
    if service.work == "riser-only":
        what = "No more than meter socket, riser or entrance conductors are replaced."
    elif service.replaces_a is not None and service.rating_a is not None:
        what = f"The service of {service.replaces_a} A is replaced by one of {service.rating_a} A."
    else:
        what = "The service is replaced."
    return [Table(
        title="What the new service brings with it",
        intro=f"{what} Each thing that is asked of such work is checked on the sheet named.",
        columns=columns("Requirement", *books, "Checked on sheet"),
        rows=rows,
        notes=["Electrodes and bonds of the new service have their own sheet. Whether an edition that is silent on "
                  "replacements asks all the same is for the office to say."],
    )]  # fmt: skip


def brought(code: Codebook) -> list[tuple[str, str]]:
    """What this edition asks of a service that is replaced, with its section."""
    cells = [(name, rule, _cell(code, rule, "replaced")) for name, (rule, _) in ASKED.items()]
    return [(name, code.cite(rule).section) for name, rule, cell in cells if cell not in (NOT_ASKED, SILENT)]


def _cell(code: Codebook, rule: str, work: str) -> str:
    """'230.67', or that this edition doesn't ask it, of any work or of this one."""
    if not code.has(rule):
        return NOT_ASKED
    if work == "riser-only" and rule in {rule for rule, _ in ASKED.values()}:
        return "not of this work"
    if rule.startswith("emergency") and work not in code.members("emergency_work"):
        return SILENT
    cite = code.cite(rule)
    return f"{cite.section}, not confirmed" if cite.mark == "unconfirmed" else cite.section


def _becomes_subpanel(job: Job) -> bool:
    """Whether an existing panel comes to stand beyond a service disconnect that is new."""
    new = any(panel.service_equipment and panel.status == "new" for panel in job.panels)
    return new and any(not panel.service_equipment and panel.status == "existing" for panel in job.panels)
