"""Demand loads as they are added up, with what the neutral, a wye system, the summary and the chart need of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from calc.wiring.reading import Counted
from calc.work import Sheet, Value, total


@dataclass(frozen=True)
class Group:
    """Loads that share a demand rule. ``connected`` is False where their load is counted in another group already."""

    key: str
    loads: list[Counted]
    value: Value
    connected: bool = True


@dataclass
class Demand:
    """The groups of a sheet, and the parts of them that reach the neutral."""

    sheet: Sheet
    groups: list[Group] = field(default_factory=list)
    one_leg: list[Value] = field(default_factory=list)  # between one leg and the neutral
    both_legs: list[Value] = field(default_factory=list)  # between the legs, with the neutral
    heats: list[Value] = field(default_factory=list)  # cooking and dryers, which load the neutral in part
    neutral_only: list[Value] = field(default_factory=list)  # on one leg, when the neutral carries its most

    def add(
        self, key: str, loads: Sequence[Counted], value: Value, to_neutral: Value | None = None,
        heats: bool = False, connected: bool = True,
    ) -> None:  # fmt: skip
        """Take in a group's demand.

        ``to_neutral`` is its part between one leg and the neutral where a demand factor is in it; otherwise a line
        adds up the loads that hang there.
        """
        self.groups.append(Group(key, list(loads), value, connected))
        if heats:
            self.heats.append(value)
            return
        if to_neutral is None:
            reaching = [c for c in loads if c.line_to_neutral]
            if reaching and len(reaching) == len(loads):
                to_neutral = value  # all of it; a motor's share or a vehicle's least load included
            elif reaching:
                to_neutral = self.sheet.line("to_neutral_va", total(c.va for c in reaching), item=key)
        if to_neutral is not None:
            self.one_leg.append(to_neutral)
        both = [c.va for c in loads if c.load.connected == "line-to-line-and-neutral"]
        if both and connected:
            self.both_legs.append(total(both))

    @property
    def values(self) -> list[Value]:
        """The demand of each group."""
        return [group.value for group in self.groups]
