"""Charts drawn as SVG in the one visual language: labels with units, hatches beside colours, no date inside."""

from __future__ import annotations

import io
import warnings
from collections.abc import Callable
from typing import Any

import matplotlib as mpl
from matplotlib.collections import LineCollection
from matplotlib.figure import Figure

from calc.show.canvas import figure_of, fill, short, wrapped
from calc.show.drawings import parts
from calc.show.ladders import ladders
from calc.show.one_line import one_line
from calc.show.style import style
from calc.show.to_scale import drawing
from calc.work.chart import Chart, Clouds, Curves, Drawing, Ladders, Levels, OneLine, Pairs, Parts
from calc.work.printing import rounded
from calc.work.signs import with_powers


def draw(chart: Chart) -> str:
    """The chart as SVG text, the same for the same data."""
    with warnings.catch_warnings():
        # letters that the chart's font lacks are still text in the drawing: whatever shows it has a font for them
        warnings.filterwarnings("ignore", "Glyph .* missing from font")
        if isinstance(chart.data, OneLine):
            return one_line(chart.data)
        if isinstance(chart.data, Drawing):
            return drawing(chart.data)
        return ladders(chart.data) if isinstance(chart.data, Ladders) else _plotted(chart)


def _plotted(chart: Chart) -> str:
    look = style()
    settings = {
        "font.family": look["fonts"]["chart"], "font.size": look["sizes_pt"]["chart"], "svg.fonttype": "none",
        "text.hinting": "none",  # an SVG is not set on a grid of pixels, and this is measured faster
        "svg.hashsalt": "studbay", "axes.spines.top": False, "axes.spines.right": False, "hatch.linewidth": 0.6,
        "axes.edgecolor": look["colours"]["rule"], "text.color": look["colours"]["ink"],
        "axes.labelcolor": look["colours"]["ink"], "xtick.color": look["colours"]["ink"],
        "ytick.color": look["colours"]["ink"],
    }  # fmt: skip
    with mpl.rc_context(settings):
        figure = _DRAWERS[type(chart.data)](chart.data)
        out = io.StringIO()
        # asked for "tight", savefig would draw everything once more to find this out
        around = figure.get_tightbbox().padded(_PAD_IN)
        figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None}, bbox_inches=around)
    return out.getvalue()


def _pairs(data: Pairs) -> Figure:
    """Two horizontal bars a row: before and after."""
    rows, unit = data.rows, with_powers(data.unit)
    figure, axes = figure_of(0.42 * len(rows) + 0.9)
    top = max(max(before, after) for _, before, after in rows) or 1.0
    for values, offset, look in (
        ([before for _, before, _ in rows], -0.19, 3),
        ([after for _, _, after in rows], 0.19, 0),
    ):
        axes.barh([place + offset for place in range(len(rows))], values, height=0.36, **fill(look))
        for place, value in enumerate(values):
            axes.text(value + top * 0.01, place + offset, f"{rounded(value, 0):,}", va="center")
    axes.set_yticks(range(len(rows)), [wrapped(label) for label, _, _ in rows])
    axes.invert_yaxis()
    axes.set_xlim(0, top * 1.14)
    axes.set_xlabel(unit)
    axes.xaxis.set_major_formatter(lambda value, _: f"{value:,.0f}")
    keys = [mpl.patches.Patch(label=name, **fill(at)) for name, at in ((data.before, 3), (data.after, 0))]
    axes.legend(handles=keys, loc="lower right", bbox_to_anchor=(1, 1), ncols=2, frameon=False)
    return figure


def _levels(data: Levels) -> Figure:
    """Bars against labelled limits, horizontal so that labels never collide."""
    bars, lines, unit = data.bars, data.lines, with_powers(data.unit)
    figure, axes = figure_of(0.5 * len(bars) + 0.3 * len(lines) + 0.8)
    top = max([value for _, value in [*bars, *lines]]) * 1.18
    for place, (_, value) in enumerate(bars):
        axes.barh(place, value, height=0.55, **fill(0))
        inside = value > top * 0.25  # a short bar's figure stands beside it
        axes.text(value - top * 0.01 if inside else value + top * 0.01, place,
                  f"{f'{value:,.1f}'.removesuffix('.0')} {unit}", va="center", ha="right" if inside else "left", weight="bold", zorder=5,
                  bbox={"facecolor": style()["colours"]["paper"], "edgecolor": "none", "pad": 1.5})  # fmt: skip
    for step, (label, value) in enumerate(lines):
        height = len(bars) - 0.35 + 0.42 * step
        axes.plot([value, value], [-0.5, height], color=style()["colours"]["paper"], linewidth=3)  # seen on a dark bar
        axes.plot(
            [value, value], [-0.5, height], color=style()["colours"]["ink"], linewidth=1.1, linestyle=_DASHES[step % 4]
        )
        axes.text(value, height + 0.05, f"{short(label)} {f'{value:,.1f}'.removesuffix('.0')} {unit}", ha="center",
                  va="top", bbox={"facecolor": style()["colours"]["paper"], "edgecolor": "none", "pad": 0.8})  # fmt: skip
    axes.set_yticks(range(len(bars)), [short(label) for label, _ in bars])
    axes.set_ylim(len(bars) - 0.35 + 0.42 * len(lines), -0.55)
    axes.set_xlim(0, top)
    axes.set_xlabel(unit)
    axes.xaxis.set_major_formatter(lambda value, _: f"{value:,.0f}")
    return figure


def _curves(data: Curves) -> Figure:
    """Curves named at their right ends, under level limits, with single points marked."""
    curves, lines, marks = data.curves, data.lines, data.marks
    figure, axes = figure_of(3.4)
    right = max(x for curve in curves for x, _ in curve.points)
    top = 1.12 * max([y for curve in curves for _, y in curve.points] + [y for _, y in lines])
    for at, curve in enumerate(curves):
        colour = [*(look["colour"] for look in style()["series"][:3]), style()["colours"]["muted"]][at % 4]
        axes.plot(*zip(*curve.points, strict=True), color=colour, linestyle=_DASHES[at % 4], linewidth=1.8,
                  marker=_MARKERS[at % 4], markersize=3, clip_on=False, zorder=3)  # fmt: skip
    ends = [curve.points[-1] for curve in curves]
    heights = _apart([y for _, y in ends], top * 0.065)
    leaders = [[end, (right * 1.03, height)] for end, height in zip(ends, heights, strict=True)]
    thin = LineCollection(leaders, colors=style()["colours"]["rule"], linewidths=0.5, clip_on=False)
    axes.add_collection(thin, autolim=False)
    for height, curve in zip(heights, curves, strict=True):
        axes.text(right * 1.04, height, short(curve.name), va="center")
    for label, level in lines:
        axes.axhline(level, color=style()["colours"]["ink"], linewidth=1.1)
        axes.text(right * 0.01, level + top * 0.01, short(label), va="bottom")
    for label, x, y in marks:
        axes.plot([x], [y], marker="o", markersize=8, markerfacecolor="none", color=style()["colours"]["ink"],
                  linestyle="none", label=short(label), zorder=4)  # fmt: skip
    if marks:  # named in the corner under the curves, where a label hides none of them
        axes.legend(loc="lower right", frameon=False, handletextpad=0.2, prop={"weight": "bold"})
    axes.set_xlim(0, right)
    axes.set_ylim(0, top)
    axes.set_xlabel(data.x)
    axes.set_ylabel(data.y)
    return figure


def _clouds(data: Clouds) -> Figure:
    """Clouds of many points, told apart by mark as well as colour, with a remark that can't be cropped away."""
    figure, axes = figure_of(4.2)
    for at, cloud in enumerate(data.clouds):
        xs, ys = zip(*cloud.points, strict=True)
        axes.scatter(xs, ys, s=7, marker=_MARKERS[at % 4], facecolors="none", linewidths=0.5, rasterized=True,
                     edgecolors=style()["series"][at % 3]["colour"], label=short(cloud.name))  # fmt: skip
    axes.text(0.5, 0.96, data.remark, transform=axes.transAxes, ha="center", va="top", weight="bold")
    axes.set_xlim(0)
    axes.set_ylim(0)
    axes.set_xlabel(data.x)
    axes.set_ylabel(data.y)
    axes.xaxis.set_major_formatter(lambda value, _: f"{value:,.0f}")
    axes.legend(loc="lower right", frameon=False, markerscale=2)
    return figure


def _apart(wanted: list[float], gap: float) -> list[float]:
    """Heights for labels: where wanted, but never closer together than the gap."""
    placed: dict[int, float] = {}
    low = float("-inf")
    for at in sorted(range(len(wanted)), key=lambda at: wanted[at]):
        low = placed[at] = max(wanted[at], low + gap)
    return [placed[at] for at in range(len(wanted))]


_PAD_IN = 0.08
_DASHES = ["-", "--", ":", "-."]
_MARKERS = ["o", "s", "^", "D"]
_DRAWERS: dict[type, Callable[[Any], Figure]] = {
    Pairs: _pairs, Levels: _levels, Curves: _curves, Clouds: _clouds, Parts: parts,
}  # fmt: skip
