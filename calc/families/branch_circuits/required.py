"""The circuits that every dwelling must have, against those that the job lists; equipment outlets and cords; surge."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from calc.codebook import Codebook
from calc.job import Job, Load, Panel, Room, place
from calc.wiring.circuits import GENERAL, Branch, at
from calc.wiring.conditions import MET
from calc.wiring.house import House
from calc.wiring.reading import read
from calc.wiring.tree import live_panels, live_runs
from calc.work import Sheet, Value, constant, excess, given, larger, total, whole

NO_ROOMS = constant("that may be left out", 0, "room")
NAMES = {
    "small-appliance": "small-appliance circuit", "laundry": "laundry circuit", "bathroom": "bathroom circuit",
    "garage": "garage circuit",
}  # fmt: skip


@dataclass
class Missing:
    """Required circuits that the job does not list, in words."""

    words: list[str] = field(default_factory=list)

    def count(self, what: str, short: float) -> str:
        """Note how many of a kind are missing, and say it."""
        if short <= 0:
            return ""
        self.words.append(f"{short:g} {what}" + ("s" if short > 1 else ""))
        return self.words[-1]

    def __str__(self) -> str:
        return ", ".join(self.words) or "none"


def required(sheet: Sheet, house: House, branches: Sequence[Branch], ratings: Mapping[str, float]) -> Missing:
    """Print the circuits that the dwelling must have and check that they are there; what is missing.

    ``ratings`` holds the breaker of each circuit in amperes. A dwelling that is wired already is not asked for more
    than its own edition asked, so nothing is counted there; nor where the job lists no circuits yet. A job that is a
    part of a house, with no dwelling in it, is asked for the circuits of a kitchen's counters.
    """
    missing = Missing()
    if house.job.dwelling is None:
        if any(room.status == "new" and room.use == "kitchen" and room.counters for room in house.job.rooms):
            _number_of(sheet, house, branches, "small-appliance", house.code["required_small_appliance"],
                       bool(house.job.circuits), missing)  # fmt: skip
        _counters(sheet, house, branches)
        return missing
    if house.job.dwelling.units:
        return missing
    checked = bool(house.job.circuits) and house.job.dwelling.status == "new"
    _each_kind(sheet, house, branches, checked, missing)
    _general(sheet, house, branches, ratings, checked, missing)
    if checked:
        _rooms(sheet, house, branches, missing)
        sheet.find("missing", str(missing), cites=[house.code.cite("required_rating")])
    elif house.job.dwelling.status == "existing":
        sheet.caution("caution_existing_circuits")
    else:
        sheet.caution("caution_no_circuits")
    return missing


def _each_kind(sheet: Sheet, house: House, branches: Sequence[Branch], checked: bool, missing: Missing) -> None:
    """Small-appliance, laundry, bathroom and garage circuits by number."""
    assert house.job.dwelling is not None
    needed = {
        "small-appliance": larger(
            house.code["required_small_appliance"], read(house.job.dwelling, "small_appliance_circuits")
        ),
        "laundry": larger(house.code["required_laundry"], read(house.job.dwelling, "laundry_circuits")),
        "bathroom": house.code["required_bathroom"],
    }
    garages = _garages(house.job)
    if garages:
        number = given(f"garages with power ({', '.join(garages)})", len(garages), "", "rooms")
        needed["garage"] = house.code["required_garage"] * number if len(garages) > 1 else house.code["required_garage"]
    for kind, least in needed.items():
        _number_of(sheet, house, branches, kind, least, checked, missing)


def _number_of(
    sheet: Sheet, house: House, branches: Sequence[Branch], kind: str, least: Value, checked: bool, missing: Missing
) -> None:
    line = sheet.line("circuits_needed", least, item=NAMES[kind])
    if checked:
        found = _number(house.job, branches, kind)
        short = missing.count(NAMES[kind], line.number - found.number)
        sheet.check("circuits_listed", found >= line, item=NAMES[kind], cites=least.cites, remedy=f"add {short}")


def _garages(job: Job) -> list[str]:
    """The garages that need a circuit: the attached one, taken as one, and each detached one to which power is brought."""
    rooms = [room for room in job.rooms if room.use == "garage" and room.status != "removed"]
    apart = {b.name for b in job.buildings if b.kind == "garage" and b.status != "removed"}
    attached = [room for room in rooms if room.attached is not False and room.building is None]
    detached = [room for room in rooms if room not in attached]
    found = [attached[0].name] if attached else []
    found += [room.name for room in detached if _has_power(job, room.name, room.building) or room.outlets]
    named = {room.building for room in detached}
    return found + sorted(name for name in apart - named if _has_power(job, None, name))


def _has_power(job: Job, room: str | None, building: str | None) -> bool:
    """Whether a circuit, a load or a panel of the job is in the room or the building."""
    in_room = any(room in c.rooms for c in job.circuits if c.status != "removed")
    in_room = in_room or any(load.room == room for load in job.loads if load.status != "removed")
    panel = any(p.building == building for p in job.panels if p.status != "removed")
    return (room is not None and in_room) or (building is not None and panel)


def _number(job: Job, branches: Sequence[Branch], kind: str) -> Value:
    found = [b for b in branches if b.circuit.purpose == kind]
    return given(f"{NAMES[kind]}s in the job", len(found), "circuit", "circuits")


def _general(
    sheet: Sheet, house: House, branches: Sequence[Branch], ratings: Mapping[str, float], checked: bool,
    missing: Missing,
) -> None:  # fmt: skip
    """General lighting circuits by floor area: their number at 15 and at 20 A, and what those listed can carry."""
    if house.job.dwelling is None or house.job.dwelling.floor_area_ft2 is None:
        return
    system = house.job.service.system if house.job.service else "120/240"
    volts = sheet.line("volts_v", house.code.row("nominal_voltages", system=system)["line_to_neutral_v"])
    load = sheet.line("general_needed_va", read(house.job.dwelling, "floor_area_ft2") * house.code["circuit_unit_load"])
    for size in ("15a", "20a"):
        sheet.line(f"general_circuits_{size}", whole(load / (house.code[f"circuit_{size}"] * volts), "up"))
    if not checked:
        return
    parts = []
    for size, rating in (("15a", 15), ("20a", 20)):
        alike = [b for b in branches if b.circuit.purpose in GENERAL and ratings.get(b.name) == rating]
        if alike:
            number = given(f"general circuits of {rating} A", len(alike), "circuit", "circuits")
            parts.append(number * house.code[f"circuit_{size}"] * volts)
    carried = sheet.line("general_capacity_va", total(parts))
    short = whole(excess(load, carried) / (house.code["circuit_20a"] * volts), "up")
    more = missing.count("general lighting circuit", short.number)
    sheet.check(
        "general_enough",
        carried >= load,
        remedy=f"add {more} of 20 A for the area",
        cites=[house.code.cite("circuit_unit_load")],
    )


def _rooms(sheet: Sheet, house: House, branches: Sequence[Branch], missing: Missing) -> None:
    """Each bathroom on a bathroom circuit, and a kitchen's counter on two circuits; not known where one names no room."""
    live = [room for room in house.job.rooms if room.status != "removed"]
    baths = [b for b in branches if b.circuit.purpose == "bathroom"]
    on = {room.name for b in baths for room in b.rooms}
    without = [room.name for room in live if room.use == "bathroom" and room.name not in on]
    if without and (nowhere := _nowhere(baths)):
        sheet.unknown("bathrooms_served", f"which bathrooms {nowhere.name} serves (rooms)", at(nowhere, "rooms"),
                      cites=[house.code.cite("required_bathroom")])  # fmt: skip
    elif baths:
        count = given("bathrooms on no bathroom circuit", len(without), "room", "rooms")
        sheet.check("bathrooms_served", count <= NO_ROOMS, cites=[house.code.cite("required_bathroom")],
                remedy=f"bring a bathroom circuit to {', '.join(without)}")  # fmt: skip
        missing.words += [f"bathroom circuit for {name}" for name in without]
    _served(sheet, house, branches, live)
    _counters(sheet, house, branches)


def _served(sheet: Sheet, house: House, branches: Sequence[Branch], live: Sequence[Room]) -> None:
    """The rooms with receptacles or lights that no circuit is said to serve: what protects them is not known."""
    on = {room.name for branch in branches for room in branch.rooms}
    without = [
        room for room in live
        if room.name not in on and room.status == "new" and (room.outlets or room.counters or room.light not in (None, "none"))
    ]  # fmt: skip
    if without:
        names = ", ".join(room.name for room in without)
        sheet.unknown("rooms_served", f"the circuits that serve {names} (rooms of a circuit)", place(without[0], "outlets"),
                      cites=[house.code.cite("arc_fault"), house.code.cite("ground_fault_places")])  # fmt: skip


def _counters(sheet: Sheet, house: House, branches: Sequence[Branch]) -> None:
    """A kitchen's counter on two small-appliance circuits; not known where one that may be there names no room."""
    kitchens = [b for b in branches if b.circuit.purpose == "small-appliance"]
    for room in house.job.rooms:
        if room.status == "removed" or room.use != "kitchen" or not kitchens:
            continue
        number = sum(room in b.rooms for b in kitchens)
        at_counter = given(f"small-appliance circuits in {room.name}", number, "circuit", "circuits")
        enough = at_counter >= house.code["small_appliance_counter"]
        if not enough.holds and (nowhere := _nowhere(kitchens)):
            sheet.unknown("counter_circuits", f"which rooms {nowhere.name} serves (rooms)", at(nowhere, "rooms"),
                          item=room.name, cites=[house.code.cite("small_appliance_counter")])  # fmt: skip
        else:
            sheet.check("counter_circuits", enough, item=room.name,
                    remedy="split the counter's receptacles over two small-appliance circuits")  # fmt: skip


def _nowhere(branches: Sequence[Branch]) -> Branch | None:
    """The first of them of which nothing says what room it serves."""
    return next((branch for branch in branches if not branch.rooms), None)


def equipment(sheet: Sheet, house: House) -> None:
    """Where the receptacle of a dishwasher is, and how long the cords of kitchen appliances are, as far as stated."""
    for load in house.job.loads:
        if load.status == "removed":
            continue
        if (
            load.kind == "dishwasher"
            and load.receptacle_at is None
            and load.connected_by == "cord"
            and load.status == "new"
        ):
            sheet.unknown("dishwasher_receptacle_beside", "where its receptacle is (receptacle_at)", place(load, "receptacle_at"),
                      item=load.name, cites=[house.code.cite("dishwasher_receptacle")])  # fmt: skip
        if load.kind == "dishwasher" and load.receptacle_at is not None:
            right = load.receptacle_at in house.code.members("dishwasher_receptacle")
            where = given(f"receptacle {load.receptacle_at.replace('-', ' ')}", float(right), "condition",
                          place(load, "receptacle_at"))  # fmt: skip
            sheet.check("dishwasher_receptacle_beside", where >= MET, cites=[house.code.cite("dishwasher_receptacle")], item=load.name,
                    remedy="move the receptacle to the space beside the dishwasher, such as the sink cabinet")  # fmt: skip
        if load.cord_in is not None and any(row["kind"] == load.kind for row in house.code.rows("cord_lengths")):
            _cord(sheet, house.code, load)


def _cord(sheet: Sheet, code: Codebook, load: Load) -> None:
    row = code.row("cord_lengths", kind=load.kind)
    least = sheet.line("cord_least_in", row["least_in"], item=load.name)
    most = sheet.line("cord_most_in", row["most_in"], item=load.name)
    cord = read(load, "cord_in", f"cord of {load.name}")
    remedy = f"a cord of {least.number:g} to {most.number:g} in"
    cites = [code.cite("cord_lengths")]
    sheet.check("cord_long_enough", cord >= least, remedy=remedy, item=load.name, cites=cites)
    sheet.check("cord_short_enough", cord <= most, remedy=remedy, item=load.name, cites=cites)


def surge(sheet: Sheet, house: House) -> None:
    """Surge protection of a service that is new or replaced: at the service, or in each panel that it feeds directly."""
    service = house.job.service
    if service is None or service.work not in ("new", "replaced") or not house.code.has("surge_service"):
        return
    cites = [house.code.cite("surge_service")]
    serves, fed = house.code.members("surge_service"), _fed_by_service(house.job)
    if service.surge_protection not in serves and fed and all(panel.surge_protection in serves for panel in fed):
        sheet.find("surge_downstream", ", ".join(panel.name for panel in fed), cites=cites)
        return
    if service.surge_protection is None:
        sheet.unknown("surge_protected", "the surge-protective device at the service, or that there is none",
                  place(service, "surge_protection"), cites=cites)  # fmt: skip
        return
    there = given(f"surge-protective device: {service.surge_protection.replace('-', ' ')}",
                  float(service.surge_protection in house.code.members("surge_service")), "condition",
                  place(service, "surge_protection"))  # fmt: skip
    sheet.check("surge_protected", there >= MET, cites=cites,
            remedy="a type 1 or type 2 surge-protective device at the service equipment")  # fmt: skip


def _fed_by_service(job: Job) -> list[Panel]:
    """The panels of the next level: those that hang on the panel with the service disconnect."""
    at = {panel.name for panel in live_panels(job) if panel.service_equipment}
    feeds = {run.feeds for run in live_runs(job) if run.fed_from in at}
    return [
        panel for panel in live_panels(job) if panel.name not in at and (panel.name in feeds or panel.fed_from in at)
    ]
