"""The neutral load: what the neutral carries of the demand, with its reductions and where there are none."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.dwelling_load.current import Volts
from calc.families.dwelling_load.demand import Demand
from calc.work import Sheet, Value, tiers, total


def neutral(sheet: Sheet, code: Codebook, demand: Demand, volts: Volts) -> Value:
    """Neutral current in amperes, after the reductions that the system allows."""
    basis = [code.cite("neutral_basis")]
    one_leg = [*demand.one_leg, *demand.neutral_only]
    reaching = sheet.line("neutral_reaching_va", total([*one_leg, *demand.both_legs]), cites=basis)
    if volts.from_wye:
        return _unreduced(sheet, code, demand, volts)
    parts = [reaching]
    if demand.heats:
        share = total(demand.heats) * code["neutral_appliance_share"]
        parts.append(sheet.line("neutral_cooking_and_dryers_va", share))
    load = sheet.line("neutral_va", total(parts))
    current = sheet.line("neutral_unreduced_a", load / volts.whole)
    return sheet.line("neutral_a", tiers(current, code.bands("neutral_step")))


def _unreduced(sheet: Sheet, code: Codebook, demand: Demand, volts: Volts) -> Value:
    """Two legs and neutral of a wye: the neutral carries about what the legs do, so nothing is taken off."""
    one_leg, between = [*demand.one_leg, *demand.neutral_only], [*demand.both_legs, *demand.heats]
    wye = [code.cite("neutral_of_wye")]
    sheet.line("neutral_va", total([*one_leg, *between]), cites=wye)
    currents = [total(one_leg) / volts.two_legs]
    if between:
        currents.append(total(between) / volts.line_to_line)
    return sheet.line("neutral_a", total(currents), cites=wye)
