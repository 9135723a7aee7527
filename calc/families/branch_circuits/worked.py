"""All branch circuits of a job worked in order: loads first, then legs, then what the panel and the house need."""

from __future__ import annotations

from dataclasses import dataclass, field

from calc.codebook import Codebook
from calc.families.branch_circuits.conductors import BY_BREAKER, Conductor, conductor
from calc.families.branch_circuits.heating import divided_heat
from calc.families.branch_circuits.multiwire import Half, multiwire, pairs
from calc.families.branch_circuits.panel import PanelWork, panel_sheet, panel_work
from calc.families.branch_circuits.protection import protection
from calc.families.branch_circuits.receptacles import other_cables, receptacle_ratings
from calc.families.branch_circuits.replaced import replaced, replaced_in
from calc.families.branch_circuits.required import Missing, equipment, required, surge
from calc.families.branch_circuits.sharing import sharing
from calc.families.branch_circuits.tenants import own_unit_only
from calc.families.branch_circuits.wires_there import wires_there
from calc.families.circuit_load import FAMILY
from calc.families.circuit_load.breaker import OF_OUTLETS, Breaker, breaker
from calc.families.circuit_load.load import circuit_load
from calc.wiring.circuits import Branch, at, branches, unplaced
from calc.wiring.house import House, filled, remembered
from calc.wiring.protection import Requirement
from calc.wiring.tree import live_panels
from calc.work import Sheet


@dataclass
class Circuits:
    """The circuits of a job with their sheets, the panels, and the sheet of the house."""

    branches: tuple[Branch, ...]
    by_name: dict[str, Sheet]
    panels: list[tuple[PanelWork, Sheet]] = field(default_factory=list)
    shared: list[Sheet] = field(default_factory=list)
    whole: Sheet | None = None
    replaced: Sheet | None = None

    @property
    def sheets(self) -> list[Sheet]:
        """Panels first, then the house, multiwire circuits and each circuit."""
        whole = [s for s in (self.whole, self.replaced) if s is not None]
        return [*(s for _, s in self.panels), *whole, *self.shared, *self.by_name.values()]


@remembered
def all_circuits(house: House) -> Circuits:
    """Work every circuit, panel and multiwire pair of the job."""
    found = branches(house)
    alone = {b.name: _circuit(house, b) for b in found}
    works = [panel_work(house.job, panel, found, alone) for panel in house.told(live_panels)]
    legs = {name: where for work in works for name, where in work.layout.legs.items()}
    spaces = {name: where for work in works for name, where in work.layout.spaces.items()}
    circuits = Circuits(found, {b.name: _placed(house, b, legs.get(b.name, ()), spaces.get(b.name, ())) for b in found})
    circuits.whole, missing = _whole(house, circuits)
    for work in works:
        if work.breakers:
            circuits.panels.append((work, _panel(house, work, missing)))
    if any(replaced_in(house.job)):
        circuits.replaced = filled(house, FAMILY, "Replaced receptacles", house.job.job.name, replaced)
    for one, two in pairs(found):
        s = house.sheet(FAMILY, "Multiwire circuit", f"{one.name} and {two.name}")
        first, second = (
            Half(b, circuits.by_name[b.name], legs.get(b.name, ()), spaces.get(b.name, ())) for b in (one, two)
        )
        refused = next((half.sheet.refused for half in (first, second) if half.sheet.refused), None)
        if refused is not None:
            s.refused = refused.under("the shared neutral needs both halves: ")
        else:
            multiwire(
                s, house.code, first, second, house.job.service is not None and house.job.service.system == "208Y/120"
            )
        s.caution("caution_who_decides")
        circuits.shared.append(s)
    return circuits


def circuit_sheet(house: House, name: str) -> Sheet | None:
    """The sheet of one circuit before it is placed in its panel: all but its legs and spaces. None where there is none."""
    branch = _named(house, name)
    return _circuit(house, branch) if branch is not None else None


@remembered
def _named(house: House, name: str) -> Branch | None:
    return next((branch for branch in branches(house) if branch.name == name), None)


@remembered
def _circuit(house: House, branch: Branch) -> Sheet:
    code = house.code
    s = house.sheet(FAMILY, "Branch circuit", branch.name)
    with s.up_to_a_refusal():
        for c in branch.loads:
            if c.load.circuit is None and not branch.planned:
                s.remark("note_linked_by_name", load=c.load.name)
        load = circuit_load(s, house, branch)
        rating = breaker(s, code, branch, load)
        divided_heat(s, code, branch, load, rating.rating)
        wire = conductor(s, house, branch, load, rating) if _described(branch) else None
        _breaker_checks(s, code, branch, rating, wire)
        if wire is None:
            s.find("conductor", "not stated")
            s.unknown("breaker_protects", "the cable of this existing circuit (cable)", at(branch, "cable"))
        else:
            for test in _telling(wire.tests):
                s.check(test.key, test.holds, remedy=_larger_wire(branch, rating, wire), cites=test.cites)
            other_cables(s, code, branch, load, rating.rating, wire)
            wires_there(s, code, branch)
        receptacle_ratings(s, code, branch, load, rating.rating)
        sharing(s, house, branch, load, rating.rating)
        own_unit_only(s, house, branch)
        protection(s, house, branch, rating.rating)
    s.caution("caution_who_decides")
    if branch.planned:
        s.caution("caution_planned", load=branch.loads[0].load.name)
    return s


def _described(branch: Branch) -> bool:
    """Whether its conductors are new, or stated: what is in an old wall is not to be guessed."""
    return branch.circuit.status == "new" or branch.circuit.cable is not None or branch.run is not None


def _breaker_checks(sheet: Sheet, code: Codebook, branch: Branch, rating: Breaker, wire: Conductor | None) -> None:
    """The breaker against its load and against the most that equipment or place allows."""
    sheet.check(
        "breaker_carries",
        rating.rating >= rating.least,
        cites=rating.least_by,
        remedy=_larger_breaker(code, branch, rating, wire),
    )
    if rating.most is not None:
        sheet.check("breaker_allowed", rating.rating <= rating.most, cites=rating.most_by,
                remedy=f"a breaker of {rating.most.number:g} A" + ("" if (rating.most >= rating.least).holds else
                     ", and less load on it"))  # fmt: skip
    ratings = [float(row["rating_a"]) for row in code.rows("circuit_ratings")]
    if branch.circuit.purpose in OF_OUTLETS and rating.rating.number not in ratings:
        listed = sheet.line("circuit_rating_a", code.at_least("circuit_ratings", rating.rating))
        sheet.check("circuit_rating_listed", rating.rating >= listed, remedy=_listed_remedy(code, rating))


def _listed_remedy(code: Codebook, rating: Breaker) -> str:
    lower = [
        float(row["rating_a"]) for row in code.rows("circuit_ratings") if float(row["rating_a"]) < rating.rating.number
    ]
    if lower and lower[-1] >= rating.least.number:
        return f"a breaker of {lower[-1]:g} A"
    return "move load to other circuits, or conductors and breaker of the next rating"


def _larger_breaker(code: Codebook, branch: Branch, rating: Breaker, wire: Conductor | None) -> str:
    """Move load, larger conductors, less load; a larger breaker alone only where wire, equipment and receptacle allow it."""
    standard = sorted(float(row["rating_a"]) for row in code.rows("standard_ratings"))
    next_up = next((a for a in standard if a >= round(rating.least.number, 9)), None)
    most = min(
        wire.most_breaker_a if wire is not None else 0.0,
        rating.most.number if rating.most is not None else float("inf"),
    )
    if branch.circuit.receptacle_a is not None and not branch.circuit.single_receptacle:
        most = min(most, float(branch.circuit.receptacle_a))
    if next_up is not None and next_up <= most:
        return f"a breaker of {next_up:g} A, which conductors, equipment and receptacles allow"
    if next_up is not None and (rating.most is None or next_up <= rating.most.number):
        move = "move load to another circuit, " if branch.shared else ""
        return f"{move}larger conductors with a breaker of {next_up:g} A where equipment and receptacles allow it, or less load"
    return "move load to another circuit, or less load"


def _larger_wire(branch: Branch, rating: Breaker, wire: Conductor) -> str:
    if branch.circuit.purpose in OF_OUTLETS and rating.most is not None and (rating.least > rating.most).holds:
        return "move load to another circuit, or less load"
    move = "move load to another circuit, or " if branch.shared and not branch.cooking else ""
    carried = all(test.holds.holds for test in wire.tests if test.key not in BY_BREAKER)
    fits = carried and rating.least.number <= wire.most_breaker_a < float("inf")
    smaller = f"a breaker of {wire.most_breaker_a:g} A at most" if fits else "less load and a smaller breaker"
    if wire.smallest and wire.smallest != wire.size:
        return f"{move}{wire.smallest} AWG {wire.metal}, the smallest that serves; or {smaller}"
    run = f" (see the sheet of {branch.run.name})" if branch.run else ""
    return f"{move}larger conductors{run}, or {smaller}"


@remembered
def _placed(house: House, branch: Branch, legs: tuple[int, ...], spaces: tuple[int, ...]) -> Sheet:
    """The sheet of a circuit with the legs that it stands on, and the spaces chosen where the job names none."""
    s = _circuit(house, branch).copied()
    s.find("legs", " and ".join(map(str, sorted(legs))) or "not placed: the job names no panel for it")
    if spaces and not branch.circuit.positions:
        s.find("spaces", ", ".join(map(str, spaces)))
    return s


def _panel(house: House, work: PanelWork, missing: Missing) -> Sheet:
    s = house.sheet(FAMILY, "Panel legs and spaces", work.panel.name)
    with s.up_to_a_refusal():
        panel_sheet(s, house, work)
        if any(b.circuit is not None and b.circuit.purpose in OF_OUTLETS for b in work.breakers):
            s.find("missing", str(missing), cites=[house.code.cite("required_rating")])
    s.caution("caution_who_decides")
    return s


def _whole(house: House, circuits: Circuits) -> tuple[Sheet | None, Missing]:
    """The sheet of the house: required circuits, equipment outlets, surge; and loads that no circuit names."""
    s = house.sheet(FAMILY, "Required circuits", house.job.job.name)
    ratings = {name: each.value("breaker_a").number for name, each in circuits.by_name.items()
               if any(line.key == "breaker_a" for line in each.lines)}  # fmt: skip
    missing = Missing()
    with s.up_to_a_refusal():
        missing = required(s, house, circuits.branches, ratings)
        equipment(s, house)
        surge(s, house)
    if loose := unplaced(house.job, circuits.branches):
        s.caution("caution_loads_without_circuit", loads=", ".join(load.name for load in loose))
    s.caution("caution_who_decides")
    empty = not s.lines and not s.checks and s.refused is None
    return (None if empty else s), missing


def _telling(found: list[Requirement]) -> list[Requirement]:
    """The requirements, the two about current once where they have the same numbers."""
    current = [test for test in found if test.key in ("carries_continuous", "carries_load")]
    alike = len({(test.holds.left.number, test.holds.right.number) for test in current}) == 1
    return [test for test in found if not (alike and test in current[1:])]
