"""The standard method: each group of loads with its own demand, added up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from calc.codebook import Codebook
from calc.families.dwelling_load.case import Case
from calc.families.dwelling_load.climate import climate, more_on_neutral, motor_va
from calc.families.dwelling_load.cooking import cooking
from calc.families.dwelling_load.demand import Demand, Group
from calc.families.dwelling_load.spread import Spread
from calc.families.dwelling_load.unit import DwellingUnit
from calc.families.dwelling_load.vehicle import vehicle_supply
from calc.job import place
from calc.job.loads import COOKING
from calc.wiring.reading import Counted, read
from calc.work import Citation, Sheet, Value, constant, larger, tiers, total

ALL = constant("in full", 100, "%")
GENERAL = ("unit_load", "small_appliance_circuit", "laundry_circuit")
"""What the standard method counts area, small-appliance circuits and laundry circuits by."""


def standard(case: Case) -> Value:
    """Total demand load in VA by the standard method, line by line; its groups are gathered in the case."""
    s, code, demand = case.sheet, case.house.code, case.demand
    general(s, case.unit, code, demand)
    by_demand(case)
    return s.line("standard_va", total(demand.values), cites=[code.cite("standard_method")])


def by_demand(case: Case, in_dwelling: bool = True) -> None:
    """Every load but general lighting, each in its group, taken into the case's demand.

    The shares for appliances fastened in place and for household cooking are for dwellings: outside of one
    (``in_dwelling`` False) such loads count in full.
    """
    s, code, demand = case.sheet, case.house.code, case.demand
    loads = case.sorted()
    fastened = [c for c in loads.rest if in_dwelling and counts_as_appliance(c, code)]
    dryer = [c for c in loads.rest if c.load.kind == "dryer" and not c.load.fuel_burning]
    stoves = [c for c in loads.rest if in_dwelling and c.load.kind in COOKING and not c.load.fuel_burning]
    other = [c for c in loads.rest if c not in fastened + dryer + stoves]

    drawing = appliances(s, code, fastened, demand, case.house.job.code.readings.motor_at_75_pct)
    dryers(s, code, dryer, demand, case.spread)
    if stoves:
        cooking(s, code, stoves, case.house.job.code.readings.cooking_mixed_columns, demand, case.spread)
    cites = [code.cite("space_heat"), code.cite("noncoincident")]
    season = climate(s, code, loads.climate, cites, motor_quarter=True)
    if season.load is not None:
        demand.add("climate", season.running, season.load)
        demand.neutral_only += more_on_neutral(s, code, loads.climate, season.running)
    for c, vehicle in vehicle_supply(s, code, loads.vehicle):
        demand.add("vehicle", [c], vehicle)
    for system in loads.managed:
        to_neutral = system.value if any(c.line_to_neutral for c in system.loads) else None
        demand.add("managed", system.loads, system.value, to_neutral=to_neutral)
    if other:
        demand.add("other", other, s.line("other_va", total(c.va for c in other)))
    if case.unit.house_loads:
        demand.groups.append(house_loads(case))
    motors(s, code, [*season.running, *drawing, *other, *case.unit.house_loads], season.raised, demand)


def general(sheet: Sheet, unit: DwellingUnit, code: Codebook, demand: Demand) -> None:
    """Lighting by area, small-appliance and laundry circuits, through the demand steps together."""
    in_steps(sheet, code, general_connected(sheet, unit, code), demand)


def in_steps(sheet: Sheet, code: Codebook, connected: Sequence[Value], demand: Demand) -> None:
    """What goes through the demand steps of general lighting together, VA, taken into the demand."""
    whole = sheet.line("general_connected_va", total(connected))
    load = sheet.line("general_demand_va", tiers(whole, code.bands("lighting_tiers")))
    demand.add("general", [], load, to_neutral=load)


def general_connected(
    sheet: Sheet, unit: DwellingUnit, code: Codebook, rules: tuple[str, str, str] = GENERAL
) -> list[Value]:
    """Lighting by area, small-appliance and laundry circuits before any demand, VA, by the method's own three rules."""
    of_area, of_small_appliance, of_laundry = rules
    area, small, laundry = unit.area, unit.small_appliance_circuits, unit.laundry_circuits
    if unit.one_family and laundry.number < code["required_laundry"].number:
        sheet.remark("note_laundry_circuit")
        laundry = larger(laundry, code["required_laundry"])
    for building in (building for building in unit.accessory if building.floor_area_ft2 is None):
        sheet.unknown("accessory_area", missing=f"floor area of {building.name}, a dwelling on the same service",
                  at=place(building, "floor_area_ft2"), item=building.name, cites=[code.cite(of_area)])  # fmt: skip
    if unit.kind == "building" or unit.accessory:
        area = sheet.line("area_of_all_ft2", area)
        small, laundry = sheet.line("small_appliance_circuits", small), sheet.line("laundry_circuits", laundry)
    return [
        sheet.line("general_lighting_va", area * code[of_area]),
        sheet.line("small_appliances_va", small * code[of_small_appliance]),
        sheet.line("laundry_va", laundry * code[of_laundry]),
    ]


def counts_as_appliance(counted: Counted, code: Codebook) -> bool:
    """Whether the load is an appliance fastened in place; a pool pump only where the job says so."""
    if counted.load.counted_as is not None:
        return counted.load.counted_as == "appliance"
    return counted.load.kind in code.members("fastened_appliances") and counted.load.is_fastened


def appliances(
    sheet: Sheet, code: Codebook, fastened: Sequence[Counted], demand: Demand, motor_at_75_pct: str
) -> list[Counted]:
    """Appliances fastened in place: 75 % of those that count, where four or more do. Gives those that may start a motor.

    ``motor_at_75_pct`` is the job's reading of whether one of those at 75 % may be the largest motor.
    """
    counts = _large_enough(sheet, code, fastened)
    inside = [c for c in fastened if c.load.name in counts]
    small, starting = [c for c in fastened if c.load.name not in counts], inside
    if inside:
        number = sheet.line(
            "fastened_count", total([c.count for c in inside], ""), cites=[code.cite("fastened_appliances")]
        )
        connected = sheet.line("fastened_connected_va", total(c.va for c in inside))
        percent = sheet.line("fastened_demand_pct", code.row("fastened_demand", appliances=number)["demand_pct"])
        load = sheet.line("fastened_demand_va", connected * percent)
        reaching = [c.va for c in inside if c.line_to_neutral]
        part = sheet.line("to_neutral_va", total(reaching) * percent, item="fastened") if reaching else None
        demand.add("fastened", inside, load, to_neutral=part)
        if (percent < ALL).holds and any(is_motor(c, code) for c in inside):
            sheet.remark(f"note_motor_at_75_{motor_at_75_pct}")
            starting = inside if motor_at_75_pct == "counted" else []
    if small:
        demand.add("small_fastened", small, sheet.line("small_fastened_va", total(c.va for c in small)))
    return [*starting, *small]


def _large_enough(sheet: Sheet, code: Codebook, fastened: Sequence[Counted]) -> set[str]:
    """Names of the appliances that reach the least size, by their load or their motor; all of them before 2020."""
    if not fastened or not code.has("fastened_size_va"):
        return {c.load.name for c in fastened}
    large = sheet.sort("fastened_counting", [c.each for c in fastened], code["fastened_size_va"])
    names = {c.load.name for c, yes in zip(fastened, large, strict=True) if yes}
    motors = [c for c in fastened if c.load.name not in names and c.load.motor_hp is not None]
    if motors:
        sizes = [read(c.load, "motor_hp", c.load.name) for c in motors]
        large = sheet.sort("fastened_counting_hp", sizes, code["fastened_size_hp"])
        names |= {c.load.name for c, yes in zip(motors, large, strict=True) if yes}
    return names


def dryers(
    sheet: Sheet, code: Codebook, found: Sequence[Counted], demand: Demand, spread: Spread | None = None
) -> None:
    """Electric dryers at nameplate or the least load, whichever is larger, by count."""
    if not found:
        return
    each = [sheet.line("dryer_va", larger(c.each, code["dryer_least"]), item=c.load.name) for c in found]
    number = sheet.line("dryer_count", total([c.count for c in found], ""))
    if spread is not None:
        count = spread.effective("dryers", number)
        percent = sheet.line("dryer_demand_pct", code.row("dryer_demand", dryers=count)["demand_pct"])
        two_legs = sheet.line("dryers_of_two_legs_va", larger(*each) * count * percent)
        load = sheet.line("dryer_demand_va", spread.of_three_phases("dryers", two_legs))
        demand.add("dryers", found, load, heats=True)
        return
    percent = sheet.line("dryer_demand_pct", code.row("dryer_demand", dryers=number)["demand_pct"])
    connected = total(c.times(va) for va, c in zip(each, found, strict=True))
    demand.add("dryers", found, sheet.line("dryer_demand_va", connected * percent), heats=True)


def house_loads(case: Case, cites: Sequence[Citation] = ()) -> Group:
    """Loads that serve the building as a whole, each in full."""
    s, code, found, demand = case.sheet, case.house.code, case.unit.house_loads, case.demand
    values = {
        c.load.name: value for c, value in vehicle_supply(s, code, [c for c in found if c.load.kind == "ev-supply"])
    }
    for c in found:
        value = values.get(c.load.name, c.va)
        if c.load.kind == "dryer" and not c.load.fuel_burning:
            value = c.times(s.line("dryer_va", larger(c.each, code["dryer_least"]), item=c.load.name))
        values[c.load.name] = value
        if c.line_to_neutral:
            demand.one_leg.append(value)
        elif c.load.uses_neutral:
            demand.both_legs.append(value)
    return Group("house", found, s.line("house_va", total(values[c.load.name] for c in found), cites=cites))


def motors(sheet: Sheet, code: Codebook, running: Sequence[Counted], raised: Sequence[Counted], demand: Demand) -> None:
    """A quarter of the largest motor among the loads counted in full.

    ``raised`` are cooling motors whose quarter made cooling the larger season: theirs counts beside a larger motor's.
    """
    found = [c for c in running if is_motor(c, code)]
    if not found:
        return
    largest, share, loads = largest_motor(sheet, code, found)
    demand.add("motor", [c for c in found if c.load.name == largest], share, connected=False)
    cooling = {c.load.name: loads[c.load.name] for c in raised}
    if cooling and largest not in cooling:
        name = _largest(sheet, "raised_motor", cooling)
        quarter = sheet.line(
            "raised_motor_va", cooling[name] * code["largest_motor"], cites=[code.cite("noncoincident")]
        )
        demand.add("raised_motor", [c for c in raised if c.load.name == name], quarter, connected=False)
    on_neutral = [c.load.name for c in found if c.line_to_neutral]
    if on_neutral and largest not in on_neutral:
        its_own = larger(*(loads[name] for name in on_neutral)) * code["largest_motor"]
        demand.neutral_only.append(sheet.line("neutral_motor_va", its_own))


def largest_motor(sheet: Sheet, code: Codebook, found: Sequence[Counted]) -> tuple[str, Value, dict[str, Value]]:
    """Name of the largest motor, its quarter in VA, and the motors of all, by name.

    Of equal ones, one between the legs is taken: on a wye it draws more, and the neutral has its own.
    """
    between_first = sorted(found, key=lambda c: c.line_to_neutral)
    loads = {c.load.name: sheet.line("motor_va", motor_va(c), item=c.load.name) for c in between_first}
    largest = _largest(sheet, "largest_motor", loads)
    return largest, sheet.line("largest_motor_va", loads[largest] * code["largest_motor"]), loads


def _largest(sheet: Sheet, key: str, loads: Mapping[str, Value]) -> str:
    return sheet.which(key, loads) if len(loads) > 1 else next(iter(loads))


def is_motor(counted: Counted, code: Codebook) -> bool:
    """Motor-operated equipment, or what has its motor stated, or what burns fuel and draws power for its blower."""
    blower = counted.load.fuel_burning and counted.load.kind not in COOKING
    kinds = code.members("motor_kinds") | code.members("motor_appliances")
    return bool(counted.load.kind in kinds or counted.load.motor_a or counted.load.motor_hp or blower)
