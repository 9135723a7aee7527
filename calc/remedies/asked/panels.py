"""Panels, and the circuits that start from them."""

from __future__ import annotations

from collections.abc import Iterator

from calc.families.fault_current.ratings import panels_at
from calc.job import Circuit
from calc.remedies.asked.subjects import Asked, House, subject
from calc.wiring.places import HOUSE


@subject("panel")
def _panel(h: House) -> Asked:
    for panel in h.job.panels:
        if h.stands(panel):
            sizes = [panel.working_depth_in, panel.working_width_in, panel.working_height_in]
            taped = " x ".join("?" if size is None else f"{size:g}" for size in sizes) + " in"
            yield h.where[panel.name], {"name": panel.name, "taped": taped}


@subject("panel-beyond")
def _panel_beyond(h: House) -> Asked:
    yield from _panels(h, at_service=False)


@subject("panel-at-service")
def _panel_at_service(h: House) -> Asked:
    yield from _panels(h, at_service=True)


def _panels(h: House, *, at_service: bool) -> Asked:
    for panel in h.job.panels:
        if h.stands(panel) and panel.service_equipment is at_service:
            yield h.where[panel.name], {"name": panel.name}


@subject("panel-interrupting")
def _interrupting(h: House) -> Asked:
    """What each panel's breakers have to be stamped with: by what can flow there, which the stated rating doesn't know."""
    needed = {
        panel.name: s.results["rating_sold_a"]
        for s in h.sheets("fault-current")
        if "rating_sold_a" in s.results
        for panel in panels_at(h.job, next((run for run in h.job.runs if run.name == s.subject), None))
    }
    for panel in h.job.panels:
        if not h.stands(panel):
            continue
        if panel.name in needed:
            rating = f"{needed[panel.name]:,.0f} A or more"
            if panel.series_rating_a:
                rating += f", or the panel is marked with the series rating of {panel.series_rating_a:,} A for just these breakers"
        else:
            rating = "what can flow here or more: that is not worked, ask the utility"
        yield h.where[panel.name], {"name": panel.name, "rating": rating}


@subject("multiwire")
def _multiwire(h: House) -> Asked:
    yield from ((h.where[circuit.name], words) for circuit, words in _pairs(h))


@subject("multiwire-panel")
def _multiwire_panel(h: House) -> Asked:
    yield from ((_at_panel(h, circuit), words) for circuit, words in _pairs(h))


def _pairs(h: House) -> Iterator[tuple[Circuit, dict[str, str]]]:
    """Multiwire circuits, each once, under the half that is listed first."""
    told: set[str] = set()
    for circuit in h.job.circuits:
        if circuit.multiwire_with and h.stands(circuit) and circuit.name not in told:
            told |= {circuit.name, circuit.multiwire_with}
            yield circuit, {"name": f"{circuit.name} and {circuit.multiwire_with}"}


@subject("arc-circuit")
def _arc(h: House) -> Asked:
    yield from _protected(h, "arc-fault")


@subject("ground-fault-circuit")
def _ground_fault(h: House) -> Asked:
    yield from _protected(h, "ground-fault")


@subject("dual-circuit")
def _dual(h: House) -> Asked:
    yield from _protected(h, "dual-function")


def _protected(h: House, kind: str) -> Asked:
    for circuit in h.job.circuits:
        if kind in (circuit.breaker_type, circuit.first_outlet) and h.stands(circuit):
            yield _at_panel(h, circuit), {"name": _numbered(circuit), "about": circuit.name, "kind": kind}


def _at_panel(h: House, circuit: Circuit) -> str:
    return h.where.get(circuit.panel or "", HOUSE)


def _numbered(circuit: Circuit) -> str:
    return f"Circuit {circuit.number}, {circuit.name}" if circuit.number else circuit.name
