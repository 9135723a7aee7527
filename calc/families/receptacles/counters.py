"""Receptacles of kitchen counters: along the wall behind them, and on islands and peninsulas by the edition's rule."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from calc.codebook import Codebook
from calc.families.receptacles.islands import island
from calc.families.receptacles.spaced import SIDES, Reach, Served, Spaced, check, fewest, propose
from calc.families.receptacles.spacing import Piece
from calc.families.receptacles.tally import TAKEN_OUT, Left, Tally, not_entered, ones, said_of
from calc.families.receptacles.wall_line import TAPE_IN
from calc.job import Break, Counter, CounterOutlet, Room, format_length, place
from calc.job.fields import entered
from calc.wiring.reading import read
from calc.work import Comparison, Refused, Sheet, Value, constant, given

START = constant("left end", 0, "in")


@dataclass(frozen=True)
class CounterSpace:
    """A counter space, from where to where along its counter; ``spaced`` where it is long enough to count.

    ``left`` is how much of its length is the wall at the counter's left end, before the counter begins.
    """

    begin: float
    end: float
    left: float
    spaced: Spaced | None

    def on_counter(self, along: float) -> float:
        """A place along the space as a place along the counter; before its ends or past them, on its end walls."""
        return self.begin + along - self.left


@dataclass
class CounterPlan:
    """What the rules make of one counter, for its sheet and its drawing. Places are along the counter."""

    counter: Counter
    counted: list[CounterOutlet]
    spaces: list[CounterSpace] = field(default_factory=list)
    gaps: list[Piece] = field(default_factory=list)
    placed: list[float] = field(default_factory=list)
    said: str = ""
    gap_words: list[str] = field(default_factory=list)

    @property
    def name(self) -> str:
        """'north counter', whether or not the job's name for it says so."""
        return counter_name(self.counter)

    def where(self, at: float) -> str:
        """A place on the counter, or on the wall at one of its ends, in words."""
        return f"{self.name}, {spot(self.counter, at)}"

    def span(self, low: float, high: float) -> str:
        """A piece of the counter in words."""
        if 0 <= low <= high <= self.counter.length_in:
            return f"{self.name}, {format_length(low)} to {format_length(high)} from its left end"
        return f"{self.where(low)}, on to {self.where(high)}"


def counters(sheet: Sheet, code: Codebook, room: Room, end_walls: bool, tally: Tally) -> list[CounterPlan]:
    """Every counter of the room. ``end_walls``: the job's reading, whether the walls at the ends of a counter count."""
    checking = any(entered(counter, "outlets") for counter in room.counters)
    tally.asked, tally.spaced = tally.asked or checking, True
    for counter in room.counters:
        _fits(counter, code)
    before = len(tally.needed)
    plans = [CounterPlan(c, _counted(sheet, code, c, end_walls) if checking else []) for c in room.counters]
    _along_walls(sheet, code, [plan for plan in plans if plan.counter.kind == "wall"], end_walls, checking, tally)
    for plan in plans:
        if plan.counter.kind != "wall":
            plan.said = island(sheet, code, plan.counter, plan.counted, checking, tally)
    if not checking and any(need.number for need in tally.needed[before:]):
        not_entered(sheet, code, room.counters[0], "at the counters", "counter_reach")
    return plans


def along(counter: Counter, outlet: CounterOutlet) -> float:
    """Where a receptacle is along its counter; before the left end or past the right one on the walls there."""
    if outlet.end_wall == "left":
        return -outlet.at_in
    return counter.length_in + outlet.at_in if outlet.end_wall == "right" else outlet.at_in


def spot(counter: Counter, at: float) -> str:
    """A place along a counter in words, by `along`: '12 in from its left end'."""
    if at < 0:
        return f"on its left end wall, {format_length(-at)} from the corner"
    if at > counter.length_in:
        return f"on its right end wall, {format_length(at - counter.length_in)} from the corner"
    return f"{format_length(at)} from its left end"


def counter_name(counter: Counter) -> str:
    """The counter as people call it."""
    return counter.name if counter.kind != "wall" or "counter" in counter.name.lower() else f"{counter.name} counter"


def _fits(counter: Counter, code: Codebook) -> None:
    """Refuse a counter whose breaks lie over one another, or with anything past its end."""
    reach, before = 0.0, ""
    for item in sorted(counter.breaks, key=lambda b: b.at_in):
        if item.at_in < reach:
            raise Refused(f"{counter_name(counter)}: the {item.kind} at {format_length(item.at_in)} lies over the {before}.",
                          code.cite("counter_rooms"))  # fmt: skip
        reach, before = item.at_in + item.width_in, item.kind
    ends = [(f"the {before}", reach), *(("a receptacle", o.at_in) for o in counter.outlets if o.end_wall is None)]
    for what, end in ends:
        if end > counter.length_in + TAPE_IN:
            raise Refused(
                f"{counter_name(counter)}: {what} reaches to {format_length(end)}, past its end at "
                f"{format_length(counter.length_in)}.",
                code.cite("counter_rooms"),
            )
    for outlet in (outlet for outlet in counter.outlets if outlet.end_wall is not None):
        wall = counter.left_end_in if outlet.end_wall == "left" else counter.right_end_in
        if outlet.at_in > wall + TAPE_IN:
            raise Refused(
                f"{counter_name(counter)}: a receptacle on its {outlet.end_wall} end wall is {format_length(outlet.at_in)} "
                f"from the corner, past that wall's {format_length(wall)} ({outlet.end_wall}_end_in).",
                code.cite("counter_rooms"),
            )


def _counted(sheet: Sheet, code: Codebook, counter: Counter, end_walls: bool) -> list[CounterOutlet]:
    """The receptacles that serve the counter, in a line that says which don't and why."""
    outlets = counter.outlets
    if not outlets:
        return []
    left = [_left(code, counter, outlet, end_walls) for outlet in outlets]
    names = [spot(counter, along(counter, outlet)) for outlet in outlets]
    shown = [why.shown for why in left if why is not None and why.shown is not None]
    sheet.find(
        "counter_outlets_counted",
        said_of(names, left),
        shown,
        item=counter_name(counter),
        cites=[code.cite("counter_above")],
    )
    return [outlet for outlet, why in zip(outlets, left, strict=True) if why is None]


def _left(code: Codebook, counter: Counter, outlet: CounterOutlet, end_walls: bool) -> Left | None:
    if outlet.status == "removed":
        return TAKEN_OUT
    if outlet.dedicated:
        return Left("for one appliance")
    if outlet.end_wall is not None and not end_walls:
        return Left("on an end wall, which this job reads as no counter wall")
    if outlet.above_in is not None:
        above = given("its height above the counter", outlet.above_in, "in", place(outlet, "above_in"))
        return _beyond(f"{format_length(outlet.above_in)} above the counter", above > code["counter_above"])
    if outlet.below_in is None:
        return None
    if code.method("counter_below") == "never":
        return Left("below the top")
    if counter.kind == "wall":
        return Left("below the top of a counter at a wall")
    below = given("its depth below the top", outlet.below_in, "in", place(outlet, "below_in"))
    deep = _beyond(f"{format_length(outlet.below_in)} below the top", below > code["counter_below"])
    if deep or counter.overhang_in is None:
        return deep
    over = read(counter, "overhang_in", "overhang")
    return _beyond(f"under an overhang of {format_length(counter.overhang_in)}", over > code["counter_overhang"])


def _beyond(why: str, shown: Comparison) -> Left | None:
    return Left(why, shown) if shown.holds else None


def _along_walls(
    sheet: Sheet, code: Codebook, plans: Sequence[CounterPlan], end_walls: bool, checking: bool, tally: Tally
) -> None:
    """The spaces of the counters along walls, between what breaks them."""
    if not plans:
        return
    one_side = code["counter_reach"]
    reach = Reach(
        "counter_reach", one_side, sheet.line("counter_serves_in", SIDES * one_side), (code.cite("counter_reach"),)
    )
    if any(plan.counter.left_end_in or plan.counter.right_end_in for plan in plans):
        sheet.remark("note_end_walls_counted" if end_walls else "note_end_walls_not_counted")
    found: list[tuple[CounterPlan, str, CounterSpace, Value]] = []
    for plan in plans:
        for number, (space, length) in enumerate(
            _pieces(plan.counter, _breaks(sheet, code, plan.counter), end_walls), 1
        ):
            name = f"{plan.name}, space {number}"
            found.append((plan, name, space, sheet.line("counter_space_in", length, item=name)))
    if not found:
        return
    longs = sheet.sort("counter_spaces_counted", [length for *_, length in found], code["counter_least"])
    for (plan, name, space, length), counts in zip(found, longs, strict=True):
        if not counts:
            plan.spaces.append(space)
            continue
        spaced = _spaced(plan, name, space, length, tally)
        space = CounterSpace(space.begin, space.end, space.left, spaced)
        plan.spaces.append(space)
        fewest(sheet, spaced, reach, tally)
        if checking:
            gaps = [(space.on_counter(a), space.on_counter(b)) for a, b in check(sheet, spaced, reach, tally)]
            plan.gaps += gaps
            plan.gap_words += [plan.span(a, b) for a, b in gaps]
        else:
            plan.placed += map(space.on_counter, propose(sheet, spaced, one_side, reach.cites))
    if checking:
        served = [(plan, sp.spaced) for plan in plans for sp in plan.spaces if sp.spaced is not None]
        tally.provided.append(ones(o.mark for _, spaced in served for o in spaced.served))


def _breaks(sheet: Sheet, code: Codebook, counter: Counter) -> list[Break]:
    """What breaks the counter, in order; a sink or cooktop with enough counter behind it doesn't."""
    breaking, shown, said = [], [], []
    for item in sorted(counter.breaks, key=lambda b: b.at_in):
        behind = None
        if item.kind in code.members("counter_behind_kinds") and item.behind_in is not None:
            rule = "counter_behind_corner" if item.corner else "counter_behind_straight"
            behind = (
                given(f"counter behind the {item.kind}", item.behind_in, "in", place(item, "behind_in")) >= code[rule]
            )
            shown.append(behind if behind.holds else behind.left < behind.right)
        if behind is None or not behind.holds:
            breaking.append(item)
            said.append(f"{item.kind} ({format_length(item.at_in)} to {format_length(item.at_in + item.width_in)})")
    if counter.breaks:
        sheet.find("counter_breaks", "; ".join(said) or "nothing", shown, item=counter_name(counter))
    return breaking


def _pieces(counter: Counter, breaks: Sequence[Break], end_walls: bool) -> list[tuple[CounterSpace, Value]]:
    """The pieces of counter between the breaks with their lengths; a wall at an end goes with the piece beside it."""
    edges: list[tuple[float, Value]] = [(0.0, START)]
    for item in breaks:
        first = read(item, "at_in", f"{item.kind} begins")
        last = first + read(item, "width_in", f"{item.kind}, width")
        edges += [(item.at_in, first), (item.at_in + item.width_in, last)]
    edges.append((counter.length_in, read(counter, "length_in", counter_name(counter))))
    found = []
    for (begin, low), (end, high) in zip(edges[::2], edges[1::2], strict=True):
        if end <= begin:
            continue
        length = high if low is START else high - low
        left = 0.0
        if end_walls and low is START and counter.left_end_in:
            left = counter.left_end_in
            length = read(counter, "left_end_in") + length
        if end_walls and high is edges[-1][1] and counter.right_end_in:
            length = length + read(counter, "right_end_in")
        found.append((CounterSpace(begin, end, left, None), length))
    return found


def _spaced(plan: CounterPlan, name: str, space: CounterSpace, length: Value, tally: Tally) -> Spaced:
    """The space with the receptacles in it."""

    def where(at: float) -> str:
        return plan.where(space.on_counter(at))

    places = [(along(plan.counter, o) - space.begin + space.left, o) for o in plan.counted]
    inside = sorted((pair for pair in places if 0 <= pair[0] <= length.number), key=lambda pair: pair[0])
    return Spaced(
        name=name,
        length=length,
        served=tuple(Served(tally.mark(), at, where(at), place(o, "at_in")) for at, o in inside),
        where=where,
        span=lambda a, b: plan.span(space.on_counter(a), space.on_counter(b)),
        remark=lambda at: "",
        wanted=(((space.left, space.left + space.end - space.begin),),),
    )
