"""Whether a new cable has the wires that its circuit needs: an equipment ground, a neutral."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.job import place
from calc.wiring.circuits import Branch
from calc.wiring.reading import Counted
from calc.work import Sheet, constant, given

MET = constant("wires that it needs", 1, "condition")
SHEATH_IS_GROUND = ("AC", "MC")
"""Cables whose armour may serve as equipment ground."""


def wires_there(s: Sheet, code: Codebook, b: Branch) -> None:
    """Check ground and neutral of a new circuit's cable. An old one may stay as it was made."""
    run = b.run
    cable = b.circuit.cable or (run.cable if run is not None else None)
    if cable is None or not cable.wires or b.circuit.status != "new":
        return
    where = place(b.circuit, "cable") if b.circuit.cable or run is None else place(run, "cable")
    if cable.cable and cable.kind not in SHEATH_IS_GROUND:
        there = given(f"equipment grounding conductor in {cable.text}", float(bool(cable.ground)), "condition", where)
        s.check("ground_there", there >= MET, cites=[code.cite("equipment_ground_required")],
                remedy="a cable of the same size with an equipment grounding conductor")  # fmt: skip
    if b.circuit.multiwire_with:
        _neutral(s, b, "multiwire", len(cable.wires), where, code)
    else:
        unsaid = [c for c in b.loads if c.load.uses_neutral and _may_do_without(code, c)]
        if b.circuit.poles == 2 and len(cable.wires) < 3:
            if any(c.load.uses_neutral for c in b.loads if c not in unsaid):
                _neutral(s, b, "new_cord_connection", len(cable.wires), where, code)
            elif unsaid:
                s.unknown("neutral_there", f"whether {unsaid[0].load.name} uses a neutral (connection)",
                          place(unsaid[0].load, "connection"), cites=[code.cite("new_cord_connection")])  # fmt: skip


def _may_do_without(code: Codebook, c: Counted) -> bool:
    """Whether the job does not say, of a kind that is made with and without a neutral."""
    return c.load.connection is None and c.load.kind in code.members("neutral_or_not")


def _neutral(s: Sheet, b: Branch, rule: str, wires: int, where: str, code: Codebook) -> None:
    there = given(f"neutral beside two legs: {wires} wires", float(wires >= 3), "condition", where)
    s.check("neutral_there", there >= MET, cites=[code.cite(rule)],
            remedy="a cable of the same size with one wire more and an equipment grounding conductor")  # fmt: skip
