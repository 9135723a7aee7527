"""The plan of a room to scale: walls, doors, wall spaces, receptacles, and what is out of their reach."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from calc.families.receptacles.bathrooms import Basins
from calc.families.receptacles.counter_plan import counter_chart
from calc.families.receptacles.room import RoomWork
from calc.families.receptacles.shell import shell, wall_names
from calc.families.receptacles.sketch import Sketch
from calc.families.receptacles.tally import present
from calc.families.receptacles.wall_line import WallLine
from calc.families.receptacles.wall_spaces import WallPlan, WallSpace
from calc.job import Outlet, Room, format_length, place
from calc.work.chart import Chart, Drawing, Point, SignName

OUT_OF_REACH = 1  # fill
SIGN, GAP, SPACE, SPACE_NAME = 0.9, 2.4, 3.8, 4.9  # rows into the room
Key = list[tuple[int | str, str]]


def charts(found: RoomWork) -> list[Chart]:
    """The plan of the room, where its walls are entered, and its counters."""
    drawn = []
    if found.walls is not None:
        drawn.append(_walls(found.room, found.walls))
    elif found.basins is not None and found.basins.line is not None:
        drawn.append(_bathroom(found.room, found.basins, found.basins.line))
    if found.counters:
        drawn.append(counter_chart(found.room, found.counters))
    return drawn


def _walls(room: Room, plan: WallPlan) -> Chart:
    sketch = Sketch(plan.line)
    shell(sketch)
    marked = [at % plan.line.around for at in [*plan.placed, *map(plan.line.of, plan.counted)]]
    for space in plan.spaces:
        if space.spaced is not None:
            _space(sketch, space, space.spaced.name, marked)
    for begin, end in plan.gaps:
        _gap(sketch, begin, end)
    marks = {o.at: o.mark for space in plan.spaces if space.spaced for o in space.spaced.served}
    key = _receptacles(sketch, room, plan.counted, marks, plan.placed)
    if plan.gaps:
        key.append((OUT_OF_REACH, "gap: out of reach of every receptacle"))
    wall_names(sketch)
    return _chart(sketch, room, key, " ".join(_words(room, plan)))


def _bathroom(room: Room, basins: Basins, line: WallLine) -> Chart:
    sketch = Sketch(line)
    shell(sketch)
    for number in range(len(room.basins)):
        begin, end = basins.span(number)
        sketch.band(begin, end, 0.0, 1.5, None)
        sketch.text((begin + end) / 2, SPACE, f"basin {number + 1}", sketch.wall_of(begin, end))
    key = _receptacles(sketch, room, basins.counted, {}, basins.placed)
    wall_names(sketch)
    said = "; ".join(basins.where(at) for at in basins.placed or map(basins.of, basins.counted))
    alt = f"{room.name} with {len(room.basins)} basins. {f'Receptacles at {said}' if said else 'No receptacle counts'}."
    return _chart(sketch, room, key, alt)


def _chart(sketch: Sketch, room: Room, key: Key, alt: str) -> Chart:
    return Chart(f"Plan: {room.name}", alt, Drawing("ft", sketch.shapes, key))


def _space(sketch: Sketch, found: WallSpace, name: str, marked: Sequence[float]) -> None:
    """A line beside the wall from end to end of the space, around corners, with its name on its longest stretch.

    ``marked`` are the places where a mark stands in the room.
    """
    offset = SPACE * sketch.row
    begins = sketch.line.begins
    stretches = sketch.line.all_around(0.0).stretches if found.space.loop else found.space.stretches
    first, last = stretches[0], stretches[-1]
    points: list[Point] = [sketch.point(begins[first.wall] + first.begin, offset, first.wall)]
    for stretch, after in pairwise(stretches):
        if after.wall == stretch.wall:  # one wall alone, walked past its end into its start
            sketch.draw_line(
                *points, sketch.point(begins[stretch.wall] + stretch.end, offset, stretch.wall), weight=0.8
            )
            points = [sketch.point(begins[after.wall] + after.begin, offset, after.wall)]
        else:
            points.append(sketch.joint(stretch.wall, offset))
    sketch.draw_line(*points, sketch.point(begins[last.wall] + last.end, offset, last.wall), weight=0.8)
    if not found.space.loop:
        _tick(sketch, begins[first.wall] + first.begin, first.wall)
        _tick(sketch, begins[last.wall] + last.end, last.wall)
    longest = max(stretches, key=lambda s: s.end - s.begin)
    low = longest.begin + (12 * offset if longest is not first else 0)
    high = longest.end - (12 * offset if longest is not last else 0)
    text = f"{name.removeprefix('wall ')}: {format_length(found.space.length)}"
    at = sketch.clear_of(marked, begins[longest.wall] + low, begins[longest.wall] + high, text)
    sketch.text(at, SPACE_NAME, text, longest.wall)


def _tick(sketch: Sketch, at: float, wall: int) -> None:
    near, far = ((SPACE + side * 0.5) * sketch.row for side in (-1, 1))
    sketch.draw_line(sketch.point(at, near, wall), sketch.point(at, far, wall), weight=0.8)


def _gap(sketch: Sketch, begin: float, end: float) -> None:
    """What is out of reach: a hatched strip along the wall, with its length on its longest piece."""
    pieces = list(sketch.pieces(begin, end))
    for low, high in pieces:
        sketch.band(low, high, 0.0, 1.3 * sketch.row, OUT_OF_REACH)
    low, high = max(pieces, key=lambda piece: piece[1] - piece[0])
    wall = sketch.wall_of(low, high)
    sketch.text((low + high) / 2, GAP, f"gap {format_length(end - begin)}", wall, bold=True)


def _receptacles(
    sketch: Sketch, room: Room, counted: Sequence[Outlet], marks: Mapping[str, str], placed: Sequence[float]
) -> Key:
    """The receptacles by their signs, those that count with their marks; gives the key of the signs that are used."""
    key: dict[int | str, str] = {}
    for at in placed:
        sketch.sign(at, SIGN * sketch.row, "bars")
        sketch.mark(at, SIGN * sketch.row, sketch.line.from_left(at))
        key["bars"] = "place for a receptacle, from the left end of its wall"
    for outlet in present(room.outlets):
        if outlet.at_ft is None:
            continue
        at = sketch.line.of(outlet)
        sign: SignName = "bars"
        said = "receptacle"
        if outlet not in counted:
            sign, said = "cross", "receptacle that doesn't count"
        elif outlet.from_wall_in is not None:
            sign, said = "square bars", "receptacle in the floor"
        key[sign] = said
        offset = outlet.from_wall_in / 12 if sign == "square bars" and outlet.from_wall_in else SIGN * sketch.row
        sketch.sign(at, offset, sign)
        if mark := marks.get(place(outlet, "at_ft")):
            sketch.mark(at, offset, mark)
    return list(key.items())


def _words(room: Room, plan: WallPlan) -> Iterator[str]:
    """What the plan shows, in sentences."""
    line = plan.line
    walls = ", ".join(f"{line.label(n)} {format_length(length)}" for n, length in enumerate(line.lengths))
    yield f"{room.name}: {walls}."
    for found in plan.spaces:
        if found.spaced is None:
            continue
        held = "; ".join(f"{o.mark} at {o.where}" for o in found.spaced.served)
        yield f"{found.spaced.name.capitalize()}, {format_length(found.space.length)}{f': {held}' if held else ''}."
    if plan.placed:
        yield f"Places for receptacles: {'; '.join(map(line.where, plan.placed))}."
    for begin, end in plan.gaps:
        yield f"Out of reach: {line.reach(begin, end)}."
