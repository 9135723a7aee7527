"""Protection of a circuit: arc-fault, ground-fault and tamper-resistant, by place, edition and date of the permit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from calc.codebook import Codebook
from calc.families.branch_circuits.circuits import Branch, at, outlets_of
from calc.families.reading import read
from calc.job import CounterOutlet, Outlet, place
from calc.work import IN_PER_FT, Citation, Sheet, Value, constant, given

MET = constant("protection that is required", 1, "condition")
IMPLIED = {
    "small-appliance": "kitchen",
    "laundry": "laundry",
    "bathroom": "bathroom",
    "garage": "garage",
    "outdoor": "outdoors",
}
"""The place of a circuit that names no room: what its purpose says."""
OUTDOORS = ("outdoors", "porch", "deck", "balcony")


@dataclass(frozen=True)
class Asked:
    """A protection that is asked for: where or of what, and by which rule."""

    what: str
    cite: Citation


def protection(s: Sheet, code: Codebook, b: Branch, rating: Value) -> None:
    """Print what protection the circuit needs and check that it has it."""
    arc, ground = arc_fault(code, b, rating), ground_fault(s, code, b, rating)
    _protected(s, code, b, "arc_fault", arc, ("arc-fault", "dual-function"))
    _protected(s, code, b, "ground_fault", ground, ("ground-fault", "dual-function"))
    _tamper_resistant(s, code, b, rating)


# -- what is asked ----------------------------------------------------------------------------------------------


def arc_fault(code: Codebook, b: Branch, rating: Value) -> list[Asked]:
    """The rooms for which the circuit needs arc-fault protection; an existing one only where it is extended."""
    if b.circuit.poles == 2 or (rating > code["arc_fault"]).holds:
        return []
    if b.circuit.status == "existing" and not _extended(code, b):
        return []
    found = [(name, room_arc_fault(code, use, finished)) for name, use, finished in places(code, b)]
    extension = [code.cite("arc_fault_extension")] if b.circuit.status == "existing" else []
    return [Asked(name, (extension or [cite])[0]) for name, cite in found if cite is not None]


def room_arc_fault(code: Codebook, use: str, finished: bool | None) -> Citation | None:
    """The rule by which 120 V circuits of a room need arc-fault protection; None where none does."""
    if use in code.members("arc_fault"):
        return code.cite("arc_fault")
    like = use in code.members("arc_fault_similar") or (use == "basement" and finished is not False)
    return code.cite("arc_fault_similar") if like else None


def room_ground_fault(code: Codebook, use: str, finished: bool | None, accessory: bool) -> Citation | None:
    """The rule by which receptacles in a place need ground-fault protection; None where none does."""
    if use in code.members("ground_fault_places"):
        only_unfinished = code.has("ground_fault_unfinished") and use in code.members("ground_fault_unfinished")
        return None if only_unfinished and finished else code.cite("ground_fault_places")
    accessory = accessory and use in code.members("ground_fault_accessory")
    return code.cite("ground_fault_accessory") if accessory else None


def counter_only(code: Codebook, use: str) -> bool:
    """Whether of a kitchen's receptacles it is only those at the counter."""
    return code.has("ground_fault_counter") and use in code.members("ground_fault_counter")


def _extended(code: Codebook, b: Branch) -> bool:
    """Whether the job extends the circuit far enough, or adds to it."""
    if b.circuit.extension_adds_outlets or any(c.load.status == "new" for c in b.loads):
        return True
    return b.circuit.extended_ft is not None and (read(b.circuit, "extended_ft") > code["arc_fault_extension"]).holds


def ground_fault(s: Sheet, code: Codebook, b: Branch, rating: Value) -> list[Asked]:
    """The places and appliances for which the circuit needs ground-fault protection."""
    if not b.new_work:
        return []
    found = []
    if b.has_receptacles and _receptacles_covered(code, b, rating):
        accessory = any(room.building for room in b.rooms)
        for name, use, finished in places(code, b):
            cite = room_ground_fault(code, use, finished, accessory)
            if cite is not None and (not counter_only(code, use) or _at_counter(b)):
                found.append(Asked(name, cite))
    lights = "lighting" in b.circuit.outlets
    found += [Asked(f"lights of {name}", code.cite("ground_fault_crawl_light")) for name, use, _ in places(code, b)
              if lights and use in code.members("ground_fault_crawl_light")]  # fmt: skip
    for c in b.loads:
        load = c.load
        if load.fuel_burning:
            continue
        if load.kind in code.members("ground_fault_appliances"):
            found.append(Asked(load.name, code.cite("ground_fault_appliances")))
        if load.kind in code.members("ground_fault_vehicle") and load.connected_by == "cord":
            found.append(Asked(load.name, code.cite("ground_fault_vehicle")))
        if load.kind in code.members("individual_tub"):
            found.append(Asked(load.name, code.cite("individual_tub")))
    return found + _outdoor(s, code, b, rating)


def _receptacles_covered(code: Codebook, b: Branch, rating: Value) -> bool:
    """Whether receptacles of this voltage and rating are within the rule."""
    if code.method("ground_fault_receptacles") == "125 V" and b.circuit.poles == 2:
        return False
    return (rating <= code["ground_fault_receptacles"]).holds


def _at_counter(b: Branch) -> bool:
    """Whether it feeds receptacles at a kitchen counter."""
    counters = [outlet for room in b.rooms for counter in room.counters for outlet in counter.outlets]
    return b.circuit.purpose == "small-appliance" or any(outlet.circuit == b.name for outlet in counters)


def _outdoor(s: Sheet, code: Codebook, b: Branch, rating: Value) -> list[Asked]:
    """Hardwired equipment outdoors, unless listed heating and cooling is left out for a permit of this date."""
    outdoors = [c for c in b.loads if c.load.outdoors or _room_use(b, c.load.room) in OUTDOORS]
    if not outdoors or not code.has("ground_fault_outdoor") or (rating > code["ground_fault_outdoor"]).holds:
        return []
    permit = b.job.code.permit_date
    found = []
    for c in outdoors:
        if not code.has("outdoor_equipment"):
            climate = code.members("cooling_kinds") | code.members("heating_and_cooling_kinds")
            if c.load.kind in climate:
                s.remark("note_exemption_unknown", load=c.load.name, reason=code.why_absent("outdoor_equipment"))
        elif c.load.kind in code.members("outdoor_equipment"):
            ends = code.until("outdoor_equipment")
            dated = f"permit of {permit}" if permit else "no permit date in the job"
            free = code.in_force("outdoor_equipment", permit)
            s.find("outdoor_exemption", f"{'left out' if free else 'not left out'}: {dated}, ends on {ends}",
                   item=c.load.name, by=[code.cite("outdoor_equipment")])  # fmt: skip
            if free:
                continue
        found.append(Asked(c.load.name, code.cite("ground_fault_outdoor")))
    return found


def _room_use(b: Branch, name: str | None) -> str:
    return next((room.use for room in b.job.rooms if room.name == name), "")


def places(code: Codebook, b: Branch) -> list[tuple[str, str, bool | None]]:
    """(name, use, finished) of the places that the circuit serves; by purpose or kind where it names no room."""
    if b.rooms:
        return [(room.name, room.use, room.finished) for room in b.rooms]
    implied = IMPLIED.get(b.circuit.purpose)
    if implied is None and any(c.load.kind in code.members("kitchen_kinds") for c in b.loads):
        implied = "kitchen"
    if implied is None and any(c.load.kind == "dryer" for c in b.loads):
        implied = "laundry"
    if implied is None and b.circuit.purpose in ("general", "lighting"):
        return [("rooms not named, taken as living space", "living", True)]
    return [(implied, implied, True)] if implied else []


# -- what is there ----------------------------------------------------------------------------------------------


def _protected(s: Sheet, code: Codebook, b: Branch, key: str, asked: Sequence[Asked], types: tuple[str, ...]) -> None:
    names = ", ".join(dict.fromkeys(a.what for a in asked))
    cites = list(dict.fromkeys(a.cite for a in asked))
    s.find(key, f"required: {names}" if asked else "not required", by=cites)
    if not asked or b.planned:
        return  # a circuit that is not there yet is told what it needs; it can't fall short
    how = _how(b, key, types)
    there = given(how or "protection that the job states", float(bool(how)), "condition", at(b, "breaker_type"))
    s.check(f"{key}_provided", there >= MET, by=cites, mend=_mend(code, b, key))


def _mend(code: Codebook, b: Branch, key: str) -> str:
    """Where the protection may be, and where the job says it."""
    if key == "ground_fault":
        plugged = b.has_receptacles and b.circuit.poles == 1
        receptacles = ", or receptacles that protect people (first_outlet)" if plugged else ""
        return f"a ground-fault or dual-function breaker (breaker_type){receptacles}"
    if b.circuit.status == "existing":
        where = " or ".join(sorted(code.members("arc_fault_extension")))
        return f"an arc-fault or dual-function breaker (breaker_type), or such an outlet as {where} (first_outlet)"
    return "an arc-fault or dual-function breaker (breaker_type)"


def _how(b: Branch, key: str, types: tuple[str, ...]) -> str:
    """What protects it, in words; '' where the job states nothing that does."""
    if b.circuit.breaker_type in types:
        return f"{b.circuit.breaker_type} breaker"
    outlet_serves = key == "ground_fault" or b.circuit.status == "existing"
    if outlet_serves and b.circuit.first_outlet in types:
        return f"{b.circuit.first_outlet} first outlet"
    on_it = [outlet for room in b.rooms for outlet in outlets_of(room) if outlet.circuit == b.name]
    if key == "ground_fault" and on_it and all(outlet.ground_fault for outlet in on_it):
        return "ground-fault protection of each outlet"
    run = b.run
    return "ground-fault protection of its run" if key == "ground_fault" and run and run.ground_fault_protected else ""


def _tamper_resistant(s: Sheet, code: Codebook, b: Branch, rating: Value) -> None:
    """15 and 20 A receptacles of the dwelling, those up high and in dedicated spaces left out."""
    if not b.new_work or not b.has_receptacles or (rating > code["tamper_resistant"]).holds:
        return
    s.find("tamper_resistant", "required for its 15 and 20 A receptacles", by=[code.cite("tamper_resistant")])
    plain = [
        (room, outlet) for room in b.rooms for outlet in outlets_of(room)
        if outlet.circuit == b.name and outlet.tamper_resistant is False and not outlet.dedicated
        and outlet.status in ("new", "replaced") and not _high(code, outlet)
    ]  # fmt: skip
    if plain:
        number = given("receptacles that are not", len(plain), "receptacle", place(plain[0][1], "tamper_resistant"))
        s.check("tamper_resistant_provided", number <= constant("allowed", 0, "receptacle"), by=[code.cite("tamper_resistant")],
                mend=f"tamper-resistant receptacles in {', '.join(dict.fromkeys(room.name for room, _ in plain))}")  # fmt: skip


def _high(code: Codebook, outlet: Outlet | CounterOutlet) -> bool:
    """Whether a wall outlet is out of a child's reach."""
    if not isinstance(outlet, Outlet) or outlet.height_in is None:
        return False
    return (read(outlet, "height_in") > code["outlet_height"] * IN_PER_FT).holds
