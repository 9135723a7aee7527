"""Large heating equipment: how much of its elements may stand on one circuit."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.circuit_load.load import CircuitLoad
from calc.wiring.circuits import Branch
from calc.work import Sheet, Value


def divided_heat(sheet: Sheet, code: Codebook, branch: Branch, load: CircuitLoad, rating: Value) -> None:
    """Check a tankless water heater against the most of one circuit; other heat over the limit of one part is remarked."""
    electric = [c for c in branch.loads if not c.load.fuel_burning]
    for c in (c for c in electric if c.load.kind in code.members("tankless_circuit")):
        draws = sheet.line("draws_a", c.each / load.volts, item=c.load.name) if len(branch.loads) > 1 else load.amperes
        remedy = f"divide {c.load.name} into as many circuits as its maker says"
        sheet.check("tankless_divided", draws <= code["tankless_circuit"], item=c.load.name, remedy=remedy)
        sheet.check("tankless_breaker", rating <= code["tankless_breaker"], item=c.load.name, remedy=remedy)
    for c in (c for c in electric if c.load.kind in code.members("heat_elements")):
        if (c.each / load.volts > code["heat_elements"]).holds:
            sheet.caution("caution_heat_elements", load=c.load.name)
