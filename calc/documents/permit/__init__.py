"""The permit set: what an office decides from in three minutes. Its pages follow from what the job covers."""

from __future__ import annotations

from calc.documents.card import subject
from calc.documents.permit.calculation import calculation
from calc.documents.permit.compliance import compliance
from calc.documents.permit.corrections import corrections
from calc.documents.permit.front import figures, front
from calc.documents.permit.rests import rests_on
from calc.documents.permit.wiring import wiring
from calc.verdict.standing import standing
from calc.wiring.house import House
from calc.work.document import Document, Section

TITLE = "Permit set"


def permit_set(house: House) -> Document:
    """The permit set of a job. JobError where its scope names something unknown."""
    stands = standing(house)
    decides = (
        Section("Compliance", [*compliance(stands)]) if stands.passes else Section("Corrections", corrections(house))
    )
    found = [
        front(house, stands),
        Section(decides.title, [*decides.parts, *rests_on(house, stands)], new_page=True, one_page=stands.passes),
        *wiring(house, stands),
        *calculation(stands),
    ]  # fmt: skip
    return Document("office", TITLE, subject(house), [each for each in found if each.parts], figures(house, stands))
