"""Metal wireways: a share of the cross section for conductors, a larger one where they are spliced, and room to bend."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.raceway.contents import Held, held
from calc.families.raceway.fill import taken
from calc.job import SIZES, Raceway, place
from calc.wiring.house import House
from calc.wiring.reading import read
from calc.wiring.wires import called
from calc.work import Missing, Sheet, Value, excess, smaller, whole


def wireway(sheet: Sheet, house: House, of: Raceway) -> None:
    """Hold a wireway's conductors, splices and bends against its inside width and height."""
    cites = [house.code.cite("wireway_fill")]
    for side in ("width_in", "height_in"):
        if getattr(of, side) is None:
            raise Missing(f"Its inside {side.removesuffix('_in')} is not entered ({side}).", *cites, at=place(of, side))
    contents = held(sheet, house, of)
    areas, _, fill = taken(sheet, house.code, of, contents)
    inside = sheet.line("wireway_in2", read(of, "width_in") * read(of, "height_in"))
    share = sheet.line("limit_pct", house.code["wireway_fill"])
    room = sheet.line("wireway_room_in2", inside * share)
    sheet.line("fill_pct", fill / inside)
    sheet.check("wireway_large_enough", room >= fill, remedy=_larger(fill, share), cites=cites)
    left = sheet.line("room_in2", excess(room, fill))
    for kind, area in areas.items():
        sheet.line("more_that_fit", whole(left / area, "down"), item=kind.label)
    _splices(sheet, house.code, of, inside, fill)
    _bends(sheet, house.code, of, contents)
    sheet.caution("caution_wireway_ampacity", most=f"{house.code['wireway_conductors'].number:g}")


def _larger(area: Value, share: Value) -> str:
    return f"a wireway of {area.number / share.base:.2f} in2 inside, or more"


def _splices(sheet: Sheet, code: Codebook, of: Raceway, inside: Value, fill: Value) -> None:
    """Conductors, splices and taps together, where they lie closest."""
    cites = [code.cite("wireway_splices")]
    if of.splices_in2 is None:
        missing = "the area that splices and taps take, 0 for none (splices_in2)"
        sheet.unknown("splices_fit", missing, place(of, "splices_in2"), cites=cites)
    elif of.splices_in2:
        spliced = sheet.line("spliced_in2", fill + read(of, "splices_in2"))
        room = sheet.line("splice_room_in2", inside * code["wireway_splices"])
        sheet.check("splices_fit", room >= spliced, remedy=_larger(spliced, code["wireway_splices"]), cites=cites)


def _bends(sheet: Sheet, code: Codebook, of: Raceway, contents: Held) -> None:
    """Room to bend for the largest single conductor; the thinnest have no set space."""
    listed = {row["size"] for row in code.rows("wireway_bending")}
    sizes = sorted({kind.size for kind in contents} & listed, key=SIZES.index)
    if not sizes:
        return
    row = code.row("wireway_bending", size=sizes[-1])
    least = sheet.line("bending_in", row["bending_in"], item=called(sizes[-1]))
    across = smaller(read(of, "width_in"), read(of, "height_in")) if of.bend_in is None else read(of, "bend_in")
    remedy = f"a wireway {least.number:g} in across where they bend"
    sheet.check("wireway_bends", across >= least, remedy=remedy, cites=[code.cite("wireway_bending")])
    sheet.caution("caution_wireway_pull")
