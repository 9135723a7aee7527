"""Receptacle ratings against the circuit, and the conductors of other cables on it."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.branch_circuits.conductors import Conductor
from calc.families.circuit_load.load import CircuitLoad
from calc.job import SIZES, place
from calc.wiring.circuits import Branch, at
from calc.wiring.reading import read
from calc.wiring.wires import called
from calc.work import Sheet, Value, larger


def receptacle_ratings(sheet: Sheet, code: Codebook, branch: Branch, load: CircuitLoad, rating: Value) -> None:
    """The rating of the receptacles on the circuit, and the load of each cord in them."""
    if branch.circuit.receptacle_a is None:
        if _decides(code, branch, rating):
            sheet.unknown("receptacle_large_enough", "the rating of its receptacle (receptacle_a)", at(branch, "receptacle_a"),
                          cites=[code.cite("receptacle_single")])  # fmt: skip
        return
    receptacle = read(branch.circuit, "receptacle_a")
    single = branch.circuit.single_receptacle
    alone = branch.circuit.purpose == "individual" and not branch.shared
    if single or (single is None and alone):
        cite = code.cite("receptacle_single")
        if single is None and (receptacle < rating).holds:
            sheet.unknown("single_receptacle_rating", "whether it is one single receptacle, or a duplex (single_receptacle)",
                      place(branch.circuit, "single_receptacle"), cites=[cite])  # fmt: skip
        else:
            sheet.check("single_receptacle_rating", receptacle >= rating, cites=[cite],
                    remedy=f"a receptacle of {rating.number:g} A or more")  # fmt: skip
        return
    row = code.row("receptacle_ratings", circuit=rating)
    least = sheet.line("receptacle_least_a", row["least_a"])
    most = sheet.line("receptacle_most_a", row["most_a"])
    remedy = f"receptacles of {_span(least, most)}"
    sheet.check("receptacle_large_enough", receptacle >= least, remedy=remedy)
    sheet.check("receptacle_small_enough", receptacle <= most, remedy=remedy)
    corded = [c for c in branch.loads if c.load.connected_by == "cord"]
    listed = any(
        float(cells["circuit"]) == rating.number and float(cells["receptacle"]) == receptacle.number
        for cells in code.rows("cord_loads")
    )
    if corded and listed:
        limit = sheet.line("cord_most_a", code.row("cord_loads", circuit=rating, receptacle=receptacle)["most_a"])
        for c in corded:
            draws = sheet.line("cord_a", c.each / load.volts, item=c.load.name)
            sheet.check("cord_load", draws <= limit, remedy=f"a circuit of its own for {c.load.name}", item=c.load.name)


def _decides(code: Codebook, branch: Branch, rating: Value) -> bool:
    """Whether a rating that nobody states decides: one receptacle alone, or a circuit on which the common ones may not be."""
    if branch.planned or not branch.new_work:
        return False
    rows = code.rows("receptacle_ratings")
    common = min(float(row["least_a"]) for row in rows)
    serves_to = max(float(row["circuit"]) for row in rows if float(row["least_a"]) == common)
    corded = any(c.load.connected_by == "cord" for c in branch.loads)
    return rating.number > common and bool(branch.circuit.single_receptacle or (corded and rating.number > serves_to))


def _span(least: Value, most: Value) -> str:
    return f"{least.number:g} A" if least.number == most.number else f"{least.number:g} to {most.number:g} A"


def other_cables(
    sheet: Sheet, code: Codebook, branch: Branch, load: CircuitLoad, rating: Value, main: Conductor
) -> None:
    """Each smaller cable on the circuit, such as a switch leg or a tap, against the same breaker."""
    if branch.cooking:
        _taps(sheet, code, branch, load, rating, main)
        return
    for cable in branch.circuit.other_cables:
        if SIZES.index(cable.size) >= SIZES.index(main.size):
            continue
        size, item = cable.size, cable.text
        ampacity = sheet.line("other_cable_a", code.row("ampacity", size=size)[f"{cable.material}_60_a"], item=item)
        if load.apart:
            sheet.check(
                "other_cable_carries",
                ampacity >= load.design,
                remedy=f"{called(main.size)} for it",
                item=item,
                cites=load.cites,
            )
        else:
            small = any(row["size"] == size and row[f"{cable.material}_a"] for row in code.rows("small_conductors"))
            cell = (
                code.row("small_conductors", size=size)[f"{cable.material}_a"]
                if small
                else code.at_least("standard_ratings", ampacity)
            )
            most = sheet.line("other_cable_breaker_a", cell, item=item)
            cites = [code.cite("small_conductors" if small else "next_size_up")]
            sheet.check("other_cable_protected", rating <= most, item=item, cites=cites,
                    remedy=f"{called(main.size)} for it, or a breaker of {most.number:g} A where the load allows it")  # fmt: skip


def _taps(sheet: Sheet, code: Codebook, branch: Branch, load: CircuitLoad, rating: Value, main: Conductor) -> None:
    """Taps to cooking appliances: from a 50 A circuit at most, each enough for what hangs on it.

    The job does not say which appliance hangs on which tap: the largest is taken on the largest of them.
    """
    taps = sorted((c for c in branch.circuit.other_cables if SIZES.index(c.size) < SIZES.index(main.size)),
                  key=lambda cable: -SIZES.index(cable.size))  # fmt: skip
    if not taps:
        return
    sheet.check("tap_circuit", rating <= code["range_tap_circuit"], remedy="full-size conductors to each appliance")
    one = len(branch.cooking) == 1 and branch.cooking[0].load.count == 1
    each = sorted((c for c in branch.cooking for _ in range(c.load.count)), key=lambda c: -c.each.number)
    for number, cable in enumerate(taps):
        item = cable.text if number == 0 else f"{cable.text}, tap {number + 1}"
        ampacity = sheet.line(
            "other_cable_a", code.row("ampacity", size=cable.size)[f"{cable.material}_60_a"], item=item
        )
        hangs = each[min(number, len(each) - 1)]
        draws = sheet.line("tap_load_a", load.amperes if one else hangs.each / load.volts, item=item)
        sheet.check("tap_carries", ampacity >= larger(code["range_tap"], draws), item=item,
                remedy=f"a tap of larger conductors to {hangs.load.name}")  # fmt: skip
