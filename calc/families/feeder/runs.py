"""The sheet of one run: load, breaker, conditions, size, neutral, equipment ground and cover."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families import dwelling_load
from calc.families.feeder.cover import cover
from calc.families.feeder.ground import equipment_ground
from calc.families.feeder.load import hanging_load, run_load
from calc.families.feeder.neutral import neutral, neutral_there, wires_enough
from calc.families.feeder.protection import breaker, dwelling_share, listed_size
from calc.families.feeder.sizing import Sizing, sized
from calc.job import Run, place
from calc.wiring.ampacity import Rung
from calc.wiring.conditions import conditions
from calc.wiring.house import House, remembered
from calc.wiring.protection import Needed
from calc.wiring.reading import blank_sheet
from calc.wiring.tree import panel_named, service_runs, spliced_to
from calc.wiring.wires import wires
from calc.work import Sheet

FAMILY = "feeder"


def run_sheet(house: House, run: Run) -> Sheet:
    """The sheet of one run. Results: calculated_a, size, ampacity_a, governing_limit, breaker_a and the rest."""
    return worked(house, run)[0]


@remembered
def load_by_tree(house: House, run: Run) -> Sheet:
    """The load of what hangs on the panel that a run feeds, whatever the run itself says of its load. Result: calculated_a.

    A run that carries a whole dwelling has the dwelling's own load. Where the sheet is 'not shown' though it has a result,
    entries are missing and the load is that or more; without a result it is refused, with the reason.
    """
    s = blank_sheet(FAMILY, "Load by what hangs on it", run.name, house.code, lines_of=dwelling_load.FAMILY)
    with s.up_to_a_refusal():
        hanging_load(s, house, run)
    return s


@remembered
def worked(house: House, run: Run) -> tuple[Sheet, Sizing | None, Rung | None]:
    """The sheet of one run, with what decides its size and the ampacity of that size as far as the sheet came."""
    s = house.sheet(FAMILY, f"Conductors, {run.role}", run.name, lines_of=dwelling_load.FAMILY)
    sizing, of = None, None
    with s.up_to_a_refusal():
        w = house.told(wires, run)
        load = run_load(s, house, run)
        rating = breaker(s, house, run, load)
        at = conditions(s, house, run, w, rating)
        share = dwelling_share(s, house.code, run, load, rating)
        listed = listed_size(s, house, w.metal, rating, at) if share is not None else None
        needed = Needed(load, rating, share, listed, _ceiling(s, house, run, w.metal, rating.number))
        sizing = Sizing(s, house.code, run, w, at, needed)
        of = sized(sizing)
        _breaker_checks(s, house.code, sizing)
        wires_enough(sizing)
        neutral_there(house, sizing)
        neutral(sizing, of.size)
        equipment_ground(house, sizing, of.size)
        cover(s, house, run, w, rating)
    _cautions(s, house, run, sizing)
    return s, sizing, of


def _ceiling(sheet: Sheet, house: House, run: Run, metal: str, rating_a: float) -> tuple[str, int] | None:
    """Size and sets of the service conductors, where a feeder of the dwelling need be no larger than they are."""
    services = house.told(service_runs)
    panel = house.told(panel_named, run.feeds)
    if run.role != "feeder" or len(services) != 1 or panel is None or panel.building is not None or run.phases != 1:
        return None
    service, sizing, of = worked(house.unchanged, services[0])
    if sizing is None or of is None or sizing.needed.share is None or service.refused is not None:
        return None
    if sizing.wires.metal != metal or sizing.needed.breaker.number < rating_a:
        return None
    return of.size, services[0].sets


def _breaker_checks(sheet: Sheet, code: Codebook, sizing: Sizing) -> None:
    load, rating = sizing.needed.load, sizing.needed.breaker
    if load.by_breaker:
        sheet.unknown(
            "breaker_carries",
            missing="the load of the run",
            at=place(sizing.run, "calculated_a"),
            cites=[load.sized_by],
        )
        return
    carried = load.calculated if load.apart else load.design
    sheet.check("breaker_carries", rating >= carried, remedy="a larger breaker with conductors to match, or less load",
            cites=[load.sized_by])  # fmt: skip
    if load.most_breaker is not None:
        sheet.check("equipment_allows", rating <= load.most_breaker, remedy=f"a breaker of {load.most_breaker.number:g} A or less",
                cites=load.most_by)  # fmt: skip


def _cautions(sheet: Sheet, house: House, run: Run, sizing: Sizing | None) -> None:
    sheet.caution("caution_who_decides")
    if sizing is None:
        return
    if run.location in ("attic", "rooftop") and "ambient_f" not in run.model_fields_set:
        sheet.caution("caution_air")
    if run.sets > 1:
        sheet.caution("caution_sets")
    if run.role != "service" and house.told(spliced_to, run):
        sheet.caution("caution_tap", source=str(run.fed_from))
    if sizing.needed.load.receptacles is None:
        sheet.caution("caution_receptacles_unknown")
    if run.role == "branch":
        sheet.caution("caution_branch")
    rating = sizing.needed.breaker.number
    if all(float(row["rating_a"]) != rating for row in sizing.code.rows("standard_ratings")):
        sheet.caution("caution_not_standard", rating=f"{rating:g}")
    if sizing.wires.wiring == "three-phase and neutral":
        sheet.caution("caution_nonlinear")
    if sizing.wires.cable and sizing.wires.given and sizing.wires.given.confidence == "D":
        sheet.caution("caution_made_from_memory", cable=sizing.wires.given.text)
    if run.location == "buried" and run.wiring_method and run.wiring_method.startswith("PVC"):
        sheet.caution("caution_riser")
