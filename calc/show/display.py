"""What a notebook cell shows: one MIME bundle with a form to read and a form for the packet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from calc.show.html import front_html, sheet_html, table_html
from calc.work import Sheet, as_text
from calc.work.chart import Chart

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


def show_table(table: dict[str, Any]) -> Shown:
    """A plain table."""
    return Shown({MIME.format("table"): table, "text/html": table_html(table), "text/plain": table["title"]})


def show_verdict(verdict: dict[str, Any], glance: dict[str, Any]) -> Shown:
    """The verdict of the whole job for page 1 of the packet, and each calculation at a glance to read."""
    forms = {MIME.format("verdict"): verdict, "text/html": table_html(glance), "text/plain": verdict["verdict"]}
    return Shown(forms)


def show_front(front: dict[str, Any]) -> Shown:
    """The load summary for page 1 of the packet."""
    return Shown({MIME.format("front"): front, "text/html": front_html(front), "text/plain": front["title"]})


def show_chart(chart: Chart) -> Shown:
    """A chart as SVG, with its words and its data."""
    from calc.show.charts import draw  # brings matplotlib: see chart_page

    data = {"title": chart.title, "alt": chart.alt, "subject": chart.subject, "data": chart.data}
    return Shown({MIME.format("chart"): data, "image/svg+xml": draw(chart), "text/plain": chart.alt})
