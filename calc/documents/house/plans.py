"""Plans of the rooms, small enough for four to a page: at each receptacle its circuit and protection; the key once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import cos, radians

from calc.families.branch_circuits.worked import all_circuits
from calc.families.receptacles import FAMILY
from calc.families.receptacles.bathrooms import Basins
from calc.families.receptacles.counter_plan import counter_chart
from calc.families.receptacles.room import RoomWork, rooms
from calc.families.receptacles.shell import shell, wall_names
from calc.families.receptacles.sketch import LETTER, Sketch
from calc.families.receptacles.tally import present
from calc.families.receptacles.wall_line import WallLine
from calc.job import Circuit, CounterOutlet, Outlet, Room, format_length
from calc.verdict.standing import Standing
from calc.wiring.house import House
from calc.work.chart import Area, Chart, Drawing, Lettering, Sign, SignName

WIDTH_IN, HEIGHT_IN = 3.35, 3.7
ROWS = (23.0, 25.0, 8.5)
"""Lines of lettering across and down such a plan, and those beside the room."""
SIGN, TALL = 0.9, 0.55  # of a sign from its wall, and half of a line of lettering, in rows
OUT_OF_REACH = 1  # fill
BOTH = "dual-function"
NOT_STATED, PROPOSED = "?", "*"
SIGNS: tuple[tuple[int | str, str], ...] = (
    ("bars", "receptacle; by it the space of its circuit in the panel"),
    ("square bars", "receptacle in the floor"),
    ("cross", "receptacle that doesn't count"),
    (OUT_OF_REACH, "out of reach of every receptacle"),
)
MARKS = {NOT_STATED: f"{NOT_STATED}: circuit not stated", PROPOSED: f"{PROPOSED}: proposed, not accepted"}
Box = tuple[float, float, float, float]


def plans(house: House, standing: Standing) -> list[Chart]:
    """The plan of each room in scope whose walls are entered, the counters of each kitchen, and what the signs mean."""
    scope = {sheet.subject for sheet in standing.sheets.get(FAMILY, ())}
    tags = _Tags(house)
    found = [chart for room in rooms(house) if room.room.name in scope for chart in _drawn(room, tags)]
    return [*found, _key(tags, found)] if found else []


def _drawn(found: RoomWork, tags: _Tags) -> Iterator[Chart]:
    if found.walls is not None:
        yield _plan(found.room, found.walls.line, found.walls.counted, found.walls.placed, tags, found.walls.gaps)
    elif found.basins is not None and found.basins.line is not None:
        yield _plan(found.room, found.basins.line, found.basins.counted, found.basins.placed, tags, (), found.basins)
    if found.counters:
        chart = counter_chart(found.room, found.counters, tags.of, ROWS[0], WIDTH_IN)
        assert isinstance(chart.data, Drawing)
        said = " ".join(
            f"At {plan.name}: {tags.of(outlet)}." for plan in found.counters for outlet in plan.counter.outlets
        )
        shapes = Drawing(chart.data.unit, chart.data.shapes, (), chart.data.height_in, WIDTH_IN)
        yield Chart(chart.title, f"{chart.alt} {said}".strip(), shapes, found.room.name)


class _Tags:
    """What stands by a receptacle: the number of its circuit, and how it is protected."""

    def __init__(self, house: House) -> None:
        self.circuits: Mapping[str, Circuit] = {c.name: c for c in house.job.circuits}
        works = [work for work, _ in all_circuits(house).panels]
        self.spaces = {
            b.entry.name: work.layout.spaces[b.entry.name]
            for work in works for b in work.breakers
            if b.entry.name in work.layout.spaces and not (b.entry.stays and not b.entry.positions)
        }  # fmt: skip
        self.unnumbered: dict[str, str] = {}
        """Circuits without a place in a panel, by the letter that stands for each."""

    def of(self, outlet: Outlet | CounterOutlet) -> str:
        """'19 AF', '3 AF GF'; '?' where nobody says which circuit it is on; with a star where it is proposed alone."""
        circuit = self.circuits.get(outlet.circuit or "")
        number = NOT_STATED if circuit is None else self._number(circuit)
        star = PROPOSED if outlet.proposed else ""
        return " ".join(part for part in (number + star, _protection(outlet, circuit)) if part)

    def _number(self, circuit: Circuit) -> str:
        if circuit.name in self.spaces:
            return f"{self.spaces[circuit.name][0]}{circuit.tandem or ''}"
        letters = {name: letter for letter, name in self.unnumbered.items()}
        if circuit.name not in letters:
            nth = len(letters)
            letters[circuit.name] = chr(65 + nth % 26) * (1 + nth // 26)
            self.unnumbered[letters[circuit.name]] = circuit.name
        return letters[circuit.name]


def _protection(outlet: Outlet | CounterOutlet, circuit: Circuit | None) -> str:
    """AFCI and GFCI protection of a receptacle: its own, or that of its breaker or of the first outlet."""
    said = []
    for short, kind, own in (("AF", "arc-fault", outlet.arc_fault), ("GF", "ground-fault", outlet.ground_fault)):
        there = circuit is not None and {circuit.breaker_type, circuit.first_outlet} & {kind, BOTH}
        if own or (own is None and there):
            said.append(short)
    return " ".join(said)


def _plan(
    room: Room, line: WallLine, counted: Sequence[Outlet], placed: Sequence[float], tags: _Tags,
    gaps: Sequence[tuple[float, float]], basins: Basins | None = None,
) -> Chart:  # fmt: skip
    sketch = Sketch(line, ROWS)
    shell(sketch)
    for number in range(len(room.basins) if basins is not None else 0):
        begin, end = basins.span(number) if basins is not None else (0.0, 0.0)
        sketch.band(begin, end, 0.0, 1.5, None)
    for begin, end in gaps:
        for low, high in sketch.pieces(begin, end):
            sketch.band(low, high, 0.0, 1.1 * sketch.row, OUT_OF_REACH)
    labels = _Labels(sketch)
    said = []
    for at in placed:
        labels.sign(at, SIGN * sketch.row, "bars")
    for outlet in present(room.outlets):
        if outlet.at_ft is None:
            continue
        at = line.of(outlet)
        floor = outlet.from_wall_in / 12 if outlet.from_wall_in else None
        sign: SignName = "cross" if outlet not in counted else "square bars" if floor else "bars"
        labels.sign(at, floor or SIGN * sketch.row, sign)
    for at in placed:
        labels.tag(at, SIGN * sketch.row, "place")
    for outlet in present(room.outlets):
        if outlet.at_ft is None:
            continue
        at, tag = line.of(outlet), tags.of(outlet)
        labels.tag(at, outlet.from_wall_in / 12 if outlet.from_wall_in else SIGN * sketch.row, tag)
        said.append(f"{line.where(at)}: {tag}")
    wall_names(sketch)
    walls = ", ".join(f"{line.label(n)} {format_length(length)}" for n, length in enumerate(line.lengths))
    alt = f"{room.name}: {walls}. {f'Receptacles: {chr(59).join(said)}.' if said else 'No receptacle is entered.'}"
    short = f" Out of reach: {', '.join(format_length(end - begin) for begin, end in gaps)}." if gaps else ""
    return Chart(f"Plan: {room.name}", alt + short, Drawing("ft", sketch.shapes, (), HEIGHT_IN, WIDTH_IN), room.name)


class _Labels:
    """Signs on a plan, and what stands by each of them where nothing else does."""

    def __init__(self, sketch: Sketch) -> None:
        self.sketch = sketch
        self.taken: list[Box] = [*sketch.walls]

    def sign(self, at: float, offset: float, sign: SignName) -> None:
        """A receptacle."""
        row, (x, y) = self.sketch.row, self.sketch.point(at, offset)
        self.sketch.shapes.append(Sign((x, y), sign))
        self.taken.append((x - 0.5 * row, y - 0.75 * row, x + 0.5 * row, y + 0.75 * row))

    def tag(self, at: float, offset: float, text: str) -> None:
        """Its text, in front of it or, where that is taken, farther in or to its side."""
        sketch, row = self.sketch, self.sketch.row
        half = (len(text) * LETTER / 2 + 0.2) * row
        sideways = abs(cos(radians(sketch.turn(sketch.line.wall_at(at % sketch.line.around))))) < 0.5
        tries = [
            (inward + (0.7 * row + half if sideways else 1.35 * row), along)
            for inward in (0.0, 1.2 * row, 2.4 * row, 3.6 * row)
            for along in (0.0, 1.2 * row, -1.2 * row, 2.4 * row, -2.4 * row)
        ]
        number = sketch.line.wall_at(at % sketch.line.around)
        begin = at % sketch.line.around - sketch.line.begins[number]
        boxes = [
            self._box(at, offset + inward, along, half)
            for inward, along in tries
            if not along or TALL * row < (begin / 12 + along) < sketch.line.lengths[number] / 12 - TALL * row
        ]
        box = next((each for each in boxes if not any(_meet(each, other) for other in self.taken)), boxes[0])
        self.taken.append(box)
        sketch.shapes.append(Lettering(((box[0] + box[2]) / 2, (box[1] + box[3]) / 2), text, reach=(box[:2], box[2:])))

    def _box(self, at: float, offset: float, along: float, half: float) -> Box:
        number = self.sketch.line.wall_at(at % self.sketch.line.around)
        x, y = self.sketch.point(at % self.sketch.line.around + 12 * along, offset, number)
        tall = TALL * self.sketch.row
        return x - half, y - tall, x + half, y + tall


def _meet(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _key(tags: _Tags, plans: Sequence[Chart]) -> Chart:
    """What the signs and the letters by them mean, once for all plans, as far as they are on them."""
    drawn = [shape for chart in plans if isinstance(chart.data, Drawing) for shape in chart.data.shapes]
    there = {shape.sign if isinstance(shape, Sign) else shape.look for shape in drawn if isinstance(shape, Sign | Area)}
    key = [(sign, text) for sign, text in SIGNS if sign in there]
    texts = [shape.text.split()[0] for shape in drawn if isinstance(shape, Lettering)]
    said = ["AF, GF: AFCI, GFCI protection, wherever it is"]
    said += [text for mark, text in MARKS.items() if any(mark in (each[0], each[-1]) for each in texts)]
    said = ["; ".join(said), *(f"{letter}: {name}" for letter, name in tags.unnumbered.items())]
    words = "; ".join([*(text for _, text in key), *said])
    return Chart(
        "Key to the plans", f"{words}.", Drawing("ft", (), [*key, *(("", text) for text in said)], width_in=WIDTH_IN)
    )
