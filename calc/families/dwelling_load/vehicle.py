"""Vehicle supply equipment: what it counts for, by the edition's own rule."""

from __future__ import annotations

from collections.abc import Sequence

from calc.codebook import Codebook
from calc.wiring.reading import Counted, read
from calc.work import Sheet, Value, larger


def vehicle_supply(s: Sheet, code: Codebook, found: Sequence[Counted]) -> list[tuple[Counted, Value]]:
    """Each vehicle supply with its load in VA: its rating or locked setting, or the edition's least load."""
    return [(c, _one(s, code, c)) for c in found]


def _one(s: Sheet, code: Codebook, c: Counted) -> Value:
    name, rating, cites = c.load.name, c.each, [code.cite("vehicle_supply")]
    if c.load.setting_a is not None:
        setting = read(c.load, "setting_a", f"setting of {name}") * read(c.load, "volts", f"volts of {name}")
        turned_down = (setting < c.each).holds
        if turned_down and not c.load.setting_locked:
            s.remark("note_setting_not_locked", load=name)
        elif turned_down and not code.has("vehicle_setting"):
            s.remark("note_setting_no_rule", load=name, reason=code.why_absent("vehicle_setting"))
        elif turned_down:
            rating, cites = setting, [*cites, code.cite("vehicle_setting")]
    if code.has("vehicle_least"):
        if rating is not c.each and (rating < code["vehicle_least"]).holds:
            s.remark("note_setting_under_least", load=name)
        rating = larger(rating, code["vehicle_least"])
    return s.line("vehicle_supply_va", c.times(rating), item=name, cites=cites)
