"""The bar at the top of every page: the job, what it covers and how it stands, the pages with the state of each, print."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from html import escape
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from calc.codebook import CodebookError
from calc.families import families
from calc.job import Job, JobError, read_job
from calc.job.forms import form_of
from calc.show.album import Album
from calc.show.assets import looks, script
from calc.show.chosen import chosen_job
from calc.show.glance import OUTSIDE, worked
from calc.show.html import note_html
from calc.show.rest import AtRest
from calc.show.stands import OpenThing, opened_thing
from calc.show.where import page_with, pages_of
from calc.verdict.scope import scope_of
from calc.verdict.standing import Standing
from calc.wiring.house import House
from calc.work import Sheet, worst

REST_S = 0.7


class PageOpen(OpenThing):
    """One thing in the scope of a job that does not pass, with the page that it is entered at."""

    page: str


class Bar(anywidget.AnyWidget):
    """How the whole job stands, worked when the page is at rest: a person's edits go first.

    ``house`` gives the job as the page has it now, or why there is none; ``whole`` all that the page shows, for printing,
    where it can be printed from here.
    """

    _esm = script("bar")
    _css = looks()
    job = traitlets.Unicode().tag(sync=True)
    state = traitlets.Unicode().tag(sync=True)
    said = traitlets.Unicode("Being looked at.").tag(sync=True)
    pages: traitlets.List[Any] = traitlets.List().tag(sync=True)
    failing: traitlets.List[Any] = traitlets.List().tag(sync=True)
    behind = traitlets.Bool(False).tag(sync=True)
    prints = traitlets.Bool(True).tag(sync=True)

    def __init__(self, house: Callable[[], House | str], whole: Callable[[], str] | None) -> None:
        self._house, self._whole = house, whole or str
        super().__init__(pages=[[each.file, each.heading, ""] for each in pages_of()], prints=whole is not None)
        self._rest = AtRest(self.look, REST_S)
        self._rest.begin()
        self.on_msg(self._heard)
        self.stale()

    def stale(self) -> None:
        """The job has changed."""
        self.behind = True
        self._rest.stale()

    def picture(self) -> str:
        """The job and its verdict, to be read where no kernel runs."""
        return note_html(f"{self.job}. {self.said}")

    async def look(self) -> None:
        """Work what the job covers, a family at a time."""
        house = self._house()
        if isinstance(house, str):
            self._tell("", "", house, {}, [])
            return
        job = house.whole_job
        try:
            scope = scope_of(job)
        except (JobError, CodebookError) as error:
            self._tell(job.job.name, "", str(error), {}, [])
            return
        sheets: dict[str, list[Sheet]] = {}
        for name in families():
            sheets[name] = worked(house, scope, name)
            await asyncio.sleep(0)
        stands = Standing(job, scope, sheets)
        found = []
        for each in stands.open:
            thing = opened_thing(each, job.data, form_of(each.family), sheets[each.family])
            found.append(_with_page(thing, each.family))
            await asyncio.sleep(0)
        states = {name: worst(s.status for s in mine) if mine else OUTSIDE for name, mine in sheets.items()}
        self._tell(job.job.name, stands.status, f"{_edition(job)} {stands.verdict}.", dict(states), found)

    # -- inside ---------------------------------------------------------------------------------------------

    def _tell(self, job: str, state: str, said: str, states: dict[str, str], found: list[PageOpen]) -> None:
        with self.hold_sync():
            self.job, self.state, self.said, self.failing, self.behind = job, state, said, found, False
            self.pages = [[each.file, each.heading, states.get(each.family, "")] for each in pages_of()]

    def _heard(self, _: Any, message: dict[str, Any], __: Any) -> None:
        if message["kind"] == "print":
            self.send({"kind": "print", "title": self.job, "html": f"<h1>{escape(self.job)}</h1>{self._whole()}"})


def show_bar(album: Album | None = None) -> Bar:
    """The bar of a page that has no job of its own: of the job chosen on the start page. ``album`` is what can be printed."""
    bar = Bar(lambda: house_at(chosen_job(None, True)), album.whole if album else None)
    (album or Album()).put(bar, lambda: [bar.picture()])
    return bar


def house_at(path: Path) -> House | str:
    """The house of a job file as it is saved; why there is none."""
    try:
        return House.of(read_job(path))
    except (JobError, CodebookError) as error:
        return str(error)


def _edition(job: Job) -> str:
    return f"Edition {job.code.edition}{', amended' if job.code.amendments else ''}."


def _with_page(thing: OpenThing, family: str) -> PageOpen:
    page, at = page_with(thing["at"], family, pages_of())
    return {**thing, "page": page, "at": at}
