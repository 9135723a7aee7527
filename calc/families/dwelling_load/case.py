"""One dwelling to be worked by one method on one sheet, and its loads sorted as every method needs them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from calc.families.dwelling_load.climate import is_climate
from calc.families.dwelling_load.current import Volts
from calc.families.dwelling_load.demand import Demand
from calc.families.dwelling_load.management import Managed, managed
from calc.families.dwelling_load.spread import Spread
from calc.families.dwelling_load.unit import DwellingUnit
from calc.wiring.house import House
from calc.wiring.reading import Counted
from calc.work import Refused, Sheet


class NotAllowed(Refused):
    """A method that the code doesn't offer for this dwelling, with the reason."""


@dataclass
class Case:
    """What a method works with: the job, the code, the dwelling, the sheet and the groups gathered on it."""

    house: House
    unit: DwellingUnit
    sheet: Sheet
    demand: Demand
    volts: Volts

    @property
    def spread(self) -> Spread | None:
        """How ranges and dryers are spread over three phases; None on a single-phase service.

        None in a house too: the largest of its loads between two legs is worked on its pair in full.
        """
        if self.unit.one_family or not self.volts.three_phase or self.house.job.service is None:
            return None
        return Spread(self.sheet, self.house.code, self.house.job.service)

    def sorted(self, loads: Sequence[Counted] | None = None) -> Loads:
        """The dwelling's loads, or those given, each in one place; managed ones are worked first."""
        counted = self.unit.loads if loads is None else loads
        systems = managed(self.sheet, self.house, counted, self.volts)
        held = {c.load.name for system in systems for c in system.loads}
        free = [c for c in counted if c.load.name not in held]
        names = is_climate(self.house.code, free)
        climate = [c for c in free if c.load.name in names]
        vehicle = [c for c in free if c.load.kind == "ev-supply"]
        return Loads(systems, climate, vehicle, [c for c in free if c not in climate and c not in vehicle])


@dataclass(frozen=True)
class Loads:
    """Loads by what rules them: a management system, the season, vehicle supply, or the method's own groups."""

    managed: list[Managed]
    climate: list[Counted]
    vehicle: list[Counted]
    rest: list[Counted]

    @property
    def free(self) -> list[Counted]:
        """All loads that no season rules."""
        return [*self.rest, *self.vehicle, *(c for m in self.managed if not m.holds_climate for c in m.loads)]
