"""Drawings to scale, both ways alike: plans, counters, raceways cut across; with a bar that shows the scale, and their key."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, radians, sin

from calc.show.canvas import WIDTH_IN
from calc.show.lettering import broken, width_pt
from calc.show.style import style
from calc.show.svg import Canvas
from calc.work.chart import Area, Circle, Drawing, Lettering, Point, Shape, Sign, Stroke

MOST_HEIGHT_IN = 6.0
PAD_PT = 6.0
SIGN_PT = 4.75  # half of a sign
DASHES = ("", "4 2", "1 2", "5 2 1 2")
STEP_PT = 10.4
KEY_PT = 15.0
HATCHES = {"///": "M3 0V6", "---": "M0 3H6", "xxx": "M3 0V6M0 3H6"}


def drawing(data: Drawing) -> str:
    """The drawing as SVG text, no wider than it is to be."""
    width = 72 * (data.width_in or WIDTH_IN)
    pen = _Pen()
    height = PAD_PT
    if data.shapes:
        points = [point for shape in data.shapes for point in _reach(shape)]
        left, right = min(x for x, _ in points), max(x for x, _ in points)
        low, high = min(y for _, y in points), max(y for _, y in points)
        tallest = 72 * min(data.height_in or MOST_HEIGHT_IN, MOST_HEIGHT_IN)
        scale = min((width - 4 * PAD_PT) / (right - left), tallest / max(high - low, 1e-9))
        pen.place(scale, width / 2 - scale * (left + right) / 2, height + PAD_PT + scale * high)
        for shape in sorted(data.shapes, key=lambda shape: isinstance(shape, Lettering | Sign)):
            pen.shape(shape)
        height += 2 * PAD_PT + scale * (high - low)
        height = pen.bar(data.unit, 2 * PAD_PT, height + 4, (right - left))
    height = pen.key(data.key, width, height + STEP_PT)
    return pen.svg(width, height)


def _reach(shape: Shape) -> Sequence[Point]:
    """Points that the shape reaches out to."""
    if isinstance(shape, Circle):
        (x, y), r = shape.at, shape.radius
        return [(x - r, y - r), (x + r, y + r)]
    if isinstance(shape, Area | Stroke):
        return shape.points
    return (isinstance(shape, Lettering) and shape.reach) or [shape.at]


class _Pen(Canvas):
    """Draws shapes in their own units, y upward, on paper, where it goes down."""

    def __init__(self) -> None:
        super().__init__()
        self.scale, self.x0, self.y0 = 1.0, 0.0, 0.0
        self._patterns()

    def place(self, scale: float, x0: float, y0: float) -> None:
        """From now on a unit is so many points, and (0, 0) lies there."""
        self.scale, self.x0, self.y0 = scale, x0, y0

    def on_paper(self, point: Point) -> Point:
        """A place of the drawing in points."""
        return self.x0 + self.scale * point[0], self.y0 - self.scale * point[1]

    def shape(self, shape: Shape) -> None:
        """Draw one."""
        if isinstance(shape, Circle):
            x, y = self.on_paper(shape.at)
            r = shape.radius * self.scale
            self.filled(
                f"M{x - r:.1f} {y:.1f}a{r:.1f} {r:.1f} 0 1 0 {2 * r:.1f} 0a{r:.1f} {r:.1f} 0 1 0 {-2 * r:.1f} 0Z",
                shape.look,
            )
            self.label(x, y, shape.label)
        elif isinstance(shape, Area):
            points = [self.on_paper(point) for point in shape.points]
            data = "L".join(f"{x:.1f} {y:.1f}" for x, y in points)
            self.filled(f"M{data}Z", shape.look)
            middle = (sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points))
            self.label(*middle, shape.label)
        elif isinstance(shape, Stroke):
            self.stroke(*map(self.on_paper, shape.points), weight=shape.weight, dash=DASHES[shape.dash])
        elif isinstance(shape, Lettering):
            self.label(*self.on_paper(shape.at), shape.text, shape.turn, shape.bold)
        else:
            self.sign(*self.on_paper(shape.at), shape.sign)

    def label(self, x: float, y: float, text: str, turn: float = 0.0, bold: bool = False) -> None:
        """A line of text about a place, on a piece of paper of its own."""
        if not text:
            return
        plain = " ".join(text.split())
        half, tall = width_pt(plain, self.size, bold) / 2 + 1.2, self.size * 0.56
        way = radians(-turn)
        corners = [(x + a * half * cos(way) - b * tall * sin(way), y + a * half * sin(way) + b * tall * cos(way))
                   for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))]  # fmt: skip
        data = "L".join(f"{a:.1f} {b:.1f}" for a, b in corners)
        self.path(f"M{data}Z", 0.01, "paper", fill=self.colours["paper"])
        self.text(plain, x, y, anchor="middle", turn=-turn, bold=bold)

    def sign(self, x: float, y: float, sign: str) -> None:
        """A circle with two bars is the drafting sign of a duplex receptacle, in a square one in the floor; crossed out it
        doesn't count."""
        r, paper = SIGN_PT, self.colours["paper"]
        if sign == "square bars":
            self.path(f"M{x - r:.1f} {y - r:.1f}h{2 * r}v{2 * r}h{-2 * r}Z", 1.1, fill=paper)
        else:
            self.circles(((x, y, r),), paper)
        if sign == "cross":
            d = 0.7 * r
            self.path(
                f"M{x - d:.1f} {y - d:.1f}l{2 * d:.1f} {2 * d:.1f}M{x - d:.1f} {y + d:.1f}l{2 * d:.1f} {-2 * d:.1f}",
                1.1,
            )
        else:
            for off in (-0.3 * r, 0.3 * r):
                self.stroke((x + off, y - 1.5 * r), (x + off, y + 1.5 * r), weight=1.1)

    def bar(self, unit: str, x: float, y: float, wide: float) -> float:
        """A bar of a round length, about a quarter of the drawing; gives how far down the drawing goes with it."""
        steps = [size * 10**power for power in range(-2, 5) for size in (1, 2, 5)]
        length = max(step for step in steps if step <= wide / 4 or step == steps[0])
        self.stroke((x, y), (x + length * self.scale, y), weight=2.4)
        self.text(f"{length:g} {unit}", x + length * self.scale + 4, y)
        return float(y + self.size / 2 + 2)

    def key(self, key: Sequence[tuple[int | str, str]], width: float, y: float) -> float:
        """What each look means, two beside each other; gives where it ends."""
        column = width / 2 if width > 300 else width
        across = int(width // column)
        entries = [(look, broken(text, column - KEY_PT - 14, self.size)) for look, text in key]
        for first in range(0, len(entries), across):
            row = entries[first : first + across]
            for nth, (look, lines) in enumerate(row):
                x = 8 + nth * column
                if isinstance(look, int):
                    self.filled(f"M{x - 5:.1f} {y - 4:.1f}h12v8h-12Z", look)
                elif look:
                    self.sign(x + 1, y, look)
                for at, text in enumerate(lines):
                    self.text(text, x + KEY_PT, y + STEP_PT * at)
            y += STEP_PT * max(len(lines) for _, lines in row) + 6
        return y

    def filled(self, data: str, look: int | None) -> None:
        """A closed path in outline, or in the colour of a fill with its hatch over it."""
        if look is None:
            self.path(data, 1.2, fill=self.colours["paper"])
            return
        series = style()["series"]
        self.path(data, 0.5, fill=series[look % len(series)]["colour"])
        if series[look % len(series)]["hatch"]:
            self.path(data, 0.5, fill=f"url(#hatch{look % len(series)})")

    def _patterns(self) -> None:
        """The hatches, so that fills are told apart in black and white too."""
        made = []
        for at, look in enumerate(style()["series"]):
            turned = ' patternTransform="rotate(45)"' if look["hatch"] in ("///", "xxx") else ""
            if look["hatch"]:
                made.append(
                    f'<pattern id="hatch{at}" width="6" height="6" patternUnits="userSpaceOnUse"{turned}><path '
                    f'd="{HATCHES[look["hatch"]]}" fill="none" stroke="{self.colours["ink"]}" stroke-width="0.7"/></pattern>'
                )
        self.parts.append(f"<defs>{''.join(made)}</defs>")
