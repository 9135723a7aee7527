"""The one-line diagram: from the utility through meter and service to the last panel, with what offices ask for at each point."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Literal

from calc.documents.house import amounts
from calc.documents.house.found import Found, number, word
from calc.documents.house.grounding import bonds_of, electrodes_of
from calc.documents.house.made_of import conductors, ground
from calc.documents.house.one_line_pages import paged
from calc.families.fault_current.ratings import panels_at
from calc.job import Panel, Run
from calc.wiring.circuits import branches
from calc.wiring.house import House
from calc.wiring.tree import live_panels, live_runs
from calc.work import PASSES, Sheet
from calc.work.chart import Chart, Link, Node, OneLine

SURGE = {"type-1": "surge protection type 1", "type-2": "surge protection type 2"}


def one_line(house: House, sheets: Mapping[str, Sequence[Sheet]]) -> list[Chart]:
    """The diagram with what these sheets say of it, on as many drawings as it takes; none where nothing is fed."""
    tree = _Tree(house, Found(sheets))
    trees = [tree.source(name) for name in tree.sources()]
    found = paged([each for each in trees if each.links])
    said = [f"{text[:1].upper()}{text[1:]}." for text in ("; ".join(t for top in trees for t in _said(top)),) if text]
    words = " ".join(said) or "Nothing is fed."
    if len(found) == 1:
        return [Chart("One-line diagram", words, OneLine(found[0]))]
    return [
        Chart(f"One-line diagram, {n} of {len(found)}", words if n == 1 else f"Continues the diagram: {_names(page)}.", OneLine(page))
        for n, page in enumerate(found, 1)
    ]  # fmt: skip


def _names(trees: Sequence[Node]) -> str:
    return ", ".join(tree.lines[0] for tree in trees if tree.lines)


class _Tree:
    """Nodes and links as the chart has them, by the names that the job's runs and panels are fed from."""

    def __init__(self, house: House, found: Found) -> None:
        self.house, self.job, self.found = house, house.job, found
        self.panels = {panel.name: panel for panel in house.told(live_panels)}
        self.runs = [run for run in house.job.runs if run.status != "removed"]
        self.fed = {run.feeds for run in self.runs if run.feeds in self.panels}
        units = house.job.dwelling.units if house.job.dwelling is not None else ()
        self.alike = {group.name: group.count for group in units}

    def sources(self) -> list[str]:
        """What runs and panels are fed from, and nothing feeds; '' where a run doesn't say."""
        fed_by_panel = {name for name, panel in self.panels.items() if panel.fed_from}
        inside = self.fed | fed_by_panel | {run.name for run in self.runs}
        bare = [panel.fed_from for name, panel in self.panels.items() if name not in self.fed and panel.fed_from]
        return [
            name for name in dict.fromkeys([*(run.fed_from or "" for run in self.runs), *bare]) if name not in inside
        ]

    def source(self, name: str) -> Node:
        """The node of a supply, with all that hangs on it."""
        if name in self.panels:
            return self._bus(self.panels[name])
        called = name[:1].upper() + name[1:] or "Not described"
        return Node("source", [called, *self._utility(name)], self._links(name))

    def _utility(self, name: str) -> Iterator[str]:
        """Its transformer or its statement, and what is available there."""
        fault = self.job.fault
        if fault is None or name != "utility":
            return
        if fault.transformer_kva is not None:
            yield f"transformer {fault.transformer_kva:g} kVA, {fault.impedance_pct:g} %"
        runs = {run.name for run in self.runs}
        at = next((s for s in self.found.sheets.get("fault-current", ()) if s.subject not in runs), None)
        if (most := number(at, "largest_fault_a")) is not None:
            yield f"available {amounts.fault_a(most)} A"
        if fault.stated_by:
            yield f"stated by {fault.stated_by}"

    def _links(self, name: str) -> list[Link]:
        panels = [p for p in self.panels.values() if p.fed_from == name and p.name not in self.fed]
        runs = [self._run(run) for run in self.runs if (run.fed_from or "") == name]
        return runs + [Link(["run not described"], "", False, self._bus(panel), self._ends(panel)) for panel in panels]

    def _run(self, run: Run) -> Link:
        to = self.panels.get(run.feeds or "")
        end = Node("end", [], self._links(run.name)) if to is None else self._bus(to)
        sheet = self.found.of("feeder", "Conductors", run.name)
        meter = self.job.service.meter_a if self.job.service is not None else None
        return Link(
            labels=[self._named(run, sheet, self._times(to)), *(text for text in self._labels(run, sheet) if text),
                    *([f"meter {meter} A"] if meter and to is not None and to.service_equipment else [])],
            mark="" if sheet is None or sheet.status == PASSES else sheet.status,
            breaker=run.role in ("feeder", "branch"),
            to=end,
            ends=self._ends(to),
        )  # fmt: skip

    def _ends(self, panel: Panel | None) -> list[Literal["meter", "breaker"]]:
        """What stands between a run and the bus that it feeds: the meter ahead of the service, then the main."""
        if panel is None:
            return []
        meter: list[Literal["meter", "breaker"]] = ["meter"] if panel.service_equipment else []
        return [*meter, "breaker"] if panel.main_a else meter

    def _times(self, panel: Panel | None) -> str:
        """How many there are alike, where one stands for several."""
        count = self.alike.get(panel.unit_group or "", 1) if panel is not None else 1
        return f" x {count}" if count > 1 else ""

    def _bus(self, panel: Panel) -> Node:
        links = [*self._earth(panel), *self._links(panel.name), *self._circuits(panel)]
        return Node("bus", [panel.name + self._times(panel), *self._ratings(panel)], links)

    def _ratings(self, panel: Panel) -> Iterator[str]:
        """Its disconnect or main, its bus, its interrupting rating beside what is available, surge protection, its place."""
        called = "service disconnect" if panel.service_equipment else "main"
        main = f"{called} {panel.main_a} A" if panel.main_a else "main lugs"
        yield f"{main}, bus {panel.bus_a} A" if panel.bus_a else f"{main}, bus not stated"
        rated = f"{panel.interrupting_a:,} A" if panel.interrupting_a else "not stated"
        most = next(
            (number(s, "largest_fault_a") for s in self.found.sheets.get("fault-current", ()) if self._at(s, panel)),
            None,
        )
        yield f"interrupting {rated}, available {f'{amounts.fault_a(most)} A' if most is not None else 'not worked'}"
        surge = panel.surge_protection
        if surge is None and panel.service_equipment and self.job.service is not None:
            surge = self.job.service.surge_protection
        if surge in SURGE:
            yield SURGE[surge]
        if panel.status == "existing":
            yield "existing"
        if panel.building:
            yield f"in {panel.building}"
        if panel.unit_group:
            yield f"one for each of: {panel.unit_group}"

    def _at(self, sheet: Sheet, panel: Panel) -> bool:
        """Whether a fault current is worked at the place of a panel."""
        run = next((run for run in self.house.told(live_runs) if run.name == sheet.subject), None)
        utility = run is None and sheet.subject not in {each.name for each in self.runs}
        if run is None and not utility:
            return False
        return any(each.name == panel.name for each in self.house.told(panels_at, run))

    def _earth(self, panel: Panel) -> Iterator[Link]:
        """The grounding electrode system, where it is connected: at the service, or at another building's panel."""
        if panel.service_equipment and panel.building is None:
            made = [*electrodes_of(self.job, self.found, ""), *bonds_of(self.job, self.found)]
        elif panel.building is not None and any(r.feeds == panel.name and r.role == "feeder" for r in self.runs):
            made = electrodes_of(self.job, self.found, panel.building)
        else:
            made = []
        if said := [each.short for each in made if each.short]:
            yield Link(["Grounding electrode system", *said], "", False, Node("earth", [], []))

    def _circuits(self, panel: Panel) -> Iterator[Link]:
        """The circuits that no run describes, summed by voltage."""
        between = 208 if self.job.service is not None and self.job.service.system == "208Y/120" else 240
        bare = [
            b.circuit.poles for b in branches(self.house) if b.panel == panel.name and b.run is None and not b.planned
        ]
        counts = [(bare.count(1), 120), (bare.count(2), between)]
        said = [f"{count} of {volts} V" for count, volts in counts if count]
        if said:
            number_of = "circuit" if len(bare) == 1 else "circuits"
            yield Link([f"{len(bare)} {number_of}: {', '.join(said)}"], "", True, Node("end", [], []))

    def _named(self, run: Run, sheet: Sheet | None, times: str) -> str:
        """Its name with how many there are and its breaker: 'Flat feeder x 3, 100 A'."""
        breaker = number(sheet, "breaker_a") or run.breaker_a
        return (
            run.name
            + times
            + (f", {amounts.rating_a(breaker)} A" if breaker and run.role in ("feeder", "branch") else "")
        )

    def _labels(self, run: Run, sheet: Sheet | None) -> Iterator[str]:
        """Conductors and ground, then raceway and length; of a cable all in one."""
        made = [conductors(run, sheet)]
        if run.role not in ("service", "utility") and not (run.cable and run.cable.cable):
            size = ground(run, sheet)
            made.append("raceway as ground" if size == "raceway" else f"ground {size}")
        raceway = self.found.of("raceway", "Raceway fill", run.raceway or run.name)
        trade = word(raceway, "trade_size")
        kind = run.wiring_method or ""
        inside = (
            [f"in {trade} in {kind}"] if trade[:1].isdigit() else [f"in {kind}"] if kind and run.cable is None else []
        )
        inside += ["buried"] if run.location == "buried" else []
        long = [f"{amounts.feet(run.length_ft)} ft"] if run.length_ft else []
        if inside:
            yield ", ".join(made)
            yield ", ".join([*inside, *long])
        else:
            yield ", ".join([*made, *long])


def _said(node: Node) -> Iterator[str]:
    """The diagram in words, a run at a time."""
    here = node.lines[0] if node.lines else "its end"
    if node.kind in ("bus", "source") and len(node.lines) > 1:
        yield f"{here}: {', '.join(node.lines[1:])}"
    for link in node.links:
        name, *labels = link.labels
        mark = [link.mark] if link.mark else []
        to = f" to {link.to.lines[0]}" if link.to.lines else ""
        yield f"from {here} {name}{to}: {', '.join([*labels, *mark])}" if labels or mark else f"from {here} {name}{to}"
        yield from _said(link.to)
