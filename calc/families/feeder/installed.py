"""The conductors of a run as they are installed: as the job says, else as the conductors' own sheet finds them."""

from __future__ import annotations

from calc.families.feeder.runs import run_sheet
from calc.job import Job, Run, parse_size, place
from calc.wiring.house import House
from calc.wiring.impedance import Installed
from calc.wiring.reading import read
from calc.wiring.wires import has_neutral, sets_of
from calc.work import Missing


def installed(house: House, run: Run) -> Installed:
    """A run's conductors: as the job says, else as the conductors' own sheet finds them.

    Refused where the length is missing, or where no size is given and none can be found.
    """
    if run.length_ft is None:
        raise Missing(f"{run.name} has no length: give it one way in feet.", at=place(run, "length_ft"))
    size = run.given_size or _found(house, run, "size")
    neutral = ""
    if house.told(has_neutral, run):
        cable = run.cable.neutral if run.cable is not None and run.volts != 120 else ""
        neutral = run.neutral_size or cable or (size if run.given_size else _found(house, run, "neutral_size"))
    sets = sets_of(run) if run.sets > 1 else None
    return Installed(
        size, neutral, run.metal, house.told(_method, run), read(run, "length_ft"), sets, not run.given_size
    )


def _found(house: House, run: Run, key: str) -> str:
    """A size from the conductors' own sheet."""
    if run.role == "utility":
        raise Missing(f"{run.name} has no conductor size: ask the utility for it.", at=place(run, "size"))
    s = run_sheet(house, run)
    if s.refused is not None:
        raise s.refused.under(f"{run.name} has no conductor size, and none can be worked out: ")
    return parse_size(s[key])


def _method(job: Job, run: Run) -> str:
    raceways: dict[str, str] = {raceway.name: raceway.kind for raceway in job.raceways}
    cable = run.cable.kind if run.cable is not None and run.cable.cable else ""
    return run.wiring_method or cable or raceways.get(run.raceway or "", "not stated")
