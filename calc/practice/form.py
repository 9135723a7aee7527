"""The practice page of the notebook: choose a question, work it line by line, and be told at each line.

With a person at the page there is a field a line. Run headless, the question is shown as text and as a table.
"""

from __future__ import annotations

import html
from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import ipywidgets as widgets
from IPython.display import display

from calc.codebook import CodebookError
from calc.families import families
from calc.job import JobError, read_job
from calc.practice import tutor
from calc.practice.asking import HOW, AskedLine, about, asked_lines, givens
from calc.practice.lesson import Question, taught
from calc.practice.marking import Marked, mark
from calc.practice.mastery import mastery_html
from calc.practice.printed import key_text, question_text, summed
from calc.practice.questions import LEVELS, question, question_from_job, sheets_to_practise
from calc.practice.record import Answered, RecordError, add_to_record, read_record
from calc.show.album import Album
from calc.show.bar import show_bar
from calc.show.display import Shown
from calc.show.html import note_html, table_html
from calc.show.live import Waiting, person_present
from calc.show.reference import job_of, page_of
from calc.wiring.house import House
from calc.work.signs import with_powers
from calc.work.table import Table, columns

NAMED = {"description_width": "initial"}
WHOLE_NAMES = (
    "<style>.sb-answer > .widget-label { white-space: normal; height: auto; line-height: 1.3; }"
    "@media (max-width: 600px) { .sb-answer > .widget-label { text-align: left; } }</style>"
)
"""A line's name is read to its end: on a phone it takes as many rows as it needs."""


class Practice:
    """A practice question in the notebook, drawn from a seed or taken from a real job.

    Of a family that has no lesson it is the small job of its page in the reference, whatever the seed. ``album`` is that of
    another question on the same page: they are printed together.
    """

    def __init__(
        self, family: str, level: int, seed: int, live: bool | None = None, album: Album | None = None
    ) -> None:
        self.live = person_present() if live is None else live
        self.question = question(family, seed, level) if family in taught() else _small(family)
        self._page = widgets.VBox()
        self.fields: dict[str, widgets.Text] = {}
        self.told: dict[str, widgets.HTML] = {}
        self.hinted: dict[str, int] = {}
        self.hint_buttons: dict[str, widgets.Button] = {}
        self._hints: dict[str, widgets.HTML] = {}
        self._summed = widgets.HTML()
        self.record: Path | None = None
        self.chosen: tutor.Next | None = None
        self._mastered = widgets.HTML(layout=widgets.Layout(max_width="100%"))
        self.album = album or Album()

    def bar(self) -> None:
        """The chosen job with the other pages, where a person is at the page; what is asked can be printed from there."""
        if self.live:
            show_bar(self.album)

    def learn(self, path: str | Path) -> None:
        """Keep a learner's record at this path and choose from it; where a person is at the page."""
        self.record = Path(path)
        if self.live:
            button = widgets.Button(description="Next question", button_style="primary")
            button.on_click(lambda _: self.next())
            line = widgets.Button(description="One line, two minutes")
            line.on_click(lambda _: self.next(drill=True))
            self._tell_mastery()
            buttons = widgets.HBox([button, line], layout=widgets.Layout(flex_flow="row wrap"))
            self.album.put(widgets.VBox([buttons, self._mastered]), lambda: [self._mastered.value])

    def next(self, drill: bool = False) -> None:
        """The next question by the record, or a drill of one line; a worked example is shown whole, and hints that were paid
        for stand where they stood. What is wrong with the record is told.
        """
        if self.record is None:
            return
        try:
            record = read_record(self.record)
            chosen = (tutor.next_drill if drill else tutor.next_question)(record, datetime.now(UTC))
            self.take(chosen.question, chosen.asked)
            self.chosen = chosen
            for key, used in tutor.hints_read(record, chosen).items():
                self._show_hints(key, used)
            if not chosen.asked:
                self._add(tutor.read_example(chosen))
                self._page.children += (widgets.HTML(f"<pre>{html.escape(key_text(chosen.question))}</pre>"),)
        except RecordError as error:
            self._mastered.value = note_html(str(error))

    def _add(self, answers: list[Answered]) -> bool:
        """Put answers into the record; whether it took them, else what is wrong with it is told."""
        if self.record is None:
            return False
        try:
            add_to_record(self.record, answers)
        except (RecordError, OSError) as error:
            self._mastered.value = note_html(f"Not recorded: {error}")
            return False
        return True

    def hint(self, key: str) -> None:
        """The next of the three hints for a line. It stays above what is said of an answer, and the button tells the next."""
        used = min(self.hinted.get(key, 0) + 1, len(tutor.COSTS))
        self._show_hints(key, used)
        if self.chosen is not None:
            self._add([tutor.hint_read(self.chosen, key, used)])

    def _show_hints(self, key: str, used: int) -> None:
        self.hinted[key] = used
        self._hints[key].value = "<br>".join(
            html.escape(with_powers(each)) for each in tutor.hints(self.question, key)[:used]
        )
        self._tell_next_hint(key)
        self.album.stale()

    def _tell_next_hint(self, key: str) -> None:
        used, button = self.hinted.get(key, 0), self.hint_buttons[key]
        button.disabled = used == len(tutor.HINTS)
        button.description = f"No more hints, {tutor.cost(used):.0%} off" if button.disabled else (
            f"Hint {used + 1}: {tutor.hint_label(used)}")  # fmt: skip

    def _record(self, marked: list[Marked]) -> None:
        """Put what was answered into the record, each line of a chosen question once."""
        if self.chosen is not None and self._add(tutor.answered(self.chosen, marked, self.hinted)):
            done = {one.key for one in marked if one.verdict in ("right", "slip", "wrong")}
            self.chosen = replace(self.chosen, asked=tuple(key for key in self.chosen.asked if key not in done))
            self._tell_mastery()

    def _tell_mastery(self) -> None:
        try:
            record = read_record(self.record) if self.record is not None else []
            self._mastered.value = mastery_html(record, datetime.now(UTC)) if tutor.lines_of(record) else ""
        except RecordError as error:
            self._mastered.value = note_html(str(error))

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
        self.album.put(widgets.HBox([family, level, seed], layout=widgets.Layout(flex_flow="row wrap")), list)

    def from_job(self, path: str | Path, family: str, subject: str = "") -> None:
        """Practise the sheet of a real job instead; what is wrong with the path or the job is told."""
        try:
            self.take(question_from_job(family, read_job(path), subject))
        except (ValueError, JobError, OSError) as error:
            display(Shown({"text/html": note_html(str(error)), "text/plain": str(error)}))

    def choose_real(self, folder: str | Path) -> None:
        """Fields for a house of a folder, a calculation and one of its sheets, where a person is at the page."""
        if self.live:
            picker = Picker(Path(folder), self)
            self.album.put(picker.row, list)

    def show(self) -> None:
        """The question: fields for a person, text and a table without one."""
        if self.live:
            if not self._page.children:
                self._page.children = (Waiting(lambda: self.take(self.question)),)
            self.album.put(self._page, lambda: [_page_html(self.question), self._answered_html()])
        else:
            display(Shown({"text/html": _page_html(self.question), "text/plain": question_text(self.question)}))

    def take(self, asked: Question, left: Collection[str] | None = None) -> None:
        """Put another question on the page; with ``left`` only those lines are asked."""
        self.question, self.chosen = asked, None
        self.fields, self.told, self.hinted, self.hint_buttons, self._hints = {}, {}, {}, {}, {}
        rows = [self._row(line) for line in asked_lines(asked, left)]
        button = widgets.Button(description="Mark what I have", button_style="primary")
        button.on_click(lambda _: self.mark())
        self._summed = widgets.HTML()
        self.album.stale()
        self._page.children = [
            widgets.HTML(WHOLE_NAMES + _givens_html(asked)),
            widgets.HTML(html.escape(HOW)),
            *rows,
            button,
            self._summed,
        ]

    def mark(self) -> list[Marked]:
        """Mark the fields that are filled in, and say at each line what is to be said."""
        marked = mark(self.question, {key: field.value for key, field in self.fields.items()})
        for one in marked:
            said = "" if one.verdict == "left out" and one.key in self.told else one.told
            if one.key in self.told:
                self.told[one.key].value = html.escape(f"{_SIGNS[one.verdict]} {said}".strip() if said else "")
        self._summed.value = html.escape(summed([one for one in marked if one.key in self.told], self.hinted))
        self._record(marked)
        self.album.stale()
        return marked

    def _answered_html(self) -> str:
        """What was answered so far, with what was said of it."""
        rows = [[line.name, self.fields[line.key].value, html.unescape(self.told[line.key].value)]
                for line in asked_lines(self.question) if line.key in self.fields and self.fields[line.key].value]  # fmt: skip
        return _table("Answered", ["Line", "Answer", "What was said"], rows) if rows else ""

    def _row(self, line: AskedLine) -> widgets.Widget:
        name = f"{line.number}  {line.name}"
        if not line.asked:
            return widgets.HTML(html.escape(with_powers(f"{name}: {line.told}")))
        field = widgets.Text(description=name, placeholder=with_powers(line.unit) or "number or size", style={"description_width": "min(34em, 100%)"},
                             layout=widgets.Layout(width="50em", max_width="100%", height="auto", flex_flow="row wrap"), continuous_update=False)  # fmt: skip
        field.add_class("sb-answer")
        self.fields[line.key], self.told[line.key] = field, widgets.HTML()
        self.hint_buttons[line.key] = widgets.Button(
            layout=widgets.Layout(width="18em", max_width="100%"), tooltip=f"Hint for line {line.number}"
        )
        self.hint_buttons[line.key].on_click(lambda _: self.hint(line.key))
        self._hints[line.key] = widgets.HTML()
        self._tell_next_hint(line.key)
        asked = widgets.HBox([field, self.hint_buttons[line.key]], layout=widgets.Layout(flex_flow="row wrap"))
        return widgets.VBox([asked, self._hints[line.key], self.told[line.key]])


class Picker:
    """A real house's sheet picked from three lists: the houses of a folder, what each can be practised in, its sheets."""

    def __init__(self, folder: Path, page: Practice) -> None:
        self._page = page
        self._house: House | None = None
        self._filling = False
        houses = [(path.stem.replace("-", " "), path) for path in sorted(folder.glob("*.toml"))]
        self.house = widgets.Dropdown(
            options=[("choose", ""), *((name, str(path)) for name, path in houses)], description="House", style=NAMED
        )
        self.family = widgets.Dropdown(description="Calculation", style=NAMED)
        self.subject = widgets.Dropdown(description="Sheet", style=NAMED, layout=widgets.Layout(max_width="100%"))
        self._said = widgets.HTML()
        for field, then in ((self.house, self._opened), (self.family, self._listed), (self.subject, self._taken)):
            field.observe(lambda _, then=then: None if self._filling else then(), "value")
        row = widgets.HBox([self.house, self.family, self.subject], layout=widgets.Layout(flex_flow="row wrap"))
        self.row = widgets.VBox([row, self._said])

    def _opened(self) -> None:
        """Read the house; what is wrong with it is told here, and nothing is practised of it."""
        self._house, self._said.value = None, ""
        try:
            self._house = House.of(read_job(self.house.value)) if self.house.value else None
        except (JobError, CodebookError, OSError) as error:
            self._said.value = note_html(str(error))
        there = [
            (families()[name].TITLE, name)
            for name in families()
            if self._house is not None and not families()[name].needs(self._house.whole_job)
        ]
        self._fill(self.family, there)
        self._listed()

    def _listed(self) -> None:
        family = self.family.value
        self._fill(self.subject, sheets_to_practise(family, self._house) if family and self._house is not None else [])
        self._taken()

    def _fill(self, field: widgets.Dropdown, there: Sequence[str | tuple[str, str]]) -> None:
        """Put choices into a list and choose the first."""
        self._filling = True
        field.options = there
        field.index = 0 if there else None
        self._filling = False

    def _taken(self) -> None:
        if self._house is not None and self.family.value and self.subject.value:
            self._page.take(question_from_job(self.family.value, self._house.whole_job, self.subject.value))


_SIGNS = {"right": "✓", "slip": "✗", "wrong": "✗", "unreadable": "?", "left out": ""}


def _small(family: str) -> Question:
    return question_from_job(family, job_of(page_of(family)))


def _table(title: str, names: list[str], rows: list[list[str]], intro: str = "") -> str:
    return table_html(Table(title, columns(*names), rows, intro))


def _givens_html(asked: Question) -> str:
    return _table(f"{asked.title}: {about(asked)}", ["Given", "Value"], [list(pair) for pair in givens(asked)])


def _page_html(asked: Question) -> str:
    rows = [[str(line.number), line.name, line.unit if line.asked else line.told] for line in asked_lines(asked)]
    return _givens_html(asked) + _table("The lines", ["Line", "What it is", "In"], rows, HOW)
