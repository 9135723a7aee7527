"""The public JSON forms as JSON Schemas: what ``studbay schema --of`` prints, and what outputs are tested against."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pydantic import ConfigDict, TypeAdapter, with_config

from calc.codebook.explain import Explained
from calc.job import job_schema
from calc.job.fields import Part
from calc.job.sent_back import SentBack
from calc.packet.crew import CrewForm
from calc.packet.document import SheetsForm
from calc.quick.answer import AnswerForm
from calc.remedies.lists import Checklist, FixList, Record
from calc.verdict.standing import VerdictForm
from calc.work.chart import Chart
from calc.work.document import Document
from calc.work.forms import SheetForm
from calc.work.summary import Summary
from calc.work.table import Table

Json = dict[str, Any]
_DIALECT = "https://json-schema.org/draft/2020-12/schema"
_HOW = ConfigDict(use_attribute_docstrings=True, json_schema_serialization_defaults_required=True)


def _of(form: type, title: str) -> Callable[[], Json]:
    """A form that the program gives."""
    return lambda: _titled(TypeAdapter(with_config(_HOW)(form)).json_schema(mode="serialization"), title)


def _taken(form: type[Part], title: str) -> Callable[[], Json]:
    """A form that the program takes in: what it can do without may be left out."""
    return lambda: _titled(form.model_json_schema(), title)


def _titled(plain: Json, title: str) -> Json:
    return {"$schema": _DIALECT, **_without_titles(plain), "title": f"Studbay {title}"}


def _without_titles(node: Any) -> Any:
    """The schema without titles, which only say the keys again, and docstrings on one line."""
    if isinstance(node, list):
        return [_without_titles(each) for each in node]
    if not isinstance(node, dict):
        return node
    kept = {
        key: _without_titles(value) for key, value in node.items() if not (key == "title" and isinstance(value, str))
    }
    return kept | {key: " ".join(kept[key].split()) for key in ("description",) if isinstance(kept.get(key), str)}


FORMS: dict[str, Callable[[], Json]] = {
    "job": job_schema,
    "sheet": _of(SheetForm, "sheet"),
    "table": _of(Table, "table"),
    "chart": _of(Chart, "chart"),
    "summary": _of(Summary, "summary"),
    "verdict": _of(VerdictForm, "verdict"),
    "fixes": _of(FixList, "fix list"),
    "walk": _of(Checklist, "walk sheet"),
    "record": _of(Record, "record to fill in"),
    "rule": _of(Explained, "rule"),
    "answer": _of(AnswerForm, "answer to one question"),
    "document": _of(Document, "document of a reader"),
    "sent-back": _taken(SentBack, "file that a crew's phone sends back"),
    "sheets.json": _of(SheetsForm, "sheets of a packet"),
    "crew.json": _of(CrewForm, "parts of a crew's packet"),
}
"""Each public form by name: a function that makes its JSON Schema (2020-12)."""
