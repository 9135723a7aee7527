"""The protection that is asked for: arc-fault and ground-fault, by place, equipment, edition and date of the permit."""

from __future__ import annotations

from dataclasses import dataclass

from calc.codebook import Codebook
from calc.families.branch_circuits.places import OUTDOORS, Place, places, receptacles_on, standing
from calc.job import Outlet, place
from calc.wiring.circuits import GENERAL, Branch
from calc.wiring.house import House
from calc.wiring.reading import Counted, read
from calc.work import Citation, Sheet, Value

NAME_ROOMS = "the rooms that it serves (rooms)"


@dataclass(frozen=True)
class Asked:
    """A protection that is asked for: where or of what, and by which rule.

    ``missing`` names the entry that decides whether it is asked for at all, ``where`` its place; '' where it is known to
    be. ``plugged``: it is for receptacles, each of which may have the protection itself.
    """

    what: str
    cite: Citation
    missing: str = ""
    where: str = ""
    plugged: bool = False


# -- by place ---------------------------------------------------------------------------------------------------


def place_arc_fault(code: Codebook, of: Place) -> Asked | None:
    """What asks for arc-fault protection of the 120 V circuits of a place; None where nothing does."""
    if not of.known:
        return Asked("", code.cite("arc_fault"), NAME_ROOMS, of.at)
    sheds = code.members("ground_fault_accessory") if of.accessory else frozenset()
    for rule in ("arc_fault", "arc_fault_similar"):
        if of.uses & code.members(rule) - sheds:
            return Asked(of.name, code.cite(rule))
    if of.uses & code.members("arc_fault_finished") and of.finished is not False:
        return Asked(of.name, code.cite("arc_fault_finished"), *_unfinished(of))
    return None


def place_ground_fault(code: Codebook, of: Place, counter: bool) -> Asked | None:
    """What asks for ground-fault protection of receptacles in a place; ``counter``: at a kitchen counter too."""
    if not of.known:
        return Asked("", code.cite("ground_fault_places"), NAME_ROOMS, of.at, plugged=True)
    uses = of.uses & code.members("ground_fault_places")
    if code.has("ground_fault_counter") and not counter:
        uses -= code.members("ground_fault_counter")
    unfinished = code.members("ground_fault_unfinished") if code.has("ground_fault_unfinished") else frozenset()
    if uses - unfinished:
        return Asked(of.name, code.cite("ground_fault_places"), plugged=True)
    if uses and of.finished is not True:
        return Asked(of.name, code.cite("ground_fault_places"), *_unfinished(of), plugged=True)
    accessory = of.accessory and of.uses & code.members("ground_fault_accessory")
    return Asked(of.name, code.cite("ground_fault_accessory"), plugged=True) if accessory else None


def _unfinished(of: Place) -> tuple[str, str]:
    """The entry that decides, where the job does not say whether the place is finished."""
    return (f"whether {of.name} is finished (finished)", of.at) if of.finished is None else ("", "")


# -- of a circuit -----------------------------------------------------------------------------------------------


def arc_fault(house: House, branch: Branch, rating: Value) -> list[Asked]:
    """The places for which the circuit needs arc-fault protection; an existing one only where it is extended."""
    if branch.circuit.poles == 2 or (rating > house.code["arc_fault"]).holds:
        return []
    existing = branch.circuit.status == "existing"
    if existing and not _extended(house.code, branch):
        return []
    found = [asked for of in places(house, branch) if (asked := place_arc_fault(house.code, of)) is not None]
    if not existing:
        return found
    return [Asked(a.what, house.code.cite("arc_fault_extension"), a.missing, a.where) for a in found]


def _extended(code: Codebook, branch: Branch) -> bool:
    """Whether the job extends the circuit far enough, or adds to it."""
    if branch.adds_outlets or any(c.load.status == "new" for c in branch.loads):
        return True
    return (
        branch.circuit.extended_ft is not None
        and (read(branch.circuit, "extended_ft") > code["arc_fault_extension"]).holds
    )


def ground_fault(sheet: Sheet, house: House, branch: Branch, rating: Value) -> list[Asked]:
    """The places and appliances for which the circuit needs ground-fault protection."""
    if not (branch.new_work or branch.adds_outlets):
        return []
    return [
        *_receptacles(house, branch, rating),
        *_lights(house, branch),
        *_equipment(house.code, branch),
        *_hardwired(sheet, house, branch, rating),
    ]


def _receptacles(house: House, branch: Branch, rating: Value) -> list[Asked]:
    if not plugs(house.code, branch) or not _receptacles_covered(house.code, branch, rating):
        return []
    found = [
        asked
        for of in places(house, branch)
        if (asked := place_ground_fault(house.code, of, _at_counter(branch))) is not None
    ]
    if house.code.has("ground_fault_service"):
        found += [
            Asked(f"service receptacle in {room.name}", house.code.cite("ground_fault_service"), plugged=True)
            for room, outlet in receptacles_on(branch) if isinstance(outlet, Outlet) and outlet.purpose == "equipment-service"
        ]  # fmt: skip
    if house.code.has("ground_fault_sink"):
        found += [
            Asked(f"{c.load.name}, by the sink", house.code.cite("ground_fault_sink"), plugged=True)
            for c in branch.loads if c.load.kind in house.code.members("ground_fault_sink") and c.load.connected_by != "hardwired"
        ]  # fmt: skip
    return found


def plugs(code: Codebook, branch: Branch) -> bool:
    """Whether cords are plugged in on it: as said, or as is usual for such equipment where the job does not say."""
    usual = code.members("cord_kinds")
    unsaid = [
        c for c in branch.loads if c.load.connected_by is None and c.load.kind in usual and not c.load.fuel_burning
    ]
    return branch.has_receptacles or bool(unsaid)


def _receptacles_covered(code: Codebook, branch: Branch, rating: Value) -> bool:
    """Whether receptacles of this voltage and rating are within the rule."""
    if code.method("ground_fault_receptacles") == "125 V" and branch.circuit.poles == 2:
        return False
    return (rating <= code["ground_fault_receptacles"]).holds


def _at_counter(branch: Branch) -> bool:
    """Whether it feeds receptacles at a kitchen counter."""
    counters = [outlet for room in branch.rooms for counter in room.counters for outlet in counter.outlets]
    return branch.circuit.purpose == "small-appliance" or any(outlet.circuit == branch.name for outlet in counters)


def _lights(house: House, branch: Branch) -> list[Asked]:
    """Lights in crawl spaces."""
    if "lighting" not in branch.circuit.outlets and (branch.circuit.outlets or branch.circuit.purpose not in GENERAL):
        return []
    cite = house.code.cite("ground_fault_crawl_light")
    crawl = house.code.members("ground_fault_crawl_light")
    return [
        Asked(f"lights of {of.name}", cite) if of.known else Asked("", cite, NAME_ROOMS, of.at)
        for of in places(house, branch) if of.uses & crawl or not of.known
    ]  # fmt: skip


def _equipment(code: Codebook, branch: Branch) -> list[Asked]:
    """Appliances that are named, wherever they stand."""
    found = []
    for load in (c.load for c in branch.loads if not c.load.fuel_burning):
        if load.kind in code.members("ground_fault_appliances"):
            found.append(Asked(load.name, code.cite("ground_fault_appliances")))
        if load.kind in code.members("ground_fault_pool"):
            found.append(Asked(load.name, code.cite("ground_fault_pool")))
        if load.kind in code.members("ground_fault_vehicle") and load.connected_by == "cord":
            found.append(Asked(load.name, code.cite("ground_fault_vehicle"), plugged=True))
        if load.kind in code.members("individual_tub"):
            found.append(Asked(load.name, code.cite("individual_tub")))
    return found


# -- hard-wired equipment outdoors and at garages -----------------------------------------------------------------


def _hardwired(sheet: Sheet, house: House, branch: Branch, rating: Value) -> list[Asked]:
    """Equipment outdoors and, by the reading taken, in garages and accessory buildings, but for listed climate equipment."""
    if not house.code.has("ground_fault_outdoor") or (rating > house.code["ground_fault_outdoor"]).holds:
        return []
    found = []
    for c in branch.loads:
        asked = _outdoors(house, branch, c) or _at_garage(sheet, house, branch, c)
        if asked is not None and not (not asked.missing and _left_out(sheet, house, branch, c)):
            found.append(asked)
    return found


def _outdoors(house: House, branch: Branch, counted: Counted) -> Asked | None:
    """Whether a load stands outdoors: as said, by its room, or as is usual for its kind."""
    cite = house.code.cite("ground_fault_outdoor")
    stands = standing(house, branch, counted)
    if counted.load.outdoors is not None or stands:
        outdoors = counted.load.outdoors or (counted.load.outdoors is None and any(of.uses & OUTDOORS for of in stands))
        return Asked(counted.load.name, cite) if outdoors else None
    if counted.load.kind in house.code.members("outdoor_kinds"):
        return Asked(f"{counted.load.name}, taken as outdoors", cite)
    if counted.load.kind in house.code.members("anywhere_kinds"):
        return Asked("", cite, f"where {counted.load.name} stands (room or outdoors)", place(counted.load, "room"))
    return None


def _at_garage(sheet: Sheet, house: House, branch: Branch, counted: Counted) -> Asked | None:
    """A hard-wired load in a garage or an accessory building, where the edition can be read to take it in."""
    if not house.code.has("ground_fault_garages") or counted.load.connected_by == "cord" or counted.load.outdoors:
        return None
    stands = standing(house, branch, counted)
    here = [of for of in stands if of.accessory or of.uses & house.code.members("ground_fault_garages")]
    unsaid = not stands and counted.load.kind not in house.code.members("kitchen_kinds")
    if not (here or unsaid):
        return None
    cite = house.code.cite("ground_fault_garages")
    if house.job.code.readings.garage_outlets == "outdoors-only":
        sheet.remark("note_garage_outdoors_only", load=counted.load.name)
        return None
    if unsaid:
        return Asked("", cite, f"the room that {counted.load.name} stands in (room)", place(counted.load, "room"))
    sheet.remark("note_garage_outlets", load=counted.load.name)
    return Asked(f"{counted.load.name} in {here[0].name}", cite)


def _left_out(sheet: Sheet, house: House, branch: Branch, counted: Counted) -> bool:
    """Whether listed heating and cooling equipment is left out for a permit of this date."""
    permit = house.job.code.permit_date
    if not house.code.has("outdoor_equipment"):
        if counted.load.kind in house.code.members("cooling_kinds") | house.code.members("heating_and_cooling_kinds"):
            sheet.remark(
                "note_exemption_unknown", load=counted.load.name, reason=house.code.why_absent("outdoor_equipment")
            )
        return False
    if counted.load.kind not in house.code.members("outdoor_equipment"):
        return False
    ends = house.code.until("outdoor_equipment")
    dated = f"permit of {permit}" if permit else "no permit date in the job"
    free = house.code.in_force("outdoor_equipment", permit)
    sheet.find("outdoor_exemption", f"{'left out' if free else 'not left out'}: {dated}, ends on {ends}",
           item=counted.load.name, cites=[house.code.cite("outdoor_equipment")])  # fmt: skip
    return free
