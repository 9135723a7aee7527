"""Bars of named parts against a limit, and drawings to scale."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Circle as Disc
from matplotlib.patches import Patch, Polygon
from matplotlib.path import Path

from calc.show.canvas import WIDTH_IN, figure_of, fill, short, wrapped
from calc.show.style import style
from calc.work.chart import Area, Circle, Drawing, Lettering, Parts, Point, Shape, Sign, Stroke
from calc.work.signs import with_powers

DASHES = ["-", "--", ":", "-."]
MOST_HEIGHT_IN = 6.0


def _strokes(outline: Path, *lines: tuple[tuple[float, float], tuple[float, float]]) -> Path:
    return Path.make_compound_path(outline, *(Path(line) for line in lines))


_ROUND = Path.unit_circle()
_SQUARE = Path([(-1, -1), (1, -1), (1, 1), (-1, 1), (-1, -1)], closed=True)
_BARS = [((at, -1.5), (at, 1.5)) for at in (-0.3, 0.3)]
SIGNS = {
    "bars": _strokes(_ROUND, *_BARS),
    "square bars": _strokes(_SQUARE, *_BARS),
    "cross": _strokes(_ROUND, ((-0.7, -0.7), (0.7, 0.7)), ((-0.7, 0.7), (0.7, -0.7))),
}
"""Signs by name. A circle with two bars is the drafting sign of a duplex receptacle, in a square one in the floor."""


def parts(data: Parts) -> Figure:
    """Each row a bar of its parts, end to end, with a bold mark at its own limit."""
    rows, unit, ink = data.rows, with_powers(data.unit), style()["colours"]["ink"]
    height = 0.46 * len(rows) + 0.9
    figure, axes = figure_of(height)
    top = max(max(sum(values), limit) for _, values, limit in rows)
    begins = [0.0] * len(rows)
    for at, _ in enumerate(data.parts):  # one part of all rows at a time, as a call for each bar takes long
        there = {place: values[at] for place, (_, values, _) in enumerate(rows) if values[at]}
        axes.barh(list(there), list(there.values()), left=[begins[place] for place in there], height=0.56, **fill(at))
        begins = [begin + there.get(place, 0.0) for place, begin in enumerate(begins)]
    for place, ((_, _, limit), total) in enumerate(zip(rows, begins, strict=True)):
        axes.plot([limit, limit], [place - 0.42, place + 0.42], color=ink, linewidth=2.4, solid_capstyle="butt")
        verdict = "" if total <= limit + 1e-9 else "  falls short"
        axes.text(max(total, limit) + top * 0.015, place, f"{total:,.6g} of {limit:,.6g}{verdict}", va="center",
                  color=style()["colours"]["short"] if verdict else ink, weight="bold" if verdict else "normal")  # fmt: skip
    axes.set_yticks(range(len(rows)), [wrapped(label) for label, _, _ in rows])
    axes.set_ylim(len(rows) - 0.5, -0.5)
    axes.set_xlim(0, top * 1.36)
    axes.set_xlabel(unit)
    keys: list[Any] = [Patch(label=name, **fill(at)) for at, name in enumerate(data.parts)]
    keys += axes.plot([], [], color=ink, linewidth=2.4, label=data.limit)
    _key(axes, keys, below=0.55 / height)
    return figure


def drawing(data: Drawing) -> Figure:
    """Shapes in real units, to one scale both ways, with a bar that shows the scale."""
    points = [point for shape in data.shapes for point in _reach(shape)]
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    low, high = min(y for _, y in points), max(y for _, y in points)
    wide, tall = right - left, high - low
    height = min(data.height_in or MOST_HEIGHT_IN, WIDTH_IN * 0.8 * tall / wide)
    figure, axes = figure_of(height + 0.7)
    for shape in data.shapes:
        _SHAPES[type(shape)](axes, shape)
    drop = 0.06 * max(tall, 0.5 * wide)
    _scale(axes, data.unit, left, low - drop, wide)
    axes.set_xlim(left - 0.03 * wide, right + 0.03 * wide)
    axes.set_ylim(low - 1.3 * drop, high + 0.03 * tall)
    axes.set_aspect("equal")
    axes.axis("off")
    _key(axes, [_key_entry(look, short(text, 60)) for look, text in data.key], below=0.0)
    return figure


def _key_entry(look: int | str, text: str) -> Any:
    """A fill by its number, or a sign by its name."""
    if isinstance(look, int):
        return Patch(label=text, **fill(look))
    return Line2D([], [], linestyle="none", label=text, **_sign_look(look))


def _key(axes: Axes, keys: list[Any], below: float) -> None:
    """What each look means, under the axes."""
    if keys:
        axes.legend(handles=keys, loc="upper center", bbox_to_anchor=(0.5, -below), ncols=2, frameon=False)


def _reach(shape: Shape) -> Sequence[Point]:
    """Points that the shape reaches out to."""
    if isinstance(shape, Circle):
        (x, y), r = shape.at, shape.radius
        return [(x - r, y - r), (x + r, y + r)]
    if isinstance(shape, Area | Stroke):
        return shape.points
    return (isinstance(shape, Lettering) and shape.reach) or [shape.at]


def _look(shape: Circle | Area) -> dict[str, Any]:
    if shape.look is not None:
        return fill(shape.look)
    return {"facecolor": style()["colours"]["paper"], "edgecolor": style()["colours"]["ink"], "linewidth": 1.4}


def _label(axes: Axes, x: float, y: float, text: str, turn: float = 0.0, bold: bool = False) -> None:
    paper = {"facecolor": style()["colours"]["paper"], "edgecolor": "none", "boxstyle": "round,pad=0.15"}
    axes.text(x, y, short(text, 60), ha="center", va="center", bbox=paper if text else None, zorder=5,
              rotation=turn, rotation_mode="anchor", weight="bold" if bold else "normal")  # fmt: skip


def _circle(axes: Axes, shape: Circle) -> None:
    axes.add_patch(Disc(shape.at, shape.radius, **_look(shape)))
    if shape.label:
        _label(axes, *shape.at, shape.label)


def _area(axes: Axes, shape: Area) -> None:
    axes.add_patch(Polygon(shape.points, closed=True, **_look(shape)))
    if shape.label:
        x, y = (sum(point[axis] for point in shape.points) / len(shape.points) for axis in (0, 1))
        _label(axes, x, y, shape.label)


def _line(axes: Axes, shape: Stroke) -> None:
    xs, ys = zip(*shape.points, strict=True)
    axes.plot(xs, ys, color=style()["colours"]["ink"], linewidth=shape.weight, linestyle=DASHES[shape.dash])


def _text(axes: Axes, shape: Lettering) -> None:
    _label(axes, *shape.at, shape.text, shape.turn, shape.bold)


def _sign(axes: Axes, shape: Sign) -> None:
    x, y = shape.at
    axes.plot([x], [y], linestyle="none", zorder=6, **_sign_look(shape.sign))


_SHAPES: dict[type, Callable[[Axes, Any], None]] = {
    Circle: _circle, Area: _area, Stroke: _line, Lettering: _text, Sign: _sign,
}  # fmt: skip


def _sign_look(sign: str) -> dict[str, Any]:
    """A sign of one size on paper, whatever the scale of the drawing."""
    ink, paper = style()["colours"]["ink"], style()["colours"]["paper"]
    return {
        "marker": SIGNS[sign],
        "markersize": 9.5,
        "markerfacecolor": paper,
        "markeredgecolor": ink,
        "markeredgewidth": 1.1,
    }


def _scale(axes: Axes, unit: str, x: float, y: float, wide: float) -> None:
    """A bar of a round length, about a quarter of the drawing."""
    steps = [size * 10**power for power in range(-2, 5) for size in (1, 2, 5)]
    length = max(step for step in steps if step <= wide / 4 or step == steps[0])
    axes.plot([x, x + length], [y, y], color=style()["colours"]["ink"], linewidth=2.4, solid_capstyle="butt")
    axes.text(x + length + 0.01 * wide, y, f"{length:g} {unit}", ha="left", va="center")
