"""The conductors of a run as far as their impedance goes, and what lies upstream of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from calc.codebook import Codebook
from calc.families import feeder
from calc.families.feeder.wires import called, has_neutral, sets_of
from calc.families.reading import read
from calc.job import Job, Run, parse_size, place
from calc.work import Missing, Sheet, Value, carried, constant

ONE = constant("1", 1, "")
FT_PER_KFT = constant("feet per 1,000 ft", 1000, "ft/kft")


@dataclass(frozen=True)
class Wires:
    """Conductors of a run. ``neutral_size`` is '' where the run has no neutral; ``sets`` is None for a single set."""

    size: str
    neutral_size: str
    metal: str
    method: str  # wiring method, 'not stated' where the job has none
    length: Value
    sets: Value | None
    found: bool = False  # whether the size was worked out

    def split(self, value: Value) -> Value:
        """An impedance of one set, for all sets in parallel."""
        return value if self.sets is None else value / self.sets

    def name(self) -> str:
        """'6 AWG copper', '2 sets of 250 kcmil aluminum'."""
        sets = f"{self.sets.number:g} sets of " if self.sets is not None else ""
        return f"{sets}{called(self.size)} {self.metal}"


def wires_of(job: Job, code: Codebook, run: Run) -> Wires:
    """A run's conductors: as the job says, else as the conductors' own sheet finds them.

    Refused where the length is missing, or where no size is given and none can be found.
    """
    if run.length_ft is None:
        raise Missing(f"{run.name} has no length: give it one way in feet.", at=place(run, "length_ft"))
    size = run.given_size or _found(job, code, run, "size")
    neutral = ""
    if has_neutral(job, run):
        cable = run.cable.neutral if run.cable is not None and run.volts != 120 else ""
        neutral = run.neutral_size or cable or (size if run.given_size else _found(job, code, run, "neutral_size"))
    sets = sets_of(run) if run.sets > 1 else None
    return Wires(size, neutral, run.metal, _method(job, run), read(run, "length_ft"), sets, not run.given_size)


def _found(job: Job, code: Codebook, run: Run, key: str) -> str:
    """A size from the conductors' own sheet."""
    if run.role == "utility":
        raise Missing(f"{run.name} has no conductor size: ask the utility for it.", at=place(run, "size"))
    s = feeder.run_sheet(job, code, run)
    if s.refused is not None:
        raise s.refused.under(f"{run.name} has no conductor size, and none can be worked out: ")
    return parse_size(s.results[key])


def _method(job: Job, run: Run) -> str:
    raceways: dict[str, str] = {raceway.name: raceway.kind for raceway in job.raceways}
    cable = run.cable.kind if run.cable is not None and run.cable.cable else ""
    return run.wiring_method or cable or raceways.get(run.raceway or "", "not stated")


def conductors(s: Sheet, wires: Wires) -> None:
    """A line that says which conductors the sheet is about."""
    s.find("conductors", wires.name() + (", found for its load" if wires.found else ""))


def length(s: Sheet, wires: Wires) -> Value:
    """The run's length one way, in thousands of feet."""
    return s.line("length_kft", wires.length / FT_PER_KFT)


def direct_current(
    s: Sheet, code: Codebook, wires: Wires, temperature: Value | None, size: str = "", item: str = ""
) -> Value:
    """Direct-current resistance for each 1,000 ft; ``temperature`` where it is not that of the table.

    ``size`` is another conductor's than the ungrounded ones'.
    """
    size = size or wires.size
    laid = code.row("wiring_methods", wiring_method=wires.method).cells["laid"]
    build = s.pick("build", code.row("conductor_builds", size=size).text(laid), item=item)
    row = code.row("direct_current_resistance", size=size, stranding=build)
    ohm = s.line("table_ohm_per_kft", row[f"{wires.metal}_ohm_per_kft"], item=item)
    if temperature is None:
        return ohm
    return s.line("resistance_ohm_per_kft", at_temperature(code, wires.metal, ohm, temperature), item=item)


def at_temperature(code: Codebook, metal: str, table: Value, temperature: Value) -> Value:
    """A resistance of the tables, at another temperature of the conductor."""
    return table * (ONE + code[f"{metal}_coefficient"] * (temperature - code["table_temperature"]))


def carry(s: Sheet, key: str, name: str, subject: str = "") -> Value:
    """A line of another sheet, used as a given under a name that says whose it is."""
    return replace(carried(s.value(key), f"{s.title}, {subject or s.subject}", s.number_of(key)), name=name)


def upstream(job: Job) -> dict[str, Run | None]:
    """For each run that is not removed: the run that feeds it, or None where its supply begins."""
    runs = {run.name: run for run in job.runs if run.status != "removed"}
    panels = {panel.name: panel for panel in job.panels}
    feeding = {run.feeds: run for run in runs.values() if run.feeds in panels}

    def above(source: str | None) -> Run | None:
        while source in panels and source not in feeding:
            source = panels[source].fed_from
        return feeding[source] if source in panels else runs.get(source or "")

    return {name: above(run.fed_from) for name, run in runs.items()}


def from_the_source(above: dict[str, Run | None]) -> list[str]:
    """Names of the runs, each after the one that feeds it."""
    ordered: list[str] = []

    def add(name: str) -> None:
        up = above[name]
        if up is not None and up.name not in ordered:
            add(up.name)
        if name not in ordered:
            ordered.append(name)

    for name in above:
        add(name)
    return ordered
