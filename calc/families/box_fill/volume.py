"""The volume that a box gives, whole or divided, and the smallest standard box that would be enough."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from math import ceil

from calc.codebook import Codebook, Row
from calc.families.box_fill.counting import gangs
from calc.job import Box, Compartment, Contents, place
from calc.wiring.reading import read
from calc.work import Missing, Refused, Sheet, Value, given, total
from calc.work.values import EXACT_DECIMALS

SUGGESTED = ("device", "square", "octagon", "masonry")  # shapes to be proposed; others only in place of their own kind
_DIMENSION = r"\d+(?:-\d+/\d+)?"
_SHAPES = {"octagonal": "octagon", "oct": "octagon", "round": "octagon", "sq": "square"}


def table_box(code: Codebook, said: str) -> Row:
    """The row of the table of metal boxes that the job's words mean. Refused, with the nearest, if none."""
    named = {_plain(row["box"]): row["box"] for row in code.rows("box_volumes")}
    name = named.get(_plain(said))
    if name is None:
        near = difflib.get_close_matches(_plain(said), named, 3, 0.0)
        raise Refused(
            f"'{said}' is no box of the table; nearest: {', '.join(named[n] for n in near)}. "
            "For another box give the volume stamped in it (marked_in3).",
            code.cite("box_volumes"),
        )
    return code.row("box_volumes", box=name)


def _plain(said: str) -> str:
    """'4" sq. x 2-1/8"' and '4 x 2-1/8 square' alike: dimensions, then shape."""
    text = said.lower().replace("×", "x")
    shapes = [
        _SHAPES.get(word, word) for word in re.findall(r"[a-z]{2,}", text) if word not in ("in", "inch", "deep", "box")
    ]
    return " ".join([*re.findall(_DIMENSION, text), *shapes])


def provided(sheet: Sheet, code: Codebook, box: Box, side: Compartment | None) -> Value:
    """The volume of the box with its marked parts, or of one side of it. Refused where none is stated."""
    if side is not None and side.volume_in3 is not None:
        marked = read(side, "volume_in3", f"volume marked for side {side.name}")
        return sheet.line("provided_in3", marked, cites=[code.cite("box_marked")])
    parts = [_box(sheet, code, box)]
    if box.extension is not None:
        parts.append(sheet.line("extension_in3", table_box(code, box.extension)["volume_in3"]))
    parts += [read(box, name) for name in ("ring_in3", "extension_in3") if getattr(box, name) is not None]
    cites = [code.cite("box_marked")]
    if side is None:
        return sheet.line("provided_in3", total(parts, "in3"), cites=cites)
    whole = sheet.line("whole_in3", total(parts, "in3"), cites=cites)
    return sheet.line("provided_in3", (whole - sheet.line("barriers_in3", _barriers(code, box))) * _share(box, side))


def _box(sheet: Sheet, code: Codebook, box: Box) -> Value:
    if box.marked_in3 is not None:
        return read(box, "marked_in3")
    if box.box is None:
        raise Missing(
            "No volume is stated for this box, so nothing can be checked: give the volume stamped in it (marked_in3), "
            "or a metal box of the table (box).",
            code.cite("box_marked"),
            at=place(box, "marked_in3"),
        )
    row = table_box(code, box.box)
    volume = sheet.line("box_in3", row["volume_in3"])
    return volume * given("gangs", box.gangs, "", place(box, "gangs")) if _ganged(row) and box.gangs > 1 else volume


def _barriers(code: Codebook, box: Box) -> Value:
    marked = (
        read(b, "marked_in3", "volume marked on the divider")
        if b.marked_in3 is not None
        else code[f"box_barrier_{b.material}"]
        for b in box.barriers
    )
    return total(marked, "in3")


def _share(box: Box, side: Compartment) -> Value:
    """The side's part of the box, by gangs."""
    gangs = [read(part, "gangs", f"gangs of side {part.name}") for part in box.compartments]
    return gangs[box.compartments.index(side)] / total(gangs)


def _ganged(row: Row) -> bool:
    """Whether boxes of this kind gang together, each with the volume of the table."""
    return row.cells["most_gangs"] == ""


@dataclass(frozen=True)
class Standard:
    """A standard box: its name in the table, how many gangs, and what it holds in all."""

    name: str
    gangs: int
    volume_in3: float

    def __str__(self) -> str:
        return self.name if self.gangs == 1 else f"{self.name}, {self.gangs} gangs"


def marked(needed_in3: float) -> str:
    """A volume as it could be marked on a box: to the hundredth, never under what is needed."""
    return f"{ceil(round(needed_in3 * 100, 6)) / 100:.10g}"


def smallest_box(sheet: Sheet, code: Codebook, box: Box, side: Compartment | None, needed: Value) -> Standard | None:
    """Find the smallest standard box, without ring or extension, that gives the volume; None where none does."""
    if side is not None:
        needed = sheet.line("whole_needed_in3", needed / _share(box, side) + _barriers(code, box))
    found = _search(code, box, side or box, round(needed.number, EXACT_DECIMALS))
    if found is None:
        sheet.find("smallest_box", f"none of the table; a box marked {marked(needed.number)} in3 or more")
        return None
    row = code.row("box_volumes", box=found.name)
    volume = sheet.line("smallest_box_in3", row["volume_in3"])
    if _ganged(row) and found.gangs > 1:
        volume = sheet.line("smallest_ganged_in3", volume * given("gangs", found.gangs, "", place(box, "gangs")))
    sheet.find("smallest_box", str(found), [volume >= needed], cites=[code.cite("box_volumes")])
    return found


def _search(code: Codebook, box: Box, contents: Contents, needed_in3: float) -> Standard | None:
    """Of the shapes that suit, the smallest with the volume; of two alike the one that stands first in SUGGESTED."""
    devices = sum(gangs(code, device).number * device.count for device in contents.devices)
    most_gangs = max(box.gangs, int(devices), sum(side.gangs for side in box.compartments))
    suited = _suited(code, box, contents)
    kinds = [*dict.fromkeys((*SUGGESTED, *suited))]
    fits = []
    for order, row in enumerate(code.rows("box_volumes")):
        kind, most = row["kind"], row["most_gangs"]
        count = most_gangs if most == "" else 1
        volume = round(float(row["volume_in3"]) * count, EXACT_DECIMALS)
        if kind in kinds and volume >= needed_in3 and (most == "" or most_gangs <= int(most)):
            found = Standard(row["box"], count, volume)
            fits.append((kind not in suited, volume, kinds.index(kind), order, found))
    return min(fits)[-1] if fits else None


def _suited(code: Codebook, box: Box, contents: Contents) -> list[str]:
    """The shapes that come first: that of the box itself, else what is common for its use."""
    if box.box is not None:
        return [table_box(code, box.box).cells["kind"]]
    if contents.fittings or contents.fixture_wires or box.canopy or box.supports != "nothing":
        return ["octagon"]
    return ["device", "square"] if contents.devices else ["square"]
