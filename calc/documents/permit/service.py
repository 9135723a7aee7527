"""The service in a few lines: conductors, main, interrupting rating, grounding electrode conductor, surge protection."""

from __future__ import annotations

from collections.abc import Iterator

from calc.documents.house import amounts
from calc.documents.house.found import Found, checks, number, word
from calc.documents.house.made_of import conductors, way
from calc.documents.house.panels import PanelPage, available, pages, surge
from calc.verdict.standing import Standing
from calc.wiring.house import House
from calc.wiring.wires import called
from calc.work import Sheet
from calc.work.keys import stem_and_item
from calc.work.summary import Fact


def service_facts(house: House, standing: Standing) -> list[Fact]:
    """What the scope says of the service; nothing where it says nothing."""
    found = Found(standing.sheets)
    return [*_conductors(house, found), *_equipment(house, standing), *_electrodes(found)]


def _conductors(house: House, found: Found) -> Iterator[Fact]:
    for run in house.job.runs:
        sheet = found.of("feeder", "Conductors", run.name)
        if run.role == "service" and run.status != "removed" and sheet is not None:
            yield "Service conductors", f"{conductors(run, sheet)}; {way(run)}{_by_share(sheet)}"


def _by_share(sheet: Sheet) -> str:
    """'; ampacity 360 A, 400 A x 83 % = 332 A needed for a whole dwelling (310.12)'; nothing where they go by the breaker."""
    share = next((line for line in sheet.as_json()["lines"] if line["key"] == "dwelling_share_a"), None)
    own = number(sheet, "ampacity_a")
    if share is None or own is None:
        return ""
    listed = word(sheet, "listed_size")
    by_list = f"; for this rating {called(listed)} or larger by the list" if listed else ""
    sections = ", ".join(
        dict.fromkeys(
            [*share["sections"], *(c.section for check in checks(sheet, "dwelling_list") for c in check.cites)]
        )
    )
    return f"; ampacity {amounts.load_a(own).removesuffix('.0')} A, {share['numbers']} = {share['result']} needed for a whole dwelling{by_list} ({sections})"


def _equipment(house: House, standing: Standing) -> Iterator[Fact]:
    if not standing.sheets.get("panels") and not standing.sheets.get("fault-current"):
        return
    for page in pages(house, standing):
        if page.panel.service_equipment:
            yield "Service equipment", f"{page.called}: {_ratings(page)}"
            yield "Surge protection", surge(page)


def _ratings(page: PanelPage) -> str:
    panel = page.panel
    parts = [
        f"main {amounts.rating_a(panel.main_a)} A" if panel.main_a else "",
        f"bus {amounts.rating_a(panel.bus_a)} A" if panel.bus_a else "",
        f"interrupting {amounts.rating_a(panel.interrupting_a)} A"
        if panel.interrupting_a
        else "interrupting rating not stated",
        f"available fault current {available(page)}{' A' if page.available_a is not None else ''}",
    ]
    return ", ".join(part for part in parts if part)


def _electrodes(found: Found) -> Iterator[Fact]:
    for sheet in found.all_of("grounding", "Grounding and bonding of the service"):
        if said := "; ".join(f"{size} to {item}" for item, size in _electrode_conductors(sheet)):
            yield "Grounding electrode conductor", said


def _electrode_conductors(sheet: Sheet) -> Iterator[tuple[str, str]]:
    for line in sheet.lines:
        stem, item = stem_and_item(line.key)
        if stem == "electrode_conductor":
            yield item, str(line.result)
