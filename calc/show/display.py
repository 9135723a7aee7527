"""What a notebook cell shows: one MIME bundle with a form to read and a form for the packet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from calc.show.html import document_html, front_html, sheet_html, table_html
from calc.verdict.standing import VerdictForm
from calc.work import Sheet, as_text
from calc.work.chart import Chart
from calc.work.document import Document
from calc.work.summary import Summary
from calc.work.table import Table

MIME = "application/vnd.studbay.{}+json"


@dataclass(frozen=True)
class Shown:
    """A thing to display, in every form that a reader of the notebook may want."""

    forms: dict[str, Any]

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> dict[str, Any]:
        return self.forms


def show_sheet(sheet: Sheet) -> Shown:
    """A sheet: text, HTML, and its public JSON form."""
    data = sheet.as_json()
    return Shown({MIME.format("sheet"): data, "text/html": sheet_html(data), "text/plain": as_text(data)})


def show_table(table: Table) -> Shown:
    """A plain table."""
    return Shown({MIME.format("table"): table.as_json(), "text/html": table_html(table), "text/plain": table.title})


def show_verdict(verdict: VerdictForm, glance: Table) -> Shown:
    """The verdict of the whole job for page 1 of the packet, and each calculation at a glance to read."""
    forms = {MIME.format("verdict"): verdict, "text/html": table_html(glance), "text/plain": verdict["verdict"]}
    return Shown(forms)


def show_front(front: Summary) -> Shown:
    """The load summary for page 1 of the packet."""
    return Shown({MIME.format("front"): front.as_json(), "text/html": front_html(front), "text/plain": front.title})


def show_document(document: Document) -> Shown:
    """A reader's document: HTML, and the public form with each chart's drawing beside its words."""
    from calc.show.charts import draw  # brings matplotlib: see chart_page

    data = document.as_json()
    charts = [part for section in document.sections for part in section.parts if isinstance(part, Chart)]
    drawings = {id(chart): draw(chart) for chart in charts}
    forms = [form for section in data["sections"] for form in section["parts"] if form["kind"] == "chart"]
    for chart, form in zip(charts, forms, strict=True):
        form["svg"] = drawings[id(chart)]
        del form["data"]
    html = document_html(document, lambda chart: drawings[id(chart)])
    return Shown({MIME.format("document"): data, "text/html": html, "text/plain": document.title})


def show_chart(chart: Chart) -> Shown:
    """A chart as SVG, with its words and its data."""
    from calc.show.charts import draw  # brings matplotlib: see chart_page

    return Shown({MIME.format("chart"): chart.as_json(), "image/svg+xml": draw(chart), "text/plain": chart.alt})
