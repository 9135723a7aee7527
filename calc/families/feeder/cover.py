"""Buried runs: how deep they must lie."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.reading import read
from calc.job import Job, Run
from calc.work import Comparison, Refused, Sheet, Value


def cover(s: Sheet, job: Job, code: Codebook, run: Run, breaker: Value) -> None:
    """Print the least cover of a buried run, and check the depth where it is given."""
    if run.location != "buried":
        return
    under = run.burial_under or "yard"
    if under == "driveway" and job.dwelling is not None and job.dwelling.kind == "multifamily":
        under = "street"  # the shallower driveway row is for one- and two-family dwellings
    column, shallow = _column(code, run, breaker)
    row = code.row("burial_cover", under=under)
    if not row.cells[column]:
        raise Refused(f"{run.name} lies under a building: there it has to be in a raceway.", code.cite("burial_cover"))
    if shallow:
        s.find("shallow_branch", "120 V, ground-fault protected, small breaker", shallow)
    least = s.line("cover_in", row[column])
    if run.burial_in is not None:
        s.check("deep_enough", read(run, "burial_in", "cover as laid") >= least, mend=f"{least.number:g} in of cover",
                by=[code.cite("burial_cover")])  # fmt: skip


def _column(code: Codebook, run: Run, breaker: Value) -> tuple[str, list[Comparison]]:
    """The column of the cover table for this wiring method, and what a shallow branch circuit rests on."""
    method = run.wiring_method or (run.cable.kind if run.cable and run.cable.cable else "")
    by_method = {"burial_direct": "direct_in", "burial_rigid": "rigid_in", "burial_nonmetallic": "nonmetallic_in"}
    column = next((column for rule, column in by_method.items() if method in code.members(rule)), None)
    if column is None:
        allowed = sorted(set().union(*(code.members(rule) for rule in by_method)))
        raise Refused(
            f"{run.name} is buried in {method or 'an unnamed wiring method'}: the cover table here knows "
            f"{', '.join(allowed)}.",
            code.cite("burial_cover"),
        )
    small = breaker <= code["shallow_branch"]
    if (
        column != "rigid_in"
        and run.role == "branch"
        and run.volts == 120
        and run.ground_fault_protected
        and small.holds
    ):
        return "protected_in", [small]
    return column, []
