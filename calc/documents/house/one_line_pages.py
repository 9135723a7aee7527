"""A one-line diagram laid out on as many drawings as it takes: no more than three runs behind one another, nor more than a
page is tall. What does not fit goes on in a tree of its own, and both ends say so."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from textwrap import wrap

from calc.work.chart import Link, Node

DEEP = 3
TALL = 64
"""Lines of lettering, about, that a page holds."""
LETTERS = {0: 68, 1: 68, 2: 40}
"""Letters of one line beside a run, at the least, by how many runs are behind one another; 25 where they are more."""
GAP = 0.4
"""Lines between one thing and the next."""
GOES_ON, CONTINUED = "drawn on below", "continued"


def paged(trees: Sequence[Node]) -> list[list[Node]]:
    """Trees by drawing, each drawing no taller than a page."""
    pieces: list[Node] = []
    waiting = list(trees)
    while waiting:
        piece, rest = _cut(waiting.pop(0))
        pieces.append(piece)
        waiting = rest + waiting
    pages: list[list[Node]] = []
    for piece in pieces:
        if pages and sum(map(height, pages[-1])) + height(piece) <= TALL:
            pages[-1].append(piece)
        else:
            pages.append([piece])
    return pages


def height(tree: Node) -> float:
    """About how many lines of lettering a tree takes, in the order in which it is drawn."""
    return _extent(tree, LETTERS.get(_depth(tree), 25), 0.0)[1] + 2 * GAP


def _extent(node: Node, letters: int, clear: float) -> tuple[float, float]:
    """Where a node is reached and where all of it ends, below where it begins; ``clear`` is free above the first."""
    own = _lines(node.lines, letters + 5 if node.links else letters - 5)
    if not node.links:
        level = clear if node.kind in ("end", "earth") else max(clear, own / 2 + GAP / 2)
        return level, level + own / 2 + GAP / 2
    first, low, over = 0.0, 0.0, own + GAP
    for nth, link in enumerate(node.links):
        room = letters - 4 * len(link.ends)
        names = _lines(link.labels[:1], room)
        below = _lines([*link.labels[1:], link.mark], room)
        reached, ends = _extent(link.to, letters, max(clear, over + names + GAP))
        level = low + reached
        low = max(low + ends, level + below + GAP) + GAP / 2
        first, clear, over = (first if nth else level), 0.0, 0.0
    return first, low


def _lines(texts: Sequence[str], letters: int) -> int:
    return sum(len(wrap(text, letters)) for text in texts)


def _depth(node: Node) -> int:
    return max((1 + _depth(link.to) for link in node.links), default=0)


def _cut(tree: Node) -> tuple[Node, list[Node]]:
    """The tree cut to a page, and the trees that go on from it."""
    tree, rest = _shallow(tree, DEEP)
    while height(tree) > TALL:
        parts = list(_parts(tree))
        if not parts:
            break
        fits = [link for link in parts if height(tree) - height(link.to) + 2 <= TALL]
        later = [link for link in parts if link not in tree.links] or parts  # what hangs on the service stays with it
        cut = min(fits, key=lambda link: height(link.to)) if fits else max(later, key=lambda link: height(link.to))
        stub, further = _stub(cut)
        tree = _with(tree, cut, stub)
        rest = [*further, *rest]
    if height(tree) > TALL and len(tree.links) > 1:
        kept = _fitting(tree)
        more = Node(tree.kind, [f"{tree.lines[0]}, {CONTINUED}" if tree.lines else CONTINUED], tree.links[kept:])
        return replace(tree, links=tree.links[:kept]), [more, *rest]
    return tree, rest


def _parts(node: Node) -> Iterator[Link]:
    """The runs to whatever more hangs on, wherever they are in the tree."""
    for link in node.links:
        if link.to.links:
            yield link
            yield from _parts(link.to)


def _with(node: Node, old: Link, new: Link) -> Node:
    """The tree with one run in the place of another."""
    return replace(
        node, links=[new if link is old else replace(link, to=_with(link.to, old, new)) for link in node.links]
    )


def _fitting(tree: Node) -> int:
    """How many of the links of a node fit on a page; one at the least."""
    return max((n for n in range(1, len(tree.links)) if height(replace(tree, links=tree.links[:n])) <= TALL), default=1)


def _shallow(node: Node, deep: int) -> tuple[Node, list[Node]]:
    """The node with no more than so many runs behind one another, and the nodes that were cut off."""
    rest: list[Node] = []
    links = []
    for link in node.links:
        if deep == 1 and link.to.links:
            stub, further = _stub(link)
            rest += further
            links.append(stub)
        else:
            to, further = _shallow(link.to, deep - 1)
            rest += further
            links.append(replace(link, to=to))
    return replace(node, links=links), rest


def _stub(link: Link) -> tuple[Link, list[Node]]:
    """The run with its far end alone, and what hangs there as a tree."""
    to = link.to
    if to.kind == "bus":
        return replace(link, to=Node("bus", [to.lines[0], GOES_ON], [])), [to]
    name = f"{link.labels[0]}, {CONTINUED}"  # the end of a run that others are spliced to
    return replace(link, labels=[*link.labels, GOES_ON], to=Node("end", [], [])), [replace(to, lines=[name])]
