"""What all charts are drawn with: a figure of the page's width, fills with hatches, labels that fit."""

from __future__ import annotations

from textwrap import wrap
from typing import Any

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from calc.show.style import style

WIDTH_IN = 6.6


def figure_of(height_in: float) -> tuple[Figure, Axes]:
    """A figure as wide as the page, with one pair of axes."""
    figure = Figure(figsize=(WIDTH_IN, height_in))
    return figure, figure.add_subplot()


def fill(at: int) -> dict[str, Any]:
    """The look of series number ``at``: colour, hatch and outline, told apart in black and white too."""
    look = style()["series"][at % len(style()["series"])]
    return {
        "facecolor": look["colour"],
        "hatch": look["hatch"],
        "edgecolor": style()["colours"]["ink"],
        "linewidth": 0.5,
    }


def wrapped(label: str, wide: int = 34) -> str:
    """A label on up to two lines."""
    return _as_text("\n".join(wrap(_cut(label, 2 * wide), wide)[:2]))


def short(label: str, most: int = 34) -> str:
    """A label that fits."""
    return _as_text(_cut(label, most))


def _cut(label: str, most: int) -> str:
    text = " ".join(label.split())
    return text if len(text) <= most else text[: most - 1] + "…"


def _as_text(label: str) -> str:
    """With nothing in it that matplotlib would set as mathematics or leave out of a legend, as it does a label that
    begins with an underscore."""
    return (" " if label.startswith("_") else "") + label.replace("$", r"\$")
