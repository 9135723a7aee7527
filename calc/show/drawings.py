"""Bars of named parts against a limit, and drawings to scale."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Circle, Patch, Polygon
from matplotlib.path import Path

from calc.show.canvas import WIDTH_IN, figure_of, fill, short, wrapped
from calc.show.style import style

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


def parts(data: dict[str, Any]) -> Figure:
    """Each row a bar of its parts, end to end, with a bold mark at its own limit."""
    rows, unit, ink = data["rows"], data["unit"], style()["colours"]["ink"]
    height = 0.46 * len(rows) + 0.9
    figure, axes = figure_of(height)
    top = max(max(sum(values), limit) for _, values, limit in rows)
    begins = [0.0] * len(rows)
    for at, _ in enumerate(data["parts"]):  # one part of all rows at a time, as a call for each bar takes long
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
    keys: list[Any] = [Patch(label=name, **fill(at)) for at, name in enumerate(data["parts"])]
    keys += axes.plot([], [], color=ink, linewidth=2.4, label=data["limit"])
    _key(axes, keys, below=0.55 / height)
    return figure


def drawing(data: dict[str, Any]) -> Figure:
    """Shapes in real units, to one scale both ways, with a bar that shows the scale."""
    points = [point for shape in data["shapes"] for point in _reach(shape)]
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    low, high = min(y for _, y in points), max(y for _, y in points)
    wide, tall = right - left, high - low
    height = min(data.get("height_in", MOST_HEIGHT_IN), WIDTH_IN * 0.8 * tall / wide)
    figure, axes = figure_of(height + 0.7)
    for shape in data["shapes"]:
        _SHAPES[shape["kind"]](axes, shape)
    drop = 0.06 * max(tall, 0.5 * wide)
    _scale(axes, data["unit"], left, low - drop, wide)
    axes.set_xlim(left - 0.03 * wide, right + 0.03 * wide)
    axes.set_ylim(low - 1.3 * drop, high + 0.03 * tall)
    axes.set_aspect("equal")
    axes.axis("off")
    _key(axes, [_key_entry(look, short(text, 60)) for look, text in data.get("key", [])], below=0.0)
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


def _reach(shape: dict[str, Any]) -> list[tuple[float, float]]:
    """Points that the shape reaches out to."""
    if shape["kind"] == "circle":
        (x, y), r = shape["at"], shape["radius"]
        return [(x - r, y - r), (x + r, y + r)]
    return [tuple(point) for point in shape.get("points") or shape.get("reach") or [shape["at"]]]


def _look(shape: dict[str, Any]) -> dict[str, Any]:
    if "look" in shape:
        return fill(shape["look"])
    return {"facecolor": style()["colours"]["paper"], "edgecolor": style()["colours"]["ink"], "linewidth": 1.4}


def _label(axes: Axes, x: float, y: float, text: str, turn: float = 0.0, bold: bool = False) -> None:
    paper = {"facecolor": style()["colours"]["paper"], "edgecolor": "none", "boxstyle": "round,pad=0.15"}
    axes.text(x, y, short(text, 60), ha="center", va="center", bbox=paper if text else None, zorder=5,
              rotation=turn, rotation_mode="anchor", weight="bold" if bold else "normal")  # fmt: skip


def _circle(axes: Axes, shape: dict[str, Any]) -> None:
    axes.add_patch(Circle(shape["at"], shape["radius"], **_look(shape)))
    if shape.get("label"):
        _label(axes, shape["at"][0], shape["at"][1], shape["label"])


def _area(axes: Axes, shape: dict[str, Any]) -> None:
    points = shape["points"]
    axes.add_patch(Polygon(points, closed=True, **_look(shape)))
    if shape.get("label"):
        middle = [sum(point[axis] for point in points) / len(points) for axis in (0, 1)]
        _label(axes, middle[0], middle[1], shape["label"])


def _line(axes: Axes, shape: dict[str, Any]) -> None:
    xs, ys = zip(*shape["points"], strict=True)
    dash, weight = DASHES[shape.get("dash", 0)], shape.get("weight", 1.4)
    axes.plot(xs, ys, color=style()["colours"]["ink"], linewidth=weight, linestyle=dash)


def _text(axes: Axes, shape: dict[str, Any]) -> None:
    x, y = shape["at"]
    _label(axes, x, y, shape["text"], shape.get("turn", 0.0), shape.get("bold", False))


def _sign(axes: Axes, shape: dict[str, Any]) -> None:
    x, y = shape["at"]
    axes.plot([x], [y], linestyle="none", zorder=6, **_sign_look(shape["sign"]))


_SHAPES: dict[str, Callable[[Axes, dict[str, Any]], None]] = {
    "circle": _circle, "area": _area, "line": _line, "text": _text, "sign": _sign,
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
