"""Pictures of a panel: its legs against an even split, and its breakers as one sees them with the door open."""

from __future__ import annotations

from typing import Any

from calc.families.branch_circuits.house import House
from calc.families.branch_circuits.panel import PanelWork
from calc.families.branch_circuits.placing import leg_of
from calc.families.branch_circuits.schedule import last_space, rating, serves
from calc.families.charting import Chart
from calc.work import Sheet

WIDE_IN, BUS_IN, HIGH_IN = 10.0, 1.6, 1.0  # a breaker with its label, the bus between the two sides, one space
EXISTING = 3
Shape = dict[str, Any]


def legs_chart(work: PanelWork, s: Sheet) -> Chart:
    """Amperes of both legs and the neutral as the breakers stand, those of the best arrangement, and an even split."""
    number = {key: s.value(key).number for key in ("leg_1_a", "leg_2_a", "neutral_a", "line_to_neutral_v")}
    bars = [("leg 1", number["leg_1_a"]), ("leg 2", number["leg_2_a"]), ("neutral, all on", number["neutral_a"])]
    even = (number["leg_1_a"] + number["leg_2_a"]) / 2
    if s.results.get("best_unbalance_va", 0.0) < s.results.get("unbalance_va", 0.0):
        least = s.value("best_unbalance_va").number / number["line_to_neutral_v"] / 2
        bars.append(("worst leg, best arrangement", even + least))
    said = "; ".join(f"{label} {value:,.1f} A" for label, value in bars)
    return Chart("levels", f"Legs of {work.panel.name}", f"{said}. An even split would be {even:,.1f} A.",
                 {"bars": [[label, round(value, 1)] for label, value in bars], "lines": [["even split", round(even, 1)]], "unit": "A"})  # fmt: skip


def door_chart(house: House, work: PanelWork) -> Chart:
    """The panel with its door open: each breaker where it stands, two-pole ones across two rows, ties between halves."""
    shapes: list[Shape] = []
    said = []
    for row in range(last_space(work) // 2):
        leg = leg_of(2 * row + 1)
        shapes.append({"kind": "text", "at": [0, -(row + 0.5) * HIGH_IN], "text": str(leg)})
        for space in (2 * row + 1, 2 * row + 2):
            if space not in work.layout.taken:
                shapes.append({"kind": "area", "points": _corners(space, space), "label": f"{space}  spare"})
    existing = False
    for space, names in _by_space(work).items():
        breakers = [b for b in work.breakers if b.entry.name in names]
        places = sorted({p for b in breakers for p in work.layout.spaces[b.entry.name]})
        text = " / ".join(f"{serves(house, b, False)}, {rating(house, b)}" for b in breakers)
        shape: Shape = {"kind": "area", "points": _corners(places[0], places[-1]), "label": f"{space}  {text}"}
        if all(b.circuit is not None and b.circuit.status == "existing" for b in breakers):
            shape["look"], existing = EXISTING, True
        shapes.append(shape)
        said.append(f"{', '.join(map(str, places))} {text}")
    shapes += _ties(work)
    return Chart("drawing", f"{work.panel.name} with its door open", "; ".join(said) + ". Legs stand in the middle.",
                 {"unit": "in", "shapes": shapes, "key": [[EXISTING, "existing"]] if existing else []})  # fmt: skip


def _by_space(work: PanelWork) -> dict[int, list[str]]:
    """Breakers by their first space; the halves of a tandem share one."""
    found: dict[int, list[str]] = {}
    for name, places in sorted(work.layout.spaces.items(), key=lambda item: item[1]):
        found.setdefault(places[0], []).append(name)
    return found


def _corners(first: int, last: int) -> list[list[float]]:
    """A breaker from its first space to its last, on the left or on the right of the bus."""
    top, bottom = -((first - 1) // 2) * HIGH_IN, -((last - 1) // 2 + 1) * HIGH_IN
    near = BUS_IN / 2 if first % 2 == 0 else -BUS_IN / 2
    far = near + (WIDE_IN if first % 2 == 0 else -WIDE_IN)
    return [[near, top], [far, top], [far, bottom], [near, bottom]]


def _ties(work: PanelWork) -> list[Shape]:
    """A bar across the handles of breakers that open together."""
    shapes = []
    for b in work.breakers:
        tied = b.circuit is not None and b.circuit.common_disconnect in ("two-pole", "handle-tie")
        places = [work.layout.spaces.get(name or "") for name in (b.entry.name, b.entry.partner)]
        if not tied or not all(places):
            continue
        (one,), (two,) = (place or () for place in places)
        if abs(one - two) == 2:
            x = (BUS_IN / 2 + 0.4) * (1 if one % 2 == 0 else -1)
            ends = [-((space - 1) // 2 + 0.5) * HIGH_IN for space in (one, two)]
            shapes.append({"kind": "line", "points": [[x, ends[0]], [x, ends[1]]]})
    return shapes
