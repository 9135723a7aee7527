"""What heads every document: where it is, under which permit and code, who made it, what it covers."""

from __future__ import annotations

from calc.documents.house.made_of import NOT_STATED
from calc.verdict.standing import Standing
from calc.wiring.house import House
from calc.work.summary import Fact


def subject(house: House) -> str:
    """The address of the site; the name of the job where it has none."""
    return house.job.job.address or house.job.job.name


def card(house: House, standing: Standing) -> list[Fact]:
    """Site, permit, people and code, as far as the job states them, and what is covered."""
    job, code = house.job.job, house.job.code
    adopted = f"{code.basis} {code.edition}" + (f", {code.adopted_as}" if code.adopted_as else "")
    said = "" if standing.scope.stated else " (by what was entered)"
    stated = [
        ("Site", job.address or NOT_STATED), ("Permit", job.permit_number or NOT_STATED), ("Jurisdiction", job.jurisdiction), ("Owner", job.owner),
        ("Contractor", job.contractor), ("Edition adopted", adopted),
        ("Amendments", ", ".join(house.code.amendments) or "none"), ("Scope", f"{_scope(standing)}{said}"),
    ]  # fmt: skip
    return [(label, text) for label, text in stated if text]


def preparer(house: House) -> list[Fact]:
    """Who prepared it; what is not stated is a line to write on."""
    job = house.job.job
    return [("Prepared by", job.prepared_by or ""), ("License", job.license or ""), ("Signature", ""), ("Date", "")]


def _scope(standing: Standing) -> str:
    return ", ".join(item.title for item in standing.scope.items) or "nothing"
