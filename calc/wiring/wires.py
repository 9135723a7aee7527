"""What a run is made of: cable or single conductors, their metal, and the sizes that can be had."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from calc.codebook import Codebook
from calc.job import SIZES, Conductors, Job, Run, made_cables, place
from calc.wiring.reading import read
from calc.work import Missing, Refused, Value, given

CABLES = ("NM", "UF", "MC", "AC", "SER", "SEU")
COPPER_ONLY = ("NM", "UF", "MC", "AC")


@dataclass(frozen=True)
class Wires:
    """The make of a run: ``cable`` is its type or '', ``insulation`` is that of single conductors or ''.

    ``marked_for`` is the worst place that the cable's marking is for, '' where nobody says.
    """

    cable: str
    insulation: str
    metal: str
    ground_metal: str
    ungrounded: int
    neutral: bool
    wye: bool
    given: Conductors | None
    marked_for: str = ""

    @property
    def circuit_conductors(self) -> int:
        """Ungrounded conductors and neutral."""
        return self.ungrounded + (1 if self.neutral else 0)

    @property
    def kind(self) -> str:
        """Cable type or insulation, as printed."""
        return self.cable or self.insulation

    @property
    def wiring(self) -> str:
        """What the counting table calls it."""
        if self.ungrounded == 3:
            return "three-phase and neutral" if self.neutral else "three-phase"
        if self.ungrounded == 1:
            return "two-wire"
        if not self.neutral:
            return "two legs"
        return "two legs and neutral of a wye" if self.wye else "two legs and neutral"


def wires(job: Job, run: Run) -> Wires:
    """The make of a run. Refused where the job does not say enough to look anything up."""
    said = run.cable
    cable = said.kind if said and said.cable else run.wiring_method if run.wiring_method in CABLES else ""
    insulation = "" if cable else run.insulation or (said.kind if said else "")
    if run.wiring_method == "overhead":
        raise Refused("Conductors in free air have an ampacity table of their own, which this sheet does not have.")
    if not cable and not insulation:
        raise Missing(
            f"{run.name} names no cable and no insulation: without it there is no column to look in.",
            at=place(run, "cable"),
        )
    if cable and run.insulation:
        raise Refused(f"{run.name} is {cable} cable, which has its own insulation: leave the insulation out.")
    metal = run.metal or ("copper" if cable in COPPER_ONLY else "")
    if not metal:
        raise Missing(f"{run.name} does not say its metal, copper or aluminum.", at=place(run, "material"))
    if said and said.count > 1:
        raise Refused(f"{run.name}: give one cable, and say in sets or cables_bundled how many there are.")
    ungrounded = 3 if run.phases == 3 else 1 if run.volts == 120 and not run.multiwire else 2
    return Wires(
        cable=cable or "",
        insulation=insulation,
        metal=metal,
        ground_metal=said.ground_material if said and said.ground_material else metal,
        ungrounded=ungrounded,
        neutral=has_neutral(job, run),
        wye=run.volts == 208 or (job.service is not None and job.service.system == "208Y/120"),
        given=said,
        marked_for=run.marked_for or "",
    )


def has_neutral(job: Job, run: Run) -> bool:
    """Whether the run has a neutral: as said, or as what it feeds needs."""
    if run.neutral is not None:
        return run.neutral
    if run.role != "branch" or run.volts == 120:
        return True
    fed = [load for load in job.loads if load.name == run.feeds or (run.feeds and load.circuit == run.feeds)]
    return any(load.uses_neutral for load in fed if load.status != "removed")


def made(run_wires: Wires) -> list[Conductors]:
    """The cables of this kind and metal with enough conductors, smallest first, fewest conductors of each size."""
    fits = [
        cable for cable in made_cables()
        if cable.kind == run_wires.cable
        and cable.material == run_wires.metal
        and len(cable.wires) >= run_wires.circuit_conductors
    ]  # fmt: skip
    fits.sort(key=lambda cable: (SIZES.index(cable.size), len(cable.wires), not cable.ground))
    first: dict[str, Conductors] = {}
    for cable in fits:
        first.setdefault(cable.size, cable)
    return list(first.values())


def sizes(code: Codebook, run_wires: Wires, sets: int) -> list[str]:
    """The sizes to try, smallest first: those of the ampacity table, or those that the cable is made in."""
    if run_wires.cable:
        found = [cable.size for cable in made(run_wires)]
        if not found:
            alike = [cable for cable in made_cables() if cable.kind == run_wires.cable]
            metals = " and ".join(dict.fromkeys(cable.material for cable in alike))
            raise Refused(
                f"No {run_wires.cable} of {run_wires.metal} with {run_wires.circuit_conductors} circuit conductors is "
                f"on the list of made cables: {run_wires.cable} is made of {metals}, with up to "
                f"{max(len(cable.wires) for cable in alike)} conductors besides the ground."
            )
    else:
        found = [cells["size"] for cells in code.rows("ampacity") if cells[f"{run_wires.metal}_75_a"]]
    if sets > 1:
        (least,) = code.members("parallel_least")
        found = [size for size in found if SIZES.index(size) >= SIZES.index(least)]
        if not found:
            raise Refused(f"{run_wires.kind} is not made as large as {called(least)}, the least in parallel.")
    return found


def smaller_and_larger(found: Sequence[str], size: str) -> tuple[str | None, list[str]]:
    """The next smaller of the sizes, and the larger ones."""
    at = found.index(size)
    return (found[at - 1] if at else None), list(found[at + 1 :])


def called(size: str) -> str:
    """'4/0' -> '4/0 AWG', '250' -> '250 kcmil'."""
    return f"{size} kcmil" if size.isdigit() and int(size) >= 250 else f"{size} AWG"


def sets_of(run: Run) -> Value:
    """The number of parallel sets, as a plain number."""
    return given("parallel sets", run.sets, "", read(run, "sets").at)
