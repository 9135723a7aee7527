"""Sheets, charts and tables that follow a draft while a person edits it: one thing at a time in view, and redrawn."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets as widgets

from calc.show.html import sheet_html, table_html
from calc.work import Sheet

NOT_CURRENT = "Not current: an entry in the form needs mending. This is how it stood with the last good ones."


def person_present() -> bool:
    """Whether a person has this notebook open: Jupyter Server names the page in the kernel's environment, Voila says
    that it serves it; papermill, nbval and nbclient do neither."""
    return "JPY_SESSION_NAME" in os.environ or os.environ.get("SERVER_SOFTWARE", "").startswith("voila")


class View:
    """Things of one kind, one in view at a time. ``draw`` gives the HTML of one; only what is in view is drawn."""

    def __init__(self, label: str, titles: Callable[[], list[str]], draw: Callable[[int], str]) -> None:
        self._titles, self._draw = titles, draw
        self.choice = widgets.Dropdown(
            description=label, layout={"width": "560px"}, style={"description_width": "60px"}
        )
        self.banner = widgets.HTML()
        self.page = widgets.HTML()
        self.box = widgets.VBox([self.choice, self.banner, self.page])
        self.choice.observe(lambda _: self._redraw(), "index")
        self._quiet = False

    def refresh(self, current: bool) -> None:
        """Follow the draft; ``current`` is False while an entry is wrong."""
        self.banner.value = "" if current else f"<p role='status'><strong>{NOT_CURRENT}</strong></p>"
        titles = self._titles()
        if list(self.choice.options) != titles:
            self._quiet = True
            at = min(self.choice.index or 0, max(len(titles) - 1, 0))
            self.choice.options = titles
            self.choice.index = at if titles else None
            self.choice.layout.display = "" if len(titles) > 1 else "none"
            self._quiet = False
        if current or not self.page.value:
            self._redraw()

    def _redraw(self) -> None:
        if not self._quiet:
            at = self.choice.index
            self.page.value = self._draw(at) if at is not None else ""


def sheet_titles(sheets: Sequence[Sheet]) -> list[str]:
    """A line a sheet for choosing, with how it stands."""
    states = ["refused" if s.refused else "passes" if s.passes else "FALLS SHORT" for s in sheets]
    return [f"{at}. {s.subject}: {state}" for at, (s, state) in enumerate(zip(sheets, states, strict=True), 1)]


def changed_keys(before: dict[str, Any], after: dict[str, Any]) -> frozenset[str]:
    """Keys of the results that an edit changed."""
    return frozenset(key for key, value in after.items() if before.get(key) != value) if before else frozenset()


def sheet_page(sheet: Sheet, before: dict[str, Any]) -> str:
    """The sheet, changed results marked."""
    return sheet_html(sheet.as_json(), changed_keys(before, sheet.results))


class WhatIf:
    """The family worked again with one given changed: what would come out, beside what comes out now."""

    def __init__(
        self, givens: Callable[[], list[dict[str, Any]]], work: Callable[[str, float], dict[str, Any]]
    ) -> None:
        self._givens, self._work = givens, work
        self.choice = widgets.Dropdown(description="What if", layout={"width": "420px"})
        self.number = widgets.FloatText(description="were", layout={"width": "220px"})
        self.page = widgets.HTML()
        self.box = widgets.VBox([widgets.HBox([self.choice, self.number]), self.page])
        self.choice.observe(lambda _: self._begin(), "index")
        self.number.observe(lambda _: self._redraw(), "value")

    def refresh(self) -> None:
        """Follow the draft's givens."""
        titles = [f"{given['name']}, now {given['text']}" for given in self._givens()]
        if list(self.choice.options) != titles:
            at = min(self.choice.index or 0, max(len(titles) - 1, 0))
            self.choice.options = titles
            self.choice.index = at if titles else None
        self._redraw()

    def _begin(self) -> None:
        if self.choice.index is not None:
            self.number.value = self._givens()[self.choice.index]["value"]

    def _redraw(self) -> None:
        if self.choice.index is None:
            return
        given = self._givens()[self.choice.index]
        self.page.value = table_html(self._work(given["at"], self.number.value))
