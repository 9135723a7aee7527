"""What follows a draft while a person edits it: sheets, charts and tables, one of a kind in view, and what-ifs."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Iterator
from html import escape
from typing import Any

import anywidget
import traitlets

from calc.job.texts import as_text
from calc.show.assets import looks, script
from calc.show.html import note_html, table_html
from calc.show.tries import Given
from calc.work import Sheet, loud
from calc.work.chart import Chart
from calc.work.table import Table

NOT_CURRENT = "Not current: an entry in the form needs correcting. This is how it stood with the last good ones."
CHANGED_SINCE = "Not current: the job has changed since this was worked."


def person_present() -> bool:
    """Whether a person has this notebook open: Jupyter Server names the page in the kernel's environment, Voila says
    that it serves it; papermill, nbval and nbclient do neither."""
    return "JPY_SESSION_NAME" in os.environ or os.environ.get("SERVER_SOFTWARE", "").startswith("voila")


class Sighted(anywidget.AnyWidget):
    """Something that is drawn only when it is in sight: a chart costs a hundred times what a sheet costs, and a form is
    there sooner when nothing far below it is drawn first."""

    _css = looks()
    drawn = traitlets.Bool(False).tag(sync=True)

    def __init__(self, **traits: Any) -> None:
        self._in_sight: set[str] = set()
        self._behind = True
        super().__init__(**traits)
        self.on_msg(self._heard)

    def _catch_up(self) -> None:
        raise NotImplementedError

    def follow(self) -> None:
        """Draw again, now or when it comes into sight."""
        self._behind = not self._in_sight
        if self._in_sight:
            with self.hold_sync():
                self._catch_up()
                self.drawn = True

    def _heard(self, _: Any, message: dict[str, Any], __: Any) -> None:
        if message["kind"] != "sight":
            self._asked(message)
        elif message["seen"]:
            self._in_sight.add(message["page"])
            if self._behind:
                self.follow()
        else:
            self._in_sight.discard(message["page"])

    def _asked(self, message: dict[str, Any]) -> None:
        raise NotImplementedError


Thing = tuple[str, Callable[[], str]]  # its title, and what draws it as HTML


class View(Sighted):
    """Things of one kind, one in view at a time."""

    _esm = script("view")
    label = traitlets.Unicode().tag(sync=True)
    titles: traitlets.List[str] = traitlets.List().tag(sync=True)
    at = traitlets.Int(0).tag(sync=True)
    banner = traitlets.Unicode().tag(sync=True)
    html = traitlets.Unicode().tag(sync=True)

    def __init__(self, label: str, things: Callable[[], list[Thing]]) -> None:
        self._things = things
        self._about = ""
        super().__init__(label=label)

    def refresh(self, current: bool, about: str = "") -> None:
        """Follow the draft; ``current`` is False while an entry is wrong. Turns to the title that is ``about`` a name."""
        self.banner = "" if current else NOT_CURRENT
        if current:
            self._about = about or self._about
            self.follow()

    def picture(self) -> Iterator[str]:
        """All that can come into view, one beneath another."""
        if self.banner:
            yield note_html(self.banner)
        yield from (draw() for _, draw in self._things())

    def _catch_up(self) -> None:
        things = self._things()
        titles = [title for title, _ in things]
        at = min(self.at, max(len(titles) - 1, 0))
        if self._about and titles and self._about not in titles[at]:
            at = next((number for number, title in enumerate(titles) if self._about in title), at)
        self._about = ""
        with self.hold_sync():
            self.titles, self.at = titles, at
            self.html = things[at][1]() if things else ""

    def _asked(self, message: dict[str, Any]) -> None:
        self._about = ""  # what a person turns to stays, also before the view has once been in sight
        self.at = max(0, int(message["at"]))
        self._catch_up()


class Waiting(Sighted):
    """A place on the page that ``fill`` puts something in when it comes into sight."""

    _esm = script("waiting")

    def __init__(self, fill: Callable[[], None]) -> None:
        self._fill = fill
        super().__init__()

    def _catch_up(self) -> None:
        self._fill()


class Slow(Sighted):
    """Something that takes many seconds: worked when it first comes into sight, beside the page, and again when asked."""

    _esm = script("slow")
    label = traitlets.Unicode().tag(sync=True)
    said = traitlets.Unicode().tag(sync=True)
    working = traitlets.Bool(False).tag(sync=True)
    html = traitlets.Unicode().tag(sync=True)

    def __init__(self, label: str, work: Callable[[], str], done: Callable[[], None]) -> None:
        self._work, self._done = work, done
        self._old = False
        super().__init__(label=label)

    def refresh(self, current: bool, about: str = "") -> None:
        """An entry has changed: what shows is of before."""
        self._old = True
        if self.html and not self.working:
            self.said = CHANGED_SINCE

    def _catch_up(self) -> None:
        if not self.working:
            self._old, self.working, self.said = False, True, "Being worked; it takes some seconds."
            threading.Thread(target=self._work_in_peace, daemon=True).start()

    def _work_in_peace(self) -> None:
        try:
            html = self._work()
            said = CHANGED_SINCE if self._old else ""
        except Exception as error:  # told at the page: a thread has nobody else to tell
            html, said = "", f"This could not be worked, by a fault of the program: {type(error).__name__}: {error}"
        with self.hold_sync():
            self.html, self.said, self.working = html, said, False
        self._done()

    def _asked(self, message: dict[str, Any]) -> None:
        self._catch_up()


def sheet_title(number: int, sheet: Sheet) -> str:
    """A line for choosing a sheet, with how it stands."""
    state = loud(sheet.status)
    return f"{number}. {sheet.subject}: {state}"


def chart_page(chart: Chart) -> str:
    """A chart with its words beneath it."""
    from calc.show.charts import draw  # brings matplotlib, half of all that a page loads: the form need not wait for it

    return f"<div role='img' aria-label='{escape(chart.title, quote=True)}'>{draw(chart)}</div>{note_html(chart.alt)}"


class WhatIf(Sighted):
    """The family worked again with one entry changed: what would come out, beside what comes out now.

    ``givens`` are the entries that can be tried, ``work`` gives the table for one of them said otherwise, ``use`` enters it.
    """

    _esm = script("whatif")
    titles: traitlets.List[Any] = traitlets.List().tag(sync=True)
    at = traitlets.Unicode().tag(sync=True)
    given = traitlets.Dict().tag(sync=True)
    html = traitlets.Unicode().tag(sync=True)
    answers = traitlets.Int(0).tag(sync=True)

    def __init__(
        self, givens: Callable[[], list[Given]], work: Callable[[str, str], Table], use: Callable[[str, str], None]
    ) -> None:
        self._givens, self._work, self._use = givens, work, use
        self._text = ""
        super().__init__()

    def _catch_up(self) -> None:
        """Follow the draft's givens; a number being tried is tried again."""
        found = {given.at: given for given in self._givens()}
        with self.hold_sync():
            self.titles = [(given.at, given.title) for given in found.values()]
            if self.at not in found:
                self.at, self._text = next(iter(found), ""), ""
            chosen = found.get(self.at)
            self.given = chosen.as_json() if chosen else {}
            self._redraw(chosen)

    def _redraw(self, chosen: Given | None) -> None:
        if chosen is not None:
            self.html = table_html(self._work(chosen.at, self._text or as_text(chosen.value)))
        self.answers += 1

    def _asked(self, message: dict[str, Any]) -> None:
        if message["kind"] == "choose":
            self.at, self._text = str(message["at"]), ""
            self._catch_up()
        elif message["kind"] == "use":
            text, self._text = self._text, ""
            if text:
                self._use(self.at, text)
        else:
            self._text = str(message["text"])
            self._redraw(next((given for given in self._givens() if given.at == self.at), None))
