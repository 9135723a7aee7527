"""Bars of parts and drawings to scale: what they say in words, and that both directions have one scale."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

from calc.show.charts import draw
from calc.show.drawings import parts
from calc.show.style import style
from calc.work.chart import Area, Chart, Circle, Drawing, Lettering, Parts, Shape, Stroke

ROWS = [("Counter $5", [9.0, 2.25, 4.5], 18.0), ("Ceiling", [12.0, 2.0, 2.0], 15.5), ("Exact", [18.0, 0.0, 0.0], 18.0)]
BARS = Parts(["conductors", "grounds", "devices"], ROWS, "volume of the box", "in3")
SHAPES: list[Shape] = [
    Circle((0, 0), 1.0),
    Circle((0, -0.5), 0.25, 1, "6"),
    Area([(2, -1), (3, -1), (3, 0)], 0, "a corner"),
    Stroke([(2, 0), (3, 1)], dash=1),
    Lettering((2.5, 0.8), "5 ft to $6"),
]
PIPE = Drawing("in", SHAPES, [(1, "3 x 6 AWG")])


def test_each_bar_says_its_sum_and_its_limit() -> None:
    svg = draw(Chart("t", "a", BARS))
    for said in ("15.75 of 18", "16 of 15.5  falls short", "18 of 18", "volume of the box", "conductors", "Counter $5"):
        assert said in svg, said
    assert svg.count("falls short") == 1, "equal is enough"


def test_bars_stand_end_to_end() -> None:
    (axes,) = parts(BARS).axes
    ends = sorted((round(bar.get_y(), 2), bar.get_x(), bar.get_x() + bar.get_width()) for bar in axes.patches)
    assert [(begin, end) for _, begin, end in ends][:3] == [(0, 9), (9, 11.25), (11.25, 15.75)]


def test_a_drawing_keeps_its_proportions() -> None:
    """A circle of radius 1 and one of 0.25 are four to one on paper, and the triangle as wide as it is high."""
    svg = draw(Chart("t", "a", PIPE))
    radii = [float(found) for found in re.findall(r'd="M[^a"]*a([\d.]+) ', svg)]
    assert radii[0] == 4 * radii[1]
    (points,) = [
        path.attrib["d"] for path in ET.fromstring(svg).iter() if path.get("fill") == style()["series"][0]["colour"]
    ]
    (x0, _), (x1, y1), (_, y2) = (map(float, pair.split()) for pair in points.strip("MZ").split("L"))
    assert abs((x1 - x0) - (y1 - y2)) < 0.2


def test_a_drawing_carries_its_words_and_its_scale() -> None:
    svg = draw(Chart("t", "a", PIPE))
    for said in ("a corner", "5 ft to $6", "3 x 6 AWG", "1 in"):
        assert said in svg, said
    assert svg == draw(Chart("t", "a", PIPE)), "the same each time"
