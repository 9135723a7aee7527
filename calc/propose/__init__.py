"""Laying out: a plan for what the house lacks, as entries that a person accepts one by one or all.

house with rooms and loads -> circuits for them, receptacles at walls and counters, a panel with balanced legs, boxes,
raceways where no cable serves, service conductors, feeders and electrodes, each marked `proposed`. What a rule asks for is read off the sheets of the
families, what may be chosen is in `practice.toml`, and whether a size will do is told by working the sheet with it: there
is no arithmetic here. Nothing that a person entered is changed, but for the circuit of a load that named none.
"""

from calc.propose.plan import laid_out

__all__ = ["laid_out"]
