"""Flexible conduit of trade size 3/8, a whip: so many conductors by a table of its own, over a short length."""

from __future__ import annotations

from collections.abc import Iterator

from calc.codebook import Codebook
from calc.job import Conductors, Raceway, Run, place
from calc.wiring.house import House
from calc.wiring.reading import read
from calc.wiring.tree import live_runs
from calc.wiring.wires import called
from calc.work import Missing, Refused, Sheet, given, total

WHIP = "3/8"


def whip(sheet: Sheet, house: House, of: Raceway | Run) -> None:
    """Count its conductors against the table, and its length against the longest that there may be."""
    entries = list(_entries(house, of))
    if not entries:
        raise Missing("Nothing is said to be in this raceway: list its conductors in holds.", house.code.cite("whip"),
                      at=place(of, "holds" if isinstance(of, Raceway) else "cable"))  # fmt: skip
    sizes = {size for entry, _ in entries for size in (*entry.wires, *entry.ground, *entry.bare)}
    kinds = {entry.kind for entry, _ in entries if entry.wires}
    if len(sizes) != 1 or len(kinds) != 1 or any(entry.cable for entry, _ in entries):
        raise Refused(
            "The table of trade size 3/8 is for single conductors of one size and insulation.", house.code.cite("whip")
        )
    size, insulation = sizes.pop(), kinds.pop()
    group = house.code.row("insulation_group", insulation=insulation).text("group").text
    fittings = (of.fittings if isinstance(of, Raceway) else None) or "inside"
    if isinstance(of, Run) or of.fittings is None:
        sheet.remark("note_fittings")
    most = sheet.line(
        "whip_most", house.code.row("whip", insulation=group, size=size)[fittings], item=f"{called(size)} {insulation}"
    )
    wires = [given(f"'{entry.text}'", len(entry.wires) * entry.count, "", at) for entry, at in entries if entry.wires]
    grounds = sum((len(entry.ground) + len(entry.bare)) * entry.count for entry, _ in entries)
    if grounds > 1:
        wires.append(given("grounds after the first", grounds - 1, "", entries[0][1]))
    sheet.find("trade_size", WHIP)
    count = sheet.line("whip_count", total(wires, ""))
    sheet.check("whip_holds", count <= most, remedy="trade size 1/2", cites=[house.code.cite("whip")])
    _length(sheet, house.code, of)
    sheet.caution("caution_whip")


def _entries(house: House, of: Raceway | Run) -> Iterator[tuple[Conductors, str]]:
    """The conductors listed, each with its place."""
    runs = [run for run in house.told(live_runs) if run.raceway == of.name] if isinstance(of, Raceway) else [of]
    if isinstance(of, Raceway):
        yield from ((entry, f"{place(of, 'holds')}[{number}]") for number, entry in enumerate(of.holds, 1))
    for run in runs:
        if run.cable is None:
            raise Missing(
                f"The conductors of {run.name} are not listed (cable).", house.code.cite("whip"), at=place(run, "cable")
            )
        yield run.cable, place(run, "cable")


def _length(sheet: Sheet, code: Codebook, of: Raceway | Run) -> None:
    cites = [code.cite("whip_length")]
    if of.length_ft is None:
        sheet.unknown("whip_short", "its length (length_ft)", place(of, "length_ft"), cites=cites)
        return
    sheet.check(
        "whip_short",
        read(of, "length_ft") <= code["whip_length"],
        remedy="trade size 1/2, or a box nearer by",
        cites=cites,
    )
