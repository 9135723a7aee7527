"""Mends of boxes: more volume, by the smallest box that has it. Nothing in a box is ever left uncounted."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import ceil
from typing import Any

from calc.codebook import Codebook
from calc.families.box_fill.volume import marked, table_box
from calc.job import Box, Conductors, made_cables, place
from calc.remedies.conductors import written
from calc.remedies.ways import Kind, Way
from calc.work import Sheet

MARK_IN3 = 0.25  # volumes are stamped to the quarter cubic inch at best
TRIED = 400
RINGED = ("square", "octagon")  # rings and extensions are made for these alone (common practice, no source)


def box_ways(code: Codebook, box: Box, sheet: Sheet) -> Iterator[Way]:
    """A larger box of the same material; for a square or octagonal one also a ring on top of what is there."""
    results = sheet.results
    if "provided_in3" not in results:
        return
    missing = results["required_in3"] - results["provided_in3"]
    standard = str(results.get("smallest_box", ""))
    if box.box is not None:
        if table_box(code, box.box).text("kind").text in RINGED:
            ring = marked(missing)
            yield Way(Kind.PART, f"a ring or extension marked {ring} in3 or more on top of what is there",
                      {place(box, "extension_in3"): (box.extension_in3 or 0) + float(ring)})  # fmt: skip
        if standard and not standard.startswith("none"):
            name, _, ganged = standard.partition(", ")
            gangs = int(ganged.split()[0]) if ganged else box.gangs
            yield Way(Kind.PART, f"a {standard} box", {place(box, "box"): name, place(box, "gangs"): gangs})
        return
    now = box.marked_in3
    if now is None:
        return
    for step in range(1, TRIED):
        volume = ceil(now / MARK_IN3 + step) * MARK_IN3
        if volume - now < missing:
            continue
        changes: dict[str, Any] = {place(box, "marked_in3"): volume}
        yield Way(Kind.PART, f"a box marked {volume:g} in3 or more instead of {now:g} in3", changes)


def traveller_ways(box: Box) -> Iterator[Way]:
    """Cables of three wires in place of so many of two, of the same make and size."""
    each = [replace(cable, count=1, text=_made_as(cable, 0)) for cable in box.cables for _ in range(cable.count)]
    twos = [n for n, cable in enumerate(each) if len(cable.wires) == 2 and _made_as(cable, 1)]
    for number in range(1, len(twos) + 1):
        grown = [_made_as(cable, int(n in twos[:number])) for n, cable in enumerate(each)]
        old = ", ".join(dict.fromkeys(each[n].text for n in twos[:number]))
        new = ", ".join(dict.fromkeys(grown[n] for n in twos[:number]))
        text = f"{new} in place of {number if number > 1 else 'one'} {old}"
        yield Way(Kind.PART, text, {place(box, "cables"): grown})


def _made_as(cable: Conductors, more: int) -> str:
    """The made cable of its kind and size with so many wires more, as a job file says it; '' where none is made."""
    like = (cable.kind, cable.material, cable.size, len(cable.wires) + more)
    found = [made for made in made_cables() if (made.kind, made.material, made.size, len(made.wires)) == like]
    return f"{written(found[0])}{'' if cable.ground else ' without ground'}" if found else ""
