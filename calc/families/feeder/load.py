"""The current of a run: as given, from the dwelling load, from what it feeds, or from an equipment nameplate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from calc.codebook import Codebook
from calc.families import dwelling_load
from calc.families.dwelling_load.standard import is_motor, largest_motor
from calc.families.feeder.tree import below, panel_of, service_runs, whole_dwelling
from calc.families.reading import Counted, counted, read
from calc.job import Circuit, Job, Load, Run, place
from calc.work import Citation, Refused, Sheet, Value, carried, given, larger, total

GENERAL = frozenset({"general", "lighting", "small-appliance", "laundry", "bathroom", "garage", "outdoor"})
COOKING = frozenset({"range", "cooktop", "wall-oven"})
COUNTED_CIRCUITS = ("small_appliance_circuit", "laundry_circuit")


@dataclass(frozen=True)
class RunLoad:
    """What a run has to carry.

    ``design`` is the current that conductors are sized for. ``neutral`` is None where nothing says how small it may be.
    ``apart`` is True where the equipment's own rules set the breaker apart from the conductors: air conditioning and
    motors; ``most_breaker`` is then the largest breaker, as far as the job tells, by the rule ``most_by``.
    ``receptacles`` is None where the job does not tell whether several receptacles hang on a branch circuit.
    ``dwelling_rating`` is the rating that the dwelling's own sheet gives; ``as_service`` whether the run is rated like
    the service.
    """

    calculated: Value
    design: Value
    neutral: Value | None
    whole: bool
    apart: bool
    receptacles: bool | None
    sized_by: Citation
    most_breaker: Value | None = None
    most_by: tuple[Citation, ...] = ()
    dwelling_rating: Value | None = None
    as_service: bool = False


def run_load(s: Sheet, job: Job, code: Codebook, run: Run) -> RunLoad:
    """Work the current of a run."""
    share = whole_dwelling(job, run)
    if run.role != "branch":
        s.find("whole_dwelling", share.why, by=[code.cite("dwelling_share")])
    neutral = s.line("neutral_a", read(run, "neutral_a", "neutral load")) if run.neutral_a is not None else None
    fed = _fed(job, run)
    nameplate = next((load for load in fed if load.mca_a is not None), None) if len(fed) == 1 else None
    motor = _motor(job, code, run, fed)
    apart = run.motor_or_hvac or nameplate is not None or motor is not None
    rating: Value | None = None
    of_dwelling = share.holds or _only_service(job, run)
    if run.calculated_a is not None:
        calculated = s.line("calculated_a", read(run, "calculated_a", "load as given"))
    elif of_dwelling:
        calculated, rating, found = _of_dwelling(s, job, code, share.units)
        neutral = neutral if neutral is not None else found
    elif nameplate is not None:
        calculated = s.line(
            "calculated_a",
            read(nameplate, "mca_a", f"minimum circuit of {nameplate.name}"),
            by=[code.cite("nameplate_circuit")],
        )
    elif motor is not None:
        calculated = s.line("calculated_a", _of_circuit(motor, "load_a"))
    else:
        calculated = _listed(s, job, code, run, fed)
    if motor is not None:
        design = s.line("design_a", calculated * code["motor_share"])
    else:
        design = calculated if apart else _design(s, code, run, calculated, fed, of_dwelling)
    return RunLoad(
        calculated=calculated,
        design=design,
        neutral=neutral,
        whole=share.holds,
        apart=apart,
        receptacles=_receptacles(job, run),
        sized_by=code.cite("motor_share" if motor is not None else f"continuous_{run.role}"),
        most_breaker=_most_breaker(s, code, nameplate, motor),
        most_by=(code.cite("motor_breaker" if motor is not None else "nameplate_circuit"),),
        dwelling_rating=rating,
        as_service=run.role == "service" or (share.holds and not share.units),
    )


def _motor(job: Job, code: Codebook, run: Run, fed: Sequence[Load]) -> Sheet | None:
    """The head of the circuit's own sheet, where a branch circuit feeds one motor that goes by its full-load current."""
    if run.role != "branch" or run.phases != 1 or run.calculated_a is not None or len(fed) != 1:
        return None
    (load,) = fed
    if load.mca_a is not None or load.kind not in code.members("motor_circuit_kinds"):
        return None
    if load.motor_hp is None and load.kind not in _driven(code):
        return None
    from calc.families.branch_circuits import worked_load  # builds on this family, so it can't be imported above

    worked = worked_load(job, code, run)
    return worked if any(line.key == "motor_limit_a" for line in worked.lines) else None


def _driven(code: Codebook) -> frozenset[str]:
    """Kinds that are motors whatever their nameplate says. A fan is a load like others unless it states horsepower."""
    return code.members("motor_kinds") - {"fan"}


def _of_circuit(worked: Sheet, key: str) -> Value:
    return carried(worked.value(key), f"{worked.title}, {worked.subject}", worked.number_of(key))


def _most_breaker(s: Sheet, code: Codebook, nameplate: Load | None, motor: Sheet | None) -> Value | None:
    """The largest breaker of equipment that has one: never rounded up further."""
    if motor is not None:
        return s.line("breaker_most_a", _of_circuit(motor, "breaker_most_a"), by=[code.cite("motor_breaker")])
    if nameplate is None or nameplate.mocp_a is None:
        return None
    return read(nameplate, "mocp_a", f"maximum breaker of {nameplate.name}")


def _design(s: Sheet, code: Codebook, run: Run, calculated: Value, fed: Sequence[Load], whole: bool) -> Value:
    """The load with its continuous part at 125 %. The demand of a whole dwelling has no continuous part of its own."""
    rule = code[f"continuous_{run.role}"]
    if run.continuous_a > 0:
        continuous = read(run, "continuous_a", "continuous load")
        if run.continuous_a > calculated.number:
            raise Refused(f"The continuous load of {run.name} is larger than its whole load: one of the two is wrong.")
    elif run.calculated_a is None and not whole and (found := _continuous(s, code, run, fed)) is not None:
        continuous = found
    else:
        return s.line("design_a", calculated, by=[code.cite(f"continuous_{run.role}")])
    if continuous.number == calculated.number:
        return s.line("design_a", continuous * rule)
    rest = s.line("noncontinuous_a", calculated - continuous)
    return s.line("design_a", rest + continuous * rule)


def _continuous(s: Sheet, code: Codebook, run: Run, fed: Sequence[Load]) -> Value | None:
    """Current of the loads that are continuous, or that their own rules size so on this kind of run."""
    of_run = ["continuous_vehicle"] + (["continuous_water_heater", "continuous_heat"] if run.role == "branch" else [])
    rules = {kind: rule for rule in of_run for kind in code.members(rule)}
    heats = any(rules.get(load.kind) == "continuous_heat" and not load.fuel_burning for load in fed)
    lasting = [load for load in fed if load.continuous or load.kind in rules or (heats and load.kind == "fan")]
    lasting = [load for load in lasting if load.continuous or not load.fuel_burning]
    if not lasting:
        return None
    cites = [code.cite(rules[load.kind]) for load in lasting if load.kind in rules]
    return s.line("continuous_a", _amperes(lasting, run), by=list(dict.fromkeys(cites)))


def _only_service(job: Job, run: Run) -> bool:
    """Whether a run carries all of a building with several dwellings."""
    several = job.dwelling is not None and bool(job.dwelling.units)
    return several and run.role == "service" and len(service_runs(job)) == 1


def _of_dwelling(s: Sheet, job: Job, code: Codebook, units: str) -> tuple[Value, Value | None, Value | None]:
    """Current, rating and neutral current of the house or building, or of one of its units, from its own sheet."""
    if missing := dwelling_load.needs(job):
        raise Refused(f"The load is not given and the dwelling load can't be worked: the job needs {missing[0]}.")
    subject = f"{job.job.name}, {units}"
    worked = [sheet for sheet in dwelling_load.work(job, code) if not units or sheet.subject == subject]
    method = job.service.load_method if job.service and not units else "standard"

    def line(*keys: str) -> Value | None:
        found = ((sheet, key) for key in keys for sheet in worked if any(each.key == key for each in sheet.lines))
        return next((carried(sheet.value(key), sheet.title, sheet.number_of(key)) for sheet, key in found), None)

    amperes = line(f"{method}_whole_a", f"{method}_a")
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
        why = refused.reason if refused else f"it is not worked by the {method} method"
        raise Refused(f"The dwelling load gives no current for this run: {why}", *(refused.cites if refused else ()))
    neutral = line("neutral_a")
    return (
        s.line("calculated_a", amperes),
        line(f"{method}_standard_rating_a") if units else line("service_rating_a"),
        s.line("neutral_a", neutral) if neutral is not None else None,
    )


def _fed(job: Job, run: Run) -> list[Load]:
    """The loads that the run feeds, as far as the job names them."""
    if run.feeds is None:
        return []
    if any(circuit.name == run.feeds for circuit in job.circuits):
        return [load for load in job.loads_on(run.feeds) if load.status != "removed"]
    if any(load.name == run.feeds for load in job.loads):
        return [job.load(run.feeds)]
    inside = below(job, run.feeds)
    return [load for load in job.loads if panel_of(job, load) in inside and load.status != "removed"]


def _listed(s: Sheet, job: Job, code: Codebook, run: Run, fed: Sequence[Load]) -> Value:
    """The sum of what the run feeds, in full; refused where the job can't tell all of it."""
    if not fed and not any(c.load_va for c in _circuits(job, run)):
        raise Refused(
            f"{run.name} has no load: give its load in amperes (calculated_a), or what it feeds with its loads."
        )
    if run.phases != 1:
        raise Refused(
            f"The load of a three-phase run is not added up here: give the load of {run.name} in amperes (calculated_a)."
        )
    if run.role == "branch":
        if any(load.kind in COOKING and not load.fuel_burning for load in fed):
            return _cooking(s, job, code, run)
        _branch_can_be_added(code, fed)
        parts = [c.va for c in counted(fed)]
    else:
        parts = _of_feeder(s, job, code, run, fed)
    load = s.line("listed_va", total(parts))
    return s.line("calculated_a", load / read(run, "volts", "voltage of the run"))


def _of_feeder(s: Sheet, job: Job, code: Codebook, run: Run, fed: Sequence[Load]) -> list[Value]:
    """What a feeder to a part of the house adds up: loads, general circuits, a quarter of the largest motor.

    All in full: the demand factors speak of whole dwellings. Refused where a circuit does not say what it carries.
    """
    items = counted(fed)
    parts = [
        c.times(larger(c.each, code["dryer_least"])) if c.load.kind == "dryer" and not c.load.fuel_burning else c.va
        for c in items
    ]
    unknown = []
    for circuit in _circuits(job, run):
        if circuit.load_va is not None:
            parts.append(read(circuit, "load_va", f"load of {circuit.name}"))
        elif (rule := f"{circuit.purpose.replace('-', '_')}_circuit") in COUNTED_CIRCUITS:
            parts.append(given(f"circuit {circuit.name}", 1, "circuit", place(circuit, "purpose")) * code[rule])
        elif circuit.purpose in GENERAL:
            unknown.append(circuit.name)
    if unknown:
        raise Refused(
            f"{run.name} carries general circuits ({', '.join(unknown[:3])}) that don't say their load: give the "
            "load of each (load_va), which counts in full, or work it out and give that of the run (calculated_a)."
        )
    if motors := [c for c in items if is_motor(c, code)]:
        parts.append(largest_motor(s, code, motors)[1])
    return parts


def _cooking(s: Sheet, job: Job, code: Codebook, run: Run) -> Value:
    """Household cooking has a demand of its own on a branch circuit: it is taken from the sheet of that circuit."""
    from calc.families.branch_circuits import worked_load  # builds on this family, so it can't be imported above

    worked = worked_load(job, code, run)
    return s.line(
        "calculated_a",
        _of_circuit(worked, "load_va") / read(run, "volts", "voltage of the run"),
        by=[code.cite("cooking_circuit")],
    )


def _branch_can_be_added(code: Codebook, fed: Sequence[Load]) -> None:
    driven = [load.name for load in fed if load.kind in _driven(code)]
    if driven:
        raise Refused(
            f"{', '.join(driven)} is motor-driven: give minimum circuit and maximum breaker of its nameplate "
            "(mca_a, mocp_a), or the run's load (calculated_a) with motor_or_hvac and its breaker (breaker_a)."
        )


def _circuits(job: Job, run: Run) -> list[Circuit]:
    inside = below(job, run.feeds) if run.feeds else set()
    return [circuit for circuit in job.circuits if circuit.panel in inside and circuit.status != "removed"]


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
