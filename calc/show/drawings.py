"""Bars of named parts against a limit."""

from __future__ import annotations

from typing import Any

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Patch

from calc.show.canvas import figure_of, fill, wrapped
from calc.show.style import style
from calc.work.chart import Parts
from calc.work.signs import with_powers


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


def _key(axes: Axes, keys: list[Any], below: float) -> None:
    """What each look means, under the axes."""
    if keys:
        axes.legend(handles=keys, loc="upper center", bbox_to_anchor=(0.5, -below), ncols=2, frameon=False)
