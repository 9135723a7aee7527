"""The counters of a kitchen to scale, each by itself: what breaks them, their spaces, receptacles, what is out of reach."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from calc.families.receptacles.counters import CounterPlan, along
from calc.families.receptacles.sketch import LETTER
from calc.job import Counter, CounterOutlet, Room, format_length, place
from calc.work.chart import Area, Chart, Drawing, Lettering, Shape, Sign, SignName, Stroke

OUT_OF_REACH, BREAK = 1, 3  # fills
DEPTH_IN = 25.0  # of a counter whose depth is not entered
ROWS_WIDE = 46.0


class Sheet:
    """A drawing of counters under way, one below the other; inches, y upward from the front edge of each."""

    def __init__(self, wide: float, rows: float) -> None:
        self.shapes: list[Shape] = []
        self.row = wide / rows
        self.base = 0.0

    def area(
        self, low: float, high: float, front: float, back: float, look: int | None = None, label: str = ""
    ) -> None:
        """A rectangle, filled or in outline, with its name in it."""
        points = [(x, self.base + y) for x, y in ((low, front), (high, front), (high, back), (low, back))]
        self.shapes.append(Area(points, look, label))

    def text(self, x: float, y: float, text: str, bold: bool = False) -> None:
        """A line of text."""
        self.shapes.append(Lettering((x, self.base + y), text, bold=bold))

    def line(self, x0: float, y0: float, x1: float, y1: float, weight: float) -> None:
        """A straight line."""
        self.shapes.append(Stroke([(x0, self.base + y0), (x1, self.base + y1)], weight))

    def sign(self, x: float, y: float, sign: SignName) -> None:
        """A sign."""
        self.shapes.append(Sign((x, self.base + y), sign))


Tag = Callable[[CounterOutlet], str]


def counter_chart(
    room: Room,
    plans: Sequence[CounterPlan],
    tag: Tag | None = None,
    rows: float = ROWS_WIDE,
    width_in: float | None = None,
) -> Chart:
    """All counters of a room, the first on top. ``tag`` says what stands by each receptacle in place of its mark, ``rows``
    how many lines of text the drawing is wide, ``width_in`` how wide that is on paper.
    """
    wide = max(plan.counter.length_in for plan in plans)
    sheet = Sheet(max(wide, 48.0), rows)
    key: dict[int | str, str] = {}
    for plan in plans:
        sheet.base -= _depth(plan.counter) + 1.2 * sheet.row + _title(plan, tag) * sheet.row
        _counter(sheet, plan, key, tag)
        sheet.base -= 3 * sheet.row
    return Chart(
        f"Counters: {room.name}",
        " ".join(_words(room, plans)),
        Drawing("in", sheet.shapes, tuple(key.items()), width_in=width_in),
    )


def _depth(counter: Counter) -> float:
    return counter.depth_in or DEPTH_IN


def _title(plan: CounterPlan, tag: Tag | None) -> float:
    """How many rows above a counter its title stands: over two rows of texts by receptacles, where they say more."""
    return 3.8 if tag is None else 5.3 if plan.counter.outlets else 1.3


def _counter(sheet: Sheet, plan: CounterPlan, key: dict[int | str, str], tag: Tag | None) -> None:
    counter, row, depth = plan.counter, sheet.row, _depth(plan.counter)
    at_wall = counter.kind == "wall"
    title = f"{plan.name}, {format_length(counter.length_in)}"
    middle = max(counter.length_in / 2, len(title) * LETTER / 2 * row)
    sheet.text(middle, depth + _title(plan, tag) * row, title, bold=True)
    if plan.said and tag is None:
        sheet.text(counter.length_in / 2, depth + 2.2 * row, plan.said)
    sheet.area(0, counter.length_in, 0, depth)
    if at_wall:
        sheet.line(0, depth, counter.length_in, depth, 4.0)
    for end, x in ((counter.left_end_in, 0.0), (counter.right_end_in, counter.length_in)):
        if end:
            sheet.line(x, depth - end, x, depth, 4.0)
    for item in counter.breaks:
        back = depth - (item.behind_in or 0.0)
        sheet.area(item.at_in, item.at_in + item.width_in, 0.0, back, BREAK, item.kind)
    free = [0.0] * len(plan.gaps)  # how far each row of labels is taken
    for low, high in sorted(plan.gaps):
        _gap(sheet, counter.length_in, depth, low, high, free, told=tag is None)
        key[OUT_OF_REACH] = "gap: out of reach of every receptacle"
    for space in plan.spaces:
        _space(sheet, space.begin, space.end, space.spaced is not None)
    _receptacles(sheet, plan, key, tag)


def _gap(sheet: Sheet, length: float, depth: float, low: float, high: float, free: list[float], told: bool) -> None:
    """A gap along the back, and the parts of it on the walls at the ends of the counter; its length, if ``told``, in a free
    row."""
    reach = 1.3 * sheet.row
    begin, end = max(low, 0.0), min(high, length)
    if end > begin:
        sheet.area(begin, end, depth - reach, depth, OUT_OF_REACH)
    if low < 0:
        sheet.area(0, reach, depth + low, depth + min(high, 0.0), OUT_OF_REACH)
    if high > length:
        sheet.area(length - reach, length, depth + length - high, depth + length - max(low, length), OUT_OF_REACH)
    if not told:
        return
    said, middle = f"gap {format_length(high - low)}", (low + high) / 2
    half = (len(said) * LETTER / 2 + 1.5) * sheet.row
    x = min(max(middle, half), length - half)
    if not 0 <= middle <= length:  # on a wall at an end: beside it there
        x += 1.3 * sheet.row if middle < 0 else -1.3 * sheet.row
        sheet.text(x, depth + (middle if middle < 0 else length - middle), said, bold=True)
        return
    row = next((n for n, taken in enumerate(free) if x - half >= taken), len(free) - 1)
    free[row] = x + half
    sheet.text(x, depth - (2.4 + 1.5 * row) * sheet.row, said, bold=True)


def _space(sheet: Sheet, low: float, high: float, counts: bool) -> None:
    """The length of a space along the front edge."""
    y = -1.0 * sheet.row
    sheet.line(low, y, high, y, 0.8)
    for x in (low, high):
        sheet.line(x, y - 0.4 * sheet.row, x, y + 0.4 * sheet.row, 0.8)
    said = format_length(high - low) + ("" if counts else ", too short")
    sheet.text((low + high) / 2, y - 1.1 * sheet.row, said)


def _receptacles(sheet: Sheet, plan: CounterPlan, key: dict[int | str, str], tag: Tag | None) -> None:
    y = _depth(plan.counter) + (0.9 * sheet.row if plan.counter.kind == "wall" else -1.1 * sheet.row)
    length = plan.counter.length_in
    for at in plan.placed:
        _sign(sheet, length, y, at, "bars", format_length(max(-at, at - length) if not 0 <= at <= length else at))
        key["bars"] = "place for a receptacle, from the left end or the corner"
    marks = {o.at: o.mark for space in plan.spaces if space.spaced for o in space.spaced.served}
    free = float("-inf")  # up to where the first row of texts is taken
    for outlet in sorted(
        (o for o in plan.counter.outlets if o.status != "removed"), key=lambda o: along(plan.counter, o)
    ):
        sign: SignName = "bars" if outlet in plan.counted else "cross"
        key[sign] = "receptacle" if sign == "bars" else "receptacle that doesn't count"
        text = marks.get(place(outlet, "at_in"), "") if tag is None else tag(outlet)
        at, half = along(plan.counter, outlet), (len(text) * LETTER / 2 + 0.4) * sheet.row
        above = at - half < free
        free = max(free, at + half) if not above else free
        _sign(sheet, length, y, at, sign, text, 2.6 if above else 1.3)


def _sign(sheet: Sheet, length: float, y: float, at: float, sign: SignName, text: str, up: float = 1.3) -> None:
    """A receptacle at the back of the counter, or on the wall at one of its ends, with a text beside it."""
    if 0 <= at <= length:
        sheet.sign(at, y, sign)
        sheet.text(at, y + up * sheet.row, text)
        return
    down, end, way = (-at, 0.0, -1) if at < 0 else (at - length, length, 1)
    sheet.sign(end + way * 0.9 * sheet.row, y - 0.9 * sheet.row - down, sign)
    sheet.text(end + way * (2.2 + len(text) * LETTER / 2) * sheet.row, y - 0.9 * sheet.row - down, text)


def _words(room: Room, plans: Sequence[CounterPlan]) -> Iterator[str]:
    """What the drawing shows, in sentences."""
    yield f"Counters of the {room.name}, each by itself."
    for plan in plans:
        counter = plan.counter
        breaks = ", ".join(f"{b.kind} at {format_length(b.at_in)}" for b in counter.breaks)
        spaces = ", ".join(
            format_length(s.end - s.begin) + ("" if s.spaced else " (too short to count)") for s in plan.spaces
        )
        parts = [f"{plan.name}, {format_length(counter.length_in)}", breaks and f"broken by {breaks}",
                 spaces and f"spaces {spaces}", plan.said]  # fmt: skip
        yield "; ".join(part for part in parts if part) + "."
        if plan.placed:
            yield f"Places for receptacles: {', '.join(map(plan.where, plan.placed))}."
        if plan.counted:
            yield f"Receptacles: {'; '.join(plan.where(along(counter, o)) for o in plan.counted)}."
        for gap in plan.gap_words:
            yield f"Out of reach: {gap}."
