"""The owner's page: what the house takes today, what of the wishes fits, under which condition, and what a new service would be.

For somebody who is no electrician: each answer first, then the amperes, then what it rests on.
"""

from __future__ import annotations

from collections.abc import Iterator

from calc.documents.card import subject
from calc.families.dwelling_load.choices import limits, room_left
from calc.families.dwelling_load.service_change import brought
from calc.families.dwelling_load.ways import Ways, new_services, present, ways
from calc.families.dwelling_load.whatif import Tried, tried
from calc.wiring.house import House
from calc.work import FALLS_SHORT, NOT_WORKED, PASSES
from calc.work.document import Document, Facts, Part, Section, Sentences, Verdict
from calc.work.table import Table, figures

TITLE = "What the service carries"
BY = {
    "standard": "by calculation (standard method)", "optional": "by calculation (optional method)",
    "existing": "by calculation (existing house)", "measured": "by the record of past use",
}  # fmt: skip
MEANT = {
    "under energy management": "Under energy management: a listed system turns the charger down while the house needs the current. "
    "Its setting is locked. The amperes named are the most that it may be set to.",
    "locked to a lower setting": "Locked to a lower setting: the charger never draws more than the amperes named, whatever the car asks for.",
}
BOTH = ("The ways of counting are each the code's own. The permit names the one that is used; a record of past use needs the whole "
        "record behind it.")  # fmt: skip
WHO_DECIDES = (
    "Every line is the whole house worked out again under the adopted code, not a sum of spare amperes. The permit office decides. "
    "Prices are no part of this."
)


def lacking(house: House) -> str:
    """Why there is no owner's page of a house; '' where there can be one."""
    dwelling = house.whole_job.dwelling
    if dwelling is None or (dwelling.floor_area_ft2 is None and not dwelling.units):
        return "it needs the dwelling, its floor area and its loads"
    if dwelling.units:
        return "it is for one dwelling; what is added to a unit of a building is for that unit's own feeder"
    return "" if present(house) else "it needs the rating of the service, or loads from which one can be worked out"


def owner_page(house: House) -> Document | None:
    """The owner's page; None where `lacking` says why."""
    at = None if lacking(house) else present(house)
    if at is None:
        return None
    method, rating = at
    found = ways(house)
    planned = found.planned[method] if found else tried(house, method, rating)
    parts = [_verdict(house, found, planned, method, rating), *_failed_record(house, rating), *_ways(found), *_conditions(found),
             *_new_service(house, found), *_room(house), Sentences([*(limits(house) if found else ()), WHO_DECIDES], "Good to know"),
             Facts(_facts(house))]  # fmt: skip
    figures_of = {"service_a": rating} | ({"calculated_a": max(planned.amperes)} if planned.amperes else {})
    return Document(
        "owner",
        TITLE,
        subject(house),
        [Section(f"What the {rating:,.0f} A service carries", parts, one_page=True)],
        figures_of,
    )


def _verdict(house: House, found: Ways | None, planned: Tried, method: str, rating: float) -> Verdict:
    """The answer in one line, and the amperes behind it."""
    if planned.refused:
        return Verdict(NOT_WORKED, f"No answer {BY[method]}.", [planned.refused, *_others(found, method)])
    if planned.unsound:
        return Verdict(NOT_WORKED, "The record of past use can't be used.", _others(found, method))
    if found is None:
        said = [f"The house comes to {planned.said} {BY[method]}, of {rating:,.0f} A."]
        fits = "fits its service" if planned.fits else "needs a larger service"
        return Verdict(PASSES if planned.fits else FALLS_SHORT, f"The house {fits}.", said)
    new = [load.name for load in house.whole_job.loads if load.status == "new"]
    wished = "Everything planned" if len(new) > 1 else new[0]
    first = f"Today the house comes to {found.today.said}, with everything planned to {planned.said}, {BY[method]}."
    details = [first, *_others(found, method)]
    larger = _replacing(house)
    if larger is not None and tried(house, method, larger).fits:
        over = "fits it too" if planned.fits else "is too much for it"
        return Verdict(PASSES, f"{wished} fits the new service of {larger:,.0f} A.",
                       [first, f"The service that it replaces is of {rating:,.0f} A: everything planned {over}."])  # fmt: skip
    if planned.fits:
        return Verdict(PASSES, f"{wished} fits the {rating:,.0f} A service.", details)
    if also := [name for name, each in found.planned.items() if each.fits]:
        return Verdict(FALLS_SHORT, f"{wished} fits the {rating:,.0f} A service only {BY[also[0]]}.", details)
    less = any(each.fits for way in found.each if way.most for _, each in way.found.values())
    return Verdict(
        FALLS_SHORT,
        f"{wished} is too much for the {rating:,.0f} A service{'; less of it fits' if less else ''}.",
        details,
    )


def _replacing(house: House) -> float | None:
    """The rating of the service that the job puts in place of the one that is there."""
    service = house.whole_job.service
    return (
        float(service.rating_a)
        if service and service.work == "replaced" and service.rating_a and service.replaces_a
        else None
    )


def _others(found: Ways | None, first: str) -> list[str]:
    """What the other methods say of everything planned."""
    if found is None:
        return []
    return [
        f"With everything planned, {BY[method]}: {_cell('', each)}."
        for method, each in found.planned.items()
        if method != first
    ]


def _cell(setting: str, found: Tried) -> str:
    """'86 A: fits', 'up to 21 A, 100 A: fits', '124 A: too much', or that nothing can be said."""
    if not found.amperes and not found.refused:
        return "no setting fits"
    return f"{setting}, {found.text}" if setting and not found.refused else found.text


def _failed_record(house: House, rating: float) -> Iterator[Part]:
    """Why a record of past use proves nothing, and what it would take. Nothing is told of it then, not even 'too much'."""
    if house.whole_job.measured_demand is None:
        return
    record = tried(house, "measured", rating)
    said = [record.refused] if record.refused else [f"{name}: it takes {wanted}" for name, wanted in zip(record.unsound, record.wanted, strict=True)]  # fmt: skip
    if said:
        yield Sentences(
            [f"{text[:1].upper()}{text[1:].rstrip('.')}." for text in said], "Why the record of past use can't be used"
        )


def _ways(found: Ways | None) -> Iterator[Part]:
    if found is None:
        return
    rows = []
    for way in found.each:
        adds = found.adds(way)
        rows.append(
            [
                way.title,
                str(way.spaces or ""),
                "" if adds is None else f"{adds:+,.0f} A",
                *(_cell(*each) for each in way.found.values()),
            ]
        )
    strong = [at for at, way in enumerate(found.each) if way.title == "Everything planned"]
    yield Table(
        "Each way, worked out",
        figures("What is built", "Spaces", "Adds", *(BY[method].capitalize() for method in found.methods)),
        rows,
        strong=strong,
    )


def _conditions(found: Ways | None) -> Iterator[Part]:
    """Each way that fits with all or nearly all of it, and what the words in it mean."""
    if found is None:
        return
    said = []
    for way in found.each:
        by = [_by(method, setting, each) for method, (setting, each) in way.found.items() if each.fits]
        if by and way.most:
            said.append(f"{way.title}: {' or '.join(by)}.")
    if said:
        yield Sentences(said, "What fits, with all or nearly all of it")
    meant = [text for words, text in MEANT.items() if any(words in way.title for way in found.each)]
    both = [BOTH] if len(found.methods) > 1 else []
    if meant or both:
        yield Sentences([*meant, *both], "", listed=False)


def _by(method: str, setting: str, found: Tried) -> str:
    return f"{BY[method]}{f', {setting}' if setting else ''} ({found.said})"


def _new_service(house: House, found: Ways | None) -> Iterator[Part]:
    """What a new service for everything would be, and what it brings with it."""
    if found is None:
        return
    sizes = [f"{each.sold_a:,.0f} A {BY[each.method]}{f', {each.reading}' if each.reading else ''}: everything planned comes to {each.current_a:,.1f} A."
             for each in new_services(house)]  # fmt: skip
    asked = [f"{name[:1].lower()}{name[1:]} ({section})" for name, section in brought(house.code)]
    beside = [f"The code asks with it for: {', '.join(asked)}."] if asked else []
    if sizes:
        yield Sentences([*sizes, *beside], "What a new service would be")


def _room(house: House) -> Iterator[Part]:
    table = room_left(house)
    if table is not None:
        yield table


def _facts(house: House) -> list[tuple[str, str]]:
    job, code, record = house.whole_job.job, house.code, house.whole_job.measured_demand
    peak = "" if record is None else next((f"{value:g} {unit}" for value, unit in ((record.peak_kw, "kW"), (record.peak_a, "A")) if value), "")  # fmt: skip
    from_to = f"{record.from_date} to {record.to_date}" if record and record.from_date and record.to_date else ""
    said = ", ".join(part for part in (peak, from_to, (record.recorded_by or "") if record else "") if part)
    stated = [("Owner", job.owner), ("Edition adopted", f"{code.edition}" + (f", {house.job.code.adopted_as}" if house.job.code.adopted_as else "")),
              ("Record of past use", said), ("Prepared by", ", ".join(part for part in (job.prepared_by, job.license) if part)),
              ("Date", str(job.date or ""))]  # fmt: skip
    return [(label, text) for label, text in stated if text]
