"""The breaker of a run, and the sizes that a dwelling's own rules allow behind it."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.feeder.load import stated_breaker
from calc.job import Run, place
from calc.wiring.conditions import Conditions
from calc.wiring.house import House
from calc.wiring.protection import RunLoad
from calc.work import Missing, Sheet, Value, larger


def breaker(sheet: Sheet, house: House, run: Run, load: RunLoad) -> Value:
    """The breaker ahead of the run (of service conductors: the main at their end), as given or worked out.

    A feeder with the whole house on it is taken as rated like the service, one of a unit as its own load asks.
    """
    if (stated := house.told(stated_breaker, run, load.as_service)) is not None:
        return sheet.line("breaker_a", stated)
    if load.dwelling_rating is not None:
        return sheet.line("breaker_a", load.dwelling_rating)
    if load.apart:
        if load.most_breaker is None:
            raise Missing(
                f"{run.name} is a circuit by nameplate, but no largest breaker is stated: give the maximum "
                "breaker of the load (mocp_a), or the breaker of the run (breaker_a).",
                house.code.cite("nameplate_circuit"),
                at=place(run, "breaker_a"),
            )
        return sheet.line("breaker_a", load.most_breaker, cites=load.most_by)
    least = sheet.line("breaker_least_a", larger(load.design, house.code["branch_least"]))
    return sheet.line("breaker_a", house.code.at_least("standard_ratings", least))


def dwelling_share(sheet: Sheet, code: Codebook, run: Run, load: RunLoad, rating: Value) -> Value | None:
    """83 % of the rating, where the run carries the whole load of one dwelling and the rating is within its range."""
    if not load.whole or run.phases != 1:
        return None
    if run.volts == 208 and (run.role == "service" or run.neutral is False):
        sheet.find(
            "dwelling_range",
            "on a wye only for a feeder of two legs and the neutral",
            cites=[code.cite("dwelling_share")],
        )
        return None
    low, high = rating >= code["dwelling_share_least"], rating <= code["dwelling_share_most"]
    inside = low.holds and high.holds
    outside = rating < code["dwelling_share_least"] if not low.holds else rating > code["dwelling_share_most"]
    sheet.find(
        "dwelling_range", "within the range" if inside else "outside the range", [low, high] if inside else [outside]
    )
    return sheet.line("dwelling_share_a", rating * code["dwelling_share"]) if inside else None


def listed_size(sheet: Sheet, house: House, metal: str, rating: Value, at: Conditions) -> str | None:
    """The size in the list for dwellings, where it may be used: nothing corrected, and no column below 75 °C asked.

    Whether terminals of 60 °C keep the listed sizes out is read in two ways; the job says which one it takes.
    """
    if not house.code.has("dwelling_table") or at.corrected or at.sets.number > 1 or at.limited_by != "the terminals":
        return None
    if (at.insulation_c < house.code["dwelling_table_insulation"]).holds:
        return None
    if not any(float(row["rating_a"]) == rating.number for row in house.code.rows("dwelling_table")):
        return None
    if (at.limit_c < house.code["dwelling_table_insulation"]).holds:
        by_terminals = house.job.code.readings.dwelling_sizes == "by-terminals"
        sheet.remark("note_list_by_terminals" if by_terminals else "note_list_as_it_stands")
        if by_terminals:
            return None
    return sheet.pick("listed_size", house.code.row("dwelling_table", rating_a=rating).text(metal))
