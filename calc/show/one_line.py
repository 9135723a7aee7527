"""One-line diagrams: sources, buses and the runs between them, from left to right, drawn with schemdraw."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

import schemdraw
import schemdraw.elements as elm
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import text_to_path
from schemdraw.segments import SegmentCircle, SegmentText

from calc.show.canvas import WIDTH_IN
from calc.show.style import style
from calc.work.chart import Link, Node, OneLine

COLUMN_IN = 1.72  # the least width of a run's lettering
ASIDE_IN = 1.5  # for the lettering of a bus that nothing leaves
POINTS = 72  # in an inch
STEP_IN = 0.15  # from one line of lettering to the next
GAP_IN = 0.1
UNITS = 2  # an inch in units of schemdraw, which sizes its lettering for half-inch units
INSET_IN = 0.3  # from the left edge to the first bus


class _Transformer(elm.Element):  # type: ignore[misc]
    """Two circles that overlap: the drafting sign of a transformer."""

    def __init__(self) -> None:
        super().__init__()
        self.segments.extend(SegmentCircle((x * UNITS, 0), 0.09 * UNITS) for x in (-0.19, -0.08))


class _Lettering(elm.Element):  # type: ignore[misc]
    """A line of text that begins at its place."""

    def __init__(self, text: str, size: float, font: str) -> None:
        super().__init__()
        self.segments.append(SegmentText((0, 0), text, align=("left", "center"), fontsize=size, font=font))


def one_line(data: OneLine) -> str:
    """The diagram as SVG text, as wide as the page, however deep its trees are."""
    trees = data.trees
    deep = max(_depth(tree) for tree in trees)
    aside = ASIDE_IN if any(_ends_in_bus(tree, deep) for tree in trees) else GAP_IN
    column = max(COLUMN_IN, (WIDTH_IN - INSET_IN - aside) / max(deep, 1))
    width = INSET_IN + deep * column + aside
    pen = _Pen(width, column)
    low = 0.0
    for tree in trees:
        _, low = pen.node(tree, INSET_IN, low - GAP_IN)
    pen.frame(low)
    return pen.svg()


def _depth(node: Node) -> int:
    return max((1 + _depth(link.to) for link in node.links), default=0)


def _ends_in_bus(node: Node, deep: int) -> bool:
    """Whether a bus without a run of its own stands in the last column."""
    if deep == 0:
        return bool(node.kind != "end")
    return any(_ends_in_bus(link.to, deep - 1) for link in node.links)


class _Pen:
    """Draws nodes and links downward from where the last one ended; y goes up, as schemdraw has it."""

    def __init__(self, width: float, column: float) -> None:
        look = style()
        self.colours, self.font, self.size = look["colours"], look["fonts"]["chart"], look["sizes_pt"]["chart"]
        self.width, self.column = width, column
        scale = self.scale = min(1.0, WIDTH_IN / width)
        schemdraw.svgconfig.text = "text"
        self.drawing = schemdraw.Drawing(canvas="svg", show=False)
        self.drawing.config(inches_per_unit=scale / UNITS, font=self.font, fontsize=self.size * scale,
                            color=self.colours["ink"], lw=1.1 * scale, margin=0.02)  # fmt: skip

    def node(self, node: Node, x: float, top: float, clear: float = 0.0) -> tuple[float, float]:
        """Draw a node and all beyond it. Gives the height at which it is reached, and where it ends below.

        ``clear`` is what has to stay free between ``top`` and that height, for lettering farther left.
        """
        links = node.links
        if not links:
            return self._last(node, x, top, clear)
        levels, low = [], top
        lines = self._wrapped(node.lines, self.column - GAP_IN)
        for link in links:
            over = STEP_IN * (1 + len(lines)) if link is links[0] else STEP_IN
            level, low = self._link(link, x, low, max(clear, over + GAP_IN))
            levels.append(level)
            clear = 0.0
        self._lines(lines, x - 0.02, levels[0] + STEP_IN * (len(lines) + 0.9), self.column - GAP_IN)
        if node.kind == "bus":
            self._stroke((x, levels[0] + 0.1), (x, levels[-1] - 0.1), 3.2)
        else:
            self._stroke((x, levels[0]), (x, levels[-1]), 1.1)
        if node.kind == "source":
            self.drawing += _Transformer().at(_at(x, levels[0])).theta(0)
        return levels[0], low

    def _last(self, node: Node, x: float, top: float, clear: float) -> tuple[float, float]:
        """A node that nothing leaves: a bus with its lettering beside it, or a load."""
        if node.kind == "end":
            level = top - clear
            self.drawing += elm.Dot(open=True).at(_at(x, level)).scale(0.9)
            return level, level
        room = min(self.column, self.width - x) - GAP_IN
        lines = self._wrapped(node.lines, room)
        tall = STEP_IN * len(lines)
        level = top - max(clear, tall / 2 + GAP_IN)
        self._stroke((x, level + 0.14), (x, level - 0.14), 3.2)
        self._lines(lines, x + GAP_IN, level + (tall - STEP_IN) / 2, room)
        return level, level - tall / 2

    def _link(self, link: Link, x: float, top: float, clear: float) -> tuple[float, float]:
        """A run: its name on the line, what it is made of below, then what it feeds."""
        far, room = x + self.column, self.column - 0.5
        below = self._wrapped(link.labels[1:], room)
        level, low = self.node(link.to, far, top, clear)
        begin = x
        if link.breaker:
            begin = x + 0.36
            self._stroke((x, level), (x + 0.08, level), 1.1)
            self.drawing += elm.Breaker().at(_at(x + 0.08, level)).to(_at(begin, level)).scale(0.5)
        self._stroke((begin, level), (far, level), 1.1)
        self._text(link.labels[0], x + 0.42, level + 0.1, room, self.colours["accent"])
        for at, text in enumerate(below):
            self._text(text, x + 0.42, level - 0.11 - STEP_IN * at, room)
        if link.mark:
            self._text(link.mark, x + 0.42, level - 0.11 - STEP_IN * len(below), room, self.colours["short"])
        return level, min(low, level - STEP_IN * (len(below) + bool(link.mark))) - GAP_IN / 2

    def frame(self, low: float) -> None:
        """A frame without a stroke, so that the drawing's size does not hang on a guess of its lettering."""
        self.drawing += (
            elm.Rect(corner1=(0, 0), corner2=_at(self.width, low)).at((0, 0)).color(self.colours["paper"]).zorder(0)
        )

    def svg(self) -> str:
        """The drawing as text."""
        data: bytes = self.drawing.get_imagedata("svg")
        return data.decode()

    def _stroke(self, begin: tuple[float, float], end: tuple[float, float], weight: float) -> None:
        self.drawing += elm.Line().at(_at(*begin)).to(_at(*end)).linewidth(weight * self.scale)

    def _lines(self, lines: list[str], x: float, y: float, room: float) -> None:
        """Lines of lettering downward from a height, the first one a name."""
        for at, text in enumerate(lines):
            self._text(text, x, y - STEP_IN * at, room, self.colours["ink" if at else "accent"])

    def _wrapped(self, lines: Sequence[str], room: float) -> list[str]:
        """The lines, each broken between words where it is longer than the room."""
        found: list[str] = []
        for text in lines:
            row = ""
            for word in text.split():
                longer = f"{row} {word}".strip()
                row, full = (longer, "") if not row or self._fits(longer, room) else (word, row)
                found += [full] if full else []
            found.append(row)
        return found

    def _fits(self, text: str, room: float) -> bool:
        return _fit(text, room * POINTS, self.font, self.size) == text

    def _text(self, text: str, x: float, y: float, room: float, colour: str = "") -> None:
        plain = escape(_fit(" ".join(text.split()), room * POINTS, self.font, self.size), quote=False)
        lettering = _Lettering(plain.replace("$", "&#36;"), self.size * self.scale, self.font)
        self.drawing += lettering.at(_at(x, y)).theta(0).color(colour or self.colours["ink"])


def _at(x: float, y: float) -> tuple[float, float]:
    """A place in inches as schemdraw has it."""
    return (x * UNITS, y * UNITS)


def _fit(text: str, room_pt: float, font: str, size: float) -> str:
    """The text, or as much of it as fits with a sign that more follows."""
    look = FontProperties(family=font, size=size)
    for end in range(len(text), 0, -1):
        shown = text if end == len(text) else text[:end].rstrip() + "…"
        if text_to_path.get_text_width_height_descent(shown, look, ismath=False)[0] <= room_pt:
            return shown
    return "…"
