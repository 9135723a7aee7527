"""What may be on a circuit together: outlets, places, the shares of cords and fastened equipment, circuits of their own."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.branch_circuits.asked import NAME_ROOMS
from calc.families.branch_circuits.belonging import belonging
from calc.families.branch_circuits.places import places
from calc.families.circuit_load.breaker import OF_OUTLETS
from calc.families.circuit_load.load import CircuitLoad, ten_ampere
from calc.job import place
from calc.wiring.circuits import Branch, alarms_on, at
from calc.wiring.house import House
from calc.wiring.reading import Counted
from calc.work import Citation, Sheet, Value, constant, given, total

OVER_RANGE = ("individual_hood", "individual_microwave")
NO_OUTLETS = constant("others allowed", 0, "outlet")
NO_ROOMS = constant("others allowed", 0, "room")


def sharing(sheet: Sheet, house: House, branch: Branch, load: CircuitLoad, rating: Value) -> None:
    """The checks of what a circuit feeds. Existing circuits that nothing is added to are left as they are."""
    if branch.new_work or branch.adds_outlets:
        belonging(sheet, house.code, branch)
    if not branch.new_work:
        return
    _others(sheet, house, branch)
    _places(sheet, house.code, branch)
    _own_circuit(sheet, house.code, branch)
    _shares(sheet, house.code, branch, load, rating)


def _others(sheet: Sheet, house: House, branch: Branch) -> None:
    """Outlets and loads that the circuit's purpose, or a 10 A rating, doesn't allow."""
    code, purpose = house.code, branch.circuit.purpose
    ten = ten_ampere(code, branch)
    if ten:
        if _gas_fireplace(code, branch):
            sheet.find("ten_ampere_alone", branch.loads[0].load.name, cites=[code.cite("ten_ampere_alone")])
            return
        cite = code.cite("ten_ampere")
        wrong = _not_among(branch, code.members("ten_ampere")) + _fans_elsewhere(sheet, house, branch)
    elif purpose == "small-appliance":
        wrong, cite = _not_among(branch, code.members("small_appliance_outlets")), code.cite("small_appliance_outlets")
    elif purpose == "laundry":
        wrong, cite = _not_among(branch, code.members("laundry_outlets")), code.cite("laundry_outlets")
    elif purpose == "bathroom":
        cite = code.cite("bathroom_outlets")
        alone = len(branch.rooms) == 1 and branch.rooms[0].use == "bathroom"
        wrong = [] if alone else _not_among(branch, code.members("bathroom_outlets"))
    elif purpose == "garage":
        cite = code.cite("garage_outlets")
        one_bay = [room.vehicle_bays for room in branch.rooms if room.use == "garage"] == [1]
        free = one_bay and code.method("garage_outlets") == "more at a single bay"
        wrong = [] if free else _not_among(branch, code.members("garage_outlets"))
    else:
        return
    if not wrong and "smoke-alarms" not in branch.circuit.outlets and house.told(alarms_on, branch.name):
        wrong = ["smoke alarms"]
    count = given(
        f"others on it ({', '.join(wrong)})" if wrong else "others on it", len(wrong), "outlet", at(branch, "outlets")
    )
    remedy = f"move {', '.join(wrong)} to another circuit"
    sheet.check("ten_ampere_only" if ten else "nothing_else", count <= NO_OUTLETS, remedy=remedy, cites=[cite])


def _gas_fireplace(code: Codebook, branch: Branch) -> bool:
    """Whether it feeds one gas fireplace and nothing else, where the edition lets a 10 A circuit do so."""
    if not code.has("ten_ampere_alone") or branch.others or len(branch.loads) != 1 or branch.has_receptacles:
        return False
    load = branch.loads[0].load
    return load.fuel_burning and load.count == 1 and load.kind in code.members("ten_ampere_alone")


def _fans_elsewhere(sheet: Sheet, house: House, branch: Branch) -> list[str]:
    """Fans on a 10 A circuit that serves other rooms than bathrooms and laundries; not known where no room is named."""
    fans = [c.load.name for c in branch.loads if c.load.kind == "fan"] + ["fan"] * ("fan" in branch.circuit.outlets)
    if not fans:
        return []
    served = places(house, branch)
    if all(of.uses & house.code.members("ten_ampere_fans") for of in served if of.known):
        if not all(of.known for of in served):
            sheet.unknown(
                "ten_ampere_fans", NAME_ROOMS, at(branch, "rooms"), cites=[house.code.cite("ten_ampere_fans")]
            )
        return []
    return fans


def _not_among(branch: Branch, allowed: frozenset[str]) -> list[str]:
    """Outlets and fastened loads on the circuit beyond those allowed."""
    loads = [c.load.name for c in branch.loads if not _allowed_load(c, allowed)]
    outlets = [outlet.replace("-", " ") for outlet in branch.circuit.outlets if outlet not in allowed]
    if "receptacles" not in allowed and branch.has_receptacles and "receptacles" not in outlets:
        outlets.append("receptacles")
    return [*outlets, *loads]


def _allowed_load(counted: Counted, allowed: frozenset[str]) -> bool:
    load = counted.load
    if load.kind in allowed:
        return True
    portable = load.fastened is False and "receptacles" in allowed
    igniter = load.fuel_burning and load.kind in ("range", "cooktop", "wall-oven") and "igniter" in allowed
    return portable or igniter or (load.fuel_burning and load.kind == "dryer" and "washer" in allowed)


def _places(sheet: Sheet, code: Codebook, branch: Branch) -> None:
    """Rooms in which a circuit kept for one kind of room may not be, as far as the job tells which it serves."""
    rules = {"small-appliance": "small_appliance_places", "garage": "garage_places", "laundry": "laundry_outlets",
             "bathroom": "bathroom_outlets"}  # fmt: skip
    rule = rules.get(branch.circuit.purpose)
    if rule is None or not branch.rooms:
        return
    if branch.circuit.purpose == "laundry":
        at_laundry = [room for room in branch.rooms if room.use == "laundry"] or branch.rooms[
            :1
        ]  # else where the machine stands
        wrong = [room.name for room in branch.rooms if room not in at_laundry]
    else:
        within = {"bathroom"} if branch.circuit.purpose == "bathroom" else code.members(rule)
        wrong = [room.name for room in branch.rooms if room.use not in within]
    count = given(
        f"rooms beyond ({', '.join(wrong)})" if wrong else "rooms beyond", len(wrong), "room", at(branch, "rooms")
    )
    sheet.check(
        "places_allowed",
        count <= NO_ROOMS,
        remedy=f"feed {', '.join(wrong)} from another circuit",
        cites=[code.cite(rule)],
    )


def individual_rule(code: Codebook, counted: Counted) -> Citation | None:
    """The rule by which a load has a circuit to itself; None where none asks for it."""
    load = counted.load
    if load.kind in code.members("individual_vehicle"):
        return code.cite("individual_vehicle")
    if load.kind in code.members("individual_central_heat") and load.fuel_burning:
        return code.cite("individual_central_heat")
    for over_range in OVER_RANGE:
        if load.kind in code.members(over_range) and load.connected_by != "hardwired" and load.is_fastened:
            return code.cite(over_range)
    if load.kind in code.members("individual_tub"):
        return code.cite("individual_tub")
    return code.cite("makers_instructions") if load.individual_circuit else None


def _own_circuit(sheet: Sheet, code: Codebook, branch: Branch) -> None:
    for c in branch.loads:
        cite = individual_rule(code, c)
        if cite is None:
            continue
        company = [c.load.name] * (c.load.count - 1)
        company += [other.load.name for other in branch.loads if other is not c and not _part_of(c, other)]
        company += branch.others
        if branch.circuit.purpose in OF_OUTLETS and not company:
            company = ["receptacles"]
        if company and cite in (code.cite(rule) for rule in OVER_RANGE) and c.load.connected_by is None:
            sheet.unknown("own_circuit", "whether it is wired in or has a cord (connected_by)", place(c.load, "connected_by"),
                          item=c.load.name, cites=[cite])  # fmt: skip
            continue
        count = given(f"others beside it ({', '.join(company)})" if company else "others beside it", len(company), "outlet",
                      at(branch, "purpose"))  # fmt: skip
        sheet.check(
            "own_circuit",
            count <= NO_OUTLETS,
            remedy=f"a circuit of its own for {c.load.name}",
            item=c.load.name,
            cites=[cite],
        )


def _part_of(counted: Counted, other: Counted) -> bool:
    """Whether the other is the blower or pump of the same heating."""
    return counted.load.name in other.load.runs_with or other.load.name in counted.load.runs_with


def _shares(sheet: Sheet, code: Codebook, branch: Branch, load: CircuitLoad, rating: Value) -> None:
    """On circuits of 15 and 20 A with several outlets: half for fastened equipment, 80 % for a cord."""
    if (rating > code["permissible_rating"]).holds or load.kind != "plain":
        return
    mixed = branch.circuit.purpose in OF_OUTLETS or any(
        outlet in ("receptacles", "lighting") for outlet in branch.others
    )
    coolers = code.members("cooling_kinds") | code.members("heating_and_cooling_kinds")
    room_units = [c for c in branch.loads if c.load.kind in coolers]
    for c in room_units:
        rule = code["fastened_share" if branch.shared or mixed else "room_air_conditioner"]
        most = sheet.line("share_a", rating * rule, item=c.load.name, cites=[code.cite("room_air_conditioner")])
        draws = sheet.line("draws_a", c.va / load.volts, item=c.load.name)
        sheet.check("share_kept", draws <= most, remedy=f"a circuit of its own for {c.load.name}, or a smaller unit",
                item=c.load.name)  # fmt: skip
    fastened = [c for c in branch.loads if c.load.is_fastened and c not in room_units]
    if fastened and mixed:
        most = sheet.line("fastened_most_a", rating * code["fastened_share"])
        draws = sheet.line("fastened_a", total(c.va for c in fastened) / load.volts)
        names = ", ".join(c.load.name for c in fastened)
        sheet.check(
            "fastened_share_kept", draws <= most, remedy=f"move {names} to a circuit without lights and receptacles"
        )
    if mixed or branch.shared:
        for c in branch.loads:
            if not c.load.is_fastened and c not in room_units:
                most = sheet.line("share_a", rating * code["cord_share"], item=c.load.name)
                draws = sheet.line("draws_a", c.each / load.volts, item=c.load.name)
                sheet.check(
                    "share_kept", draws <= most, remedy=f"a circuit of its own for {c.load.name}", item=c.load.name
                )
