"""Single-phase ranges and dryers on a three-phase service: counted by the pair of legs that has most of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from calc.codebook import Codebook
from calc.families.dwelling_load.current import LEGS, PHASES
from calc.job import Service, place
from calc.work import Sheet, Value, given, whole

PAIRS = PHASES  # three legs make three pairs


@dataclass(frozen=True)
class Spread:
    """How appliances between two legs are spread over a three-phase service."""

    sheet: Sheet
    code: Codebook
    service: Service

    def effective(self, what: Literal["ranges", "dryers"], number: Value) -> Value:
        """Twice the largest number between any two legs: as the job states it, or as an even spread has it."""
        s, field = self.sheet, f"most_{what}_between_legs"
        cites = [self.code.cite(f"three_phase_{what}")]
        if getattr(self.service, field) is None:
            between = s.line(f"{what}_between_legs", whole(number / PAIRS, "up"), cites=cites)
            s.remark("note_spread_evenly")
        else:
            stated = given(
                f"most {what} between two legs", getattr(self.service, field), "", place(self.service, field)
            )
            between = s.line(f"{what}_between_legs", stated, cites=cites)
        return s.line(f"{what}_effective_count", between * LEGS, cites=cites)

    def of_three_phases(self, what: Literal["ranges", "dryers"], two_legs: Value) -> Value:
        """Load of the whole service in VA: each leg has half of what the effective number makes; three legs."""
        one = self.sheet.line(f"{what}_of_one_leg_va", two_legs / LEGS)
        return one * PHASES
