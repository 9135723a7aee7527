"""The wiring of a house for an office: one-line diagram, runs, panels and their schedules, as far as the scope goes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from calc.documents.house import (
    box_table,
    circuit_table,
    grounding_table,
    one_line,
    panel_table,
    plans,
    required_table,
    room_table,
    run_table,
    schedules,
)
from calc.documents.house.panels import OUTSIDE
from calc.verdict.standing import Standing
from calc.wiring.house import House
from calc.work.chart import Chart
from calc.work.document import Section
from calc.work.table import Table

POWER = ("feeder", "fault-current", "grounding", "panels")
"""The calculations that a one-line diagram shows the results of."""


def wiring(house: House, standing: Standing) -> Iterator[Section]:
    """A section for each subject that the scope has something of."""
    runs = run_table(house, standing)
    panels = panel_table(house, standing)
    if panels is not None and (house.job.dwelling is None or all(row[-1] == OUTSIDE for row in panels.rows)):
        panels = None  # the schedules say what there is of them
    subjects: list[tuple[str, list[Table | Chart | None]]] = [
        ("One-line diagram", [*one_line(house, standing.sheets)] if any(map(standing.sheets.get, POWER)) else []),
        ("Grounding and bonding", [grounding_table(house, standing)]),
        ("Runs", [runs]),
        ("Panels", [panels]),
        ("Panel schedules", [*schedules(house, standing)]),
        ("Circuits and protection", [circuit_table(house, standing), required_table(house, standing)]),
        ("Rooms and boxes", [room_table(house, standing), box_table(house, standing)]),
    ]
    for title, parts in subjects:
        found = [part for part in parts if part is not None]
        found = [replace(part, title="") if len(found) == 1 or part.title == title else part for part in found]
        if found:
            yield Section(title, found)
    if drawn := plans(house, standing):
        yield Section("Plans", drawn, across=2)
