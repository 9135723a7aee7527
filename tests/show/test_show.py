"""Sheets and charts as people see them: whole, escaped, labelled, the same each time."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from calc.families import families
from calc.families.charting import Chart
from calc.families.reading import codebook_for
from calc.job import changed, read_job
from calc.show import show_chart, show_front, show_sheet, show_table
from calc.show.charts import draw
from calc.show.style import style

DEMO = Path(__file__).parents[2] / "notebooks" / "jobs" / "fernhollow-lot-12.toml"
HOSTILE = [
    "<script>alert(1)</script>", "<img src=x onerror=alert(1)>", "$x^2$", r"\frac{1}{2}", "#set page(width: 1pt)",
    "{item}", "{0.__class__}", "%s%n", "'; DROP TABLE loads; --", "=1+1", "&lt;b&gt;", "*bold* _it_", "`code`",
    '" onmouseover="alert(1)', "]]>", "<!--", "</style><script>", "{{7*7}}", "[link](javascript:alert(1))",
]  # fmt: skip


class Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.attributes: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attrs}


def test_html_says_all_that_the_sheet_says() -> None:
    job = read_job(DEMO)
    (sheet, *_) = families()["dwelling-load"].work(job, codebook_for(job))
    shown = show_sheet(sheet)._repr_mimebundle_()
    html, data = shown["text/html"], shown["application/vnd.studbay.sheet+json"]
    for line in data["lines"]:
        assert f">{line['number']}<" in html
        assert line["result"].split()[0] in html
    assert "<th scope='col'" in html
    assert "style" not in re.findall(r"<(\w+)", html), "a style sheet is taken out of a notebook that isn't trusted"


@pytest.mark.parametrize("text", HOSTILE)
def test_user_text_is_only_text(text: str) -> None:
    job = changed(read_job(DEMO), {"loads[1].name": text})
    code = codebook_for(job)
    family = families()["dwelling-load"]
    (sheet, *_) = family.work(job, code)
    for shown in (show_sheet(sheet), show_front(family.front(job, code))):  # type: ignore[attr-defined]
        html = shown._repr_mimebundle_()["text/html"]
        tags = Tags()
        tags.feed(html)
        assert not tags.tags & {"script", "img", "b", "a", "style"}
        assert tags.attributes <= {"style", "scope", "value", "data-key"}
    table = show_table(
        {"title": text, "intro": text, "columns": [{"name": text, "align": "left"}], "rows": [[text]], "notes": [text]}
    )
    tags = Tags()
    tags.feed(table._repr_mimebundle_()["text/html"])
    assert not tags.tags & {"script", "img", "b", "a"}


@pytest.mark.parametrize("text", HOSTILE)
def test_chart_labels_are_only_text(text: str) -> None:
    chart = Chart("pairs", text, text, {"rows": [[text, 1.0, 2.0]], "before": text, "after": text, "unit": "VA"})
    svg = draw(chart)
    tags = Tags()
    tags.feed(svg)
    assert not tags.tags & {"script", "img"}
    assert 'alert(1)"' not in svg


def test_charts_are_the_same_each_time_and_carry_their_words() -> None:
    job = read_job(DEMO)
    code = codebook_for(job)
    family = families()["dwelling-load"]
    for chart in family.charts(job, code, family.work(job, code)):
        shown = show_chart(chart)._repr_mimebundle_()
        assert shown["image/svg+xml"] == draw(chart)
        assert chart.alt
        assert shown["application/vnd.studbay.chart+json"]["data"] == chart.data
        assert chart.data["unit"] in shown["image/svg+xml"]


def _luminance(colour: str) -> float:
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("name", ["ink", "muted", "accent", "pass", "short", "refused"])
def test_text_colours_keep_their_contrast(name: str) -> None:
    """4.5:1 on paper and on wash (WCAG 2.2, 1.4.3)."""
    colours = style()["colours"]
    for ground in ("paper", "wash"):
        light, dark = sorted((_luminance(colours[ground]), _luminance(colours[name])), reverse=True)
        assert (light + 0.05) / (dark + 0.05) >= 4.5
