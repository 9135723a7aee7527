"""Page 1: the verdict for the whole scope, what it is about, the load, who signs."""

from __future__ import annotations

from calc.documents.card import card, preparer
from calc.documents.permit.additions import methods
from calc.documents.permit.service import service_facts
from calc.families import dwelling_load
from calc.remedies.problem import problems
from calc.remedies.survey import survey
from calc.verdict.standing import Standing
from calc.wiring.house import House
from calc.work.document import Facts, Part, Section, Signing, Verdict
from calc.work.summary import Summary

MOST_SAID = 3
FROM_SUMMARY = ("Method", "Dwelling", "System")


def front(house: House, standing: Standing, summary: Summary | None) -> Section:
    """The first section: verdict and card; where the scope has the load, that with the service, signed on the same page."""
    more = [fact for fact in summary.facts if fact[0] in FROM_SUMMARY] if summary else []
    parts: list[Part] = [verdict(house, standing), Facts([*card(house, standing), *more])]
    if summary is None:
        return Section("Verdict", [*parts, Signing(preparer(house))])
    service = service_facts(house, standing)
    parts += [
        summary.table,
        Facts(summary.totals, across=3),
        *methods(house, standing),
        *([Facts(service, "Service", across=1)] if service else []),
    ]
    return Section("Verdict and load", [*parts, Signing(preparer(house))], one_page=True)


def verdict(house: House, standing: Standing) -> Verdict:
    """The one verdict, with the worst that is open and what nothing is claimed of."""
    said = [_open(house, standing)]
    if standing.outside:
        said.append(f"Nothing is claimed of: {', '.join(standing.outside).lower()}.")
    said += [f"To be confirmed: {odd}" for odd in standing.odd[:MOST_SAID]]
    if len(standing.odd) > MOST_SAID:
        said.append(f"And {len(standing.odd) - MOST_SAID} more entries to be confirmed.")
    return Verdict(standing.status, f"{standing.verdict}.", said)


def _open(house: House, standing: Standing) -> str:
    """What passes, or the worst that doesn't, in the order of the corrections: what falls short before what is not shown."""
    sheets = [s for found in standing.sheets.values() for s in found]
    checks = sum(len(s.checks) for s in sheets)
    if standing.passes:
        return f"All that is covered is worked and passes: {_many(len(sheets), 'sheet')}, {_many(checks, 'check')}."
    found = sorted(problems(survey(house)), key=lambda each: each.open)
    worst = [f"{each.about}: {each.what}" for each in found[:MOST_SAID]]
    more = len(found) - len(worst)
    said = "; ".join(worst)
    return f"{said[:1].upper()}{said[1:]}{f'; and {more} more' if more else ''}. Each is listed under Corrections."


def _many(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def load_summary(house: House, standing: Standing) -> Summary | None:
    """The load of the dwelling, where the scope has it; no load of a house is claimed where none was asked for."""
    return (
        dwelling_load.front(house)
        if standing.sheets.get(dwelling_load.FAMILY) and not dwelling_load.needs(house.job)
        else None
    )
