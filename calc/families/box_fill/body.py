"""Conduit bodies, such as an LB or a T: held by the raceways that they join, and by a volume only where wires are spliced."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.box_fill.counting import CIRCUIT, awg, sizes_in
from calc.families.box_fill.pull import pull_box
from calc.job import Box, Contents, place
from calc.wiring.house import House
from calc.wiring.reading import read
from calc.work import Missing, Refused, Sheet, constant, given, larger

NO_SPLICES = constant("splices that it may have", 0, "")
ONE = constant("bodies that must be listed for it", 1, "")
ENDS_HERE = (*CIRCUIT, "isolated_grounds", "devices", "terminal_blocks", "pigtails")
"""Entries that mean a splice, tap or device in it; conductors that only pass are none."""


def conduit_body(sheet: Sheet, house: House, box: Box, contents: Contents) -> bool:
    """Check the body itself. True where its contents are to be counted by volume, as in a box.

    Missing or Refused where nothing is said to be in it, or where no rule worked here fits it.
    """
    sizes = sizes_in(contents)
    if not sizes:
        raise Missing(
            "No conductor is said to be in this conduit body: list those that pass through, and those spliced in it.",
            house.code.cite("body_area"), at=place(box, "through"),
        )  # fmt: skip
    spliced = any(getattr(contents, name) for name in ENDS_HERE)
    if sizes[0] not in house.code.members("body_area"):
        _large(sheet, house.code, box, sizes[0], spliced)
        return False
    if box.conduit_body == "short-radius":
        there = given(
            "kinds of splices and devices in it", sum(bool(getattr(contents, n)) for n in ENDS_HERE), "", place(box)
        )
        remedy = "a conduit body marked with its volume, or a box"
        sheet.check("body_unspliced", there <= NO_SPLICES, remedy=remedy, cites=[house.code.cite("body_short")])
        return False
    _wide_enough(sheet, house, box)
    if spliced and box.marked_in3 is None:
        raise Missing(
            "Wires are spliced or end in this conduit body, and that is allowed only where its maker has marked its volume "
            "in it: enter that (marked_in3), or use a box.",
            house.code.cite("body_splices"), at=place(box, "marked_in3"),
        )  # fmt: skip
    if not spliced and len(box.joins) > 2:
        raise Refused(
            "A conduit body without splices that joins more than two raceways is not worked: which of them its conductors "
            "are held against depends on the way that each takes.",
            house.code.cite("body_area"),
        )
    sheet.find(
        "body_counts",
        "by its marked volume, as in a box" if spliced else "by the raceways that it joins, on their sheets",
        cites=[house.code.cite("body_splices" if spliced else "body_area")],
    )
    return spliced


def _large(sheet: Sheet, code: Codebook, box: Box, size: str, spliced: bool) -> None:
    """Conductors too large for the rule by area: room as in a pull box, or a listing for just these conductors."""
    cites = [code.cite("body_listed")]
    if spliced or box.pull == "splice" or box.conduit_body == "short-radius":
        raise Refused(
            f"Conductors of {awg(size)} are spliced in this conduit body, or it is one of short radius: take a box, sized as "
            "a pull box.",
            code.cite("body_splices"), code.cite("body_short"),
        )  # fmt: skip
    if box.listed_for_conductors:
        listed = given("bodies listed for it", 1, "", place(box, "listed_for_conductors"))
        sheet.check(
            "body_listed", listed >= ONE, remedy="a body listed and marked for them, or a pull box", cites=cites
        )
    elif box.pull:
        pull_box(sheet, code, box)
    else:
        sheet.unknown(
            "body_listed",
            f"its inside and its raceways, as of a pull box (pull, entries), or whether it is listed and marked for its "
            f"conductors of {awg(size)} (listed_for_conductors)",
            place(box, "pull" if box.listed_for_conductors is False else "listed_for_conductors"), cites=cites,
        )  # fmt: skip


def _wide_enough(sheet: Sheet, house: House, box: Box) -> None:
    """Its cross section against that of the largest raceway that it joins."""
    if not box.joins:
        raise Missing(
            "Which raceways it joins is not entered (joins).", house.code.cite("body_area"), at=place(box, "joins")
        )
    areas = []
    for raceway in (each for each in house.job.raceways if each.name in box.joins):
        if raceway.trade_size is None:
            raise Missing(f"The trade size of {raceway.name} is not entered (trade_size).", house.code.cite("body_area"),
                          at=place(raceway, "trade_size"))  # fmt: skip
        row = house.code.row("raceway_inside", kind=raceway.kind, trade_size=raceway.trade_size)
        areas.append(sheet.line("conduit_in2", row["area_in2"], item=raceway.name))
    least = sheet.line("body_least_in2", house.code["body_area"] * larger(*areas))
    cites = [house.code.cite("body_area")]
    if box.area_in2 is None:
        missing = f"its cross section inside (area_in2); it needs {least.number:g} in2"
        sheet.unknown("body_wide_enough", missing, place(box, "area_in2"), cites=cites)
        return
    remedy = f"a conduit body of {least.number:g} in2 or more inside"
    sheet.check("body_wide_enough", read(box, "area_in2") >= least, remedy=remedy, cites=cites)
