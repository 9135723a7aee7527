"""Box fill: the volume that each box needs for what is in it, against the volume that it has."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calc.codebook import Codebook
from calc.families.box_fill import summary
from calc.families.box_fill.body import conduit_body
from calc.families.box_fill.counting import awg, circuit_sizes, clamps, required, sizes_in
from calc.families.box_fill.fans import fan_box
from calc.families.box_fill.grounded import grounded
from calc.families.box_fill.pull import pull_box
from calc.families.box_fill.volume import Standard, marked, provided, smallest_box
from calc.job import Box, Compartment, Contents, Job, place
from calc.wiring.house import House, remembered
from calc.work import Sheet, excess, whole
from calc.work.chart import Chart
from calc.work.table import Table

FAMILY = "box-fill"
TITLE = "Box fill"
PLACE = 7


def needs(job: Job) -> list[str]:
    """What the job lacks for this family, in words; empty where it has all."""
    return [] if any(_boxes(job)) else ["[[boxes]], each with a name and what is in it"]


def work(house: House) -> list[Sheet]:
    """One sheet a box, or one for each side of a divided box; sides with low-voltage wiring alone have none."""
    return [
        _worked(
            house,
            box,
            side,
        )
        for box, side in _boxes(house.job)
    ]


def charts(house: House, sheets: Sequence[Sheet]) -> list[Chart]:
    """What fills the tightest boxes, against their volume."""
    return summary.charts(sheets)


def tables(house: House) -> list[Table]:
    """All boxes, the tightest first."""
    return [summary.table([(box, s) for (box, _), s in zip(_boxes(house.job), work(house), strict=True)])]


def _boxes(job: Job) -> Iterator[tuple[Box, Compartment | None]]:
    for box in job.boxes:
        if box.status != "removed":
            yield from ((box, side) for side in box.compartments if not side.low_voltage)
            if not box.compartments:
                yield box, None


@remembered
def _worked(
    house: House,
    box: Box,
    side: Compartment | None,
) -> Sheet:
    subject = box.name if side is None else f"{box.name}, side {side.name}"
    title = "Conduit body" if box.conduit_body else "Pull box" if box.pull else "Box fill"
    s = house.sheet(FAMILY, title, subject)
    with s.up_to_a_refusal():
        if box.conduit_body:
            if conduit_body(s, house, box, side or box):
                _filled(s, house, box, side)
        elif box.pull:
            pull_box(s, house.code, box)
        else:
            _filled(s, house, box, side)
    grounded(s, house.code, box, side or box)
    fan_box(s, house, box)
    s.caution("caution_who_decides")
    return s


def _filled(sheet: Sheet, house: House, box: Box, side: Compartment | None) -> None:
    """Volume needed, the smallest standard box for it, the volume that there is, and what more would fit."""
    contents = side or box
    needed = required(sheet, house.code, contents, box.canopy, house.job.code.readings.moulded_clamps == "counted")
    standard = None if box.conduit_body else smallest_box(sheet, house.code, box, side, needed)
    volume = provided(sheet, house.code, box, side)
    remedy = _remedy(box, side, standard, needed.number, volume.number)
    if (volume >= needed).holds and not _holds_clamps(sheet, house.code, box, contents):
        sheet.unknown("volume_enough", "whether cable clamps are inside it (internal_clamps)", place(contents, "internal_clamps"),
                      cites=[house.code.cite("box_clamps")])  # fmt: skip
    else:
        sheet.check("volume_enough", volume >= needed, remedy=remedy, cites=[house.code.cite("box_holds")])
    left = sheet.line("left_in3", excess(volume, needed))
    for size in circuit_sizes(contents):
        sheet.line(
            "more_that_fit", whole(left / sheet.value(f"allowance_in3_per_conductor[{size}]"), "down"), item=size
        )


def _holds_clamps(sheet: Sheet, code: Codebook, box: Box, contents: Contents) -> bool:
    """Whether clamps that nobody speaks of would fit too: a metal box that cables enter may have them inside."""
    metal = box.material == "metal" or box.box is not None
    if "internal_clamps" in contents.model_fields_set or not contents.cables or not metal:
        return True
    largest = sheet.value(f"allowance_in3_per_conductor[{awg(sizes_in(contents)[0])}]")
    return (sheet.value("provided_in3") >= sheet.value("required_in3") + clamps(code, largest)).holds


def _remedy(box: Box, side: Compartment | None, standard: Standard | None, needed_in3: float, has_in3: float) -> str:
    """What would give the volume: a larger box, or a marked ring on a metal one."""
    what = "a side" if side else "a conduit body or a box" if box.conduit_body else "a box"
    ways = [f"{what} marked {marked(needed_in3)} in3 or more"]
    if standard is not None:
        ways.append(f"a {standard} metal box ({standard.volume_in3:g} in3)")
    if side is None and box.box is not None:
        ways.append(f"a ring or extension marked {marked(needed_in3 - has_in3)} in3 or more on top of what is there")
    return ", or ".join(ways)
