"""Panel schedules: two spaces to a row as they are numbered in the panel, or a list where nobody says what stands where."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from calc.documents.house import amounts
from calc.documents.house.found import Found, number, sheet_name, word
from calc.documents.house.made_of import NOT_STATED, cable_text, ungrounded
from calc.documents.house.panels import OUTSIDE, PanelPage, available, pages, surge
from calc.families.branch_circuits.panel import Breaker, PanelWork
from calc.families.branch_circuits.placing import leg_of
from calc.job import Circuit, Panel
from calc.verdict.standing import Standing
from calc.wiring.house import House
from calc.work import Sheet, loud
from calc.work.table import Align, Table, weighed

FAULT_CURRENT = "fault-current"
SPACE = "space"
MOST_EMPTY = 6
"""Spaces after the last breaker that have rows of their own."""
TYPES = {"arc-fault": "AFCI", "ground-fault": "GFCI", "dual-function": "AFCI GFCI", "standard": ""}
MARKS = {"existing": "as found", "new": "new", "removed": "removed"}


@dataclass(frozen=True)
class Cells:
    """What a schedule says of one breaker; ``va`` is what it puts on one leg."""

    name: str
    wire: str
    breaker: str
    protection: str
    va: str


def schedules(house: House, standing: Standing) -> list[Table]:
    """The schedule of each panel in scope that has breakers, and of which is told what is there."""
    found = [page for page in pages(house, standing) if page.work is not None and _told(page.panel, page.work)]
    return [_grid(page) if _placed(page) else _list(page) for page in found]


def _told(panel: Panel, work: PanelWork) -> bool:
    """Whether its breakers are known: of an existing panel for which the job lists what it adds alone, nobody can say
    which places are free."""
    return panel.status == "new" or any(breaker.entry.stays for breaker in work.breakers)


def unplaced(house: House, standing: Standing) -> set[str]:
    """The panels in scope of which nobody says what stands where: no place in them is proposed to anyone."""
    found = [page for page in pages(house, standing) if page.work is not None]
    return {page.panel.name for page in found if page.work and not (_told(page.panel, page.work) and _placed(page))}


def _placed(page: PanelPage) -> bool:
    """Whether the schedule can be told by space: an existing breaker of which nobody says where it stands can't be put
    anywhere, and then no place is known to be free for the new ones either; nor can a panel whose legs are not worked."""
    assert page.work is not None
    if page.legs_refused:
        return False
    known = page.panel.status == "new" or all(b.entry.positions for b in page.work.breakers if b.entry.stays)
    return known and not any(b.entry.name not in page.work.layout.spaces for b in page.work.breakers)


def _grid(page: PanelPage) -> Table:
    """Odd spaces on the left, even ones on the right. A place without a breaker is a space."""
    assert page.work is not None
    said = _spaces(page)
    last = page.panel.spaces or max(page.work.layout.taken, default=2)
    rest = max(said, default=0)
    rest += rest % 2 + 1
    rest = rest if last - rest + 1 >= MOST_EMPTY else last + 1  # a long row of spaces is told in one line
    rows: list[list[str]] = []
    for left in range(1, min(rest, last + last % 2), 2):
        one, two = (said.get(at, Cells(_empty(page, at), "", "", "", "")) for at in (left, left + 1))
        rows.append(
            [str(left), one.name, one.wire, one.breaker, one.protection, one.va, str(leg_of(left)),
             two.va, two.protection, two.breaker, two.wire, two.name, str(left + 1)]
        )  # fmt: skip
    if rest <= last:
        rows.append([f"{rest} to {last}: {last - rest + 1} spaces"])
    side: tuple[tuple[str, int] | tuple[str, int, Align], ...] = (
        ("Circuit", 35), ("Wire", 19), ("A", 14), ("Protection", 21), ("VA", 16, "right"),
    )  # fmt: skip
    return Table(
        title=f"Schedule of {page.called}",
        intro=_head(page),
        columns=weighed(("", 8, "right"), *side, ("Leg", 8), *reversed(side), ("", 8, "right")),
        rows=rows,
        notes=list(_notes(page)),
    )


def _list(page: PanelPage) -> Table:
    """A row a breaker, with what this job does to it."""
    assert page.work is not None
    rows, sheets = [], []
    for breaker in page.work.breakers:
        cells = _cells(page, breaker)
        circuit = breaker.circuit
        sheet = _in_scope(page, breaker)
        status = circuit.status if circuit is not None else breaker.run.status if breaker.run is not None else "new"
        va = page.breaker_connected(breaker)
        outcome = OUTSIDE if sheet is None else loud(sheet.status)
        rows.append(
            [", ".join(map(str, breaker.entry.positions)) or NOT_STATED, cells.name, MARKS[status],
             str(breaker.entry.poles), cells.breaker.removesuffix("\u00a02P"),
             cells.protection, cells.wire, amounts.whole_va(va.va) if va is not None else NOT_STATED, outcome]
        )  # fmt: skip
        sheets.append(sheet_name(sheet))
    for gone in _gone(page):
        rows.append(
            [", ".join(map(str, gone.positions)) or NOT_STATED, gone.name, MARKS["removed"], str(gone.poles),
             amounts.rating_a(gone.breaker_a) if gone.breaker_a else "", "", "", "", ""]
        )  # fmt: skip
        sheets.append(None)
    return Table(
        title=f"Schedule of {page.called}",
        intro=_head(page),
        columns=weighed(
            ("Spaces", 18), ("Circuit", 44), ("Work", 16), ("Poles", 11), ("Breaker, A", 18), ("Protection", 20),
            ("Wire", 34), ("Connected, VA", 20, "right"), ("State", 24),
        ),
        rows=rows,
        sheets=sheets,
        notes=[
            *_unread(page),
            *_notes(page),
        ],
    )  # fmt: skip


def _unread(page: PanelPage) -> Iterator[str]:
    assert page.work is not None
    if any(b.entry.stays and not b.entry.positions for b in page.work.breakers):
        yield "Where an existing breaker stands is read off the panel on site; with it, the spaces that are free for the new ones."
    if page.legs_refused:
        yield f"The legs are not worked here: {page.legs_refused}"


def _in_scope(page: PanelPage, breaker: Breaker) -> Sheet | None:
    found: Found = page.found
    if breaker.run is not None:
        return found.of("feeder", "Conductors", breaker.run.name)
    return found.of("branch-circuits", "Branch circuit", breaker.entry.name)


def _spaces(page: PanelPage) -> dict[int, Cells]:
    """What each taken space says; both halves of a tandem together."""
    assert page.work is not None
    found: dict[int, list[Cells]] = {}
    for breaker in sorted(page.work.breakers, key=lambda b: (b.circuit.tandem or "") if b.circuit else ""):
        cells = _cells(page, breaker)
        for nth, space in enumerate(page.work.layout.spaces.get(breaker.entry.name, ())):
            here = cells if nth == 0 else Cells("second pole", "", "", "", cells.va)
            found.setdefault(space, []).append(here)
    return {space: _together(cells) for space, cells in found.items()}


def _together(cells: Sequence[Cells]) -> Cells:
    if len(cells) == 1:
        return cells[0]
    return Cells(*(" / ".join(part or "none" for part in parts) if any(parts) else ""
                   for parts in zip(*((c.name, c.wire, c.breaker, c.protection, c.va) for c in cells), strict=True)))  # fmt: skip


def _cells(page: PanelPage, breaker: Breaker) -> Cells:
    va = page.breaker_connected(breaker)
    spare = breaker.circuit is not None and breaker.circuit.purpose == "spare"
    each = None if va is None else va.va / breaker.entry.poles
    return Cells(
        _name(page, breaker),
        "" if spare else wire(page, breaker),
        _rating(page, breaker),
        _protection(breaker.circuit),
        "" if spare and not each else NOT_STATED if each is None else amounts.whole_va(each),
    )


def _name(page: PanelPage, breaker: Breaker) -> str:
    name = breaker.entry.name
    if breaker.run is not None and breaker.run.feeds:
        name = f"{breaker.run.feeds} ({breaker.run.name})"
    circuit = breaker.circuit
    if circuit is not None and circuit.purpose == "spare":
        name = "spare" if "spare" in name.lower() else f"spare: {name}"
    assert page.work is not None
    mixed = len({b.circuit.status for b in page.work.breakers if b.circuit} | {c.status for c in _gone(page)}) > 1
    half = f"{circuit.tandem}: " if circuit is not None and circuit.tandem else ""
    return half + name + (f", {MARKS[circuit.status]}" if mixed and circuit is not None and _placed(page) else "")


def wire(page: PanelPage, breaker: Breaker) -> str:
    """The conductors of a breaker: of its run, its cable, else as its sheet found them."""
    branch = next((b for b in page.circuits.branches if b.name == breaker.entry.name), None)
    run = breaker.run or (branch.run if branch is not None else None)
    if run is not None and (run.cable or run.size or run.wiring_method or run.insulation):
        return ungrounded(run, page.found.of("feeder", "Conductors", run.name))
    circuit = breaker.circuit
    if circuit is not None and circuit.cable is not None:
        return cable_text(circuit.cable)
    return word(page.circuits.by_name.get(breaker.entry.name), "conductor") or NOT_STATED


def _rating(page: PanelPage, breaker: Breaker) -> str:
    """'20', '50 2-pole'; of an existing breaker that nobody read, 'verify'."""
    stated = breaker.circuit or breaker.run
    branch = next((b for b in page.circuits.branches if b.name == breaker.entry.name), None)
    of_run = branch.run.breaker_a if branch is not None and branch.run is not None else None
    rating = (stated.breaker_a if stated is not None else None) or of_run
    if rating is None and not (stated is not None and stated.status == "existing"):
        rating_found = number(page.circuits.by_name.get(breaker.entry.name), "breaker_a") or number(
            page.found.of("feeder", "Conductors", breaker.entry.name), "breaker_a"
        )
        text = amounts.rating_a(rating_found) if rating_found else NOT_STATED
    else:
        text = amounts.rating_a(rating) if rating else "verify"
    return text + ("\u00a02P" if breaker.entry.poles == 2 else "")


def _protection(circuit: Circuit | None) -> str:
    """In the breaker, or in the first outlet."""
    if circuit is None:
        return ""
    said = [
        TYPES[circuit.breaker_type],
        f"{TYPES[circuit.first_outlet]} at outlet" if TYPES[circuit.first_outlet] else "",
    ]
    return ", ".join(part for part in said if part)


def _gone(page: PanelPage) -> list[Circuit]:
    """The circuits that this job takes out of the panel."""
    only = len(page.house.job.panels) == 1
    return [
        c for c in page.house.job.circuits
        if c.status == "removed" and (c.panel == page.panel.name or (c.panel is None and only))
    ]  # fmt: skip


def _empty(page: PanelPage, at: int) -> str:
    gone = [c.name for c in _gone(page) if at in c.positions]
    return f"{SPACE} ({gone[0]}, removed)" if gone else SPACE


def _head(page: PanelPage) -> str:
    """Ratings, available fault current, then connected and demand load, each called by its name."""
    panel: Panel = page.panel
    rated = amounts.rating_a(panel.interrupting_a) + " A" if panel.interrupting_a else NOT_STATED
    said = [
        f"Bus {f'{panel.bus_a:,} A' if panel.bus_a else NOT_STATED}",
        f"main {panel.main_a:,} A" if panel.main_a else "main lugs",
        f"interrupting rating {rated}" + _available(page),
        f"surge protection {surge(page)}",
    ]
    all_of = page.connected
    parts = [
        f"{amounts.whole_va(va)} VA {what}"
        for va, what in ((all_of.nameplate_va, "by nameplates"), (all_of.outlets_va, "of outlets by area or circuit"))
        if va
    ]
    connected = f"Connected {amounts.whole_va(all_of.va)} VA" + (f": {' and '.join(parts)}" if len(parts) > 1 else "")
    if _placed(page):
        one, two = map(amounts.whole_va, page.legs_va)
        loose = f", {amounts.whole_va(page.loose_va)} VA on no circuit yet" if page.loose_va else ""
        connected += f"; leg 1 {one} VA, leg 2 {two} VA{loose}"
    demand = page.demand
    worked = demand.demand_va is not None and demand.demand_a is not None
    asked = (
        f"Demand {amounts.whole_va(demand.demand_va or 0)} VA, {amounts.load_a(demand.demand_a or 0)} A: {demand.why}; "
        "main and feeder are sized for it"
        if worked
        else f"Demand not worked: {demand.why}"
    )
    return f"{'; '.join(said)}. {connected}; all at once, no demand factor. {asked}."


def _available(page: PanelPage) -> str:
    """The available fault current, or that nobody works it; nothing on a page that is about the circuits alone."""
    if FAULT_CURRENT not in page.found.sheets:
        return ""
    return f", available {available(page)}{' A' if page.available_a is not None else ''}"


def _notes(page: PanelPage) -> Iterator[str]:
    assert page.work is not None
    work = page.work
    for pair in sorted(
        {frozenset({b.entry.name, b.entry.partner}) for b in work.breakers if b.entry.partner}, key=sorted
    ):
        yield f"{' and '.join(sorted(str(name) for name in pair))} share a neutral: both have to open together."
    chosen = [b.entry.name for b in work.breakers if not b.entry.positions and not b.entry.stays]
    if chosen and _placed(page):
        yield f"Spaces proposed to balance the legs: {', '.join(chosen)}."
    gone = [f"{c.name}{f' (space {_listed(c.positions)})' if c.positions else ''}" for c in _gone(page)]
    if gone and _placed(page):
        yield f"Removed by this job: {'; '.join(gone)}."
    if page.loose:
        yield f"On no circuit yet: {', '.join(load.name for load in page.loose)}, {amounts.whole_va(page.loose_va)} VA."
    unread = [b.entry.name for b in work.breakers if _rating(page, b).startswith("verify")]
    if unread:
        yield f"Ratings to be read on site: {', '.join(unread)}."


def _listed(positions: Sequence[int]) -> str:
    return ", ".join(map(str, positions))
