"""One-line diagrams: sources, meters, buses and the runs between them, from left to right, with every word in its room."""

from __future__ import annotations

from collections.abc import Sequence

from calc.show.lettering import broken
from calc.show.svg import THIN, Canvas
from calc.work.chart import Link, Node, OneLine

WIDTH_PT = 504.0  # the text of a letter page
TALL_PT = 650.0
STEP_PT = 10.4  # from one line of lettering to the next
GAP_PT = 4.0
INSET_PT = 18.0  # from the left edge to the first bus
ASIDE_PT = 104.0  # for the lettering of a bus that nothing leaves, in the last column
START_PT = 30.0  # from a bus to the lettering of what leaves it
SIGN_PT = 17.0  # what a sign on the line takes
BUS = 3.0


def one_line(data: OneLine) -> str:
    """The diagram as SVG text, as wide as a page, as tall as its lines make it."""
    deep = max(_depth(tree) for tree in data.trees)
    aside = ASIDE_PT if any(_ends_in_bus(tree, deep) for tree in data.trees) else GAP_PT
    pen = _Pen((WIDTH_PT - INSET_PT - aside) / max(deep, 1))
    low = 0.0
    for tree in data.trees:
        _, low = pen.node(tree, INSET_PT, low + GAP_PT)
    return pen.svg(WIDTH_PT, low + GAP_PT, TALL_PT)


def _depth(node: Node) -> int:
    return max((1 + _depth(link.to) for link in node.links), default=0)


def _ends_in_bus(node: Node, deep: int) -> bool:
    """Whether a bus without a run of its own stands in the last column."""
    if deep == 0:
        return node.kind in ("bus", "source")
    return any(_ends_in_bus(link.to, deep - 1) for link in node.links)


class _Pen(Canvas):
    """Draws nodes and links downward from where the last one ended; heights go down, as SVG has them."""

    def __init__(self, column: float) -> None:
        super().__init__()
        self.column = column

    def node(self, node: Node, x: float, top: float, clear: float = 0.0) -> tuple[float, float]:
        """Draw a node and all beyond it. Gives the height at which it is reached, and where it ends below.

        ``clear`` is what has to stay free between ``top`` and that height, for lettering farther left.
        """
        if not node.links:
            return self._last(node, x, top, clear)
        lines = self._lines(node.lines, self.column - GAP_PT)
        levels: list[float] = []
        low = top
        over = STEP_PT * len(lines) + 3
        for link in node.links:
            level, low = self._link(link, x, low, clear, over)
            levels.append(level)
            clear = over = 0.0
        above = levels[0] - 8.5 - STEP_PT * len(self._names(node.links[0]))
        for nth, text in enumerate(lines):
            self.text(text, x - 1, above - STEP_PT * (len(lines) - 1 - nth), "ink" if nth else "accent")
        if node.kind == "bus":
            self._line(x, levels[0] - 7, x, levels[-1] + 7, BUS)
        elif len(levels) > 1:
            self._line(x, levels[0], x, levels[-1])
        if node.kind == "source":
            self._transformer(x, levels[0])
        return levels[0], low

    def _last(self, node: Node, x: float, top: float, clear: float) -> tuple[float, float]:
        """A node that nothing leaves: a bus with its lettering beside it, the earth, or a load."""
        if node.kind in ("end", "earth"):
            level = top + clear
            (self._earth if node.kind == "earth" else self._dot)(x, level)
            return level, level + (GAP_PT if node.kind == "earth" else 0.0)
        lines = self._lines(node.lines, min(self.column, WIDTH_PT - x) - GAP_PT)
        tall = STEP_PT * len(lines)
        level = top + max(clear, tall / 2 + GAP_PT / 2)
        self._line(x, level - 9, x, level + 9, BUS)
        if node.kind == "source":
            self._transformer(x, level)
        for nth, text in enumerate(lines):
            self.text(text, x + GAP_PT, level - tall / 2 + STEP_PT * (nth + 0.5), "ink" if nth else "accent")
        return level, level + tall / 2 + GAP_PT / 2

    def _names(self, link: Link) -> list[str]:
        return self._lines(link.labels[:1], self._room(link))

    def _room(self, link: Link) -> float:
        """For the lettering of a run: up to the signs at its far end."""
        return self.column - START_PT - 2 - SIGN_PT * len(link.ends)

    def _link(self, link: Link, x: float, top: float, clear: float, over: float) -> tuple[float, float]:
        """A run: its name above the line, what it is made of below, then what it feeds."""
        room = self._room(link)
        names, below = self._names(link), self._lines(link.labels[1:], room)
        marks = self._lines([link.mark] if link.mark else [], room)
        far = x + self.column
        level, low = self.node(link.to, far, top, max(clear, over + STEP_PT * len(names) + GAP_PT))
        begin = x
        if link.breaker:
            self._line(x, level, x + 6, level)
            self._breaker(x + 6, level)
            begin = x + 6 + SIGN_PT
        end = far
        for sign in reversed(link.ends):
            end -= SIGN_PT
            {"meter": self._meter, "breaker": self._breaker}[sign](end, level)
        self._line(begin, level, end, level)
        for nth, text in enumerate(names):
            self.text(text, x + START_PT, level - 5.5 - STEP_PT * (len(names) - 1 - nth), "accent")
        for nth, text in enumerate([*below, *marks]):
            self.text(text, x + START_PT, level + 8 + STEP_PT * nth, "ink" if nth < len(below) else "short")
        return level, max(low, level + 8 + STEP_PT * (len(below) + len(marks)) - STEP_PT / 2) + GAP_PT / 2

    def _lines(self, texts: Sequence[str], room: float) -> list[str]:
        return [line for text in texts for line in broken(text, room, self.size)]

    def _line(self, x1: float, y1: float, x2: float, y2: float, weight: float = THIN) -> None:
        self.stroke((x1, y1), (x2, y2), weight=weight)

    def _transformer(self, x: float, y: float) -> None:
        """Two circles that overlap: the drafting sign of a transformer."""
        self.circles(((x - 11.5, y, 5.5), (x - 5.5, y, 5.5)))

    def _breaker(self, x: float, y: float) -> None:
        """Two contacts under an arc."""
        self.circles(((x + 1.5, y, 1.5), (x + SIGN_PT - 1.5, y, 1.5)), self.colours["paper"])
        arc = f"M{x + 1:.1f} {y - 3:.1f}Q{x + SIGN_PT / 2:.1f} {y - 9:.1f} {x + SIGN_PT - 1:.1f} {y - 3:.1f}"
        self.path(arc)

    def _meter(self, x: float, y: float) -> None:
        """A circle with an M."""
        self.circles(((x + SIGN_PT / 2, y, SIGN_PT / 2),), self.colours["paper"])
        self.text("M", x + SIGN_PT / 2 - 3.7, y, "ink")

    def _dot(self, x: float, y: float) -> None:
        self.circles(((x, y, 2.2),), self.colours["paper"])

    def _earth(self, x: float, y: float) -> None:
        """Three lines, each shorter than the one before."""
        for at, half in ((0.0, 6.0), (2.6, 4.0), (5.2, 2.0)):
            self._line(x + at, y - half, x + at, y + half)
