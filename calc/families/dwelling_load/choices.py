"""The owner's choices: what each addition costs in amperes, which ways fit the service that is there, which new one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

from calc.codebook import Codebook
from calc.families.dwelling_load.headroom import additions, room
from calc.families.dwelling_load.methods import NAMES, SIZES, worked
from calc.families.dwelling_load.unit import dwelling_units
from calc.families.dwelling_load.whatif import Tried, locked, managed, present_rating, tried, without
from calc.job import Job, Load
from calc.job.loads import COOKING, WATER_HEATERS
from calc.wiring.house import House
from calc.work.table import Table, figures

LEAST_SETTING_A = 6  # the least current that a vehicle can be told to take, common practice
Try = Callable[[Job], Tried]


@dataclass(frozen=True)
class Choice:
    """A way to build the job with these new loads; ``at`` gives the job at each setting of it, largest first."""

    title: str
    loads: list[Load]
    at: list[tuple[str, Job]]
    most: bool = True  # nearly all of what is planned


def choices(house: House) -> list[Table]:
    """Tables for the owner: the ways and what they make, a new service instead, room for one thing more.

    None for a building with several dwellings: what is added to one unit is for its own feeder.
    """
    rating = present_rating(house)
    if rating is None or (house.whole_job.dwelling is not None and house.whole_job.dwelling.units):
        return []
    method = house.whole_job.service.load_method if house.whole_job.service else "standard"
    new = [load for load in house.whole_job.loads if load.status == "new"]
    existing = house.whole_job.dwelling is not None and house.whole_job.dwelling.status == "existing"
    if not existing or not new:
        return [room(house, method, rating, "the house as the job has it")]
    today = house.with_job(_built(house, []))
    found = [_ways(house, _methods(house, method, today, rating), rating, new), _new_service(house)]
    if not tried(today, method, rating).refused:
        found.append(room(today, method, rating, "the house as it is today"))
    return found


def _methods(house: House, first: str, today: House, rating: float) -> list[str]:
    """The job's method, and the others that may test what is there."""
    others = [m for m in ("existing", "measured") if m != first and not tried(today, m, rating).refused]
    return [first, *others]


def _ways(house: House, methods: list[str], rating: float, new: list[Load]) -> Table:
    """A row a choice, a column a method."""
    base = tried(house.with_job(_built(house, [])), methods[0], rating)
    rows, fitting = [], []
    for choice in _choices(house, new):
        found = {method: _best(choice, partial(_tried_as, house, method, rating)) for method in methods}
        adds = _adds(base, found[methods[0]][1]) if choice.loads else "-"
        cells = [_cell(*each) for each in found.values()]
        rows.append([choice.title, str(_spaces(house.whole_job, choice.loads) or "-"), adds, *cells])
        ways = [f"{NAMES[method]}{f', {name}' if name else ''}" for method, (name, each) in found.items() if each.fits]
        if ways and choice.most:
            fitting.append(f"{choice.title} ({' or '.join(ways)})")
    planned = {method: tried(house, method, rating) for method in methods}
    makes = " and ".join(f"{found.said} by the {NAMES[method]}" for method, found in planned.items())
    if not any(found.fits for found in planned.values()):
        served = any(found.serves for found in planned.values())
        makes += ": the record of demand falls short" if served else f": too much for {rating:,.0f} A"
    fits = f"Fits, with all or nearly all of it: {'; '.join(fitting)}." if fitting else "Nothing near it fits."
    return Table(
        title=f"What the {rating:,.0f} A service carries",
        intro=f"Everything planned makes {makes}. {fits}",
        columns=figures("Choice", "Spaces", "Adds", *(NAMES[method].capitalize() for method in methods)),
        rows=rows,
        notes=[
            f"'Adds' is over the house as it is today, by the {NAMES[methods[0]]}. Whole amperes, as ratings are compared.",
            *(f"{NAMES[method].capitalize()}: {found.refused}." for method, found in planned.items() if found.refused),
            *(
                f"{NAMES[method].capitalize()} shows nothing while this falls short: {'; '.join(found.unsound)}."
                for method, found in planned.items()
                if found.unsound
            ),
            *_staying(house.whole_job),
            *_least_of_a_charger(house.code, new),
            *_limits(house.whole_job),
        ],
    )


def _tried_as(house: House, method: str, rating: float, job: Job) -> Tried:
    return tried(house.with_job(job), method, rating)


def _best(choice: Choice, attempt: Try) -> tuple[str, Tried]:
    """The first setting that fits, and what it makes; where none fits, no setting and nothing."""
    for name, other in choice.at:
        found = attempt(other)
        if found.serves or found.refused or not name:
            return name, found
    return "", Tried((), serves=False)


def _cell(name: str, found: Tried) -> str:
    if not found.amperes and not found.refused:
        return "no setting fits"
    return f"{name}, {found.text}" if name and not found.refused else found.text


def _adds(base: Tried, found: Tried) -> str:
    return f"{max(found.amperes) - max(base.amperes):+,.0f} A" if base.amperes and found.amperes else "-"


def _choices(house: House, new: list[Load]) -> Iterator[Choice]:
    """As it is; each addition alone; everything; everything but one; the charger turned down or managed."""
    groups = _together(new)
    strips = [load for load in new if load.kind == "supplemental-heat"]
    yield Choice("The house as it is today", [], [("", _built(house, []))], most=False)
    for group in groups if len(groups) > 1 else []:
        yield _kept(house, group, "Only ")
        if less := [load for load in group if load not in strips] if set(group) & set(strips) else []:
            yield _kept(house, less, "Only ")
    yield Choice("Everything planned", new, [("", house.whole_job)])
    for group in groups if len(groups) > 2 else []:
        yield _kept(house, [load for load in new if load not in group], "Without ", group)
    most = [load for load in new if load not in strips]
    if strips and most:
        yield _kept(house, most, "Without ", strips)
    for car in (load for load in new if load.kind == "ev-supply" and not _is_managed(house.whole_job, load)):
        for loads, said in ((new, ""), *(((most, f", without {_list(strips)}"),) if strips else ())):
            base = _built(house, loads, most=True)
            settings = [a for a in _settings() if a * car.volts < car.va]
            down = [(f"up to {a:g} A", locked(base, base.load(car.name), a)) for a in reversed(settings)]
            if down and house.code.has("vehicle_setting"):
                yield Choice(f"{car.name} locked to a lower setting{said}", loads, down)
            amperes = range(int(car.va // car.volts), LEAST_SETTING_A - 1, -1)
            held = [(f"up to {a} A", managed(house.with_job(base), base.load(car.name), a)) for a in amperes]
            yield Choice(f"{car.name} under energy management{said}", loads, held)


def _kept(house: House, kept: list[Load], word: str, named: list[Load] | None = None) -> Choice:
    most = named is not None
    return Choice(f"{word}{_list(named or kept)}", kept, [("", _built(house, kept, most))], most)


def _built(house: House, kept: list[Load], most: bool = False) -> Job:
    """The job with these of its new loads. What it removes goes with the loads that take its place, or with most of it."""
    new = [load for load in house.whole_job.loads if load.status == "new"]

    def stays(old: Load) -> bool:
        in_its_place = [load for load in new if _use(house, load) == _use(house, old)]
        return not any(load in kept for load in in_its_place) if in_its_place else not most

    gone = [load for load in new if load not in kept]
    return without(
        house.whole_job, gone, still=[old for old in house.whole_job.loads if old.status == "removed" and stays(old)]
    )


def _use(house: House, load: Load) -> str:
    """What a load is for, as far as another can take its place: the climate of the house, cooking, hot water, its kind."""
    climate = (
        house.code.members("heating_kinds")
        | house.code.members("cooling_kinds")
        | house.code.members("heating_and_cooling_kinds")
    )
    if load.kind in climate or any(house.whole_job.load(name).kind in climate for name in load.runs_with):
        return "climate"
    return next((kinds[0] for kinds in (COOKING, WATER_HEATERS) if load.kind in kinds), load.kind)


def _staying(job: Job) -> Iterator[str]:
    """What counts as still there, and until when."""
    removed = [load for load in job.loads if load.status == "removed"]
    if removed:
        yield (f"{_list(removed)} {'is' if len(removed) == 1 else 'are'} to be removed: counted as there until what takes its "
               "place is in, or all or nearly all of the work is done.")  # fmt: skip


def _settings() -> list[float]:
    return [a for kind in additions() if kind["kind"] == "ev-supply" for a in kind["amperes"]]


def _is_managed(job: Job, load: Load) -> bool:
    return any(load.name in system.controls for system in job.load_management)


def _together(new: list[Load]) -> list[list[Load]]:
    """New loads in groups that run with one another."""
    groups: list[list[Load]] = []
    for load in new:
        linked = [g for g in groups if any(o.name in load.runs_with or load.name in o.runs_with for o in g)]
        groups = [g for g in groups if g not in linked] + [[*(o for g in linked for o in g), load]]
    return groups


def _list(loads: list[Load]) -> str:
    names = [load.name for load in loads]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _new_service(house: House) -> Table:
    """What a new service would be, by the methods that size one."""
    rows = []
    for method in SIZES:
        sheet = worked(house, dwelling_units(house.whole_job)[0], method).sheet
        for end, said in (("", ""), ("_inside", ", vehicle supply in the steps"), ("_outside", ", beside them")):
            results = sheet.results
            if f"{method}{end}_a" in results:
                size = results.get(f"{method}{end}_service_a", results[f"{method}{end}_standard_rating_a"])
                rows.append(
                    [f"{NAMES[method].capitalize()}{said}", f"{results[f'{method}{end}_a']:,.1f} A", f"{size:,.0f} A"]
                )
    return Table(
        title="A new service instead",
        intro="Everything planned, on a service sized for it. Either method may be used; the permit names which.",
        columns=figures("Method", "Current", "Service sold"),
        rows=rows,
        notes=["A replaced service brings requirements of its own with it, such as surge protection and an outdoor "
                  "disconnect, by edition."],
    )  # fmt: skip


def _spaces(job: Job, loads: list[Load]) -> int:
    """Breaker spaces that new circuits for these loads take: their circuits' poles, or two for each at two legs."""
    poles = {circuit.name: circuit.poles for circuit in job.circuits}
    named = {load.circuit or load.name for load in loads}
    others = [load for load in loads if (load.circuit or load.name) not in poles]
    return sum(poles[name] for name in named if name in poles) + sum(1 if load.volts == 120 else 2 for load in others)


def _least_of_a_charger(code: Codebook, new: list[Load]) -> Iterator[str]:
    """Why turning a charger down may gain nothing."""
    if code.has("vehicle_least") and any(load.kind == "ev-supply" for load in new):
        least = code["vehicle_least"]
        yield (f"However low it is locked, a charger counts {least.number:,.0f} VA at least; only energy management lets it "
               "count less.")  # fmt: skip


def _limits(job: Job) -> Iterator[str]:
    """What else can stand in the way: spaces, the bus, a feeder."""
    for panel in job.panels:
        here = {load.panel for load in job.loads if load.status == "new"}
        if panel.status == "removed" or (panel.name not in here and not panel.service_equipment):
            continue
        if panel.spaces:
            held = [c for c in job.circuits if c.panel == panel.name and c.status == "existing"]
            taken = sum(0.5 * c.poles if c.tandem else c.poles for c in held)
            yield (f"{panel.name}: {panel.spaces} spaces, {taken:g} taken by the circuits that the job lists, "
                   f"{panel.spaces - taken:g} free.")  # fmt: skip
        if panel.bus_a:
            yield f"{panel.name}: its bus is rated {panel.bus_a} A; a larger service needs a larger panel."
        feeder = next((run for run in job.runs if run.feeds == panel.name and run.role == "feeder"), None)
        if feeder is not None:
            size = f" with a {feeder.breaker_a} A breaker" if feeder.breaker_a else ""
            yield f"{panel.name} is fed by the feeder {feeder.name}{size}: its own load is a limit too, on its own sheet."
