"""The permit set: what an office decides from in three minutes. Its pages follow from what the job covers."""

from __future__ import annotations

from calc.documents.card import subject
from calc.documents.permit.additions import additions
from calc.documents.permit.calculation import calculation
from calc.documents.permit.compliance import margins, tightest, without_margin
from calc.documents.permit.corrections import corrections
from calc.documents.permit.front import front, load_summary
from calc.documents.permit.rests import rests_on
from calc.documents.permit.wiring import wiring
from calc.verdict.standing import Standing, standing
from calc.wiring.house import House
from calc.work.document import Document, Section
from calc.work.summary import Summary

TITLE = "Permit set"
WITHOUT_MARGIN = "Checks without a margin: met or not met, or met by the very size that is needed"
FEW = 4  # that do not pass: an office that reads these wants to see what does


def permit_set(house: House) -> Document:
    """The permit set of a job. JobError where its scope names something unknown."""
    stands = standing(house)
    summary = load_summary(house, stands)
    subjects = [*wiring(house, stands), *additions(house, stands), *calculation(house, stands)]
    sections = [front(house, stands, summary), *_decides(house, stands, summary is not None), *subjects]
    found = [each for each in sections if each.parts]
    return Document("office", TITLE, subject(house), found, _figures(house, stands, summary), {**stands.as_json()})


def _figures(house: House, standing: Standing, summary: Summary | None) -> dict[str, float | str]:
    """What a list of many jobs says of each."""
    job, margin = house.job.job, tightest(standing)
    card = {"address": job.address or "", "permit_number": job.permit_number or ""}
    least: dict[str, float | str] = {"tightest": margin[0], "margin_pct": margin[1]} if margin else {}
    return {**(summary.figures if summary else {}), **{key: text for key, text in card.items() if text}, **least}


def _decides(house: House, standing: Standing, own_page: bool) -> list[Section]:
    """What has to be corrected, and what complies where that is nearly all; what both rest on; then what has no margin."""
    title, wrong = ("Compliance", []) if standing.passes else ("Corrections", corrections(house))
    table = margins(standing) if len(standing.open) <= FEW else None
    rests = rests_on(house, standing)
    decides = Section(title, [*wrong, *([table] if table else []), *rests], new_page=own_page, one_page=own_page)
    more = without_margin(standing) if standing.passes else []
    return [decides, Section(WITHOUT_MARGIN, more, across=max(1, len(more)))]
