"""A line that several methods print says only what holds in each of them; what holds in one has words of its own."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator

import pytest

from calc.families.dwelling_load.methods import TITLES, worked
from calc.families.dwelling_load.unit import dwelling_units
from calc.job import Job, changed
from calc.job.read import make_job
from calc.wiring.house import House
from calc.work import Sheet
from tests.everything import job_files
from tests.oracle.jobs import random_job

METHOD, KIND, PHASES = range(3)
BOUND = {
    METHOD: ("in full", "steps", "a share", "the share", "75 %", "40 %", "65 %", "largest motor"),
    KIND: ("one-family", "a house", "100 A", "60 A"),
    PHASES: ("two legs", "both legs", "two hot conductors", "volts between the legs", "half the load"),
}
"""Words that hold by one method and not by another, for a house and not for a building, on two legs and not on three."""

TRUE_IN_ALL = {
    "climate_va": "the standard and the existing rule and a record's new load take the season in full; others say their own",
    "vehicle_supply_va": "in full by the standard method and beside a record; for the two with steps, told with both ways",
    "standard_least_a": "names each least with what it is for",
    "neutral_a": "names two legs of a wye as the exception",
    "house_va": "in full by either method",
}
"""Lines whose shared words use one of these and are true in each manner, with the reason."""


def jobs() -> Iterator[Job]:
    """The job files, some random houses, and each also under 2026 and, where it can be, on three phases."""
    for job in [*job_files(), *(make_job(random_job(seed)) for seed in range(40))]:
        if job.dwelling is not None and (job.dwelling.units or job.dwelling.floor_area_ft2):
            yield job
            if job.service is not None:
                yield changed(job, {"dwelling.status": "existing", "service.rating_a": 200, "service.work": "kept"})


Manner = tuple[str, str, int]


def sheets() -> Iterator[tuple[Manner, Sheet]]:
    """Each sheet of each dwelling by each method, and the manner it is worked in."""
    for job in jobs():
        phases = job.service.phases if job.service else 1
        for unit in dwelling_units(job):
            for method in TITLES:
                for edition in {job.code.edition, "2026"}:
                    kind = "building" if unit.kind == "building" else "house"
                    found = worked(House.of(job, edition), unit, method).sheet
                    yield (method, kind, phases if unit.kind != "unit" else 1), found


@pytest.fixture(scope="module")
def reasons() -> dict[tuple[str, str], set[Manner]]:
    """The manners in which each reason of each line is printed."""
    found: dict[tuple[str, str], set[Manner]] = defaultdict(set)
    for manner, sheet in sheets():
        for line in (*sheet.lines, *sheet.checks):
            found[line.key.partition("[")[0], line.reason].add(manner)
    return found


def claimed(reason: str, manners: set[Manner]) -> list[str]:
    """The words in a reason that are bound to something in which the manners differ."""
    differing = [at for at in BOUND if len({manner[at] for manner in manners}) > 1]
    return [word for at in differing for word in BOUND[at] if re.search(rf"\b{re.escape(word)}(?!\w)", reason)]


def test_shared_reasons_claim_nothing_that_holds_in_one_manner_only(
    reasons: dict[tuple[str, str], set[Manner]],
) -> None:
    """A reason that names a step, a share, a least or a number of legs is for one manner, or was looked at by hand."""
    found = {key: words for (key, reason), manners in reasons.items() if (words := claimed(reason, manners))}
    bold = {key: words for key, words in found.items() if key not in TRUE_IN_ALL}
    assert not bold, f"give these words of a manner, or show in TRUE_IN_ALL that they hold in each: {bold}"
    assert TRUE_IN_ALL.keys() == found.keys(), "no longer than it must be"


def test_the_sheets_are_of_every_manner(reasons: dict[tuple[str, str], set[Manner]]) -> None:
    """Each method for a house, standard and optional for buildings, on one phase and on three."""
    seen = set().union(*reasons.values())
    assert {(method, "house", 1) for method in TITLES} <= seen
    assert {(method, "building", phases) for method in ("standard", "optional") for phases in (1, 3)} <= seen
