"""The neutral: by its load, never under its floor, and never asked to be larger than the ungrounded conductors."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.feeder.sizing import Sizing
from calc.job import SIZES, place
from calc.wiring.ampacity import area, rung
from calc.wiring.wires import called
from calc.work import Sheet, Value, given

LIKE = "as the ungrounded conductors"


def wires_enough(sizing: Sizing) -> None:
    """Check that a cable or set that the job names has a conductor for each leg and the neutral."""
    code, run, w = sizing.code, sizing.run, sizing.wires
    if w.given is None or not w.given.wires:
        return
    has = given(
        f"conductors of {w.given.text} besides the ground", len(w.given.wires), "conductor", place(run, "cable")
    )
    needs = given("legs and neutral of the run", w.circuit_conductors, "conductor", place(run, "neutral"))
    remedy = f"one with {w.circuit_conductors} conductors besides the ground"
    remedy += ", or neutral = false where nothing on it uses one" if w.neutral and w.ungrounded > 1 else ""
    sizing.sheet.check("wires_enough", has >= needs, remedy=remedy, cites=[code.cite("conductors_together")])


def neutral(sizing: Sizing, size: str) -> None:
    """Print the neutral of the run: its size, and the check of the one that is given."""
    s, code, run, w = sizing.sheet, sizing.code, sizing.run, sizing.wires
    if not w.neutral:
        return
    least = _least(sizing, size)
    stated = run.neutral_size or (w.given.neutral if w.given and len(w.given.wires) >= w.circuit_conductors else "")
    if not stated:
        s.find("neutral_size", called(least))
        return
    s.find("neutral_size", called(stated))
    have = area(s, code, stated, "neutral_cmil")
    need = area(s, code, least, "neutral_needed_cmil")
    s.check("neutral_serves", have >= need, remedy=_remedy(sizing, least), called=(called(stated), called(least)))


def _remedy(sizing: Sizing, least: str) -> str:
    known = sizing.needed.load.neutral is not None or sizing.run.role == "branch"
    return f"a neutral of {called(least)}" + (
        "" if known else ", or a neutral load (neutral_a) where it is known to be smaller"
    )


def _least(sizing: Sizing, size: str) -> str:
    """The least neutral: full size unless its load is known and the system lets it be smaller."""
    s, code, run, w = sizing.sheet, sizing.code, sizing.run, sizing.wires
    load = sizing.needed.load.neutral
    if run.role == "branch" or w.ungrounded == 1 or load is None or (w.wye and w.ungrounded == 2):
        cites = [code.cite("neutral_of_wye")] if w.wye and w.ungrounded == 2 and run.role != "branch" else []
        s.find("neutral_rule", LIKE, cites=cites)
        return size
    by_load = _by_load(sizing, load, size)
    floor = _floor(s, code, sizing, size)
    if SIZES.index(by_load) >= SIZES.index(size) or SIZES.index(floor) >= SIZES.index(size):
        s.find("neutral_rule", LIKE)
        return size
    options = {
        "by its load": area(s, code, by_load, "neutral_load_cmil"),
        "by its floor": area(s, code, floor, "neutral_floor_cmil"),
    }
    larger = s.which("neutral_rule", options)
    return by_load if larger == "by its load" else floor


def _by_load(sizing: Sizing, load: Value, most: str) -> str:
    """The smallest size that carries the neutral's load; its ampacity is printed."""
    s, code, at = sizing.sheet, sizing.code, sizing.at
    for row in code.rows("ampacity"):
        size = row["size"]
        if not row[f"{sizing.wires.metal}_75_a"]:
            continue
        unseen = Sheet(s.family, "", "", s.edition, s.words)
        if size == most or (rung(unseen, code, sizing.wires.metal, size, at).ampacity >= load).holds:
            break
    s.find("neutral_tried", called(size))
    found = rung(s, code, sizing.wires.metal, size, at, "neutral_")
    s.find("neutral_by_load", called(size), [found.ampacity >= load] if (found.ampacity >= load).holds else [])
    return size


def _floor(sheet: Sheet, code: Codebook, sizing: Sizing, size: str) -> str:
    """The least that fault current asks of the neutral, in each set."""
    metal = sizing.wires.metal
    if sizing.run.role == "service":
        ungrounded = area(sheet, code, size, "ungrounded_cmil")
        chosen_by = {f"{metal}_cmil": ungrounded}
        cites = [code.cite("neutral_floor_sets")] if sizing.run.sets > 1 else []
        floor = sheet.pick("neutral_floor", code.row("neutral_floor_service", **chosen_by).text(metal), cites=cites)
    else:
        rating = sheet.line("neutral_floor_row_a", code.at_least("neutral_floor_feeder", sizing.needed.breaker))
        floor = sheet.pick("neutral_floor", code.row("neutral_floor_feeder", rating_a=rating).text(metal))
    (parallel,) = code.members("parallel_least")
    if sizing.run.sets > 1 and SIZES.index(floor) < SIZES.index(parallel):
        sheet.find("neutral_floor_parallel", called(parallel), cites=[code.cite("parallel_least")])
        return parallel
    return floor
