"""Vehicle supply equipment: what it counts for, by the edition's own rule."""

from __future__ import annotations

from collections.abc import Sequence

from calc.codebook import Codebook
from calc.wiring.reading import Counted, read
from calc.work import Sheet, Value, larger


def vehicle_supply(sheet: Sheet, code: Codebook, found: Sequence[Counted]) -> list[tuple[Counted, Value]]:
    """Each vehicle supply with its load in VA: its rating or locked setting, or the edition's least load."""
    return [(c, _one(sheet, code, c)) for c in found]


def _one(sheet: Sheet, code: Codebook, counted: Counted) -> Value:
    name, rating, cites = counted.load.name, counted.each, [code.cite("vehicle_supply")]
    if counted.load.setting_a is not None:
        setting = read(counted.load, "setting_a", f"setting of {name}") * read(
            counted.load, "volts", f"volts of {name}"
        )
        turned_down = (setting < counted.each).holds
        if turned_down and not counted.load.setting_locked:
            sheet.remark("note_setting_not_locked", load=name)
        elif turned_down and not code.has("vehicle_setting"):
            sheet.remark("note_setting_no_rule", load=name, reason=code.why_absent("vehicle_setting"))
        elif turned_down:
            rating, cites = setting, [*cites, code.cite("vehicle_setting")]
    if code.has("vehicle_least"):
        if rating is not counted.each and (rating < code["vehicle_least"]).holds:
            sheet.remark("note_setting_under_least", load=name)
        rating = larger(rating, code["vehicle_least"])
    return sheet.line("vehicle_supply_va", counted.times(rating), item=name, cites=cites)
