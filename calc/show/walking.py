"""The fix list and the walk sheets in a notebook: what a crew reads on the screen, and what their packet is made from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path

from IPython.display import display

from calc import remedies
from calc.families import feeder
from calc.families.receptacles import plan
from calc.families.receptacles.room import rooms
from calc.job.forms import form_of
from calc.job.spoken import for_a_reader
from calc.remedies.lists import Checklist, FixList, Item, Question, Record
from calc.show.desk import Page
from calc.show.display import MIME, Shown, show_chart
from calc.show.html import note_html, table_html
from calc.show.live import chart_page
from calc.wiring.house import House
from calc.wiring.places import HOUSE
from calc.work import FALLS_SHORT
from calc.work.chart import Chart, OneLine
from calc.work.table import Table, columns

Part = FixList | Checklist | Record
BOX = "☐"


def open_walk(job_path: str | Path | None, live: bool | None = None) -> Page:
    """A job opened for its fix list and walk, with the form of what was found. None: the job chosen on the start page."""
    return Page(remedies.TITLE, form_of("fixes"), job_path, live)


def show_fixes(page: Page) -> None:
    """The fix list of the page's job. For a person it is worked beside the page: it works the job many times over."""
    if page.trouble:
        return
    if page.live:
        page.fixes(lambda: remedies.fixes_sheet(page.house), _html)
    else:
        display(_shown(remedies.fixes_sheet(page.house)))


def show_walk(page: Page) -> None:
    """The walk sheets by stage, the torque record, and what was found before."""
    if page.trouble:
        return
    if page.live:
        page.show("Walk sheet", lambda: [(s.title, partial(_html, s)) for s in remedies.walk(page.house)])
    else:
        display(*[_shown(sheet) for sheet in remedies.walk(page.house)])


def show_places(page: Page) -> None:
    """What a crew holds against the wall: the plan of each room, the one-line diagram, the face of each panel."""
    if page.trouble:
        return
    if page.live:
        page.show("Drawing", lambda: [(chart.title, partial(chart_page, chart)) for chart in _drawings(page.house)])
    else:
        display(*map(show_chart, _drawings(page.house)))
        if (faces := remedies.panel_faces(page.house)) is not None:
            display(_shown(faces))


def _drawings(house: House) -> list[Chart]:
    """Each drawing, its subject the place that it is of."""
    plans = [replace(chart, subject=found.room.name) for found in rooms(house) for chart in plan.charts(found)]
    lines = [] if feeder.needs(house.job) else feeder.charts(house, feeder.work(house))
    return [*(replace(chart, subject=HOUSE) for chart in lines if isinstance(chart.data, OneLine)), *plans]


def _shown(sheet: Part) -> Shown:
    return Shown({MIME.format("walk"): sheet.as_json(), "text/html": _html(sheet), "text/plain": sheet.title})


def _html(sheet: Part) -> str:
    pages = [table_html(page) for page in _tables(sheet)]
    return "".join(pages) or note_html(f"{sheet.title}: {sheet.intro}")


def _tables(sheet: Part) -> list[Table]:
    if isinstance(sheet, FixList):
        return _fixes(sheet)
    if isinstance(sheet, Record):
        return _record(sheet)
    return _stage(sheet) if sheet.part == "stage" else _findings(sheet)


def _fixes(sheet: FixList) -> list[Table]:
    def rows(items: Sequence[Item]) -> list[list[str]]:
        return [[f"{BOX} {item.number}", ": ".join(part for part in (item.where, item.about) if part), _what(item), _remedy(item), item.trade] for item in items]  # fmt: skip

    pages = [
        _table(f"{sheet.title}: {group.name}", sheet.intro if at == 0 else "",
               ["Done", "Where", "What is asked, what is there", "Correction", "Who"], rows(group.items))
        for at, group in enumerate(sheet.groups)
    ]  # fmt: skip
    who = [[name, ", ".join(map(str, numbers))] for name, numbers in (*sheet.by_room, *sheet.by_trade)]
    if pages:
        pages.append(_table("Who goes where", sheet.closing, ["Room or trade", "Numbers"], who))
    odd = [[BOX, each] for each in sheet.to_confirm]
    return [*pages, _table("To be confirmed", "" if pages else sheet.intro, ["Done", "Entry"], odd)] if odd else pages


def _what(item: Item) -> str:
    sections = f" [{', '.join(item.sections)}]" if item.sections else ""
    there = f" There: {item.there}." if item.there else ""
    why = "Needed" if item.status == FALLS_SHORT else "Why"
    needed = f" {why}: {for_a_reader(item.needed).rstrip('.')}." if item.needed else ""
    return f"{item.what[:1].upper()}{item.what[1:]}{sections}.{there}{needed}"


def _remedy(item: Item) -> str:
    others = "".join(f"; or {other}" for other in item.others)
    along = f". Corrected with it: {'; '.join(item.along)}" if item.along else ""
    return for_a_reader(f"{item.remedy or item.asked}{others}{along}")


def _stage(sheet: Checklist) -> list[Table]:
    rows = [[BOX, group.name, item.text, _asked_by(item)] for group in sheet.groups for item in group.items]
    return [_table(sheet.title, sheet.intro, ["Done", "Where", "Look at", "Asked by"], rows)]


def _asked_by(item: Question) -> str:
    said = " ".join([item.standing, ", ".join(item.sections)]).strip()
    return f"{said} ({item.mark})" if item.mark else said


def _record(sheet: Record) -> list[Table]:
    rows = [[group.name, *row] for group in sheet.groups for row in group.rows]
    return [_table(sheet.title, sheet.intro, ["Panel", *sheet.columns], rows)]


def _findings(sheet: Checklist) -> list[Table]:
    rows = [
        [group.name, item.about, item.text, ", ".join(item.sections), "; ".join(text for _, text in item.details)]
        for group in sheet.groups for item in group.items
    ]  # fmt: skip
    return [_table(sheet.title, sheet.intro, ["Part", "Where", "Finding", "Section", "Who and when"], rows)]


def _table(title: str, intro: str, names: Sequence[str], rows: Sequence[Sequence[str]]) -> Table:
    return Table(title, columns(*names), rows, intro)
