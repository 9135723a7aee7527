"""The load of a branch circuit: what it draws, and the current that breaker and conductors are sized for."""

from __future__ import annotations

from dataclasses import dataclass

from calc.codebook import Codebook
from calc.families.circuit_load.cooking import cooking_circuit
from calc.families.circuit_load.motor import motor_quarter
from calc.job import place
from calc.wiring.circuits import GENERAL, REQUIRED, Branch, alarms_on, at, general_circuits
from calc.wiring.house import House
from calc.wiring.reading import Counted, read
from calc.work import Citation, Missing, Refused, Sheet, Value, constant, given, larger, total, whole

FITS = constant("voltage that it needs", 1, "condition")
ONE = constant("this circuit", 1, "circuit")
ONE_LEG = ("lighting", "fan", "refrigerator", "freezer", "clock", "igniter", "smoke-alarms")
"""Outlets of a circuit that are made for 120 V."""
PUMPS = ("well-pump", "sump-pump", "pool-pump")


@dataclass(frozen=True)
class CircuitLoad:
    """What a circuit draws.

    ``design`` is the current that breaker and conductors are sized for, before any correction. ``apart`` is True where
    the equipment's own rules set the breaker apart from the conductors: air conditioning and motors.
    """

    volts: Value
    va: Value
    amperes: Value
    design: Value
    kind: str
    cites: tuple[Citation, ...]

    @property
    def apart(self) -> bool:
        """Whether breaker and conductors are sized each by its own rule."""
        return self.kind in ("nameplate", "compressor", "motor")


def circuit_load(sheet: Sheet, house: House, branch: Branch) -> CircuitLoad:
    """Print the load of a circuit. Refused where its loads can't be on it together."""
    code = house.code
    volts = _volts(sheet, house, branch)
    kind = _kind(code, branch)
    if kind == "cooking":
        va = sheet.line("load_va", cooking_circuit(sheet, code, branch))
        amperes = sheet.line("load_a", va / volts)
        return CircuitLoad(volts, va, amperes, sheet.line("design_a", amperes), kind, (code.cite("cooking_circuit"),))
    if kind in ("nameplate", "compressor", "motor"):
        return _apart(sheet, code, branch, kind, volts)
    own = _own_va(sheet, house, branch, volts)
    va = sheet.line("load_va", total([*own, *(_va(sheet, code, c) for c in branch.loads)]))
    amperes = sheet.line("load_a", va / volts)
    lasting, of_loads = _lasting(sheet, code, branch)
    share = code["continuous_branch"]
    cites = (code.cite("continuous_branch"), *of_loads)
    if not lasting:
        sized = amperes
    elif len(lasting) == len(branch.loads) and not own:
        sized = amperes * share
    else:
        continuous = sheet.line("continuous_a", total(_va(sheet, code, c) for c in lasting) / volts, cites=cites)
        sized = sheet.line("noncontinuous_a", amperes - continuous) + continuous * share
    quarter = motor_quarter(sheet, house, branch, volts, lasting, bool(own))
    design = sheet.line("design_a", sized if quarter is None else sized + quarter, cites=cites)
    return CircuitLoad(volts, va, amperes, design, kind, cites)


def _volts(sheet: Sheet, house: House, branch: Branch) -> Value:
    code = house.code
    of_wye = any(c.load.volts == 208 for c in branch.loads)
    system = house.job.service.system if house.job.service else "208Y/120" if of_wye else "120/240"
    wrong = [c.load.name for c in branch.loads if (c.load.volts == 120) != (branch.circuit.poles == 1)]
    if branch.circuit.poles == 2:
        wrong += _of_one_leg(branch, house.told(alarms_on, branch.name))
    if wrong:
        need = (
            "two poles"
            if branch.circuit.poles == 1
            else "one pole; enter the halves of a multiwire circuit as two circuits"
        )
        poles = given(f"voltage that fits ({', '.join(wrong)})", 0, "condition", at(branch, "poles"))
        sheet.check("voltage_fits", poles >= FITS, cites=[code.cite("nominal_voltages")], remedy=f"a circuit of {need}")
        raise Refused(f"{branch.name}: {', '.join(wrong)} does not fit its voltage; it needs a circuit of {need}.")
    column = "line_to_neutral_v" if branch.circuit.poles == 1 else "line_to_line_v"
    return sheet.line("volts_v", code.row("nominal_voltages", system=system)[column])


def _of_one_leg(branch: Branch, alarms: bool) -> list[str]:
    """What is on a circuit of two poles, or is said to be what it is there for, that is made for one leg and neutral."""
    c = branch.circuit
    found = [outlet.replace("-", " ") for outlet in c.outlets if outlet in ONE_LEG]
    if alarms and "smoke alarms" not in found:
        found.append("smoke alarms")
    if c.purpose in (*REQUIRED, "lighting") or (c.purpose == "general" and not (branch.loads or c.outlets)):
        found.append(f"{c.purpose} outlets")
    return found


def _kind(code: Codebook, branch: Branch) -> str:
    """Which rules the load goes by."""
    if branch.cooking:
        if len(branch.cooking) < len(branch.loads):
            others = [c.load.name for c in branch.loads if c not in branch.cooking]
            raise Refused(
                f"{branch.name}: {', '.join(others)} beside cooking appliances: no rule counts them together."
            )
        return "cooking"
    named = [c for c in branch.loads if c.load.mca_a is not None]
    coolers = code.members("cooling_kinds") | code.members("heating_and_cooling_kinds")
    cooling = [c for c in branch.loads if c.load.kind in coolers and c.load.connected_by != "cord"]
    if named or cooling:
        if len(branch.loads) > 1 or branch.loads[0].load.count > 1:
            raise Refused(
                f"{branch.name}: {(named or cooling)[0].load.name} states its own circuit, so nothing else may be on it here: "
                "give each unit a circuit.",
                code.cite("nameplate_circuit"),
            )
        if not named and branch.loads[0].load.motor_a is None:
            raise Missing(
                f"{branch.name}: the nameplate of {branch.loads[0].load.name} decides: give its minimum circuit and maximum "
                "breaker (mca_a, mocp_a), or the compressor's current (motor_a) where the nameplate states no circuit.",
                code.cite("nameplate_circuit"),
                at=place(branch.loads[0].load, "mca_a"),
            )
        return "nameplate" if named else "compressor"
    if (
        len(branch.loads) == 1
        and branch.loads[0].load.kind in code.members("motor_circuit_kinds")
        and not branch.others
    ):
        load = branch.loads[0].load
        if load.motor_hp is None and load.kind not in PUMPS:
            return "plain"
        if load.count > 1:
            raise Refused(
                f"{branch.name}: {load.count:g} motors on one circuit; the largest breaker of a motor is worked for one alone: "
                "give each a circuit.",
                code.cite("motor_breaker"),
            )
        return "motor"
    return "plain"


def _apart(sheet: Sheet, code: Codebook, branch: Branch, kind: str, volts: Value) -> CircuitLoad:
    """Air conditioning by its nameplate or its compressor, a motor by its horsepower."""
    c = branch.loads[0]
    load = c.load
    if kind == "nameplate":
        va = sheet.line("load_va", c.va)
        amperes = sheet.line("load_a", va / volts)
        cites = (code.cite("nameplate_circuit"),)
        design = sheet.line("design_a", read(load, "mca_a", f"minimum circuit of {load.name}"), cites=cites)
    elif kind == "compressor":
        va = sheet.line("load_va", c.va)
        amperes = sheet.line("load_a", va / volts)
        cites = (code.cite("compressor_share"),)
        motor = sheet.line("compressor_a", read(load, "motor_a", f"compressor of {load.name}"))
        if (motor > amperes).holds:
            raise Refused(f"{load.name}: its compressor draws more than the whole of it: one of the two is wrong.")
        rest = sheet.line("beside_compressor_a", amperes - motor)
        design = sheet.line("design_a", motor * code["compressor_share"] + rest)
    else:
        cites = (code.cite("motor_share"),)
        amperes = sheet.line("load_a", _full_load(sheet, code, c, volts))
        va = sheet.line("load_va", amperes * volts)
        design = sheet.line("design_a", amperes * code["motor_share"])
    return CircuitLoad(volts, va, amperes, design, kind, cites)


def _full_load(sheet: Sheet, code: Codebook, counted: Counted, volts: Value) -> Value:
    if counted.load.motor_hp is None:
        return counted.va / volts
    listed = sheet.line(
        "motor_listed_hp",
        code.at_least("motor_current", read(counted.load, "motor_hp", f"motor of {counted.load.name}")),
    )
    each = sheet.line("motor_a", code.row("motor_current", hp=listed)[f"motor_{volts.number:.0f}_a"])
    return counted.times(each)


def _own_va(sheet: Sheet, house: House, branch: Branch, volts: Value) -> list[Value]:
    """The load of its lights and receptacles: as said, by the code's figure, or a figure for balancing only."""
    code, c, dwelling = house.code, branch.circuit, house.job.dwelling
    if c.load_va is not None:
        return [read(c, "load_va", "load as given")]
    if c.purpose == "small-appliance":
        return [code["small_appliance_circuit"] * ONE]
    if c.purpose == "laundry":
        return [code["laundry_circuit"] * ONE]
    if c.purpose in GENERAL and ten_ampere(code, branch):
        return [read(c, "breaker_a", "rating of a 10 A circuit") * volts]
    if c.purpose in GENERAL and dwelling is not None and dwelling.floor_area_ft2 is not None:
        number = given("general circuits in the job", general_circuits(house), "circuit", "circuits")
        area = sheet.line("general_area_va", read(dwelling, "floor_area_ft2") * code["circuit_unit_load"])
        needed = whole(area / (code["circuit_15a"] * volts), "up")
        shared = sheet.line("general_circuits", larger(number, needed))
        return [area / shared * ONE]
    if branch.loads and c.purpose not in (*GENERAL, *REQUIRED, "outdoor"):
        return []
    return [code["circuit_load"] * ONE]


def _va(sheet: Sheet, code: Codebook, counted: Counted) -> Value:
    """The nameplate of a load; vehicle supply at its setting, where the edition lets that stand."""
    load = counted.load
    if load.kind == "ev-supply" and load.setting_a is not None:
        setting = read(load, "setting_a", f"setting of {load.name}") * read(load, "volts", f"volts of {load.name}")
        turned_down = (setting < counted.each).holds
        if turned_down and load.setting_locked and code.has("vehicle_setting"):
            return counted.times(setting)
        if turned_down:
            sheet.remark("note_setting_not_used", load=load.name)
    return counted.va


def _lasting(sheet: Sheet, code: Codebook, branch: Branch) -> tuple[list[Counted], list[Citation]]:
    """The loads that are continuous, or that their own rules size so, and those rules."""
    rules = {
        kind: rule
        for rule in ("continuous_vehicle", "continuous_water_heater", "continuous_heat")
        for kind in code.members(rule)
    }
    heats = any(rules.get(c.load.kind) == "continuous_heat" and not c.load.fuel_burning for c in branch.loads)
    found: list[Counted] = []
    cites: list[Citation] = []
    for c in branch.loads:
        rule = rules.get(c.load.kind) if not c.load.fuel_burning else None
        if rule == "continuous_water_heater" and _large_tank(sheet, code, c):
            rule = None
        if c.load.kind == "fan" and heats:
            rule = "continuous_heat"
        if rule is not None:
            cites.append(code.cite(rule))
        if c.load.kind in code.members("tankless_nameplate"):
            cites.append(code.cite("tankless_nameplate"))
        if rule is not None or c.load.continuous:
            found.append(c)
    return found, list(dict.fromkeys(cites))


def _large_tank(sheet: Sheet, code: Codebook, counted: Counted) -> bool:
    if counted.load.tank_gal is None:
        return False
    large = (read(counted.load, "tank_gal", f"tank of {counted.load.name}") > code["water_heater_tank"]).holds
    if large:
        sheet.remark("note_large_tank", load=counted.load.name)
    return large


def ten_ampere(code: Codebook, branch: Branch) -> bool:
    """Whether it is one of the 10 A circuits for lights that some editions have."""
    stated = branch.circuit.breaker_a is not None and code.has("ten_ampere")
    return stated and (read(branch.circuit, "breaker_a") <= code["ten_ampere"]).holds
