"""Mends of electrodes and bonds: another rod, a larger conductor."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calc.codebook import Codebook
from calc.job import SIZES, Electrode, place
from calc.remedies.ways import Kind, Way
from calc.wiring.house import House
from calc.wiring.wires import called

BONDS = ("water_bond", "gas_bond", "main_bonding_jumper", "supply_side_bonding_jumper")
TRIED = 8


def earth_ways(house: House, subject: str, key: str) -> Iterator[Way]:
    """Ways to mend a check of the grounding sheets."""
    building = next((one for one in house.job.buildings if one.name == subject), None)
    if building is None and house.job.grounding is None:
        return
    at = place(building, "electrodes") if building else "grounding.electrodes"
    electrodes = building.electrodes if building else house.job.grounding.electrodes if house.job.grounding else ()
    if key.split("[")[0] in ("electrode_there", "rod_supplemented", "water_pipe_supplemented"):
        yield from _rods(house.code, electrodes, at)
    yield from _larger(electrodes)
    if building is None and house.job.grounding is not None:
        for bond in BONDS:
            size = getattr(house.job.grounding, bond)
            for larger in SIZES[SIZES.index(size) + 1 :][:TRIED] if size else ():
                text = f"a {bond.replace('_', ' ')} of {called(larger)} instead of {called(size)}"
                yield Way(Kind.CONDUCTOR, text, {place(house.job.grounding, bond): larger})


def _rods(code: Codebook, electrodes: Sequence[Electrode], at: str) -> Iterator[Way]:
    apart, length = code["rod_spacing"].number, code["rod_length"].number
    for electrode in electrodes:
        if electrode.kind == "rod" and electrode.used:
            text = f"a second rod, {apart:g} ft or more from the first"
            yield Way(
                Kind.PART, text, {place(electrode, "count"): electrode.count + 1, place(electrode, "spacing_ft"): apart}
            )
    for count in (1, 2):
        rods = {"kind": "rod", "count": count, "length_ft": length} | ({"spacing_ft": apart} if count > 1 else {})
        words = f"a rod of {length:g} ft" if count == 1 else f"two rods of {length:g} ft, {apart:g} ft or more apart"
        yield Way(Kind.PART, words, {f"{at}[+]": rods})


def _larger(electrodes: Sequence[Electrode]) -> Iterator[Way]:
    for electrode in electrodes:
        if not electrode.used:
            yield Way(Kind.PART, f"the {electrode.kind} electrode connected", {place(electrode, "used"): True})
        for size in SIZES[SIZES.index(electrode.conductor) + 1 :][:TRIED] if electrode.conductor else ():
            text = f"a conductor of {called(size)} to the {electrode.kind} electrode instead of {called(electrode.conductor or '')}"
            yield Way(Kind.CONDUCTOR, text, {place(electrode, "conductor"): size})
