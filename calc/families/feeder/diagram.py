"""The one-line diagram: from the utility through service and panels to the last run, with sizes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from calc.job import Job, Panel, Run
from calc.work import Sheet
from calc.work.chart import Chart, Link, Node, OneLine

MOST_ENDS = 11  # what a page holds; beyond it the branch runs of each panel are gathered in one
METALS = {"aluminum": "Al", "copper": "Cu"}


def one_line_chart(job: Job, sheets: Sequence[Sheet]) -> Chart:
    """The tree of runs and panels, each run with what its sheet says of it."""
    tree = _Tree(job, {sheet.subject: sheet for sheet in sheets})
    trees = [tree.source(name) for name in tree.sources()]
    if sum(map(_ends, trees)) > MOST_ENDS:
        trees = [_gathered(top) for top in trees]
    said = "; ".join(text for top in trees for text in _said(top))
    return Chart("One-line diagram", f"{said[:1].upper()}{said[1:]}.", OneLine(trees))


class _Tree:
    """Nodes and links as the chart has them, by the names that the job's runs and panels are fed from."""

    def __init__(self, job: Job, sheets: Mapping[str, Sheet]) -> None:
        self.job, self.sheets = job, sheets
        self.panels = {panel.name: panel for panel in job.panels if panel.status != "removed"}
        self.runs = [run for run in job.runs if run.status != "removed"]
        self.fed = {run.feeds for run in self.runs if run.feeds in self.panels}

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
        fault = self.job.fault
        known = fault is not None and name == "utility" and fault.transformer_kva is not None
        transformer = [f"{fault.transformer_kva:g} kVA, {fault.impedance_pct:g} %"] if fault and known else []
        called = name[:1].upper() + name[1:] or "Not described"
        return Node("source", [called, *transformer], self._links(name))

    def _links(self, name: str) -> list[Link]:
        panels = [p for p in self.panels.values() if p.fed_from == name and p.name not in self.fed]
        runs = [self._run(run) for run in self.runs if (run.fed_from or "") == name]
        return runs + [Link(["run not described"], "", False, self._bus(panel)) for panel in panels]

    def _run(self, run: Run) -> Link:
        to = self.panels.get(run.feeds or "")
        end = Node("end", [], self._links(run.name)) if to is None else self._bus(to)
        sheet = self.sheets.get(run.name)
        return Link(
            labels=[run.name, *(text for text in self._labels(run, sheet) if text)],
            mark="" if sheet is None or sheet.passes else sheet.status,
            breaker=run.role in ("feeder", "branch"),
            to=end,
        )

    def _bus(self, panel: Panel) -> Node:
        main = f"{panel.main_a} A main" if panel.main_a else "main lugs"
        rated = [f"{panel.bus_a} A bus"] if panel.bus_a and panel.bus_a != panel.main_a else []
        where = (
            [f"in {panel.building}"] if panel.building else [f"one of: {panel.unit_group}"] if panel.unit_group else []
        )
        lines = [panel.name, ", ".join([*rated, main]), *where]
        return Node("bus", lines, self._links(panel.name))

    def _labels(self, run: Run, sheet: Sheet | None) -> Iterator[str]:
        """Conductors, then neutral, ground and raceway, then breaker and length."""
        found = {} if sheet is None or sheet.refused else sheet.results
        sets = f"{run.sets} sets " if run.sets > 1 else ""
        raceway = f"in {run.wiring_method}" if run.insulation or run.location == "buried" else ""
        if run.cable:
            yield f"{sets}{run.cable.text}"
        elif size := str(found.get("size", run.size or "")).removesuffix(" AWG"):
            yield f"{sets}{size} {METALS.get(run.metal, '')} {run.insulation or run.wiring_method or ''}".rstrip()
            others = {"N": found.get("neutral_size"), "G": found.get("equipment_ground_size")}
            raceway = ", ".join([*(f"{k} {str(v).removesuffix(' AWG')}" for k, v in others.items() if v and v[0].isdigit()),
                                 *([raceway] if raceway else [])])  # fmt: skip
        yield raceway
        breaker = found.get("breaker_a", run.breaker_a)
        amperes = [f"{breaker:g} A"] if breaker is not None and run.role in ("feeder", "branch") else []
        yield ", ".join([*amperes, *([f"{run.length_ft:g} ft"] if run.length_ft else [])])


def _ends(node: Node) -> int:
    """Runs and panels that nothing leaves."""
    return sum(_ends(link.to) for link in node.links) or 1


def _gathered(node: Node) -> Node:
    """The node with those of its runs that end without a panel told as one."""
    ends = [link for link in node.links if link.to.kind == "end" and not link.to.links]
    kept = [replace(link, to=_gathered(link.to)) for link in node.links if link not in ends]
    if len(ends) < 2:
        return replace(node, links=kept + ends)
    marks = sorted({link.mark for link in ends if link.mark})
    said = f"some: {', '.join(marks)}" if marks else ""
    one = Link([f"{len(ends)} runs", "see their sheets"], said, True, ends[0].to)
    return replace(node, links=[*kept, one])


def _said(node: Node) -> Iterator[str]:
    """The diagram in words, a run at a time."""
    here = node.lines[0] if node.lines else "its end"
    for link in node.links:
        name, *labels = link.labels
        mark = [link.mark] if link.mark else []
        to = f" to {link.to.lines[0]}" if link.to.lines else ""
        yield f"from {here} {name}{to}: {', '.join([*labels, *mark])}" if labels or mark else f"from {here} {name}{to}"
        yield from _said(link.to)
