"""The ways to build what the owner wants, each the whole house worked again: what it makes, and whether the service serves."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from calc.families.dwelling_load.headroom import additions
from calc.families.dwelling_load.methods import SIZES, worked
from calc.families.dwelling_load.unit import dwelling_units
from calc.families.dwelling_load.whatif import Tried, locked, managed, present_rating, tried, without
from calc.job import Job, Load
from calc.job.loads import COOKING, WATER_HEATERS
from calc.wiring.house import House

LEAST_SETTING_A = 6  # the least current that a vehicle can be told to take, common practice
Try = Callable[[Job], Tried]


@dataclass(frozen=True)
class Choice:
    """A way to build the job with these new loads; ``at`` gives the job at each setting of it, largest first."""

    title: str
    loads: list[Load]
    at: list[tuple[str, Job]]
    most: bool = True  # nearly all of what is planned


@dataclass(frozen=True)
class Way:
    """A choice as tried by each method, at the first of its settings that fits."""

    title: str
    loads: Sequence[Load]
    spaces: int
    """Breaker spaces that its new circuits take."""
    most: bool
    found: Mapping[str, tuple[str, Tried]]
    """By method: the setting, '' where it has none, and what the house makes; nothing where no setting fits."""


@dataclass(frozen=True)
class Ways:
    """What the owner wants against the service that is there."""

    rating: float
    methods: Sequence[str]
    """The job's own first, then the others that may test what is there."""
    each: Sequence[Way]
    """The house as it is today first."""
    planned: Mapping[str, Tried]
    """Everything planned, by method."""

    @property
    def today(self) -> Tried:
        """The house as it is, by the job's method."""
        return self.each[0].found[self.methods[0]][1]

    def adds(self, way: Way) -> float | None:
        """Amperes over the house as it is today, by the job's method; None where either has none."""
        now, then = self.today.amperes, way.found[self.methods[0]][1].amperes
        return max(then) - max(now) if way.loads and now and then else None


@dataclass(frozen=True)
class NewService:
    """A service sized for everything planned, by one method and reading."""

    method: str
    reading: str
    """'' where the method has one alone."""
    current_a: float
    sold_a: float


def present(house: House) -> tuple[str, float] | None:
    """The job's method and the rating of the service; None where none is known, and for a building with several dwellings,
    where what is added to one unit is for its own feeder."""
    job = house.whole_job
    rating = present_rating(house)
    if rating is None or (job.dwelling is not None and job.dwelling.units):
        return None
    return job.service.load_method if job.service else "standard", rating


def as_it_is(house: House) -> House:
    """The house without what is planned."""
    return house.with_job(_built(house, []))


def ways(house: House) -> Ways | None:
    """Every way that matters; None for a new house, where nothing is planned, or where no service can be tested."""
    job, found = house.whole_job, present(house)
    new = [load for load in job.loads if load.status == "new"]
    if found is None or not new or job.dwelling is None or job.dwelling.status != "existing":
        return None
    first, rating = found
    methods = _methods(first, as_it_is(house), rating)
    each = [
        Way(choice.title, choice.loads, spaces_of(job, choice.loads), choice.most,
            {method: _best(choice, partial(_tried_as, house, method, rating)) for method in methods})
        for choice in _choices(house, new)
    ]  # fmt: skip
    return Ways(rating, methods, each, {method: tried(house, method, rating) for method in methods})


def new_services(house: House) -> list[NewService]:
    """What a service for everything planned would be, by the methods that size one."""
    found = []
    for method in SIZES:
        results = worked(house, dwelling_units(house.whole_job)[0], method).sheet.results
        for end, said in (("", ""), ("_inside", "vehicle supply in the steps"), ("_outside", "beside them")):
            if f"{method}{end}_a" in results:
                sold = results.get(f"{method}{end}_service_a", results[f"{method}{end}_standard_rating_a"])
                found.append(NewService(method, said, results[f"{method}{end}_a"], sold))
    return found


def _methods(first: str, today: House, rating: float) -> list[str]:
    """The job's method, and the others that may test what is there."""
    others = [m for m in ("existing", "measured") if m != first and not tried(today, m, rating).refused]
    return [first, *others]


def _tried_as(house: House, method: str, rating: float, job: Job) -> Tried:
    return tried(house.with_job(job), method, rating)


def _best(choice: Choice, attempt: Try) -> tuple[str, Tried]:
    """The first setting that fits, and what it makes; where none fits, no setting and nothing. A record that falls short
    tells of no setting."""
    for name, other in choice.at:
        found = attempt(other)
        if found.unsound:
            return "", found
        if found.serves or found.refused or not name:
            return name, found
    return "", Tried((), serves=False)


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
        yield _kept(house, [load for load in new if load not in group], "Everything but ", group)
    most = [load for load in new if load not in strips]
    if strips and most:
        yield _kept(house, most, "Everything but ", strips)
    for car in (load for load in new if load.kind == "ev-supply" and not _is_managed(house.whole_job, load)):
        for loads, said in ((new, "Everything"), *(((most, f"Everything but {names_of(strips)}"),) if strips else ())):
            base = _built(house, loads, most=True)
            settings = [a for a in _settings() if a * car.volts < car.va]
            down = [(f"up to {a:g} A", locked(base, base.load(car.name), a)) for a in reversed(settings)]
            if down and house.code.has("vehicle_setting"):
                yield Choice(f"{said}, {car.name} locked to a lower setting", loads, down)
            amperes = range(int(car.va // car.volts), LEAST_SETTING_A - 1, -1)
            held = [(f"up to {a} A", managed(house.with_job(base), base.load(car.name), a)) for a in amperes]
            yield Choice(f"{said}, {car.name} under energy management", loads, held)


def _kept(house: House, kept: list[Load], word: str, named: list[Load] | None = None) -> Choice:
    most = named is not None
    return Choice(f"{word}{names_of(named or kept)}", kept, [("", _built(house, kept, most))], most)


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


def spaces_of(job: Job, loads: list[Load]) -> int:
    """Breaker spaces that new circuits for these loads take: their circuits' poles, or two for each at two legs."""
    poles = {circuit.name: circuit.poles for circuit in job.circuits}
    named = {load.circuit or load.name for load in loads}
    others = [load for load in loads if (load.circuit or load.name) not in poles]
    return sum(poles[name] for name in named if name in poles) + sum(1 if load.volts == 120 else 2 for load in others)


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


def names_of(loads: Sequence[Load]) -> str:
    """'Heat pump, Blower and Strip heat'."""
    names = [load.name for load in loads]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
