"""The panels of a house, one row each: ratings against what may flow there, connected load beside demand, spaces."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from calc.documents.house import amounts
from calc.documents.house.found import Found, carries_the_dwelling, number, of_the_dwelling, sheet_name, state, why
from calc.documents.house.made_of import NOT_STATED
from calc.families.branch_circuits.beside import Beside, beside
from calc.families.branch_circuits.panel import Breaker, PanelWork
from calc.families.branch_circuits.worked import Circuits, all_circuits
from calc.job import Load, Panel, Run
from calc.verdict.standing import Standing
from calc.wiring.circuits import Branch, branches, unplaced
from calc.wiring.house import House
from calc.wiring.reading import counted
from calc.wiring.tree import below, feeding, live_panels, live_runs, panel_of
from calc.work import Sheet
from calc.work.keys import item_of, stem_of
from calc.work.table import Table, weighed

OUTSIDE = "outside scope"
SURGE = {"none": "none", "type-1": "type 1", "type-2": "type 2"}


@dataclass(frozen=True)
class Connected:
    """Connected load without any demand factor, VA: nameplates in full, and what outlets count by area or circuit."""

    nameplate_va: float = 0.0
    outlets_va: float = 0.0

    @property
    def va(self) -> float:
        """Both together."""
        return self.nameplate_va + self.outlets_va

    def __add__(self, other: Connected) -> Connected:
        """Two of them together."""
        return Connected(self.nameplate_va + other.nameplate_va, self.outlets_va + other.outlets_va)


@dataclass(frozen=True)
class PanelPage:
    """A panel in scope with what the sheets say of it."""

    house: House
    found: Found
    panel: Panel

    @cached_property
    def circuits(self) -> Circuits:
        """All circuits of the house."""
        return all_circuits(self.house)

    @cached_property
    def work(self) -> PanelWork | None:
        """Its breakers and where they stand; None where the job names none."""
        return next((work for work, _ in self.circuits.panels if work.panel.name == self.panel.name), None)

    @property
    def legs_refused(self) -> str:
        """Why its legs are not worked; '' where they are."""
        refused = next((s.refused for work, s in self.circuits.panels if work.panel.name == self.panel.name), None)
        return refused.reason if refused is not None else ""

    @property
    def sheets(self) -> tuple[Sheet | None, ...]:
        """The sheets in scope about it."""
        of, name = self.found.of, self.panel.name
        return (
            of("panels", "Panel ratings", name),
            of("branch-circuits", "Panel legs and spaces", name),
            of("rough-in", "Panel", name),
        )

    @cached_property
    def fault(self) -> Sheet | None:
        """The sheet that says what may flow here."""
        for sheet in self.found.sheets.get("fault-current", ()):
            keys = [check.key for check in sheet.checks] + [unknown.key for unknown in sheet.unknowns]
            if any(
                stem_of(key) in ("interrupting_ok", "series_ok") and item_of(key) == self.panel.name for key in keys
            ):
                return sheet
        return None

    @property
    def available_a(self) -> float | None:
        """Available fault current, A; None where no sheet in scope works it."""
        return number(self.fault, "largest_fault_a")

    @cached_property
    def demand(self) -> Beside:
        """Connected load by nameplates alone, and demand with what it is; of a panel that is the service, the house's own."""
        both = beside(self.house, self.panel)
        run = self.house.told(feeding, self.panel.name)
        of_the_house = run is not None and carries_the_dwelling(self.house, run)
        if not of_the_house and not self._is_service:
            return both
        dwelling = of_the_dwelling(self.house, self.found)
        if dwelling is None:
            return both
        method, va, amperes = dwelling
        return Beside(both.connected_va, va, amperes, f"the load of the dwelling by the {method} method")

    @property
    def _is_service(self) -> bool:
        others = [p for p in self.house.told(live_panels) if p.service_equipment and p.name != self.panel.name]
        return self.panel.service_equipment and not others and self.house.told(feeding, self.panel.name) is None

    def breaker_connected(self, breaker: Breaker) -> Connected | None:
        """What is connected to a breaker of it; None where nobody says what that is."""
        run = breaker.run or _run_of(self.house, breaker)
        if run is not None and run.feeds:
            return self._beyond(run.feeds)
        branch = next((b for b in self.circuits.branches if b.name == breaker.entry.name), None)
        if branch is not None:
            return self._branch_connected(branch)
        stated = breaker.circuit.load_va if breaker.circuit is not None else None
        return Connected(float(stated)) if stated else None

    def _branch_connected(self, branch: Branch) -> Connected | None:
        """Nameplates in full; then what its outlets count, which its sheet has in the same sum."""
        if branch.load_unsaid:
            return None
        nameplates = sum(c.va.number for c in branch.loads)
        sheet = self.circuits.by_name.get(branch.name)
        whole = number(sheet, "load_va")
        by_rule = (
            branch.cooking or any(key in sheet for key in ("motor_a", "compressor_a")) if sheet is not None else True
        )
        if whole is None:
            return Connected(nameplates) if branch.loads else None
        return Connected(nameplates, 0.0 if by_rule else max(0.0, whole - nameplates))

    def _beyond(self, panel: str) -> Connected | None:
        """All that is connected behind a feeder: circuits, and loads that are on no circuit; None where there is nothing."""
        job = self.house.whole_job
        inside = below(job, panel)
        found = [self._branch_connected(branch) for branch in self.circuits.branches if branch.panel in inside]
        loose = [each for each in unplaced(job, self.circuits.branches) if panel_of(job, each) in inside]
        whole = sum((each for each in found if each is not None), Connected(sum(c.va.number for c in counted(loose))))
        return whole if whole.va else None

    @property
    def loose(self) -> list[Load]:
        """The loads on this panel that no circuit has yet."""
        job = self.house.whole_job
        return [each for each in unplaced(job, self.circuits.branches) if panel_of(job, each) == self.panel.name]

    @property
    def loose_va(self) -> float:
        """Of these together, VA."""
        return sum(c.va.number for c in counted(self.loose))

    @cached_property
    def connected(self) -> Connected:
        """Of all its breakers, and of what is on it and has no circuit yet."""
        if self.work is None:
            return Connected(self.demand.connected_va)
        found = [self.breaker_connected(breaker) for breaker in self.work.breakers]
        return sum((each for each in found if each is not None), Connected(self.loose_va))

    @cached_property
    def legs_va(self) -> tuple[float, float]:
        """Connected load of each leg, VA, as the breakers stand."""
        legs = [0.0, 0.0]
        for breaker in self.work.breakers if self.work is not None else ():
            found = self.breaker_connected(breaker)
            at = self.work.layout.legs.get(breaker.entry.name, ()) if self.work is not None else ()
            for leg in at if found is not None else ():
                legs[leg - 1] += (found.va if found is not None else 0.0) / len(at)
        return legs[0], legs[1]

    @property
    def called(self) -> str:
        """Its name, with how many there are alike: 'Flat panel x 3'."""
        dwelling = self.house.job.dwelling
        units = [group.count for group in (dwelling.units if dwelling else ()) if group.name == self.panel.unit_group]
        return self.panel.name + (f" x {units[0]}" if units and units[0] > 1 else "")


def _run_of(house: House, breaker: Breaker) -> Run | None:
    """The feeder that a breaker of the schedule stands for."""
    if breaker.circuit is None or breaker.circuit.purpose != "feeder":
        return None
    return next((run for run in house.told(live_runs) if breaker.entry.name in (run.name, run.feeds)), None)


def pages(house: House, standing: Standing) -> list[PanelPage]:
    """The panels in scope: those that a sheet in scope is about, or a circuit in scope starts from."""
    found = Found(standing.sheets)
    of_circuits = {s.subject for s in found.all_of("branch-circuits", "Branch circuit")}
    from_here = {branch.panel for branch in branches(house) if branch.name in of_circuits}
    every = (PanelPage(house, found, panel) for panel in house.told(live_panels))
    return [page for page in every if any(page.sheets) or page.panel.name in from_here]


def panel_table(house: House, standing: Standing) -> Table | None:
    """One row for each panel in scope; None where there is none."""
    found = pages(house, standing)
    if not found:
        return None
    return Table(
        title="Panels",
        columns=weighed(
            ("Panel", 28), ("Fed from", 24), ("Bus, A", 12, "right"), ("Main, A", 13, "right"),
            ("Interrupting, A", 21, "right"), ("Available, A", 17, "right"), ("Surge protection", 19),
            ("Connected, VA", 19, "right"), ("Demand, VA", 17, "right"), ("Demand, A", 16, "right"), ("Spaces taken", 14),
            ("State", 17),
        ),
        rows=[_row(page) for page in found],
        sheets=[sheet_name(*page.sheets) for page in found],
        notes=[
            "Connected: nameplates and outlets without a demand factor, all at once, with what hangs on feeders. Main, bus and "
            "feeder are sized for the demand.",
            *_demands(found),
            *why((page.panel.name, page.sheets) for page in found),
        ],
    )  # fmt: skip


def _row(page: PanelPage) -> list[str]:
    panel, demand = page.panel, page.demand
    run = page.house.told(feeding, panel.name)
    fed = (run.fed_from if run is not None else panel.fed_from) or NOT_STATED
    existing = " (existing)" if panel.status == "existing" else ""
    return [
        page.called + existing,
        fed + (f", {run.name}" if run is not None else ""),
        amounts.rating_a(panel.bus_a) if panel.bus_a else NOT_STATED,
        amounts.rating_a(panel.main_a) if panel.main_a else "lugs",
        amounts.rating_a(panel.interrupting_a) if panel.interrupting_a else NOT_STATED,
        available(page),
        surge(page),
        amounts.whole_va(page.connected.va) if page.connected.va else NOT_STATED,
        amounts.whole_va(demand.demand_va) if demand.demand_va is not None else "not worked",
        amounts.load_a(demand.demand_a) if demand.demand_a is not None else "not worked",
        taken(page),
        state((*page.sheets, page.fault)) or OUTSIDE,
    ]


def available(page: PanelPage) -> str:
    """Available fault current, or that nobody worked it."""
    return amounts.fault_a(page.available_a) if page.available_a is not None else "not worked"


def surge(page: PanelPage) -> str:
    """The surge-protective device in the panel or, where it is the service, at the service."""
    service = page.house.job.service
    said = page.panel.surge_protection
    if said is None and page.panel.service_equipment and service is not None:
        said = service.surge_protection
    return SURGE[said] if said else NOT_STATED


def taken(page: PanelPage) -> str:
    """'25 of 40'; what nobody entered is not guessed."""
    spaces = page.panel.spaces
    if page.work is None:
        return f"none of {spaces}" if spaces else ""
    poles = len(page.work.layout.taken) + sum(
        b.entry.poles for b in page.work.breakers if b.entry.name not in page.work.layout.spaces
    )
    return f"{poles} of {spaces}" if spaces else f"{poles} of {NOT_STATED}"


def _demands(found: list[PanelPage]) -> Iterator[str]:
    """Where the demand of each panel comes from, alike ones together."""
    said: dict[str, list[str]] = {}
    for page in found:
        said.setdefault(page.demand.why, []).append(page.panel.name)
    yield from (f"Demand of {', '.join(names)}: {why}." for why, names in said.items())
