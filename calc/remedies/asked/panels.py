"""Panels, and the circuits that start from them."""

from __future__ import annotations

from collections.abc import Iterator

from calc.families.fault_current.ratings import panels_at
from calc.job import Circuit
from calc.remedies.asked.subjects import Asked, Walked, subject
from calc.wiring.places import HOUSE


@subject("panel")
def _panel(walked: Walked) -> Asked:
    for panel in walked.job.panels:
        if walked.stands(panel):
            sizes = [panel.working_depth_in, panel.working_width_in, panel.working_height_in]
            taped = " x ".join("?" if size is None else f"{size:g}" for size in sizes) + " in"
            yield walked.where[panel.name], {"name": panel.name, "taped": taped}


@subject("panel-beyond")
def _panel_beyond(walked: Walked) -> Asked:
    yield from _panels(walked, at_service=False)


@subject("panel-at-service")
def _panel_at_service(walked: Walked) -> Asked:
    yield from _panels(walked, at_service=True)


def _panels(walked: Walked, *, at_service: bool) -> Asked:
    for panel in walked.job.panels:
        if walked.stands(panel) and panel.service_equipment is at_service:
            yield walked.where[panel.name], {"name": panel.name}


@subject("panel-interrupting")
def _interrupting(walked: Walked) -> Asked:
    """What each panel's breakers have to be stamped with: by what can flow there, which the stated rating doesn't know."""
    needed = {
        panel.name: s.results["rating_sold_a"]
        for s in walked.sheets("fault-current")
        if "rating_sold_a" in s.results
        for panel in panels_at(walked.job, next((run for run in walked.job.runs if run.name == s.subject), None))
    }
    for panel in walked.job.panels:
        if not walked.stands(panel):
            continue
        if panel.name in needed:
            rating = f"{needed[panel.name]:,.0f} A or more"
            if panel.series_rating_a:
                rating += f", or the panel is marked with the series rating of {panel.series_rating_a:,} A for just these breakers"
        else:
            rating = "what can flow here or more: that is not worked, ask the utility"
        yield walked.where[panel.name], {"name": panel.name, "rating": rating}


@subject("multiwire")
def _multiwire(walked: Walked) -> Asked:
    yield from ((walked.where[circuit.name], words) for circuit, words in _pairs(walked))


@subject("multiwire-panel")
def _multiwire_panel(walked: Walked) -> Asked:
    yield from ((_at_panel(walked, circuit), words) for circuit, words in _pairs(walked))


def _pairs(walked: Walked) -> Iterator[tuple[Circuit, dict[str, str]]]:
    """Multiwire circuits, each once, under the half that is listed first."""
    told: set[str] = set()
    for circuit in walked.job.circuits:
        if circuit.multiwire_with and walked.stands(circuit) and circuit.name not in told:
            told |= {circuit.name, circuit.multiwire_with}
            yield circuit, {"name": f"{circuit.name} and {circuit.multiwire_with}"}


@subject("arc-circuit")
def _arc(walked: Walked) -> Asked:
    yield from _protected(walked, "arc-fault")


@subject("ground-fault-circuit")
def _ground_fault(walked: Walked) -> Asked:
    yield from _protected(walked, "ground-fault")


@subject("dual-circuit")
def _dual(walked: Walked) -> Asked:
    yield from _protected(walked, "dual-function")


def _protected(walked: Walked, kind: str) -> Asked:
    for circuit in walked.job.circuits:
        if kind in (circuit.breaker_type, circuit.first_outlet) and walked.stands(circuit):
            yield _at_panel(walked, circuit), {"name": _numbered(circuit), "about": circuit.name, "kind": kind}


def _at_panel(walked: Walked, circuit: Circuit) -> str:
    return walked.where.get(circuit.panel or "", HOUSE)


def _numbered(circuit: Circuit) -> str:
    return f"Circuit {circuit.number}, {circuit.name}" if circuit.number else circuit.name
