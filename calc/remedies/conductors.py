"""Mends of runs: wires apart, larger conductors, another make, a smaller load, another breaker."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from calc.codebook import Codebook
from calc.job import SIZES, Circuit, Conductors, Job, Load, Run, made_cables, place
from calc.remedies.survey import Survey
from calc.remedies.ways import Kind, Way
from calc.wiring.house import House
from calc.wiring.way import way
from calc.wiring.wires import called
from calc.work import Sheet

WET = ("wet", "buried", "rooftop")
OUTDOORS = ("LFMC", "PVC-40")
RACEWAYS = ("EMT", "IMC", "RMC", "PVC-40", "PVC-80")
ADJUSTABLE = ("ev-supply", "space-heat", "supplemental-heat")
LARGER_TRIED = 6
RATINGS_TRIED = 6
STEP_VA = 100


def run_ways(found: Survey, run: Run) -> Iterator[Way]:
    """Everything that may mend a run, in the order of what is safe."""
    job = found.job
    yield from _apart(run)
    yield from _larger(job, run)
    yield from _other_make(found.house, run)
    yield from smaller_loads(loads_of(job, run))
    yield from smaller_breakers(found.house, run)
    yield from _larger_breakers(found.house, run)


def circuit_of(job: Job, run: Run) -> Circuit | None:
    """The circuit that a branch run belongs to."""
    names = {run.feeds, *(load.circuit for load in job.loads if load.name == run.feeds)}
    return next((circuit for circuit in job.circuits if circuit.name in names), None) if run.role == "branch" else None


def loads_of(job: Job, run: Run) -> list[Load]:
    """The loads that a branch run feeds, as far as they are named."""
    circuit = circuit_of(job, run)
    names = {circuit.name} if circuit else set()
    return [
        load for load in job.loads if load.status != "removed" and (load.name == run.feeds or load.circuit in names)
    ]


def _apart(run: Run) -> Iterator[Way]:
    """Fewer cables through one hole; the most that still do are the smallest change."""
    for together in range(run.cables_bundled - 1, 0, -1):
        text = (
            f"bore more holes: at most {together} of the {run.cables_bundled} cables through one"
            if together > 1
            else f"bore a hole for each of the {run.cables_bundled} cables"
        )
        yield Way(Kind.MOVE, text, {place(run, "cables_bundled"): together})


def _larger(job: Job, run: Run) -> Iterator[Way]:
    """The next larger conductors of the same make: of those cables that are made, or size by size."""
    if run.cable is not None and run.cable.cable:
        for cable in larger_cables(run.cable)[:LARGER_TRIED]:
            text = f"{written(cable)} instead of {run.cable.text}"
            grounded = (
                {place(run, "equipment_ground"): "wire"} if run.equipment_ground == "none" and cable.ground else {}
            )
            yield Way(
                Kind.CONDUCTOR, text, {place(run, "cable"): written(cable), **grounded, **beside(job, run, cable)}
            )
    elif run.given_size:
        for size in SIZES[SIZES.index(run.given_size) + 1 :][:LARGER_TRIED]:
            changes: dict[str, Any] = {place(run, "size"): size}
            if run.cable is not None:
                changes |= {
                    place(run, "cable"): None,
                    place(run, "material"): run.metal,
                    place(run, "insulation"): run.cable.kind,
                }
            text = f"{called(size)} instead of {called(run.given_size)}"
            yield Way(Kind.CONDUCTOR, text, changes | {place(run, "ground_size"): None} if run.ground_size else changes)
    if run.ground_size:
        for size in SIZES[SIZES.index(run.ground_size) + 1 :][:LARGER_TRIED]:
            yield Way(
                Kind.CONDUCTOR, f"an equipment grounding conductor of {called(size)}", {place(run, "ground_size"): size}
            )
    if run.neutral_size:
        for size in SIZES[SIZES.index(run.neutral_size) + 1 :][:LARGER_TRIED]:
            yield Way(Kind.CONDUCTOR, f"a neutral of {called(size)}", {place(run, "neutral_size"): size})


def larger_cables(cable: Conductors) -> list[Conductors]:
    """Cables that are made of the same type and metal, larger or with a ground more, with no fewer wires."""
    own = (SIZES.index(cable.size), len(cable.wires), len(cable.ground))
    fits = [
        other for other in made_cables()
        if (other.kind == cable.kind or (cable.kind == "SEU" and other.kind == "SER")) and other.material == cable.material
        and len(other.wires) >= own[1] and len(other.ground) >= own[2] and SIZES.index(other.size) >= own[0]
        and (SIZES.index(other.size) > own[0] or len(other.ground) > own[2])
    ]  # fmt: skip
    return sorted(fits, key=lambda other: (SIZES.index(other.size), len(other.wires)))


def written(cable: Conductors) -> str:
    """A made cable as a job file says it."""
    return f"{cable.text} {cable.kind}" + (" Al" if cable.material == "aluminum" else "")


def beside(job: Job, run: Run, cable: Conductors) -> dict[str, Any]:
    """The same cable in the circuit's own entry and in its boxes, which then hold more."""
    circuit = circuit_of(job, run)
    if circuit is None or run.cable is None:
        return {}
    changes: dict[str, Any] = {}
    if circuit.cable is not None and circuit.cable.wires == run.cable.wires:
        changes[place(circuit, "cable")] = written(cable)
    for box in job.boxes:
        if box.circuit == circuit.name and any(one.wires == run.cable.wires for one in box.cables):
            changes[place(box, "cables")] = [
                f"{one.count} x {written(cable)}" if one.wires == run.cable.wires else one.text for one in box.cables
            ]
    return changes


def _other_make(house: House, run: Run) -> Iterator[Way]:
    """Another insulation for the place; single conductors in a raceway in place of a cable, as small as serves."""
    lies = way(house, run)
    wet = lies.location in WET or not lies.known
    insulation = "THWN-2" if wet else "THHN"
    if run.insulation and run.insulation != insulation:
        yield Way(Kind.MAKE, f"{insulation} instead of {run.insulation}", {place(run, "insulation"): insulation})
    if run.wiring_method in house.code.members("raceway_not_wet") | house.code.members("raceway_not_buried"):
        for other in OUTDOORS:
            yield Way(Kind.MAKE, f"{other} instead of {run.wiring_method}", {place(run, "wiring_method"): other})
    if run.cable is None:
        return
    if not run.cable.cable and run.cable.kind != insulation:
        other = run.cable.text.replace(run.cable.kind, insulation)
        yield Way(Kind.MAKE, f"{insulation} instead of {run.cable.kind}", {place(run, "cable"): other})
    if not run.cable.cable or run.role == "service":
        return
    raceway = run.wiring_method if run.wiring_method in RACEWAYS else "PVC-40" if wet else "EMT"
    circuit = circuit_of(house.job, run)
    for size in SIZES[SIZES.index(run.cable.size) :][:LARGER_TRIED]:
        changes: dict[str, Any] = {
            place(run, "cable"): None, place(run, "size"): size, place(run, "material"): run.cable.material,
            place(run, "insulation"): insulation, place(run, "wiring_method"): raceway, place(run, "equipment_ground"): "wire",
        }  # fmt: skip
        if circuit is not None and circuit.cable is not None:
            changes[place(circuit, "cable")] = None
        metal = "copper" if run.cable.material == "copper" else "aluminum"
        yield Way(Kind.MAKE, f"{called(size)} {metal} {insulation} in {raceway} instead of {run.cable.text}", changes)


def smaller_loads(loads: Sequence[Load]) -> Iterator[Way]:
    """A lower setting of new vehicle supply, ampere by ampere; less new electric heat, in steps of 100 VA."""
    for load in loads:
        if load.kind not in ADJUSTABLE or load.status != "new" or load.load_va is None:
            continue
        if load.kind == "ev-supply":
            for amperes in range(int(load.load_va / load.volts) - 1, 5, -1):
                changes: dict[str, Any] = {place(load, "load_va"): amperes * load.volts}
                if load.setting_a is not None:
                    changes[place(load, "setting_a")] = amperes
                text = f"{load.name} set to {amperes} A instead of {load.load_va / load.volts:g} A, and locked there"
                yield Way(Kind.LOAD, text, changes)
        else:
            for va in range(int(load.load_va) // STEP_VA * STEP_VA - STEP_VA, 0, -STEP_VA):
                yield Way(
                    Kind.LOAD,
                    f"{load.name} of {va:,} VA instead of {load.load_va:,.0f} VA",
                    {place(load, "load_va"): va},
                )


def smaller_breakers(house: House, run: Run) -> Iterator[Way]:
    """The next standard ratings below, in the run and in its circuit."""
    for text, changes in _breakers(house, run, larger=False):
        yield Way(Kind.SMALLER_BREAKER, text, changes)


def _larger_breakers(house: House, run: Run) -> Iterator[Way]:
    """The next standard ratings above, alone and with a larger conductor."""
    grown = list(_larger(house.job, run))
    for text, changes in _breakers(house, run, larger=True):
        yield Way(Kind.BREAKER_ASKED, text, changes)
        for wire in grown:
            yield Way(Kind.LARGER_BREAKER, f"{wire.text}, and with it {text}", {**wire.changes, **changes})


def _breakers(house: House, run: Run, *, larger: bool) -> Iterator[tuple[str, dict[str, Any]]]:
    circuit = circuit_of(house.job, run)
    now = run.breaker_a or (circuit.breaker_a if circuit else None)
    if now is None or run.role == "service":
        return
    for rating in ratings(house.code, now, larger=larger):
        changes: dict[str, Any] = {place(run, "breaker_a"): rating}
        if circuit is not None and circuit.breaker_a is not None:
            changes[place(circuit, "breaker_a")] = rating
        yield f"a breaker of {rating} A instead of {now} A", changes


def raceway_ways(job: Job, sheet: Sheet) -> Iterator[Way]:
    """The smallest trade size that holds what is in a raceway, as its sheet works it out."""
    smallest = str(sheet.results.get("smallest_trade_size", "none"))
    for each, field in (*((r, "trade_size") for r in job.raceways), *((r, "raceway_trade_size") for r in job.runs)):
        if getattr(each, "name", "") == sheet.subject and (now := getattr(each, field)) and smallest[:4] != "none":
            yield Way(Kind.PART, f"trade size {smallest} instead of {now}", {place(each, field): smallest})


def ratings(code: Codebook, now: int, *, larger: bool) -> list[int]:
    """The standard ratings next to one, nearest first."""
    listed = [int(float(row["rating_a"])) for row in code.rows("standard_ratings")]
    found = [r for r in listed if r > now] if larger else [r for r in reversed(listed) if r < now]
    return found[:RATINGS_TRIED]
