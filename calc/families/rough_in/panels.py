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


def panel(sheet: Sheet, house: House, panel: Panel) -> None:
    """The checks of one panel."""
    asked = touched(house.job, panel)
    if panel.service_equipment:
        _at_service(sheet, house.code, panel, asked)
    else:
        beyond(sheet, house, panel, asked)
    if not asked:
        sheet.caution("caution_untouched", panel=panel.name)
        return
    _place(sheet, house, panel)
    _room(sheet, house, panel)


def touched(job: Job, panel: Panel) -> bool:
    """Whether this job brings the panel, feeds it in a new way, or adds a circuit to it."""
    run = feeding(job, panel.name)
    above = next((other for other in job.panels if other.name == panel.fed_from), None)
    return (
        panel.status == "new"
        or (run is not None and run.status == "new")
        or (above is not None and above.status == "new")
        or any(circuit.panel == panel.name and circuit.status == "new" for circuit in job.circuits)
    )


def _at_service(sheet: Sheet, code: Codebook, panel: Panel, asked: bool) -> None:
    sheet.find("place_in_tree", "the service disconnect is here")
    if panel.neutral_bonded is None:
        _bond_unknown(sheet, code, panel, "bonded", "bonded_at_service", asked)
        return
    bonds = yes(panel, "neutral_bonded", "bonds of neutral and ground", "bond")
    sheet.check("bonded", bonds >= code["bonded_at_service"], remedy=sheet.words.text("bonded", "remedy"))


def _bond_unknown(sheet: Sheet, code: Codebook, panel: Panel, key: str, rule: str, asked: bool) -> None:
    """Nobody looked whether neutral and ground are joined; of a panel that this job leaves alone nothing is asked."""
    if asked:
        sheet.unknown(
            key,
            "whether neutral and ground are joined here: look",
            place(panel, "neutral_bonded"),
            cites=[code.cite(rule)],
        )


def beyond(sheet: Sheet, house: House, this_panel: Panel, asked: bool = True) -> None:
    """A panel beyond the service disconnect: four wires, and neutral apart from ground.

    ``asked``: whether what is not stated is missing, and not left to the inspector.
    """
    if not any(panel.service_equipment for panel in house.told(live_panels)):
        raise Missing(
            f"The job says of no panel that the service disconnect is there, so what {this_panel.name} needs can't be told: give "
            "service_equipment.",
            at=place(this_panel, "service_equipment"),
        )
    sheet.find("place_in_tree", "beyond the service disconnect")
    building = house.told(_building, this_panel)
    run = house.told(feeding, this_panel.name)
    rule = "building_wires" if building else "feeder_wires"
    if run is None:
        if asked:
            sheet.unknown(
                "feeder_complete",
                "the run that feeds it, with its wires",
                place(this_panel, "fed_from"),
                cites=[house.code.cite(rule)],
            )
    elif old_three_wire(house, run):
        _stays(sheet, house.code, this_panel)
        return
    else:
        _feeder_wires(sheet, house, run, rule)
    if this_panel.neutral_bonded is None:
        _bond_unknown(sheet, house.code, this_panel, "apart", "neutral_apart", asked)
        return
    bonds = yes(this_panel, "neutral_bonded", "bonds of neutral and ground", "bond")
    sheet.check("apart", bonds <= house.code["neutral_apart"], remedy=sheet.words.text("apart", "remedy"))


def _building(job: Job, panel: Panel) -> Building | None:
    return next((building for building in job.buildings if building.name == panel.building), None)


def _stays(sheet: Sheet, code: Codebook, panel: Panel) -> None:
    """An existing feed without ground to another building, left as it is: why, and its bond."""
    sheet.find("old_three_wire", "stays, unmodified", cites=[code.cite("building_three_wire")])
    if panel.neutral_bonded is not None:
        bonds = yes(panel, "neutral_bonded", "bonds of neutral and ground", "bond")
        sheet.check("bonded_old", bonds >= code["bonded_at_service"], remedy=sheet.words.text("bonded", "remedy"),
                cites=[code.cite("building_three_wire")])  # fmt: skip


def _feeder_wires(sheet: Sheet, house: House, run: Run, rule: str) -> None:
    """The feeder's wires, counted, against those that it needs."""
    legs = given(f"legs of {run.name}", _legs(house.job, run), "conductor", place(run, "phases"))
    neutral = given("neutral", int(house.told(has_neutral, run)), "conductor", place(run, "neutral"))
    ground = given("equipment grounding conductor", grounds(run), "conductor", place(run, "equipment_ground"))
    circuit = legs + neutral
    if run.cable is not None and run.cable.wires and len(run.cable.wires) < circuit.number:
        circuit = given(
            f"conductors of {run.cable.text} besides the ground", len(run.cable.wires), "conductor", place(run, "cable")
        )
    has = sheet.line("feeder_has", circuit + ground)
    needs = sheet.line("feeder_needs", legs + neutral + house.code[rule])
    sheet.check(
        "feeder_complete",
        has >= needs,
        remedy=sheet.words.text("feeder_complete", "remedy"),
        cites=[house.code.cite(rule)],
    )


def _legs(job: Job, run: Run) -> int:
    try:
        return wires(job, run).ungrounded
    except Refused:  # the run's own sheet says why its make can't be looked up; its legs are plain all the same
        return 3 if run.phases == 3 else 2


def _place(sheet: Sheet, house: House, panel: Panel) -> None:
    room = next((room.use for room in house.job.rooms if room.name == panel.room), None)
    where = [place for place in (panel.location, room) if place is not None]
    if not where:
        sheet.unknown("place_allowed", "what kind of place it stands in", place(panel, "location"),
                  cites=[house.code.cite("panel_places_barred")])  # fmt: skip
        return
    barred = [found for found in where if found in house.code.members("panel_places_barred")]
    count = given(
        "barred places it stands in", len(set(barred)), "place", place(panel, "location" if panel.location else "room")
    )
    sheet.check(
        "place_allowed", count <= house.code["panel_places_barred"], remedy=sheet.words.text("place_allowed", "remedy")
    )


def _room(sheet: Sheet, house: House, panel: Panel) -> None:
    """Depth, width and headroom before it; what was not taped is not known."""
    for field, rule in ROOM.items():
        if field == "working_height_in" and _old_headroom(sheet, house, panel):
            continue
        if getattr(panel, field) is None:
            least = house.code[rule]
            sheet.unknown(
                rule,
                f"what the tape says; {least.number:g} {least.unit} or more",
                place(panel, field),
                cites=[house.code.cite(rule)],
            )
            continue
        sheet.check(rule, read(panel, field) >= house.code[rule], remedy=sheet.words.text(rule, "remedy"))


def _old_headroom(sheet: Sheet, house: House, panel: Panel) -> bool:
    """An existing panel of a dwelling, small enough, may have less headroom."""
    rated = "bus_a" if panel.bus_a is not None else "main_a"
    if panel.status != "existing" or getattr(panel, rated) is None or house.job.dwelling is None:
        return False
    small = read(panel, rated) <= house.code["working_height_old"]
    if small.holds:
        sheet.find("old_headroom", "an existing panel of a dwelling", [small])
    return bool(small.holds)
