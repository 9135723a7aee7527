"""Whether a new cable has the wires that its circuit needs: an equipment ground, a neutral."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.job import place
from calc.wiring.circuits import Branch
from calc.wiring.reading import Counted
from calc.work import Sheet, constant, given

MET = constant("wires that it needs", 1, "condition")


def wires_there(sheet: Sheet, code: Codebook, branch: Branch) -> None:
    """Check ground and neutral of a new circuit's cable. An old one may stay as it was made."""
    run = branch.run
    cable = branch.circuit.cable or (run.cable if run is not None else None)
    if cable is None or not cable.wires or branch.circuit.status != "new":
        return
    where = place(branch.circuit, "cable") if branch.circuit.cable or run is None else place(run, "cable")
    if cable.cable and cable.kind not in code.members("raceway_as_ground"):
        there = given(f"equipment grounding conductor in {cable.text}", float(bool(cable.ground)), "condition", where)
        sheet.check("ground_there", there >= MET, cites=[code.cite("equipment_ground_required")],
                remedy="a cable of the same size with an equipment grounding conductor")  # fmt: skip
    if branch.circuit.multiwire_with:
        _neutral(sheet, branch, "multiwire", len(cable.wires), where, code)
    else:
        unsaid = [c for c in branch.loads if c.load.uses_neutral and _may_do_without(code, c)]
        if branch.circuit.poles == 2 and len(cable.wires) < 3:
            if any(c.load.uses_neutral for c in branch.loads if c not in unsaid):
                _neutral(sheet, branch, "new_cord_connection", len(cable.wires), where, code)
            elif unsaid:
                sheet.unknown("neutral_there", f"whether {unsaid[0].load.name} uses a neutral (connection)",
                          place(unsaid[0].load, "connection"), cites=[code.cite("new_cord_connection")])  # fmt: skip


def _may_do_without(code: Codebook, counted: Counted) -> bool:
    """Whether the job does not say, of a kind that is made with and without a neutral."""
    return counted.load.connection is None and counted.load.kind in code.members("neutral_or_not")


def _neutral(sheet: Sheet, branch: Branch, rule: str, wires: int, where: str, code: Codebook) -> None:
    there = given(f"neutral beside two legs: {wires} wires", float(wires >= 3), "condition", where)
    sheet.check("neutral_there", there >= MET, cites=[code.cite(rule)],
            remedy="a cable of the same size with one wire more and an equipment grounding conductor")  # fmt: skip
