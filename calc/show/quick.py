"""The quick page: one question as a small form, its answer as it is typed, the sheet beneath it, and a way into a job."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import anywidget
import traitlets
from IPython.display import display

from calc import quick
from calc.job import JobError, read_job
from calc.quick.into import put_into
from calc.quick.question import Entry, Question
from calc.show.album import Album
from calc.show.assets import looks, script
from calc.show.bar import show_bar
from calc.show.chosen import JOBS
from calc.show.display import Shown
from calc.show.html import sheet_html, table_html
from calc.show.live import person_present
from calc.work import PASSES
from calc.work.signs import with_powers
from calc.work.table import Table, columns

MAIN_FIELDS = 6
"""Of what a question takes, as much stands open; the rest opens below it."""


class Quick(anywidget.AnyWidget):
    """The page's widget. What is typed in its fields is asked as the command asks it. ``written`` hears of a job that changed."""

    _esm = script("quick")
    _css = looks()
    questions: traitlets.List[Any] = traitlets.List().tag(sync=True)
    jobs: traitlets.List[Any] = traitlets.List().tag(sync=True)
    asked = traitlets.Dict().tag(sync=True)
    answer = traitlets.Dict().tag(sync=True)
    answers = traitlets.Int(0).tag(sync=True)

    def __init__(self, jobs: Path = JOBS, written: Callable[[], None] = lambda: None) -> None:
        self._folder, self._written = jobs, written
        self._found: list[quick.Answer] = []
        self._typed = ("", "")
        listed = [[name, quick.one_line(name)[0]] for name in quick.questions()]
        super().__init__(questions=listed, jobs=sorted(path.name for path in jobs.glob("*.toml")))
        self.choose(quick.questions()[0])
        self.on_msg(self._heard)

    def choose(self, name: str) -> None:
        """Put another question on the page, with its first example in the fields."""
        asked = quick.question(name)
        self.asked = {"name": name, "fields": [_field(entry) for entry in asked.entries], "main": MAIN_FIELDS,
                      "into": asked.into, "example": asked.example}  # fmt: skip
        self.fill(name, example_in_fields(asked))

    def fill(self, name: str, values: Mapping[str, str]) -> None:
        """Answer a question from its fields."""
        self._found, told = [], ""
        self._typed = name, as_typed(quick.question(name), values)
        try:
            self._found = quick.ask(*self._typed)
        except quick.NotUnderstood as error:
            told = str(error)
        with self.hold_sync():
            self.answer = {
                "values": dict(values),
                "problem": told,
                "said": "",
                "answers": [_shown(each) for each in self._found],
            }
            self.answers += 1

    def put(self, job: str, name: str) -> str:
        """Put the one answer that there is into a job of the folder, as the code that it adopts has it; gives what to say of it."""
        if len(self._found) != 1:
            return "Answer it in one way first."
        try:
            there = read_job(self._folder / Path(job).name)
            (answer,) = quick.ask(*self._typed, job=there)
            put_into(there, name.strip(), answer)
        except (JobError, quick.NotUnderstood) as error:
            return f"Nothing was written: {error}"
        self._written()
        return f"'{name.strip()}' is in {job} now; the version before is kept beside it."

    def picture(self) -> str:
        """The answers as they stand, to be read where the page is without its kernel."""
        return "".join(f"<p>{each['html']}</p>" for each in self.answer["answers"])

    def _heard(self, _: Any, message: dict[str, Any], __: Any) -> None:
        if message["kind"] == "choose":
            self.choose(str(message["question"]))
        elif message["kind"] == "fill":
            self.fill(str(message["question"]), {str(key): str(text) for key, text in message["values"].items()})
        elif message["kind"] == "put":
            said = self.put(str(message["job"]), str(message["name"]))
            self.answer = {**self.answer, "said": said}
            self.answers += 1


def page(live: bool | None = None) -> None:
    """Show the quick page; where nobody is at the page, one example of each question with its answer."""
    if live if live is not None else person_present():
        album = Album()
        widget = Quick(written=show_bar(album).stale)
        album.put(widget, lambda: [widget.picture()])
        return
    rows = []
    for name in quick.questions():
        title, examples = quick.one_line(name)
        (answer,) = quick.ask(name, examples[0])
        said = [answer.asked if answer.asked != PASSES else "", answer.line, answer.decides]
        rows.append([title, f"{name} {examples[0]}".strip(), with_powers("; ".join(part for part in said if part)),
                     ", ".join(answer.sections)])  # fmt: skip
    table = Table("One example of each question", columns("Question", "Asked", "Answer", "Sections"), rows)
    display(Shown({"text/html": table_html(table), "text/plain": "\n".join(" | ".join(row) for row in rows)}))


def as_typed(asked: Question, values: Mapping[str, str]) -> str:
    """The fields of a form as one would type them at the command: each number with its unit and the word it goes by."""
    said = []
    for entry in asked.entries:
        text = values.get(entry.name, "").strip()
        if not text:
            continue
        plain = text.replace(",", "").replace(".", "", 1).isdigit()
        number = f"{text} {entry.unit}" if entry.unit and plain else text
        said.append(f"{entry.named[0]} {number}" if entry.named and entry.unit else number)
    return ", ".join(said)


def example_in_fields(asked: Question) -> dict[str, str]:
    """The first example of a question, spread over the fields."""
    (answer,) = quick.ask(asked.name, asked.examples[0])
    found: dict[str, str] = {}
    for one in answer.reading.said:
        said = str(one.value) if one.value in one.entry.facts.choices and not one.entry.unit else one.shown
        found[one.entry.name] = f"{found[one.entry.name]}, {said}" if one.entry.name in found else said
    return found


def _field(entry: Entry) -> dict[str, Any]:
    """What the page draws of an entry."""
    choices = [word for word, _ in entry.words] or [
        choice for choice in entry.facts.choices if isinstance(choice, str) and set(entry.at) == {""} and not entry.unit
    ]
    return {
        "name": entry.name,
        "label": entry.name.replace("_", " ").capitalize(),
        "unit": with_powers(entry.unit) if entry.unit not in ("ratio",) else "",
        "choices": [] if entry.many or entry.unit else choices,
        "hint": entry.taken,
        "like": entry.like,
    }


def _shown(answer: quick.Answer) -> dict[str, Any]:
    made = answer.as_json()
    return {
        "read": answer.read_as, "line": with_powers(answer.line), "sections": ", ".join(answer.sections),
        "decides": with_powers(answer.decides), "status": answer.asked, "edition": answer.edition,
        "short": list(answer.beside),
        "beside": [*(f"Taken as given: {said}" for said in answer.taken), *answer.notes, *(f"Not checked: {said}" for said in answer.unchecked)],
        "html": sheet_html(made["sheet"]),
    }  # fmt: skip
