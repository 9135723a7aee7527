"""A panel: where neutral and ground meet, what feeds it, where it stands and the room before it."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.rough_in.stated import yes
from calc.job import Building, Job, Panel, Run, place
from calc.wiring.house import House
from calc.wiring.reading import read
from calc.wiring.tree import feeding, grounds, live_panels, old_three_wire
from calc.wiring.wires import has_neutral, wires
from calc.work import Missing, Refused, Sheet, given

ROOM = {"working_depth_in": "working_depth", "working_width_in": "working_width", "working_height_in": "working_height"}


def panel(s: Sheet, house: House, it: Panel) -> None:
    """The checks of one panel."""
    asked = touched(house.job, it)
    if it.service_equipment:
        _at_service(s, house.code, it, asked)
    else:
        beyond(s, house, it, asked)
    if not asked:
        s.caution("caution_untouched", panel=it.name)
        return
    _place(s, house, it)
    _room(s, house, it)


def touched(job: Job, it: Panel) -> bool:
    """Whether this job brings the panel, feeds it in a new way, or adds a circuit to it."""
    run = feeding(job, it.name)
    above = next((other for other in job.panels if other.name == it.fed_from), None)
    return (
        it.status == "new"
        or (run is not None and run.status == "new")
        or (above is not None and above.status == "new")
        or any(circuit.panel == it.name and circuit.status == "new" for circuit in job.circuits)
    )


def _at_service(s: Sheet, code: Codebook, it: Panel, asked: bool) -> None:
    s.find("place_in_tree", "the service disconnect is here")
    if it.neutral_bonded is None:
        _bond_unknown(s, code, it, "bonded", "bonded_at_service", asked)
        return
    bonds = yes(it, "neutral_bonded", "bonds of neutral and ground", "bond")
    s.check("bonded", bonds >= code["bonded_at_service"], remedy=s.words.text("bonded", "remedy"))


def _bond_unknown(s: Sheet, code: Codebook, it: Panel, key: str, rule: str, asked: bool) -> None:
    """Nobody looked whether neutral and ground are joined; of a panel that this job leaves alone nothing is asked."""
    if asked:
        s.unknown(
            key,
            "whether neutral and ground are joined here: look",
            place(it, "neutral_bonded"),
            cites=[code.cite(rule)],
        )


def beyond(s: Sheet, house: House, it: Panel, asked: bool = True) -> None:
    """A panel beyond the service disconnect: four wires, and neutral apart from ground.

    ``asked``: whether what is not stated is missing, and not left to the inspector.
    """
    if not any(panel.service_equipment for panel in house.told(live_panels)):
        raise Missing(
            f"The job says of no panel that the service disconnect is there, so what {it.name} needs can't be told: give "
            "service_equipment.",
            at=place(it, "service_equipment"),
        )
    s.find("place_in_tree", "beyond the service disconnect")
    building = house.told(_building, it)
    run = house.told(feeding, it.name)
    rule = "building_wires" if building else "feeder_wires"
    if run is None:
        if asked:
            s.unknown(
                "feeder_complete",
                "the run that feeds it, with its wires",
                place(it, "fed_from"),
                cites=[house.code.cite(rule)],
            )
    elif old_three_wire(house, run):
        _stays(s, house.code, it)
        return
    else:
        _feeder_wires(s, house, run, rule)
    if it.neutral_bonded is None:
        _bond_unknown(s, house.code, it, "apart", "neutral_apart", asked)
        return
    bonds = yes(it, "neutral_bonded", "bonds of neutral and ground", "bond")
    s.check("apart", bonds <= house.code["neutral_apart"], remedy=s.words.text("apart", "remedy"))


def _building(job: Job, it: Panel) -> Building | None:
    return next((building for building in job.buildings if building.name == it.building), None)


def _stays(s: Sheet, code: Codebook, it: Panel) -> None:
    """An existing feed without ground to another building, left as it is: why, and its bond."""
    s.find("old_three_wire", "stays, unmodified", cites=[code.cite("building_three_wire")])
    if it.neutral_bonded is not None:
        bonds = yes(it, "neutral_bonded", "bonds of neutral and ground", "bond")
        s.check("bonded_old", bonds >= code["bonded_at_service"], remedy=s.words.text("bonded", "remedy"),
                cites=[code.cite("building_three_wire")])  # fmt: skip


def _feeder_wires(s: Sheet, house: House, run: Run, rule: str) -> None:
    """The feeder's wires, counted, against those that it needs."""
    legs = given(f"legs of {run.name}", _legs(house.job, run), "conductor", place(run, "phases"))
    neutral = given("neutral", int(house.told(has_neutral, run)), "conductor", place(run, "neutral"))
    ground = given("equipment grounding conductor", grounds(run), "conductor", place(run, "equipment_ground"))
    has = s.line("feeder_has", legs + neutral + ground)
    needs = s.line("feeder_needs", legs + neutral + house.code[rule])
    s.check(
        "feeder_complete", has >= needs, remedy=s.words.text("feeder_complete", "remedy"), cites=[house.code.cite(rule)]
    )


def _legs(job: Job, run: Run) -> int:
    try:
        return wires(job, run).ungrounded
    except Refused:  # the run's own sheet says why its make can't be looked up; its legs are plain all the same
        return 3 if run.phases == 3 else 2


def _place(s: Sheet, house: House, it: Panel) -> None:
    room = next((room.use for room in house.job.rooms if room.name == it.room), None)
    where = [place for place in (it.location, room) if place is not None]
    if not where:
        s.unknown("place_allowed", "what kind of place it stands in", place(it, "location"),
                  cites=[house.code.cite("panel_places_barred")])  # fmt: skip
        return
    barred = [found for found in where if found in house.code.members("panel_places_barred")]
    count = given(
        "barred places it stands in", len(set(barred)), "place", place(it, "location" if it.location else "room")
    )
    s.check("place_allowed", count <= house.code["panel_places_barred"], remedy=s.words.text("place_allowed", "remedy"))


def _room(s: Sheet, house: House, it: Panel) -> None:
    """Depth, width and headroom before it; what was not taped is not known."""
    for field, rule in ROOM.items():
        if field == "working_height_in" and _old_headroom(s, house, it):
            continue
        if getattr(it, field) is None:
            least = house.code[rule]
            s.unknown(
                rule,
                f"what the tape says; {least.number:g} {least.unit} or more",
                place(it, field),
                cites=[house.code.cite(rule)],
            )
            continue
        s.check(rule, read(it, field) >= house.code[rule], remedy=s.words.text(rule, "remedy"))


def _old_headroom(s: Sheet, house: House, it: Panel) -> bool:
    """An existing panel of a dwelling, small enough, may have less headroom."""
    rated = "bus_a" if it.bus_a is not None else "main_a"
    if it.status != "existing" or getattr(it, rated) is None or house.job.dwelling is None:
        return False
    small = read(it, rated) <= house.code["working_height_old"]
    if small.holds:
        s.find("old_headroom", "an existing panel of a dwelling", [small])
    return bool(small.holds)
