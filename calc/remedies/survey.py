"""Everything in the scope of a job that does not pass, over all families."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from calc.codebook import Codebook
from calc.families import branch_circuits, families, feeder, panels, rough_in, voltage_drop
from calc.families.branch_circuits.worked import circuit_sheet
from calc.job import Job
from calc.verdict.proposed import sheets_of
from calc.verdict.scope import scope_of
from calc.verdict.standing import in_scope, standing
from calc.wiring.house import House, filled
from calc.wiring.tree import live_runs
from calc.work import Check, Sheet, Unknown

Mark = tuple[str, str, str, str]
"""What tells a requirement apart: family, title and subject of its sheet, key of its check; no key for a refusal."""


def worked(house: House, family: str) -> list[Sheet]:
    """The sheets of one family; none where the job has no such part."""
    it = families()[family]
    return [] if it.needs(house.job) else sheets_of(house, family)


def scoped(house: House, family: str) -> list[Sheet]:
    """The sheets of one family that the job's scope covers."""
    return in_scope(house, scope_of(house.job), family)


def alone(house: House, mark: Mark) -> Sheet | None:
    """The sheet of a requirement without the others of its family; None where it is gone, or is only worked with them."""
    family, title, subject, _ = mark
    if family == branch_circuits.FAMILY and title == "Branch circuit":
        return circuit_sheet(house, subject)
    if (of_run := _OF_RUN.get(family)) is not None:
        run = next((run for run in house.told(live_runs) if run.name == subject), None)
        return None if run is None else of_run(house, run)
    if (subjects := _BY_SUBJECT.get(family)) is not None:
        found = next((each for each in subjects(house) if each[:2] == (title, subject)), None)
        return None if found is None else filled(house, family, *found)
    return None


_OF_RUN = {feeder.FAMILY: feeder.run_sheet, voltage_drop.FAMILY: voltage_drop.run_sheet}
_BY_SUBJECT = {panels.FAMILY: panels.subjects, rough_in.FAMILY: rough_in.subjects}


@dataclass(frozen=True)
class Survey:
    """A job with all the sheets of its scope."""

    house: House
    sheets: Mapping[str, list[Sheet]]

    @property
    def job(self) -> Job:
        """The job as a whole, to be changed."""
        return self.house.whole_job

    @property
    def code(self) -> Codebook:
        """The code that it is worked under."""
        return self.house.code

    @cached_property
    def falling(self) -> dict[Mark, tuple[Sheet, Check | Unknown | None]]:
        """Each requirement not met or not known to be, and each refusal (without a check), in the order of the sheets."""
        return {
            mark: found for family, sheets in self.sheets.items() for mark, found in falling(family, sheets).items()
        }

    @cached_property
    def named(self) -> set[tuple[str, str, str]]:
        """Family, title and subject of every sheet."""
        return {(family, s.title, s.subject) for family, sheets in self.sheets.items() for s in sheets}


def survey(house: House) -> Survey:
    """Work the whole job."""
    return Survey(house, standing(house).sheets)


def falling(family: str, sheets: list[Sheet]) -> dict[Mark, tuple[Sheet, Check | Unknown | None]]:
    """What is not met, or not known to be, on the sheets of one family."""
    found: dict[Mark, tuple[Sheet, Check | Unknown | None]] = {}
    for s in sheets:
        for check in s.checks:
            if not check.holds.holds:
                found[family, s.title, s.subject, check.key] = (s, check)
        for unknown in s.unknowns:
            found[family, s.title, s.subject, unknown.key] = (s, unknown)
        if s.refused is not None:
            found[family, s.title, s.subject, ""] = (s, None)
    return found
