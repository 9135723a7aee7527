"""The current of a run: as given, from the dwelling load, from what it feeds, or from an equipment nameplate."""

from __future__ import annotations

from collections.abc import Sequence

from calc.codebook import Codebook
from calc.families import dwelling_load
from calc.families.circuit_load import worked_load
from calc.families.feeder.demand import anything, fed_loads, gaps, panel_load
from calc.job import Job, Load, Run, place
from calc.wiring.house import House
from calc.wiring.protection import RunLoad
from calc.wiring.reading import Counted, counted, read
from calc.wiring.tree import groups_below, service_runs, whole_dwelling
from calc.work import Missing, Refused, Sheet, Value, carried, smaller, total

COOKING = frozenset({"range", "cooktop", "wall-oven"})
MOST_NAMED = 3  # entries that a refusal names; the sheet of the load lists all


def run_load(sheet: Sheet, house: House, run: Run) -> RunLoad:
    """Work the current of a run."""
    share = house.told(whole_dwelling, run)
    if run.role != "branch":
        sheet.find("whole_dwelling", share.why, cites=[house.code.cite("dwelling_share")])
    neutral = sheet.line("neutral_a", read(run, "neutral_a", "neutral load")) if run.neutral_a is not None else None
    fed = house.told(fed_loads, run)
    nameplate = next((load for load in fed if load.mca_a is not None), None) if len(fed) == 1 else None
    motor = _equipment(house, run, fed)
    apart = run.motor_or_hvac or nameplate is not None or motor is not None
    rating: Value | None = None
    by_breaker = False
    of_dwelling = (share.holds and not share.accessory) or house.told(_only_service, run)
    as_service = run.role == "service" or (share.holds and not share.units and not share.accessory)
    try:
        if run.calculated_a is not None:
            calculated = sheet.line("calculated_a", read(run, "calculated_a", "load as given"))
        elif of_dwelling:
            calculated, rating, found = _of_dwelling(sheet, house, run, share.units, neutral is None)
            neutral = neutral if neutral is not None else found
        elif nameplate is not None:
            calculated = sheet.line(
                "calculated_a",
                read(nameplate, "mca_a", f"minimum circuit of {nameplate.name}"),
                cites=[house.code.cite("nameplate_circuit")],
            )
        elif motor is not None:
            calculated = sheet.line("calculated_a", _of_circuit(motor, "load_a"))
        else:
            calculated = _hanging(sheet, house, run, fed)
    except Missing as missing:
        most = house.told(stated_breaker, run, as_service)
        if (
            most is None
            or run.motor_or_hvac
            or any(load.kind in _driven(house.code) for load in fed if run.role == "branch")
        ):
            raise  # the breaker of a motor says nothing about its load
        sheet.remark("note_load_by_breaker", why=missing.reason.rstrip("."))
        calculated, by_breaker = sheet.line("calculated_a", most), True
    if motor is not None and _has(motor, "compressor_a"):
        design = sheet.line("design_a", _of_circuit(motor, "design_a"))
    elif motor is not None:
        design = sheet.line("design_a", calculated * house.code["motor_share"])
    elif by_breaker:
        design = calculated
    else:
        design = calculated if apart else _design(sheet, house, run, calculated, of_dwelling)
    return RunLoad(
        calculated=calculated,
        design=design,
        neutral=neutral,
        whole=share.holds,
        apart=apart,
        receptacles=house.told(_receptacles, run),
        sized_by=house.code.cite(_sized_by(motor) or f"continuous_{run.role}"),
        most_breaker=_most_breaker(sheet, house.code, nameplate, motor),
        most_by=(house.code.cite(_limited_by(motor)),),
        dwelling_rating=rating,
        as_service=as_service,
        by_breaker=by_breaker,
    )


def hanging_load(sheet: Sheet, house: House, run: Run) -> Value:
    """Print the current of what the tree hangs on a run, whatever the run itself says; what isn't told is said."""
    share = house.told(whole_dwelling, run)
    if (share.holds and not share.accessory) or house.told(_only_service, run):
        return _of_dwelling(sheet, house, run, share.units, False)[0]
    if all(panel.name != run.feeds for panel in house.job.panels):
        raise Missing(f"{run.name} feeds no panel of the job.", at=place(run, "feeds"))
    if not house.told(anything, run):
        raise _no_load(run)
    return panel_load(sheet, house, run)


def stated_breaker(job: Job, run: Run, as_service: bool) -> Value | None:
    """The breaker ahead of the run as the job has it: on the run, on the circuit that it feeds, or as the service's main.

    ``as_service``: the run is rated like the service.
    """
    if run.breaker_a is not None:
        return read(run, "breaker_a", "breaker as given")
    circuit = next((c for c in job.circuits if c.name == run.feeds and c.breaker_a is not None), None)
    if circuit is not None:
        return read(circuit, "breaker_a", f"breaker of {circuit.name}")
    service = job.service
    if not as_service or service is None or not (service.main_a or service.rating_a):
        return None
    field = "main_a" if service.main_a else "rating_a"
    return read(service, field, "main breaker" if service.main_a else "service rating")


def _equipment(house: House, run: Run, fed: Sequence[Load]) -> Sheet | None:
    """The head of the circuit's own sheet, where a branch circuit feeds one motor or compressor that goes by its current."""
    if run.role != "branch" or run.phases != 1 or run.calculated_a is not None or len(fed) != 1:
        return None
    (load,) = fed
    cools = house.code.members("cooling_kinds") | house.code.members("heating_and_cooling_kinds")
    compressor = load.kind in cools and load.motor_a is not None
    if load.mca_a is not None or not (compressor or load.kind in house.code.members("motor_circuit_kinds")):
        return None
    if not compressor and load.motor_hp is None and load.kind not in _driven(house.code):
        return None
    worked = worked_load(house, run)
    return worked if _has(worked, "motor_limit_a") or _has(worked, "compressor_a") else None


def _has(worked: Sheet, key: str) -> bool:
    return any(line.key == key for line in worked.lines)


def _driven(code: Codebook) -> frozenset[str]:
    """Kinds that are motors whatever their nameplate says. A fan is a load like others unless it states horsepower."""
    return code.members("motor_kinds") - {"fan"}


def _sized_by(equipment: Sheet | None) -> str:
    """The rule of the conductors of equipment that goes by its own current; '' where there is none."""
    return "" if equipment is None else "compressor_share" if _has(equipment, "compressor_a") else "motor_share"


def _limited_by(equipment: Sheet | None) -> str:
    """The rule of the largest breaker of equipment."""
    if equipment is None:
        return "nameplate_circuit"
    return "compressor_breaker" if _has(equipment, "compressor_a") else "motor_breaker"


def _of_circuit(worked: Sheet, key: str) -> Value:
    return carried(worked.value(key), f"{worked.title}, {worked.subject}", worked.number_of(key))


def _most_breaker(sheet: Sheet, code: Codebook, nameplate: Load | None, motor: Sheet | None) -> Value | None:
    """The largest breaker of equipment that has one: never rounded up further."""
    if motor is not None:
        return sheet.line("breaker_most_a", _of_circuit(motor, "breaker_most_a"), cites=[code.cite(_limited_by(motor))])
    if nameplate is None or nameplate.mocp_a is None:
        return None
    return read(nameplate, "mocp_a", f"maximum breaker of {nameplate.name}")


def _design(sheet: Sheet, house: House, run: Run, calculated: Value, whole: bool) -> Value:
    """The load with its continuous part at 125 %. The demand of a whole dwelling has no continuous part of its own."""
    rule = house.code[f"continuous_{run.role}"]
    fed = [
        load
        for load in house.told(fed_loads, run)
        if load.serves == "house" or not house.told(groups_below, str(run.feeds))
    ]
    continuous: Value | None
    if run.continuous_a > 0:
        continuous = read(run, "continuous_a", "continuous load")
        if run.continuous_a > calculated.number:
            raise Refused(f"The continuous load of {run.name} is larger than its whole load: one of the two is wrong.")
    elif run.calculated_a is None and not whole:
        continuous = _continuous(sheet, house.code, run, fed, calculated)
    else:
        continuous = None
    if continuous is None:
        sized = calculated
    elif continuous.number == calculated.number:
        sized = continuous * rule
    else:
        sized = sheet.line("noncontinuous_a", calculated - continuous) + continuous * rule
    quarter = _motor_quarter(house, run, fed) if run.calculated_a is None else None
    cites = [house.code.cite(f"continuous_{run.role}")]
    return sheet.line("design_a", sized if quarter is None else sized + quarter, cites=cites)


def _motor_quarter(house: House, run: Run, fed: Sequence[Load]) -> Value | None:
    """What the circuit's own sheet adds for a motor that shares it with other loads; None where it adds nothing."""
    if run.role != "branch" or len(fed) < 2:
        return None
    worked = worked_load(house, run)
    key = next((line.key for line in worked.lines if line.key.startswith("motor_quarter_a")), None)
    return None if key is None else _of_circuit(worked, key)


def _continuous(sheet: Sheet, code: Codebook, run: Run, fed: Sequence[Load], calculated: Value) -> Value | None:
    """Current of the loads that are continuous, or that their own rules size so on this kind of run."""
    of_run = ["continuous_vehicle"] + (["continuous_water_heater", "continuous_heat"] if run.role == "branch" else [])
    rules = {kind: rule for rule in of_run for kind in code.members(rule)}
    heats = any(rules.get(load.kind) == "continuous_heat" and not load.fuel_burning for load in fed)
    lasting = [load for load in fed if load.continuous or load.kind in rules or (heats and load.kind == "fan")]
    lasting = [load for load in lasting if load.continuous or not load.fuel_burning]
    if not lasting:
        return None
    cites = [code.cite(rules[load.kind]) for load in lasting if load.kind in rules]
    lasts = _amperes(lasting, run)
    if (lasts > calculated).holds:  # a demand factor took more off than all the rest
        lasts = smaller(lasts, calculated)
    return sheet.line("continuous_a", lasts, cites=list(dict.fromkeys(cites)))


def _only_service(job: Job, run: Run) -> bool:
    """Whether a run carries all of a building with several dwellings."""
    several = job.dwelling is not None and bool(job.dwelling.units)
    return several and run.role == "service" and len(service_runs(job)) == 1


def _of_dwelling(
    shown: Sheet, house: House, run: Run, units: str, with_neutral: bool
) -> tuple[Value, Value | None, Value | None]:
    """Current, rating and neutral current of the house or building, or of one of its units, from its own sheet."""
    if missing := dwelling_load.needs(house.job):
        raise Missing(
            f"The load is not given and the dwelling load can't be worked: the job needs {missing[0]}.",
            at="dwelling.floor_area_ft2",
        )
    subject = f"{house.job.job.name}, {units}"
    worked = [sheet for sheet in dwelling_load.work(house) if not units or sheet.subject == subject]
    method = house.job.service.load_method if house.job.service and not units else "standard"

    def line(*keys: str) -> Value | None:
        found = ((sheet, key) for key in keys for sheet in worked if any(each.key == key for each in sheet.lines))
        return next((carried(sheet.value(key), sheet.title, sheet.number_of(key)) for sheet, key in found), None)

    of_unit = ["unit_feeder"] if units and run.phases == 1 else []  # the optional method of one dwelling: three wires
    amperes = line(*(f"{key}_a" for key in of_unit), f"{method}_whole_a", f"{method}_a")
    if amperes is None:
        both = [
            line
            for sheet in worked
            for line in sheet.lines
            if line.key.startswith(method) and line.key.endswith("_whole_a")
        ]
        if len(both) > 1:
            readings = " or ".join(f"{line.value.number:g} A" for line in both if isinstance(line.value, Value))
            raise Refused(
                f"The {method} method can be read in two ways here, and it is not settled which holds: {readings}. Give "
                "calculated_a by the reading that the office takes."
            )
        refused = next((sheet.refused for sheet in worked if sheet.refused), None)
        refused = refused or Refused(f"it is not worked by the {method} method")
        raise refused.under("The dwelling load gives no current for this run: ")
    neutral = line("neutral_a") if with_neutral else None
    return (
        shown.line("calculated_a", amperes),
        line(*(f"{key}_rating_a" for key in of_unit), "standard_standard_rating_a" if units else "service_rating_a"),
        shown.line("neutral_a", neutral) if neutral is not None else None,
    )


def _hanging(sheet: Sheet, house: House, run: Run, fed: Sequence[Load]) -> Value:
    """The current of what hangs on the run. Missing where the job doesn't tell all of it."""
    if run.role == "branch":
        return _of_branch(sheet, house, run, fed)
    if all(panel.name != run.feeds for panel in house.job.panels) or not house.told(anything, run):
        raise _no_load(run)
    lacking = [gap for gap in house.told(gaps, run) if not gap.may_be_nothing]
    if lacking:
        named = "; ".join(gap.entry for gap in lacking[:MOST_NAMED]) + ("; and more" if lacking[MOST_NAMED:] else "")
        raise Missing(
            f"The job doesn't tell all of the load that {run.name} supplies. Give {named}; or give the load of the run in "
            "amperes (calculated_a).",
            at=lacking[0].at,
        )
    return panel_load(sheet, house, run)


def _no_load(run: Run) -> Missing:
    return Missing(
        f"{run.name} has no load: give its load in amperes (calculated_a), or what it feeds with its loads.",
        at=place(run, "calculated_a"),
    )


def _of_branch(sheet: Sheet, house: House, run: Run, fed: Sequence[Load]) -> Value:
    """The sum of what a branch circuit feeds, in full; household cooking by its own demand."""
    if not fed:
        raise _no_load(run)
    if run.phases != 1:
        raise Missing(
            f"The load of a three-phase run is not added up here: give the load of {run.name} in amperes (calculated_a).",
            at=place(run, "calculated_a"),
        )
    if any(load.kind in COOKING and not load.fuel_burning for load in fed):
        return _cooking(sheet, house, run)
    _branch_can_be_added(house.code, fed)
    load = sheet.line("listed_va", total([c.va for c in counted(fed)]))
    return sheet.line("calculated_a", load / read(run, "volts", "voltage of the run"))


def _cooking(sheet: Sheet, house: House, run: Run) -> Value:
    """Household cooking has a demand of its own on a branch circuit: it is taken from the sheet of that circuit."""
    worked = worked_load(house, run)
    return sheet.line(
        "calculated_a",
        _of_circuit(worked, "load_va") / read(run, "volts", "voltage of the run"),
        cites=[house.code.cite("cooking_circuit")],
    )


def _branch_can_be_added(code: Codebook, fed: Sequence[Load]) -> None:
    driven = [load.name for load in fed if load.kind in _driven(code)]
    if driven:
        raise Missing(
            f"{', '.join(driven)} is motor-driven: give minimum circuit and maximum breaker of its nameplate "
            "(mca_a, mocp_a), or the run's load (calculated_a) with motor_or_hvac and its breaker (breaker_a).",
            at=place(next(load for load in fed if load.kind in _driven(code)), "mca_a"),
        )


def _amperes(loads: Sequence[Load], run: Run) -> Value:
    items: list[Counted] = counted(loads)
    return total(c.va for c in items) / read(run, "volts", "voltage of the run")


def _receptacles(job: Job, run: Run) -> bool | None:
    """Whether several receptacles for cords hang on the run; None where the job does not say."""
    if run.role != "branch" or run.motor_or_hvac:
        return False
    circuit = next((c for c in job.circuits if c.name == run.feeds), None)
    if circuit is None:
        return None if run.feeds is None else False
    if circuit.purpose in ("individual", "feeder") or circuit.single_receptacle:
        return False
    return circuit.purpose != "lighting" or "receptacles" in circuit.outlets
