"""Protection of a circuit: what is asked for against what is there; arc-fault, ground-fault and tamper-resistant."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calc.codebook import Codebook
from calc.families.branch_circuits.asked import Asked, arc_fault, ground_fault, plugs
from calc.families.branch_circuits.places import receptacles_on
from calc.job import CounterOutlet, Outlet, place
from calc.wiring.circuits import Branch, at
from calc.wiring.house import House
from calc.wiring.reading import read
from calc.work import IN_PER_FT, Sheet, Value, constant, given

MET = constant("protection that is required", 1, "condition")


def protection(sheet: Sheet, house: House, branch: Branch, rating: Value) -> None:
    """Print what protection the circuit needs and check that it has it."""
    arc, ground = arc_fault(house, branch, rating), ground_fault(sheet, house, branch, rating)
    _protected(sheet, house.code, branch, "arc_fault", arc)
    _protected(sheet, house.code, branch, "ground_fault", ground)
    if plugs(house.code, branch) and not any(a.plugged for a in ground):
        _near_water(sheet, house.code, branch)
    _tamper_resistant(sheet, house.code, branch, rating)
    _weather_resistant(sheet, house.code, branch, rating)


def _protected(sheet: Sheet, code: Codebook, branch: Branch, key: str, asked: Sequence[Asked]) -> None:
    sure = [a for a in asked if not a.missing]
    names = ", ".join(dict.fromkeys(a.what for a in sure))
    missing = " and ".join(dict.fromkeys(a.missing for a in asked if a.missing))
    cites = list(dict.fromkeys(a.cite for a in sure or asked))
    how = _how(branch, key, asked)
    if sure:
        sheet.find(key, f"required: {names}", cites=cites)
    elif asked:
        sheet.find(key, f"not known: {missing}" + (f"; there is a {how}" if how else ""), cites=cites)
    else:
        replaced = any(outlet.status == "replaced" for _, outlet in receptacles_on(branch))
        sheet.find(key, "not of the whole circuit: see its replaced receptacles" if replaced else "not required")
    if not asked or branch.planned:
        return  # a circuit that is not there yet is told what it needs; it can't fall short
    if missing and not how and (not sure or _how(branch, key, sure)):
        where = next(a.where for a in asked if a.missing)
        sheet.unknown(f"{key}_provided", missing, where, cites=cites)
        return
    there = given(how or "protection that the job states", float(bool(how)), "condition", at(branch, "breaker_type"))
    sheet.check(f"{key}_provided", there >= MET, cites=cites, remedy=_remedy(code, branch, key, asked))


def _remedy(code: Codebook, branch: Branch, key: str, asked: Sequence[Asked]) -> str:
    """Where the protection may be, and where the job says it."""
    if key == "ground_fault":
        plugged = branch.circuit.poles == 1 and all(a.plugged for a in asked)
        receptacles = ", or receptacles that protect people (first_outlet)" if plugged else ""
        return f"a ground-fault or dual-function breaker (breaker_type){receptacles}"
    if branch.circuit.status == "existing":
        where = " or ".join(sorted(code.members("arc_fault_extension")))
        return f"an arc-fault or dual-function breaker (breaker_type), or such an outlet as {where} (first_outlet)"
    return "an arc-fault or dual-function breaker (breaker_type)"


def _how(branch: Branch, key: str, asked: Sequence[Asked]) -> str:
    """What protects all that is asked for, in words; '' where the job states nothing that does."""
    types = ("arc-fault" if key == "arc_fault" else "ground-fault", "dual-function")
    if branch.circuit.breaker_type in types:
        return f"{branch.circuit.breaker_type} breaker"
    ahead = branch.circuit.poles == 1 if key == "ground_fault" else branch.circuit.status == "existing"
    if ahead and branch.circuit.first_outlet in types:  # such an outlet is made for 120 V alone
        return f"{branch.circuit.first_outlet} first outlet"
    if key == "arc_fault":
        return ""
    on_it = [outlet for _, outlet in receptacles_on(branch)]
    if on_it and all(outlet.ground_fault for outlet in on_it) and all(a.plugged for a in asked):
        return "ground-fault protection of each outlet"
    return "ground-fault protection of its run" if branch.run and branch.run.ground_fault_protected else ""


def _near_water(sheet: Sheet, code: Codebook, branch: Branch) -> None:
    """New receptacles near a sink, tub or shower in a room whose others need no protection."""
    new = [outlet for _, outlet in receptacles_on(branch) if isinstance(outlet, Outlet) and outlet.status == "new"]
    if not new or any(outlet.water_ft is None for outlet in new):
        sheet.caution("caution_near_sink")
    near: list[Outlet | CounterOutlet] = [
        o for o in new if o.water_ft is not None and (read(o, "water_ft") <= code["ground_fault_near_water"]).holds
    ]
    near += [o for o, away in _from_sinks(branch) if (away <= code["ground_fault_near_water"] * IN_PER_FT).holds]
    if near:
        plain = [outlet for outlet in near if not (outlet.ground_fault or _how(branch, "ground_fault", []))]
        number = given("receptacles that are not", len(plain), "receptacle", place((plain or near)[0], "ground_fault"))
        sheet.check("near_water_protected", number <= constant("allowed", 0, "receptacle"),
                    remedy=_remedy(code, branch, "ground_fault", []), cites=[code.cite("ground_fault_near_water")])  # fmt: skip


def _from_sinks(branch: Branch) -> Iterator[tuple[CounterOutlet, Value]]:
    """New receptacles of counters that have a sink, each with its way along the counter to the nearest."""
    for room in branch.rooms:
        for counter in room.counters:
            sinks = [(each.at_in, each.at_in + each.width_in) for each in counter.breaks if each.kind == "sink"]
            for outlet in counter.outlets if sinks else ():
                if outlet.circuit == branch.name and outlet.status == "new":
                    away = min(max(begin - outlet.at_in, outlet.at_in - end, 0.0) for begin, end in sinks)
                    yield outlet, given("along the counter to its sink", away, "in", place(outlet, "at_in"))


def _tamper_resistant(sheet: Sheet, code: Codebook, branch: Branch, rating: Value) -> None:
    """15 and 20 A receptacles of the dwelling, those up high and in dedicated spaces left out."""
    new = branch.new_work or branch.adds_outlets
    if not new or not branch.has_receptacles or (rating > code["tamper_resistant"]).holds:
        return
    sheet.find("tamper_resistant", "required for its 15 and 20 A receptacles", cites=[code.cite("tamper_resistant")])
    plain = [
        (room, outlet) for room, outlet in receptacles_on(branch)
        if outlet.tamper_resistant is False and not outlet.dedicated and outlet.status == "new" and not high(code, outlet)
    ]  # fmt: skip
    if plain:
        number = given("receptacles that are not", len(plain), "receptacle", place(plain[0][1], "tamper_resistant"))
        sheet.check("tamper_resistant_provided", number <= constant("allowed", 0, "receptacle"), cites=[code.cite("tamper_resistant")],
                remedy=f"tamper-resistant receptacles in {', '.join(dict.fromkeys(room.name for room, _ in plain))}")  # fmt: skip


def _weather_resistant(sheet: Sheet, code: Codebook, branch: Branch, rating: Value) -> None:
    """New 15 and 20 A receptacles outdoors that the job says are of the common kind."""
    outdoors = code.members("weather_resistant")
    plain = [
        (room, outlet) for room, outlet in receptacles_on(branch)
        if outlet.status == "new" and outlet.weather_resistant is False and room.use in outdoors
    ]  # fmt: skip
    if plain and (branch.new_work or branch.adds_outlets) and not (rating > code["tamper_resistant"]).holds:
        number = given("receptacles that are not", len(plain), "receptacle", place(plain[0][1], "weather_resistant"))
        sheet.check("weather_resistant_provided", number <= constant("allowed", 0, "receptacle"),
                cites=[code.cite("weather_resistant")],
                remedy=f"weather-resistant receptacles in {', '.join(dict.fromkeys(room.name for room, _ in plain))}")  # fmt: skip


def high(code: Codebook, outlet: Outlet | CounterOutlet) -> bool:
    """Whether a wall outlet is out of a child's reach."""
    if not isinstance(outlet, Outlet) or outlet.height_in is None:
        return False
    return (read(outlet, "height_in") > code["outlet_height"] * IN_PER_FT).holds
