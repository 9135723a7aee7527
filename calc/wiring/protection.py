"""What conductors have to satisfy behind a breaker."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from calc.codebook import Codebook
from calc.wiring.ampacity import Rung, area
from calc.wiring.conditions import Conditions
from calc.work import Citation, Comparison, Sheet, Value


@dataclass(frozen=True)
class RunLoad:
    """What a run has to carry.

    ``design`` is the current that conductors are sized for. ``neutral`` is None where nothing says how small it may be.
    ``apart`` is True where the equipment's own rules set the breaker apart from the conductors: air conditioning and
    motors; ``most_breaker`` is then the largest breaker, as far as the job tells, by the rule ``most_by``.
    ``receptacles`` is None where the job does not tell whether several receptacles hang on a branch circuit.
    ``by_breaker`` is True where the load isn't known and the breaker stands for the most that it can be.
    ``dwelling_rating`` is the rating that the dwelling's own sheet gives; ``as_service`` whether the run is rated like
    the service.
    """

    calculated: Value
    design: Value
    neutral: Value | None
    whole: bool
    apart: bool
    receptacles: bool | None
    sized_by: Citation
    most_breaker: Value | None = None
    most_by: tuple[Citation, ...] = ()
    dwelling_rating: Value | None = None
    as_service: bool = False
    by_breaker: bool = False


@dataclass(frozen=True)
class Needed:
    """What the ungrounded conductors must satisfy.

    ``share`` is set for the conductors of a whole dwelling; ``listed`` is the size that the dwelling list gives;
    ``ceiling`` is the size and number of sets of the service conductors, above which a feeder never needs to go.
    """

    load: RunLoad
    breaker: Value
    share: Value | None = None
    listed: str | None = None
    ceiling: tuple[str, int] | None = None


@dataclass(frozen=True)
class Requirement:
    """One requirement for one size."""

    key: str
    holds: Comparison
    cites: tuple[Citation, ...] = ()
    sizes: tuple[str, str] | None = None
    """What the two sides go by, where they are areas of conductors."""


def requirements(
    sheet: Sheet, code: Codebook, needed: Needed, of: Rung, at: Conditions, prefix: str = ""
) -> list[Requirement]:
    """The requirements for one size, with the lines that they rest on."""
    if needed.share is not None:
        return [_dwelling(sheet, code, needed, of, prefix)]
    found = _by_breaker(sheet, code, needed, of, prefix)
    if needed.ceiling is None or all(test.holds.holds for test in found):
        return found
    size, sets = needed.ceiling
    if at.sets.number == sets:
        own = area(sheet, code, of.size, f"{prefix}own_cmil")
        most = area(sheet, code, size, "service_cmil")
        if (own >= most).holds:
            return [Requirement("dwelling_ceiling", own >= most, (code.cite("dwelling_ceiling"),), (of.size, size))]
    return found


def _dwelling(sheet: Sheet, code: Codebook, needed: Needed, of: Rung, prefix: str) -> Requirement:
    assert needed.share is not None
    if needed.listed is None:
        return Requirement("dwelling_share", of.ampacity >= needed.share, (code.cite("dwelling_share"),))
    own = area(sheet, code, of.size, f"{prefix}own_cmil")
    listed = area(sheet, code, needed.listed, "listed_cmil")
    return Requirement("dwelling_list", own >= listed, (code.cite("dwelling_table"),), (of.size, needed.listed))


def _by_breaker(sheet: Sheet, code: Codebook, needed: Needed, of: Rung, prefix: str) -> list[Requirement]:
    load = needed.load
    if load.apart:
        return [Requirement("carries_load", of.ampacity >= load.design, (load.sized_by,))]
    found = [
        Requirement("carries_continuous", of.before >= load.design, (load.sized_by,)),
        Requirement("carries_load", of.ampacity >= load.calculated, (load.sized_by,)),
    ]
    most = sheet.line(f"{prefix}largest_breaker_a", _largest(code, needed, of), cites=[code.cite("next_size_up")])
    found.append(Requirement("breaker_protects", needed.breaker <= most, (code.cite("next_size_up"),)))
    column = f"{of.metal}_a"
    if any(row["size"] == of.size and row[column] for row in code.rows("small_conductors")):
        small = sheet.line(f"{prefix}small_conductor_a", code.row("small_conductors", size=of.size)[column])
        found.append(Requirement("small_conductor", needed.breaker <= small, (code.cite("small_conductors"),)))
    return found


def _largest(code: Codebook, needed: Needed, of: Rung) -> Value:
    """The largest breaker behind which the ampacity is protected: the next standard rating, where that is allowed."""
    if needed.load.receptacles is not False or (needed.breaker > code["next_size_up"]).holds:
        return of.ampacity
    return code.at_least("standard_ratings", of.ampacity)


def first_failing(found: Sequence[Requirement]) -> Requirement | None:
    """The first requirement that is not met."""
    return next((test for test in found if not test.holds.holds), None)
