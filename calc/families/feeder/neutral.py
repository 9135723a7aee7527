"""The neutral: by its load, never under its floor, and never asked to be larger than the ungrounded conductors."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.feeder.sizing import Sizing
from calc.job import SIZES, Job, Panel, place
from calc.wiring.ampacity import area, rung
from calc.wiring.circuits import NOT_OUTLETS
from calc.wiring.house import House
from calc.wiring.tree import below, in_dwelling, panel_named, panel_of
from calc.wiring.wires import called
from calc.work import Sheet, Value, constant, given

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


def neutral_there(house: House, sizing: Sizing) -> None:
    """Check that a run to a panel which is said to have no neutral needs none; not known where nobody says what is there."""
    run = sizing.run
    panel = house.told(panel_named, run.feeds)
    if sizing.wires.neutral or run.role not in ("service", "feeder") or panel is None:
        return
    cites = [sizing.code.cite("neutral_floor_service" if run.role == "service" else "conductors_together")]
    uses, all_known = house.told(uses_neutral, panel)
    if run.role == "service" and house.job.dwelling is not None:
        uses = uses or "the dwelling"
    if uses:
        has = given(f"neutral, for {uses}", 0, "conductor", place(run, "neutral"))
        sizing.sheet.check("neutral_there", has >= constant("one", 1, "conductor"), cites=cites,
                remedy="a neutral in the same cable or raceway (neutral)")  # fmt: skip
    elif not all_known:
        missing = f"whether anything behind {panel.name} uses a neutral: its circuits and loads"
        sizing.sheet.unknown("neutral_there", missing, place(run, "neutral"), cites=cites)


def uses_neutral(job: Job, panel: Panel) -> tuple[str, bool]:
    """What hangs on a panel, or on one behind it, and uses a neutral, '' for nothing; whether the job tells of all of it."""
    inside = below(job, panel.name)
    circuits = [c for c in job.circuits if c.panel in inside and c.status != "removed" and c.purpose not in NOT_OUTLETS]
    loads = [load for load in job.loads if load.status != "removed" and panel_of(job, load) in inside]
    found = [circuit.name for circuit in circuits if circuit.poles == 1] + [
        load.name for load in loads if load.uses_neutral
    ]
    unsaid = in_dwelling(job, panel) or any(load.kind == "shop" and load.connection is None for load in loads)
    return (found[0] if found else "", bool(circuits or loads) and not unsaid)


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
