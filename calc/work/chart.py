"""Charts as data: what a family wants drawn. Drawing them is `calc.show.charts`' work."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal


@dataclass(frozen=True)
class Chart:
    """A chart to be drawn.

    ``alt`` says in words what a reader would see; ``subject`` is that of the one sheet it belongs to, if it does: a
    packet that leaves the sheet out leaves it out too. ``data`` by kind:

    pairs   {"rows": [[label, before, after], ...], "before": name, "after": name, "unit": "VA"}
    levels  {"bars": [[label, value], ...], "lines": [[label, value], ...], "unit": "A"}: bars against ratings
    curves  {"curves": [{"name": name, "points": [[x, y], ...]}, ...], "x": "ft one way", "y": "% lost",
             "lines": [[label, y], ...], "marks": [[label, x, y], ...]}: curves from left to right under level limits
    clouds  {"clouds": [{"name": name, "points": [[x, y], ...]}, ...], "x": "ft2", "y": "A", "remark": text}: many points
    parts   {"parts": [name, ...], "rows": [[label, [value, ...], limit], ...], "limit": name, "unit": "in3"}: each row a
             bar of its parts, end to end, against its own limit
    drawing {"unit": "in", "shapes": [shape, ...], "key": [[look, text], ...]}: to scale, y upward. A shape is one of
             {"kind": "circle", "at": [x, y], "radius": r}, {"kind": "area", "points": [[x, y], ...]},
             {"kind": "line", "points": [[x, y], ...], "dash": 0, "weight": 1.4},
             {"kind": "text", "at": [x, y], "text": text, "turn": degrees, "bold": false},
             {"kind": "sign", "at": [x, y], "sign": "bars" | "square bars" | "cross"}, of one size on paper; circles and
             areas may have "look" (0 to 3, a fill) and "label"; a look of the key is a fill or the name of a sign;
             "height_in" is the most on a page
    one-line {"trees": [node, ...]}: a node is {"kind": "source" | "bus" | "end", "lines": [name, rating], "links": [link,
             ...]}, a link {"labels": [name, text, ...], "mark": verdict, "breaker": true, "to": node}
    """

    kind: Literal["pairs", "levels", "curves", "clouds", "parts", "drawing", "one-line"]
    title: str
    alt: str
    data: dict[str, Any]
    subject: str = ""
