"""The conductors of a branch circuit: as its run has them, or the cable as given or found, in ordinary surroundings."""

from __future__ import annotations

from dataclasses import dataclass

from calc.codebook import Codebook
from calc.families import feeder
from calc.families.circuit_load.breaker import OF_OUTLETS, Breaker
from calc.families.circuit_load.load import CircuitLoad
from calc.job import Run
from calc.wiring.ampacity import Rung
from calc.wiring.circuits import Branch
from calc.wiring.circuits import at as at_circuit
from calc.wiring.conditions import Conditions, conditions, fits_place, stands_wet, unknown_way
from calc.wiring.house import House
from calc.wiring.protection import Needed, Requirement, RunLoad, requirements
from calc.wiring.reading import blank_sheet, carry
from calc.wiring.way import Way as Lies
from calc.wiring.way import ends_outdoors, panel_outdoors
from calc.wiring.wires import Wires, called, made, sizes, wires
from calc.work import Missing, Sheet, Value

BY_BREAKER = ("breaker_protects", "small_conductor")
"""The requirements that a smaller breaker meets as well as a larger wire."""


@dataclass(frozen=True)
class Conductor:
    """The ungrounded conductors: size, ampacity, and what they have to satisfy."""

    size: str
    metal: str
    ampacity: Value
    tests: list[Requirement]
    smallest: str  # the smallest size that serves; empty where none does, or where a run has them

    @property
    def most_breaker_a(self) -> float:
        """The largest breaker that they allow; infinite where equipment sets the breaker apart."""
        return min((test.holds.right.number for test in self.tests if test.key in BY_BREAKER), default=float("inf"))


def conductor(sheet: Sheet, house: House, branch: Branch, load: CircuitLoad, rating: Breaker) -> Conductor:
    """Print size, ampacity and requirements of the circuit's conductors."""
    code = house.code
    needed = Needed(_as_run_load(branch, load), rating.rating)
    run = branch.run
    run_says = run is not None and (run.cable or run.size or run.wiring_method or run.insulation)
    found = (
        _of_run(sheet, house, branch, load, rating, run)
        if run is not None and run_says
        else _ordinary(sheet, house, branch, needed)
    )
    size, metal, ampacity, before, made_as, at, w = found
    done = requirements(sheet, code, needed, _rung(metal, size, ampacity, before), at)
    sheet.find("conductor", f"{called(size)} {metal}, {made_as}", cites=at.limit_cites)
    return Conductor(size, metal, ampacity, done, "" if run_says else _smallest(code, needed, at, w))


Found = tuple[str, str, Value, Value, str, Conditions, Wires]
"""Size, metal, ampacity, ampacity before correction, what it is made as, conditions, make."""


def _of_run(sheet: Sheet, house: House, branch: Branch, load: CircuitLoad, rating: Breaker, run: Run) -> Found:
    """Size and ampacity from the sheet of the circuit's run, where heat, bundles and terminals are worked."""
    worked = feeder.run_sheet(house, run)
    if worked.refused is not None:  # most often because it states no load: that of this circuit is known
        run = run.model_copy(update={"calculated_a": load.design.number, "breaker_a": int(rating.rating.number)})
        worked = feeder.run_sheet(house, run)
    if worked.refused is not None:
        raise worked.refused.under(f"{branch.name}: its conductors are {run.name}, whose sheet is not worked: ")
    w = house.told(wires, run)
    unseen = _unseen(house.code)
    at = conditions(unseen, house, run, w, rating.rating)
    for open_to in unseen.unknowns:  # what nobody knows of the run is not known of its circuit either
        sheet.unknown(open_to.key, open_to.missing, open_to.at, cites=open_to.cites)
    ampacity = sheet.line("ampacity_a", carry(worked, "ampacity_a", f"ampacity of {run.name}"))
    before = sheet.line(
        "uncorrected_a", carry(worked, "uncorrected_a" if run.sets > 1 else "limit_a", f"limit of {run.name}")
    )
    size = worked["size"].split()[0]
    return size, w.metal, ampacity, before, f"{w.kind}, run {run.name}", at, w


def _ordinary(sheet: Sheet, house: House, branch: Branch, needed: Needed) -> Found:
    """The cable as given, or the smallest usual one that serves, in a dry place at ordinary temperature."""
    code = house.code
    said = branch.circuit.cable
    run = Run(
        name=branch.name, role="branch", fed_from=branch.panel or "panel", volts=240 if branch.circuit.poles == 2 else 120, cable=said.text if said else None,  # type: ignore[arg-type]  # read by the field's own reader
        wiring_method=None if said else "NM", neutral=any(c.load.uses_neutral for c in branch.loads) or branch.circuit.poles == 1,
    )  # fmt: skip
    w = house.told(wires, run)
    at = conditions(_unseen(code), house, run, w, needed.breaker)
    if said is None:
        sheet.remark("note_cable_worked_out")
    sheet.caution("caution_ordinary")
    fits_place(sheet, code, run, w, run.location)
    ends = list(ends_outdoors(house, branch.name)) if house.told(panel_outdoors, branch.panel) else []
    if ends and not stands_wet(code, w):  # nobody says of a circuit without a run that it goes through the house
        unknown_way(sheet, code, run, w, Lies("dry", False, " and ".join([str(branch.panel), *ends])), "runs")
    size = said.size if said else _smallest(code, needed, at, w)
    if not size:
        raise Missing(
            f"{branch.name}: no {w.kind} cable serves {needed.load.design.number:,.4g} A behind {needed.breaker.number:g} A: "
            "describe its conductors as a run.",
            code.cite("ampacity"),
            at=at_circuit(branch, "cable"),
        )
    made_as = said.text if said else next(f"{cable.text} {w.kind}" for cable in made(w) if cable.size == size)
    ampacity = _ampacity(sheet, code, w.metal, size, at)
    return size, w.metal, ampacity, ampacity, made_as, at, w


def _ampacity(sheet: Sheet, code: Codebook, metal: str, size: str, at: Conditions) -> Value:
    """Ampacity by the column that cable or terminals keep to; nothing else lowers it here."""
    cell = code.row("ampacity", size=size)[f"{metal}_{at.limit_c.number:.0f}_a"]
    return sheet.line("ampacity_a", cell, cites=at.limit_cites)


def _smallest(code: Codebook, needed: Needed, at: Conditions, wires: Wires) -> str:
    """The smallest size to be had that satisfies everything, in ordinary surroundings; '' where none does."""
    for size in sizes(code, wires, 1):
        unseen = blank_sheet("branch-circuits", "", "", code)
        ampacity = _ampacity(unseen, code, wires.metal, size, at)
        if all(
            test.holds.holds
            for test in requirements(unseen, code, needed, _rung(wires.metal, size, ampacity, ampacity), at)
        ):
            return size
    return ""


def _rung(metal: str, size: str, ampacity: Value, before: Value) -> Rung:
    return Rung(metal, size, ampacity, ampacity, ampacity, ampacity, ampacity, before)


def _as_run_load(branch: Branch, load: CircuitLoad) -> RunLoad:
    """The load as the rules of conductors ask for it: by the design current, and whether cords hang on several outlets."""
    several = (
        branch.has_receptacles
        and not branch.circuit.single_receptacle
        and (branch.circuit.purpose in OF_OUTLETS or branch.shared or branch.circuit.single_receptacle is False)
    )
    return RunLoad(
        calculated=load.amperes,
        design=load.design,
        neutral=None,
        whole=False,
        apart=load.apart,
        receptacles=several,
        sized_by=load.cites[0],
    )


def _unseen(code: Codebook) -> Sheet:
    """A sheet of the family that owns these lines, which nobody sees."""
    return blank_sheet("feeder", "", "", code)
