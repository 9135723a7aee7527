"""Drawings that are worked by hand: receptacles along the walls and counters of a room, circuits in the spaces of a panel.

A drawing is plain data for the page. What is done in it comes back as entries of the job: places in inches along a track,
or a space of a panel.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from calc.families.receptacles.counters import along, spot
from calc.families.receptacles.room import RoomWork, rooms
from calc.families.receptacles.wall_line import WallLine
from calc.job import Circuit, Counter, Job, Panel, Room, format_length
from calc.job.places import around, value_at
from calc.wiring.house import House

Changes = dict[str, Any]
DRAWN = {"rooms": "outlets", "panels": "circuits"}
"""The lists whose entries have such a drawing, and what their form has to show for it."""
_FEW_SPACES = 12


def drawing(house: House, at: str) -> dict[str, Any]:
    """The drawing of an entry such as 'rooms[2]' or 'panels[1]'; {} where there is nothing to draw."""
    job = house.whole_job
    room = _entry(job.rooms, at, "rooms")
    if room is not None:
        found = next((each for each in rooms(house) if each.room.name == room.name), None)
        return {"kind": "plan", "tracks": [*_walls(room, found, at), *_counters(room, at)]}
    panel = _entry(job.panels, at, "panels")
    return _schedule(job, panel) if panel is not None else {}


def moved(job: Job, at: str, to: float) -> Changes:
    """A receptacle put at another place, in inches along its track: 'rooms[2].outlets[1]'. ValueError off the track."""
    return {f"{at}.{key}": value for key, value in _placed(job, around(at), to).items()}


def added(job: Job, at: str, to: float) -> Changes:
    """One more receptacle on a track, 'rooms[2].outlets'."""
    return {f"{at}[+]": {key: value for key, value in _placed(job, at, to).items() if value is not None}}


def in_space(job: Job, at: str, panel: str, space: int) -> Changes:
    """A circuit put in a space of a panel; one that is there goes where it came from, if it is as large.

    ValueError where it can't stand there.
    """
    circuit = _entry(job.circuits, at, "circuits")
    if circuit is None:
        raise ValueError(f"{at} is no circuit of this job")
    wanted = _spaces(circuit, space)
    limit = next((each.spaces for each in job.panels if each.name == panel), None)
    if space < 1 or (limit and wanted[-1] > limit):
        raise ValueError(f"{circuit.name} does not fit there: {panel} has spaces 1 to {limit or '?'}")
    changes: Changes = {f"{at}.positions": wanted, f"{at}.panel": panel}
    for number, other in enumerate(job.circuits, 1):
        shares = other.tandem and circuit.tandem and other.tandem != circuit.tandem
        if (
            other is circuit
            or other.panel != panel
            or other.status == "removed"
            or shares
            or not set(wanted) & {*other.positions}
        ):
            continue
        if other.poles != circuit.poles or tuple(wanted) != other.positions:
            raise ValueError(
                f"{', '.join(map(str, other.positions))} {'is' if len(other.positions) == 1 else 'are'} taken by {other.name}"
            )
        back = [*circuit.positions] if circuit.panel == panel else []
        changes[f"circuits[{number}].positions"] = back or None
    return changes


def its_run(job: Job, at: str) -> Changes:
    """A run for a circuit, from its panel, with its cable and the voltage of what is on it. ValueError for what is no circuit."""
    circuit = _entry(job.circuits, at, "circuits")
    if circuit is None:
        raise ValueError(f"{at} is no circuit of this job")
    names = {run.name for run in job.runs}
    name = next(
        name for n in range(len(names) + 1) if (name := f"{circuit.name} run{f' {n + 1}' if n else ''}") not in names
    )
    on_it = next((load.volts for load in job.loads_on(circuit.name)), None)
    run = {
        "name": name, "role": "branch", "fed_from": circuit.panel, "feeds": circuit.name,
        "volts": on_it or _volts(job, circuit), "cable": value_at(job.data, f"{at}.cable"),
    }  # fmt: skip
    return {"runs[+]": {key: value for key, value in run.items() if value is not None}}


def _volts(job: Job, circuit: Circuit) -> int:
    lines = 208 if job.service is not None and job.service.system.startswith("208") else 240
    return 120 if circuit.poles == 1 else lines


# -- rooms --------------------------------------------------------------------------------------------------


def _walls(room: Room, found: RoomWork | None, at: str) -> Iterator[dict[str, Any]]:
    if not room.walls:
        return
    line = WallLine(room)
    gaps = found.walls.gaps if found and found.walls else []
    stops = [
        {"at": f"{at}.outlets[{n}]", "along": line.of(outlet), "name": f"R{n}", "said": line.where(line.of(outlet))}
        for n, outlet in enumerate(room.outlets, 1)
        if outlet.at_ft is not None and outlet.status != "removed"
    ]
    yield {
        "at": f"{at}.outlets", "name": f"Walls of {room.name}", "points": line.corners, "length": line.around, "stops": stops,
        "labels": [{"at": begin + length / 2, "text": f"{wall.name} {format_length(length)}"}
                   for wall, begin, length in zip(room.walls, line.begins, line.lengths, strict=True)],
        "breaks": [[*line.span(each), each.kind.replace("-", " ")] for each in room.openings],
        "gaps": [[begin % line.around, begin % line.around + end - begin] for begin, end in gaps],
    }  # fmt: skip


def _counters(room: Room, at: str) -> Iterator[dict[str, Any]]:
    for number, counter in enumerate(room.counters, 1):
        front = f"{at}.counters[{number}].outlets"
        left, long, right = counter.left_end_in, counter.length_in, counter.right_end_in
        stops = [
            {"at": f"{front}[{n}]", "along": left + along(counter, outlet), "name": f"C{n}", "said": spot(counter, along(counter, outlet))}
            for n, outlet in enumerate(counter.outlets, 1)
            if outlet.status != "removed"
        ]  # fmt: skip
        ends = [(left / 2, left), (left + long + right / 2, right)]
        yield {
            "at": front, "name": counter.name, "length": left + long + right, "stops": stops, "gaps": [], "counter": True,
            "points": [*([(0, -left)] if left else []), (0, 0), (long, 0), *([(long, -right)] if right else [])],
            "labels": [{"at": middle, "text": f"end wall {format_length(end)}"} for middle, end in ends if end],
            "breaks": [[left + each.at_in, left + each.at_in + each.width_in, each.kind] for each in counter.breaks],
        }  # fmt: skip


def _placed(job: Job, at: str, to: float) -> Changes:
    """What says a place on a track, as the entry says it."""
    room = _entry(job.rooms, at.partition(".")[0], "rooms")
    if room is None:
        raise ValueError(f"{at} is in no room of this job")
    to = round(to)
    counter = _counter(room, at)
    if counter is not None:
        return _on_counter(counter, to)
    line = WallLine(room)
    _within(to, line.around)
    number = line.wall_at(to)
    return {"wall": room.walls[number].name, "at_ft": format_length(to - line.begins[number])}


def _on_counter(counter: Counter, to: float) -> Changes:
    """A place along a counter and the walls at its ends: these are measured from their corners."""
    right = counter.left_end_in + counter.length_in
    _within(to, right + counter.right_end_in)
    if to < counter.left_end_in:
        return {"at_in": counter.left_end_in - to, "end_wall": "left"}
    return (
        {"at_in": to - right, "end_wall": "right"}
        if to > right
        else {"at_in": to - counter.left_end_in, "end_wall": None}
    )


def _within(to: float, length: float) -> None:
    if not 0 <= to <= length:
        raise ValueError("a receptacle stands on its wall or counter, not beyond its ends")


def _counter(room: Room, at: str) -> Counter | None:
    inner = at.partition(".")[2]
    return _entry(room.counters, inner.partition(".")[0], "counters") if inner.startswith("counters") else None


# -- panels -------------------------------------------------------------------------------------------------


def _schedule(job: Job, panel: Panel) -> dict[str, Any]:
    mine = [
        (n, each) for n, each in enumerate(job.circuits, 1) if each.panel == panel.name and each.status != "removed"
    ]
    last = max([panel.spaces or _FEW_SPACES, *(space for _, each in mine for space in each.positions)])
    circuits = [
        {"at": f"circuits[{n}]", "name": each.name, "positions": [*each.positions], "tandem": each.tandem or "", "poles": each.poles}
        for n, each in mine
    ]  # fmt: skip
    return {"kind": "schedule", "panel": panel.name, "spaces": last + last % 2, "circuits": circuits}


def _spaces(circuit: Circuit, space: int) -> list[int]:
    return [space + 2 * pole for pole in range(circuit.poles)]


def _entry(entries: Sequence[Any], at: str, key: str) -> Any:
    """The entry at a place such as 'rooms[2]', of the list of that key."""
    number = at.removeprefix(f"{key}[").removesuffix("]")
    return (
        entries[int(number) - 1]
        if at == f"{key}[{number}]" and number.isdigit() and int(number) <= len(entries)
        else None
    )


ACTS: Mapping[str, Callable[[Job, Mapping[str, Any]], Changes]] = {
    "along": lambda job, said: moved(job, str(said["at"]), float(said["to"])),
    "put_in": lambda job, said: added(job, str(said["at"]), float(said["to"])),
    "its_run": lambda job, said: its_run(job, str(said["at"])),
    "space": lambda job, said: in_space(job, str(said["at"]), str(said["panel"]), int(said["to"])),
}
"""What a page may ask for, by the kind of its message."""
