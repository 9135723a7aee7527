"""Mends of panels and ties: a smaller breaker ahead of a bus, a smaller main, one breaker for a circuit and its run."""

from __future__ import annotations

from collections.abc import Iterator

from calc.job import place
from calc.remedies.conductors import circuit_of, ratings, smaller_breakers
from calc.remedies.ways import Kind, Way
from calc.wiring.house import House
from calc.work.keys import stem_and_item


def panel_ways(house: House, subject: str, key: str) -> Iterator[Way]:
    """Less current into the panel that a check is about, or behind the run that it is about."""
    root, item = stem_and_item(key)
    for run in (
        run for run in house.job.runs if run.status != "removed" and (run.name == item or run.feeds == subject)
    ):
        circuit = circuit_of(house.job, run)
        if root == "same_breaker" and circuit is not None and run.breaker_a:
            text = f"a breaker of {run.breaker_a} A for {circuit.name}, which its conductors are sized for"
            yield Way(Kind.SMALLER_BREAKER, text, {place(circuit, "breaker_a"): run.breaker_a})
        yield from smaller_breakers(house, run)
    fed = {subject, *(run.feeds for run in house.job.runs if run.name == item)}
    for panel in (panel for panel in house.job.panels if panel.name in fed and panel.main_a):
        for rating in ratings(house.code, panel.main_a or 0, larger=False):
            text = f"a main of {rating} A in {panel.name} instead of {panel.main_a} A"
            yield Way(Kind.SMALLER_BREAKER, text, {place(panel, "main_a"): rating})
