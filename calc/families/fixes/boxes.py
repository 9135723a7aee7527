"""Mends of boxes: more volume, by the smallest box that has it. Nothing in a box is ever left uncounted."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil
from typing import Any

from calc.families.box_fill.volume import marked
from calc.families.fixes.ways import Kind, Way
from calc.job import Box, place
from calc.work import Sheet

MARK_IN3 = 0.25  # volumes are stamped to the quarter cubic inch at best
TRIED = 400


def box_ways(box: Box, sheet: Sheet) -> Iterator[Way]:
    """A larger box of the same material; for a metal one also a ring on top of what is there."""
    results = sheet.results
    if "provided_in3" not in results:
        return
    missing = results["required_in3"] - results["provided_in3"]
    standard = str(results.get("smallest_box", ""))
    if box.box is not None:
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
