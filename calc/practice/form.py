"""The practice page of the notebook: choose a question, work it line by line, and be told at each line.

With a person at the page there is a field a line. Run headless, the question is shown as text and as a table.
"""

from __future__ import annotations

import html
from pathlib import Path

import ipywidgets as widgets
from IPython.display import display

from calc.families import families
from calc.job import JobError, read_job
from calc.practice.asking import HOW, AskedLine, about, asked_lines, givens
from calc.practice.lesson import Question, taught
from calc.practice.marking import Marked, mark
from calc.practice.printed import question_text
from calc.practice.questions import LEVELS, question, question_from_job
from calc.show.display import Shown
from calc.show.html import note_html, table_html
from calc.show.live import person_present
from calc.work.table import Table, columns

NAMED = {"description_width": "initial"}


class Practice:
    """A practice question in the notebook, drawn from a seed or taken from a real job."""

    def __init__(self, family: str, level: int, seed: int, live: bool | None = None) -> None:
        self.live = person_present() if live is None else live
        self.question = question(family, seed, level)
        self._page = widgets.VBox()
        self.fields: dict[str, widgets.Text] = {}
        self.told: dict[str, widgets.HTML] = {}

    def choose(self) -> None:
        """Fields for family, level and seed, where a person is at the page."""
        if not self.live:
            return
        titles = [(families()[name].TITLE, name) for name in taught()]
        family = widgets.Dropdown(options=titles, value=self.question.family, description="Calculation", style=NAMED)
        level = widgets.Dropdown(options=LEVELS, value=2, description="Level")
        seed = widgets.BoundedIntText(value=1, min=0, max=10**6, description="Number of the sheet", style=NAMED)
        for field in (family, level, seed):
            field.observe(lambda _: self.take(question(family.value, seed.value, level.value)), "value")
        display(widgets.HBox([family, level, seed]))

    def from_job(self, path: str | Path, family: str, subject: str = "") -> None:
        """Practise the sheet of a real job instead; what is wrong with the path or the job is told."""
        try:
            self.take(question_from_job(family, read_job(path), subject))
        except (ValueError, JobError, OSError) as error:
            display(Shown({"text/html": note_html(str(error)), "text/plain": str(error)}))

    def show(self) -> None:
        """The question: fields for a person, text and a table without one."""
        if self.live:
            self.take(self.question)
            display(self._page)
        else:
            display(Shown({"text/html": _page_html(self.question), "text/plain": question_text(self.question)}))

    def take(self, asked: Question) -> None:
        """Put another question on the page."""
        self.question = asked
        self.fields, self.told = {}, {}
        rows = [self._row(line) for line in asked_lines(asked)]
        button = widgets.Button(description="Mark what I have", button_style="primary")
        button.on_click(lambda _: self.mark())
        self._page.children = [widgets.HTML(_givens_html(asked)), widgets.HTML(html.escape(HOW)), *rows, button]

    def mark(self) -> list[Marked]:
        """Mark the fields that are filled in, and say at each line what is to be said."""
        marked = mark(self.question, {key: field.value for key, field in self.fields.items()})
        for one in marked:
            said = "" if one.verdict == "left out" and one.key in self.told else one.told
            self.told[one.key].value = html.escape(f"{_SIGNS[one.verdict]} {said}".strip() if said else "")
        return marked

    def _row(self, line: AskedLine) -> widgets.Widget:
        name = f"{line.number}  {line.name}"
        if not line.asked:
            return widgets.HTML(html.escape(f"{name}: {line.told}"))
        field = widgets.Text(description=name, placeholder=line.unit or "number or size", style={"description_width": "34em"},
                             layout=widgets.Layout(width="50em", max_width="100%"), continuous_update=False)  # fmt: skip
        self.fields[line.key], self.told[line.key] = field, widgets.HTML()
        return widgets.VBox([field, self.told[line.key]])


_SIGNS = {"right": "✓", "slip": "✗", "wrong": "✗", "unreadable": "?", "left out": ""}


def _table(title: str, names: list[str], rows: list[list[str]], intro: str = "") -> str:
    return table_html(Table(title, columns(*names), rows, intro))


def _givens_html(asked: Question) -> str:
    return _table(f"{asked.title}: {about(asked)}", ["Given", "Value"], [list(pair) for pair in givens(asked)])


def _page_html(asked: Question) -> str:
    rows = [[str(line.number), line.name, line.unit if line.asked else line.told] for line in asked_lines(asked)]
    return _givens_html(asked) + _table("The lines", ["Line", "What it is", "In"], rows, HOW)
