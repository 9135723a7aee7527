"""Charts as data: what a family wants drawn. Drawing them is `calc.show.charts`' work."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

from calc.work.plain import Public

Point = tuple[float, float]
Level = tuple[str, float]
"""A label and its value."""
SignName = Literal["bars", "square bars", "cross"]


@dataclass(frozen=True)
class Pairs:
    """Two bars a row: before and after."""

    rows: Sequence[tuple[str, float, float]]
    """Label, before, after."""
    before: str
    after: str
    unit: str
    kind: Literal["pairs"] = field(default="pairs", init=False)


@dataclass(frozen=True)
class Levels:
    """Bars against ratings."""

    bars: Sequence[Level]
    lines: Sequence[Level]
    unit: str
    kind: Literal["levels"] = field(default="levels", init=False)


@dataclass(frozen=True)
class Curve:
    """Points under a name."""

    name: str
    points: Sequence[Point]


@dataclass(frozen=True)
class Curves:
    """Curves from left to right under level limits, with single points marked."""

    curves: Sequence[Curve]
    x: str
    y: str
    lines: Sequence[Level] = ()
    marks: Sequence[tuple[str, float, float]] = ()
    """Label, x, y."""
    kind: Literal["curves"] = field(default="curves", init=False)


@dataclass(frozen=True)
class Clouds:
    """Many points, with a remark that can't be cropped away."""

    clouds: Sequence[Curve]
    x: str
    y: str
    remark: str
    kind: Literal["clouds"] = field(default="clouds", init=False)


@dataclass(frozen=True)
class Parts:
    """Each row a bar of its parts, end to end, against its own limit."""

    parts: Sequence[str]
    rows: Sequence[tuple[str, Sequence[float], float]]
    """Label, a value for each part, limit."""
    limit: str
    unit: str
    kind: Literal["parts"] = field(default="parts", init=False)


@dataclass(frozen=True)
class Ladders:
    """Each row marks of several kinds along one scale, 100 being what the row has."""

    marks: Sequence[str]
    """What each mark is."""
    rows: Sequence[tuple[str, Sequence[float]]]
    """Label, a place for each mark."""
    unit: str
    kind: Literal["ladders"] = field(default="ladders", init=False)


@dataclass(frozen=True)
class Circle:
    """A circle, in outline or with one of the fills."""

    at: Point
    radius: float
    look: int | None = None
    """A fill, 0 to 3."""
    label: str = ""
    kind: Literal["circle"] = field(default="circle", init=False)


@dataclass(frozen=True)
class Area:
    """A polygon, in outline or with one of the fills."""

    points: Sequence[Point]
    look: int | None = None
    """A fill, 0 to 3."""
    label: str = ""
    kind: Literal["area"] = field(default="area", init=False)


@dataclass(frozen=True)
class Stroke:
    """A line through points."""

    points: Sequence[Point]
    weight: float = 1.4
    dash: int = 0
    kind: Literal["line"] = field(default="line", init=False)


@dataclass(frozen=True)
class Lettering:
    """A line of text about a point."""

    at: Point
    text: str
    turn: float = 0.0
    """Degrees."""
    bold: bool = False
    reach: Sequence[Point] = ()
    """Corners of what it takes on paper, where the drawing has to make room for it."""
    kind: Literal["text"] = field(default="text", init=False)


@dataclass(frozen=True)
class Sign:
    """A sign of one size on paper, whatever the scale."""

    at: Point
    sign: SignName
    kind: Literal["sign"] = field(default="sign", init=False)


Shape = Circle | Area | Stroke | Lettering | Sign


@dataclass(frozen=True)
class Drawing:
    """Shapes to scale, y upward."""

    unit: str
    shapes: Sequence[Shape]
    key: Sequence[tuple[int | str, str]] = ()
    """A fill, or the name of a sign, and what it means."""
    height_in: float | None = None
    """The most that it takes of a page."""
    width_in: float | None = None
    """How wide it is on paper; left out: as wide as a page."""
    kind: Literal["drawing"] = field(default="drawing", init=False)


@dataclass(frozen=True)
class Node:
    """A supply, a panel, the end of a run or the earth, with the runs that leave it."""

    kind: Literal["source", "bus", "end", "earth"]
    lines: Sequence[str]
    """Its name and its ratings."""
    links: Sequence[Link]


@dataclass(frozen=True)
class Link:
    """A run from a node to the next."""

    labels: Sequence[str]
    """Its name, and what it is made of."""
    mark: str
    """What its sheet comes to where that is no pass."""
    breaker: bool
    """Whether it begins at a breaker."""
    to: Node
    ends: Sequence[Literal["meter", "breaker"]] = ()
    """What stands at its far end, in order."""


@dataclass(frozen=True)
class OneLine:
    """A one-line diagram."""

    trees: Sequence[Node]
    kind: Literal["one-line"] = field(default="one-line", init=False)


Picture = Pairs | Levels | Curves | Clouds | Parts | Ladders | Drawing | OneLine


@dataclass(frozen=True)
class Chart(Public):
    """A chart to be drawn, with its words."""

    title: str
    alt: str
    """What a reader would see, in words."""
    data: Picture
    subject: str = ""
    """That of the one sheet it belongs to, if it does: a packet that leaves the sheet out leaves it out too."""
    kind: Literal["chart"] = field(default="chart", init=False)
