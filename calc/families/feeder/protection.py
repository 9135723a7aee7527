"""The breaker of a run, and what its conductors have to satisfy behind it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from calc.codebook import Codebook
from calc.families.feeder.ladder import Rung, area
from calc.families.feeder.load import RunLoad, stated_breaker
from calc.families.feeder.surroundings import Conditions
from calc.job import Job, Run, place
from calc.work import Citation, Comparison, Missing, Sheet, Value, larger


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


def breaker(s: Sheet, job: Job, code: Codebook, run: Run, load: RunLoad) -> Value:
    """The breaker ahead of the run (of service conductors: the main at their end), as given or worked out.

    A feeder with the whole house on it is taken as rated like the service, one of a unit as its own load asks.
    """
    if (stated := stated_breaker(job, run, load.as_service)) is not None:
        return s.line("breaker_a", stated)
    if load.dwelling_rating is not None:
        return s.line("breaker_a", load.dwelling_rating)
    if load.apart:
        if load.most_breaker is None:
            raise Missing(
                f"{run.name} is a circuit by nameplate, but no largest breaker is stated: give the maximum "
                "breaker of the load (mocp_a), or the breaker of the run (breaker_a).",
                code.cite("nameplate_circuit"),
                at=place(run, "breaker_a"),
            )
        return s.line("breaker_a", load.most_breaker, cites=load.most_by)
    least = s.line("breaker_least_a", larger(load.design, code["branch_least"]))
    return s.line("breaker_a", code.at_least("standard_ratings", least))


def dwelling_share(s: Sheet, code: Codebook, run: Run, load: RunLoad, rating: Value) -> Value | None:
    """83 % of the rating, where the run carries the whole load of one dwelling and the rating is within its range."""
    if not load.whole or run.phases != 1:
        return None
    if run.volts == 208 and (run.role == "service" or run.neutral is False):
        s.find(
            "dwelling_range",
            "on a wye only for a feeder of two legs and the neutral",
            cites=[code.cite("dwelling_share")],
        )
        return None
    low, high = rating >= code["dwelling_share_least"], rating <= code["dwelling_share_most"]
    inside = low.holds and high.holds
    outside = rating < code["dwelling_share_least"] if not low.holds else rating > code["dwelling_share_most"]
    s.find(
        "dwelling_range", "within the range" if inside else "outside the range", [low, high] if inside else [outside]
    )
    return s.line("dwelling_share_a", rating * code["dwelling_share"]) if inside else None


def listed_size(s: Sheet, job: Job, code: Codebook, metal: str, rating: Value, at: Conditions) -> str | None:
    """The size in the list for dwellings, where it may be used: nothing corrected, and no column below 75 C asked.

    Whether terminals of 60 C keep the listed sizes out is read in two ways; the job says which one it takes.
    """
    if not code.has("dwelling_table") or at.corrected or at.sets.number > 1 or at.limited_by != "the terminals":
        return None
    if (at.insulation_c < code["dwelling_table_insulation"]).holds:
        return None
    if not any(float(row["rating_a"]) == rating.number for row in code.rows("dwelling_table")):
        return None
    if (at.limit_c < code["dwelling_table_insulation"]).holds:
        by_terminals = job.code.readings.dwelling_sizes == "by-terminals"
        s.remark("note_list_by_terminals" if by_terminals else "note_list_as_it_stands")
        if by_terminals:
            return None
    return s.pick("listed_size", code.row("dwelling_table", rating_a=rating).text(metal))


def requirements(
    s: Sheet, code: Codebook, needed: Needed, of: Rung, at: Conditions, prefix: str = ""
) -> list[Requirement]:
    """The requirements for one size, with the lines that they rest on."""
    if needed.share is not None:
        return [_dwelling(s, code, needed, of, prefix)]
    found = _by_breaker(s, code, needed, of, prefix)
    if needed.ceiling is None or all(test.holds.holds for test in found):
        return found
    size, sets = needed.ceiling
    if at.sets.number == sets:
        own = area(s, code, of.size, f"{prefix}own_cmil")
        most = area(s, code, size, "service_cmil")
        if (own >= most).holds:
            return [Requirement("dwelling_ceiling", own >= most, (code.cite("dwelling_ceiling"),))]
    return found


def _dwelling(s: Sheet, code: Codebook, needed: Needed, of: Rung, prefix: str) -> Requirement:
    assert needed.share is not None
    if needed.listed is None:
        return Requirement("dwelling_share", of.ampacity >= needed.share, (code.cite("dwelling_share"),))
    own = area(s, code, of.size, f"{prefix}own_cmil")
    listed = area(s, code, needed.listed, "listed_cmil")
    return Requirement("dwelling_list", own >= listed, (code.cite("dwelling_table"),))


def _by_breaker(s: Sheet, code: Codebook, needed: Needed, of: Rung, prefix: str) -> list[Requirement]:
    load = needed.load
    if load.apart:
        return [Requirement("carries_load", of.ampacity >= load.design, (load.sized_by,))]
    found = [
        Requirement("carries_continuous", of.before >= load.design, (load.sized_by,)),
        Requirement("carries_load", of.ampacity >= load.calculated, (load.sized_by,)),
    ]
    most = s.line(f"{prefix}largest_breaker_a", _largest(code, needed, of), cites=[code.cite("next_size_up")])
    found.append(Requirement("breaker_protects", most >= needed.breaker, (code.cite("next_size_up"),)))
    column = f"{of.metal}_a"
    if any(row["size"] == of.size and row[column] for row in code.rows("small_conductors")):
        small = s.line(f"{prefix}small_conductor_a", code.row("small_conductors", size=of.size)[column])
        found.append(Requirement("small_conductor", small >= needed.breaker, (code.cite("small_conductors"),)))
    return found


def _largest(code: Codebook, needed: Needed, of: Rung) -> Value:
    """The largest breaker behind which the ampacity is protected: the next standard rating, where that is allowed."""
    if needed.load.receptacles is not False or (needed.breaker > code["next_size_up"]).holds:
        return of.ampacity
    return code.at_least("standard_ratings", of.ampacity)


def first_failing(found: Sequence[Requirement]) -> Requirement | None:
    """The first requirement that is not met."""
    return next((test for test in found if not test.holds.holds), None)
