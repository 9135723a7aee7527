"""Plans: circuit and protection at each receptacle, no text on another or on a wall, doors clear of cabinets, one key."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from itertools import combinations
from math import cos, radians, sin

import pytest
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import text_to_path

from calc.documents.house import plans
from calc.families.receptacles.room import rooms
from calc.families.receptacles.shell import shell
from calc.families.receptacles.sketch import Sketch
from calc.show.charts import draw
from calc.work.chart import Area, Chart, Drawing, Lettering, Stroke
from tests.documents.houses import demo, with_changes

SVG = "{http://www.w3.org/2000/svg}"
HOUSES = ("fernhollow-lot-12", "fernhollow-lot-14")
Box = tuple[float, float, float, float]


def charts(name: str) -> dict[str, Chart]:
    return {chart.title: chart for chart in plans(*demo(name))}


def texts(chart: Chart) -> list[tuple[str, Box]]:
    """Each text of a drawing with what it takes on paper."""
    found = []
    for text in ET.fromstring(draw(chart)).iter(f"{SVG}text"):
        size = float(text.attrib["font-size"])
        assert size >= 8
        look = FontProperties(family=text.attrib["font-family"], size=size, weight=text.get("font-weight", "normal"))
        wide = text_to_path.get_text_width_height_descent(text.text or "", look, ismath=False)[0]
        x, y = float(text.attrib["x"]), float(text.attrib["y"]) - 0.35 * size
        turn = text.get("transform", "rotate(0 ").removeprefix("rotate(").split()[0]
        half, tall = wide / 2, size * 0.42
        if text.get("text-anchor") != "middle":
            x += half
        way = radians(float(turn))
        across, down = abs(cos(way)) * half + abs(sin(way)) * tall, abs(sin(way)) * half + abs(cos(way)) * tall
        found.append((text.text or "", (x - across, y - down, x + across, y + down)))
    return found


def meet(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


@pytest.mark.parametrize("name", HOUSES)
def test_every_room_with_walls_in_scope_is_drawn_once(name: str) -> None:
    """And each kitchen's counters; then one key for all."""
    house, _ = demo(name)
    wanted = [f"Plan: {room.room.name}" for room in rooms(house) if room.walls or (room.basins and room.basins.line)]
    wanted += [f"Counters: {room.room.name}" for room in rooms(house) if room.counters]
    found = [chart.title for chart in plans(*demo(name))]
    assert sorted(found) == sorted([*wanted, "Key to the plans"])
    assert all(not chart.data.key for chart in plans(*demo(name))[:-1] if isinstance(chart.data, Drawing))


@pytest.mark.parametrize("name", HOUSES)
def test_no_text_lies_on_another_or_outside(name: str) -> None:
    """At the size that goes four to a page, every word is legible by itself."""
    for chart in plans(*demo(name)):
        root = ET.fromstring(draw(chart))
        width, height = map(float, root.attrib["viewBox"].split()[2:])
        assert width <= 3.4 * 72
        found = texts(chart)
        for text, box in found:
            inside = (box[0] >= -1, box[2] <= width + 1, box[1] >= -1, box[3] <= height + 1)
            assert inside == (True,) * 4, (chart.title, text, box)
        for (one, a), (two, b) in combinations(found, 2):
            assert not meet(a, b), (chart.title, one, two)


def test_each_receptacle_says_its_circuit_and_protection() -> None:
    """Circuit 19 has an AFCI breaker; the kitchen's receptacles are GFCI protected too."""
    found = charts("fernhollow-lot-14")
    said = [text for text, _ in texts(found["Plan: Family room"])]
    assert said.count("19 AF") == 6
    assert {"3 AF GF", "1 AF GF"} <= {text for text, _ in texts(found["Counters: Kitchen"])}
    assert "19 AF" in found["Plan: Family room"].alt


def test_a_circuit_that_nobody_states_is_a_question() -> None:
    """A receptacle without a circuit is not drawn as if it had one."""
    house, stands = with_changes("fernhollow-lot-14", {"rooms[1].outlets[1].circuit": None})
    (chart,) = [chart for chart in plans(house, stands) if chart.title == "Plan: Family room"]
    said = [text for text, _ in texts(chart)]
    assert said.count("?") == 1
    assert said.count("19 AF") == 5


def test_a_proposed_receptacle_is_marked() -> None:
    """What nobody has accepted does not look as if it were there."""
    house, stands = with_changes("fernhollow-lot-14", {"rooms[1].outlets[1].proposed": True})
    (chart,) = [chart for chart in plans(house, stands) if chart.title == "Plan: Family room"]
    assert [text for text, _ in texts(chart)].count("19* AF") == 1


def test_protection_is_that_of_the_receptacle_where_it_is_stated() -> None:
    """A receptacle that is said to have no ground-fault protection has none on the plan, whatever its breaker."""
    house, stands = with_changes("fernhollow-lot-14", {"rooms[2].outlets[1].ground_fault": False})
    (chart,) = [chart for chart in plans(house, stands) if chart.title == "Plan: Kitchen"]
    assert "3 AF" in [text for text, _ in texts(chart)]


def shapes(name: str, room: str) -> Sketch:
    house, _ = demo(name)
    (found,) = [each for each in rooms(house) if each.room.name == room]
    assert found.walls is not None
    sketch = Sketch(found.walls.line)
    shell(sketch)
    return sketch


@pytest.mark.parametrize("name", HOUSES)
def test_the_fireplace_is_named_beside_its_wall(name: str) -> None:
    """The word stands clear of the masonry that reaches out of the wall."""
    sketch = shapes(name, "Family room")
    (word,) = [shape for shape in sketch.shapes if isinstance(shape, Lettering) and shape.text == "fireplace"]
    xs, _ = zip(*word.reach, strict=True)
    for area in (shape for shape in sketch.shapes if isinstance(shape, Area)):
        assert max(x for x, _ in area.points) <= min(xs) or max(y for _, y in area.points) < word.at[1] - 2


@pytest.mark.parametrize("name", HOUSES)
def test_no_door_swings_through_a_cabinet(name: str) -> None:
    """Where a leaf would pass through the cabinet on either side, it opens out of the room."""
    sketch = shapes(name, "Bedroom")
    cabinets = [shape for shape in sketch.shapes if isinstance(shape, Area) and shape.look == 2]
    assert cabinets
    for cabinet in cabinets:
        xs, ys = zip(*cabinet.points, strict=True)
        for line in (shape for shape in sketch.shapes if isinstance(shape, Stroke) and len(shape.points) == 9):
            for x, y in line.points:
                through = min(xs) + 0.1 < x < max(xs) - 0.1 and min(ys) + 0.1 < y < max(ys) - 0.1
                assert not through, (x, y)
