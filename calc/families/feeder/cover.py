"""Buried runs: how deep they must lie."""

from __future__ import annotations

from calc.codebook import Codebook, Row
from calc.job import Run, place
from calc.wiring.conditions import MET, made_for
from calc.wiring.house import House
from calc.wiring.reading import read
from calc.wiring.way import between_buildings
from calc.wiring.wires import Wires
from calc.work import Missing, Refused, Sheet, Value, given, smaller


def cover(sheet: Sheet, house: House, run: Run, wires: Wires, breaker: Value) -> None:
    """Print the least cover of a buried run, and check the depth where it is given. What may not lie there has none."""
    apart = run.wiring_method in house.code.members("raceway_not_buried")
    may_be = not apart and made_for(house.code, wires, "buried")
    if may_be and "location" not in run.model_fields_set and between_buildings(house.job, run):
        sheet.unknown("deep_enough", f"whether {run.name} lies in the earth, and how deep (location, burial_in)",
                      place(run, "location"), cites=[house.code.cite("burial_cover")])  # fmt: skip
    if run.location != "buried" or not may_be:
        return
    under = run.burial_under or "yard"
    if under == "driveway" and house.job.dwelling is not None and house.job.dwelling.kind == "multifamily":
        under = "street"  # the shallower driveway row is for one- and two-family dwellings
    row = house.code.row("burial_cover", under=under)
    column = _column(house.code, run)
    if not row.cells[column]:
        cable = wires.cable if wires.cable in house.code.members("under_building_bare") else ""
        if cable and run.wiring_method in (None, cable):
            sheet.find(
                "under_building_bare",
                f"{cable} cable marked for the earth",
                cites=[house.code.cite("under_building_bare")],
            )
            return
        inside = given("cable under the building in a raceway", 0, "condition", place(run, "wiring_method"))
        sheet.check(
            "under_building",
            inside >= MET,
            remedy="a raceway around it, such as PVC-40",
            cites=[house.code.cite("burial_cover")],
        )
        return
    depth(sheet, house.code, run, _least(sheet, house.code, run, row, column, breaker), "deep_enough")


def depth(sheet: Sheet, code: Codebook, run: Run, least: Value, key: str) -> None:
    """Check how deep a buried run lies against its least cover; not shown where nobody says."""
    cites = [code.cite("burial_cover")]
    if run.burial_in is None:
        sheet.unknown(key, f"how deep {run.name} lies (burial_in)", place(run, "burial_in"), cites=cites)
    else:
        laid = read(run, "burial_in", "cover as laid")
        sheet.check(key, laid >= least, remedy=f"{least.number:g} in of cover", cites=cites)


def _least(sheet: Sheet, code: Codebook, run: Run, row: Row, column: str, breaker: Value) -> Value:
    """The cover of the wiring method, or that of a small protected circuit where it is the shallower one."""
    small = breaker <= code["shallow_branch"]
    protected = run.role == "branch" and run.volts == 120 and run.ground_fault_protected and small.holds
    if not protected or not row.cells["protected_in"]:
        return sheet.line("cover_in", row[column])
    sheet.find("shallow_branch", "120 V, ground-fault protected, small breaker", [small])
    return sheet.line("cover_in", smaller(sheet.line("cover_method_in", row[column]), sheet.line("cover_protected_in", row["protected_in"])),
                  cites=[code.cite("shallow_branch")])  # fmt: skip


def _column(code: Codebook, run: Run) -> str:
    """The column of the cover table for this wiring method."""
    method = run.wiring_method or (run.cable.kind if run.cable and run.cable.cable else "")
    by_method = {"burial_direct": "direct_in", "burial_rigid": "rigid_in", "burial_nonmetallic": "nonmetallic_in"}
    column = next((column for rule, column in by_method.items() if method in code.members(rule)), None)
    if column is None:
        allowed = sorted(set().union(*(code.members(rule) for rule in by_method)))
        if not method:
            raise Missing(f"{run.name} is buried, and nobody says in what.", code.cite("burial_cover"),
                          at=place(run, "wiring_method"))  # fmt: skip
        raise Refused(
            f"{run.name} is buried in {method}: the cover table here knows {', '.join(allowed)}.",
            code.cite("burial_cover"),
        )
    return column
