"""Checks between values that are each right by themselves: what can't be true together in one house.

They judge what was written, not the wiring: a thing that can be built and breaks a rule is for a sheet to show.
"""

from collections import defaultdict
from collections.abc import Callable, Iterator
from typing import TypeVar

from pydantic import ValidationError

from calc.job.boxes import Box, Contents
from calc.job.fields import Part, field_info, keys_of, parts_of
from calc.job.house import Dwelling
from calc.job.known import Known
from calc.job.loads import Load
from calc.job.model import Job
from calc.job.panels import Panel
from calc.job.places import Loc, inside
from calc.job.plausible.usual import usual_of
from calc.job.problems import Trouble
from calc.job.rooms import Room
from calc.job.service import MeasuredDemand, Service
from calc.job.wiring import Circuit, Run

P = TypeVar("P", bound=Part)


class Whole:
    """The tables of a job that are right and whole by themselves, with their places; the others are left out."""

    def __init__(self, job: Job | None, known: Known) -> None:
        self.parts: dict[str, list[tuple[Loc, Part]]] = defaultdict(list)
        self._known = {id(part) for part in known.parts()}
        for key, (part, many) in parts_of(Job).items():
            value = inside(known.data if job is None else job, key)
            items = value if many and isinstance(value, list | tuple) else [value]
            for number, item in enumerate(items):
                if (found := _part(part, item)) is not None:
                    self.parts[key].append(((key, number) if many else (key,), found))

    def all(self, key: str, part: type[P]) -> list[tuple[Loc, P]]:
        """The entries of a list."""
        found = ((loc, p) for loc, p in self.parts[key] if isinstance(p, part))
        return [(loc, p) for loc, p in found if id(p) in self._known or _complete(p)]

    def new(self, key: str, part: type[P]) -> list[tuple[Loc, P]]:
        """Those of them that are not known to be right by themselves."""
        return [(loc, p) for loc, p in self.all(key, part) if id(p) not in self._known]

    def one(self, key: str, part: type[P]) -> P | None:
        """The table of that name, when it is there and right."""
        return next((p for _, p in self.all(key, part)), None)


def _part(part: type[Part], item: object) -> Part | None:
    """The part that is there, or that a table makes; None where it is wrong."""
    try:
        return part.model_validate(item) if isinstance(item, dict) else item if isinstance(item, Part) else None
    except ValidationError:
        return None


def _complete(part: Part) -> bool:
    return all(rule.holds(part.model_fields_set) for rule in part.presence)


def check_values(job: Job | None, known: Known) -> list[Trouble]:
    """Everything that can't be true together; `job` is None when some table is wrong by itself.

    A check whose tables are all as they were in a job that is right finds nothing in them.
    """
    house = Whole(job, known)
    return [trouble for check, reads in _CHECKS.items() if known.anew & reads for trouble in check(house)]


def _dwelling(house: Whole) -> Iterator[Trouble]:
    dwelling, service = house.one("dwelling", Dwelling), house.one("service", Service)
    if dwelling is None:
        return
    units = sum(group.count for group in dwelling.units)
    if dwelling.kind == "one-family" and dwelling.units:
        yield Trouble(("dwelling", "units"), "stands in a one-family dwelling", "floor_area_ft2 instead")
    elif dwelling.kind != "one-family" and dwelling.floor_area_ft2 is not None:
        yield Trouble(
            ("dwelling", "floor_area_ft2"),
            f"stands in a {dwelling.kind} dwelling",
            "an area in each [[dwelling.units]]",
        )
    elif dwelling.kind == "two-family" and units not in (0, 2):
        yield Trouble(("dwelling", "units"), f"add up to {units} units", "2 in a two-family dwelling")
    elif dwelling.kind == "multifamily" and 0 < units < 3:
        yield Trouble(("dwelling", "units"), f"add up to {units} units", "3 or more in a multifamily dwelling")
    unsaid = service is not None and "phases" not in service.model_fields_set
    if unsaid and service and service.system == "208Y/120" and dwelling.kind == "multifamily":
        yield Trouble(
            ("service", "phases"), "is missing", "1 or 3: a 208Y/120 service of a multifamily dwelling can be either"
        )


def _voltage(house: Whole) -> Iterator[Trouble]:
    service = house.one("service", Service)
    if service is None:
        return
    if service.phases == 3 and service.system == "120/240":
        yield Trouble(("service", "phases"), "is 3 with system 120/240", '1, or system "208Y/120"')
    wrong = {"120/240": 208, "208Y/120": 240}[service.system]
    connected: list[tuple[Loc, Load | Run]] = [*house.all("loads", Load), *house.all("runs", Run)]
    for loc, item in connected:
        if item.volts == wrong:
            allowed = "120 or 240" if wrong == 208 else "120 or 208"
            yield Trouble((*loc, "volts"), f"is {wrong}, which a {service.system} service does not have", allowed)


def _loads(house: Whole) -> Iterator[Trouble]:
    for loc, load in house.new("loads", Load):
        if load.kind == "other" and load.fastened is None:
            yield Trouble((*loc, "fastened"), 'is missing; a load of kind "other" needs it', "true or false")
        if load.volts == 120 and load.connected != "line-to-neutral":
            yield Trouble((*loc, "connection"), f'is "{load.connection}" at 120 V', '"line-to-neutral"')
        usual = usual_of(load, "loads.va")
        if usual and load.va < usual.impossible_below:
            allowed = f"{usual.impossible_below:g} VA or more for a {load.kind}"
            slip = usual.slip(load.va)
            yield Trouble((*loc, load.rated_by), f"makes {load.va:g} VA", allowed, slip and f"perhaps {slip}")
        for key in sorted(load.model_fields_set):
            kinds = field_info(load, key).only_for
            if kinds and load.kind not in kinds:
                yield Trouble((*loc, key), f"means nothing for a {load.kind}", f"with {', '.join(kinds)} only")


def _runs(house: Whole) -> Iterator[Trouble]:
    for loc, run in house.new("runs", Run):
        if run.calculated_a is not None and run.continuous_a > run.calculated_a:
            yield Trouble(
                (*loc, "continuous_a"),
                f"is {run.continuous_a:g}, above the whole load",
                f"up to {run.calculated_a:g} A",
            )


def _breaker_spaces(house: Whole) -> Iterator[Trouble]:
    spaces = {panel.name: panel.spaces for _, panel in house.all("panels", Panel)}
    taken: dict[tuple[str | None, int, str], str] = {}
    for loc, circuit in house.all("circuits", Circuit):
        at = (*loc, "positions")
        if circuit.positions and len(circuit.positions) != circuit.poles:
            hint = "two spaces are two poles: say so under poles" if len(circuit.positions) == 2 else ""
            yield Trouble(at, f"has {len(circuit.positions)}", f"{circuit.poles}, one for each pole", hint)
        elif len(circuit.positions) == 2 and circuit.positions[1] - circuit.positions[0] != 2:
            yield Trouble(at, f"is {list(circuit.positions)}", "two neighbouring spaces on one side, such as [1, 3]")
        most = spaces.get(circuit.panel or "")
        for space in circuit.positions:
            if most and space > most:
                yield Trouble(at, f"is {space}", f"1 to {most}, the spaces of {circuit.panel}")
            halves = [circuit.tandem] if circuit.tandem else ["a", "b"]
            holder = next((h for half in halves if (h := taken.get((circuit.panel, space, half)))), None)
            if holder and circuit.status != "removed":
                yield Trouble(at, f'is {space}, where "{holder}" is already', "a free space, or the halves of a tandem")
            elif circuit.status != "removed":
                taken |= {(circuit.panel, space, half): circuit.name for half in halves}


def _multiwire(house: Whole) -> Iterator[Trouble]:
    circuits = {circuit.name: circuit for _, circuit in house.all("circuits", Circuit)}
    for loc, circuit in house.all("circuits", Circuit):
        partner = circuits.get(circuit.multiwire_with or "")
        if partner is None:
            continue
        at = (*loc, "multiwire_with")
        if partner.multiwire_with not in (None, circuit.name):
            yield Trouble(at, f'is "{partner.name}", which shares with "{partner.multiwire_with}"', "circuits in pairs")
        if partner.panel != circuit.panel:
            yield Trouble(at, f'is "{partner.name}", in another panel', "a circuit of the same panel")
        elif set(partner.positions) & set(circuit.positions):
            yield Trouble(
                (*loc, "positions"),
                f'is the space of "{partner.name}": both halves of a multiwire circuit would be on one leg',
                "spaces on opposite legs, with a common disconnect",
            )


def _breakers(house: Whole) -> Iterator[Trouble]:
    """One breaker stands ahead of a circuit, whether its run or the circuit itself states it."""
    circuits = {circuit.name: circuit for _, circuit in house.all("circuits", Circuit)}
    for loc, run in house.all("runs", Run):
        circuit = circuits.get(run.feeds or "")
        ahead = circuit.breaker_a if circuit else None
        if ahead is None or run.breaker_a in (None, ahead):
            continue
        said = f'is {run.breaker_a}, while circuit "{run.feeds}" has {ahead}'
        yield Trouble((*loc, "breaker_a"), said, "one breaker, stated once or twice alike")


def _record(house: Whole) -> Iterator[Trouble]:
    record = house.one("measured_demand", MeasuredDemand)
    if record and record.from_date and record.to_date and record.to_date < record.from_date:
        yield Trouble(("measured_demand", "to_date"), f"is {record.to_date}", f"{record.from_date} or later")


def _divided_boxes(house: Whole) -> Iterator[Trouble]:
    for loc, box in house.new("boxes", Box):
        if not box.compartments:
            continue
        if inside := box.model_fields_set & set(keys_of(Contents)):
            said = ", ".join(sorted(inside))
            yield Trouble(loc, f"has {said} beside its sides", "what is in a divided box in [[boxes.compartments]]")
        if len(box.compartments) != len(box.barriers) + 1:
            yield Trouble(
                (*loc, "compartments"),
                f"has {len(box.compartments)}",
                f"{len(box.barriers) + 1}, one more than barriers",
            )


TOLERANCE_FT = 1 / 12
"""How far a tape may be off before two readings are said to disagree: one inch."""


def _wall_lines(house: Whole) -> Iterator[Trouble]:
    for loc, room in house.new("rooms", Room):
        if not room.walls:
            continue
        begins, around = {}, 0.0
        for wall in room.walls:
            begins[wall.name] = (around, wall.length_ft)
            around += wall.length_ft
        spans = []
        for number, opening in enumerate(room.openings):
            at = (*loc, "openings", number, "at_ft")
            begin, length = begins.get(opening.wall or "", (0.0, around))
            if opening.at_ft + opening.width_ft > length + TOLERANCE_FT:
                yield Trouble(at, f"reaches to {opening.at_ft + opening.width_ft:.2f} ft", f"within {length:.2f} ft")
            spans.append((begin + opening.at_ft, begin + opening.at_ft + opening.width_ft, number, opening.kind))
        reach, widest = 0.0, ""
        for start, end, number, kind in sorted(spans):
            if start < reach - TOLERANCE_FT:
                yield Trouble((*loc, "openings", number, "at_ft"), f"lies over the {widest}", "openings apart")
            if end > reach:
                reach, widest = end, kind
        for number, outlet in enumerate(room.outlets):
            length = begins.get(outlet.wall or "", (0.0, around))[1]
            if outlet.at_ft is not None and outlet.at_ft > length + TOLERANCE_FT:
                yield Trouble(
                    (*loc, "outlets", number, "at_ft"),
                    f"is {outlet.at_ft:.2f}, past the end of the wall",
                    f"0 to {length:.2f} ft",
                )


_CHECKS: dict[Callable[[Whole], Iterator[Trouble]], frozenset[str]] = {
    _dwelling: frozenset({"dwelling", "service"}),
    _voltage: frozenset({"service", "loads", "runs"}),
    _loads: frozenset({"loads"}),
    _runs: frozenset({"runs"}),
    _breaker_spaces: frozenset({"panels", "circuits"}),
    _multiwire: frozenset({"circuits"}),
    _breakers: frozenset({"circuits", "runs"}),
    _record: frozenset({"measured_demand"}),
    _divided_boxes: frozenset({"boxes"}),
    _wall_lines: frozenset({"rooms"}),
}
"""Each check with what it reads of the job."""
