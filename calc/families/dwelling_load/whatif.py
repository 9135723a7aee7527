"""The same house with something else in it, worked again: what the service says of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from calc.families.dwelling_load.existing import existing_rating
from calc.families.dwelling_load.methods import SIZES, Worked, worked
from calc.families.dwelling_load.summary import READINGS
from calc.families.dwelling_load.unit import dwelling_units
from calc.job import Job, Load, changed
from calc.wiring.house import House


@dataclass(frozen=True)
class Tried:
    """A house as worked by a method: whole amperes (two where a reading is unsettled), and whether the service serves.

    ``unsound`` names what else falls short: conditions of a record of demand, without which its load proves nothing.
    """

    amperes: tuple[float, ...]
    serves: bool
    unsound: tuple[str, ...] = ()
    wanted: tuple[str, ...] = ()
    """What it would take instead, of each of these: a record of 365 days or more."""
    refused: str = ""

    @property
    def fits(self) -> bool:
        """Whether the service serves and nothing else falls short."""
        return self.serves and not self.unsound

    @property
    def said(self) -> str:
        """'124 A', '133 A or 161 A', or that there is no answer."""
        return " or ".join(f"{a:,.0f} A" for a in self.amperes) or "no answer"

    @property
    def text(self) -> str:
        """'124 A: too much'. A record that falls short tells of no current."""
        if self.refused:
            return self.said
        if self.unsound:
            return "the record can't be used"
        return f"{self.said}: {'fits' if self.serves else 'too much'}"


def present_rating(house: House) -> float | None:
    """Rating of the service that is there, or of the new one; None where it is not stated and can't be worked out."""
    field = existing_rating(house.whole_job)
    if field is not None:
        return float(getattr(house.whole_job.service, field))
    method = house.whole_job.service.load_method if house.whole_job.service else "standard"
    return worked(house, dwelling_units(house.whole_job)[0], method).sheet.results.get("service_rating_a")


def tried(house: House, method: str, rating: float) -> Tried:
    """The first dwelling of the job by a method, judged by a service of that rating."""
    found: Worked = worked(house, dwelling_units(house.whole_job)[0], method)
    results = found.sheet.results
    if found.sheet.refused:
        return Tried((), serves=False, refused=found.sheet.refused.reason)
    ends = [end for end in READINGS if f"{method}{end}_a" in results]
    least = "least_a" if method in SIZES else "whole_a"
    serves = all(results[f"{method}{end}_{least}"] <= rating for end in ends)
    others = [check for check in found.sheet.checks if not check.key.endswith("serves") and not check.holds.holds]
    amperes = tuple(results[f"{method}{end}_whole_a"] for end in ends)
    return Tried(amperes, serves, tuple(check.name for check in others), tuple(check.remedy for check in others))


def without(job: Job, loads: Iterable[Load], still: Iterable[Load] = ()) -> Job:
    """The job with these loads taken out, and ``still`` there as existing ones."""
    status = {load.name: "removed" for load in loads} | {load.name: "existing" for load in still}
    places = {
        f"loads[{number}].status": status[load.name]
        for number, load in enumerate(job.loads, 1) if load.name in status
    }  # fmt: skip
    return changed(job, places)


def locked(job: Job, load: Load, amperes: float) -> Job:
    """The job with a vehicle supply locked to a setting."""
    at = f"loads[{job.loads.index(load) + 1}]"
    return changed(job, {f"{at}.setting_a": amperes, f"{at}.setting_locked": True})


def managed(house: House, load: Load, amperes: float) -> Job:
    """The job with a load under a system that its edition credits, at a setting."""
    system = {
        "name": f"Management of {load.name}", "kind": min(house.code.members("energy_management")), "listed": True,
        "controls": [load.name], "setpoint_a": amperes, "scope": "loads", "access_restricted": True,
    }  # fmt: skip
    return changed(house.whole_job, {"load_management[+]": system})
