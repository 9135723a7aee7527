"""Sheets and charts as people see them: whole, escaped, labelled, the same each time."""

from __future__ import annotations

import re
from pathlib import Path

from calc.families import families
from calc.job import read_job
from calc.show import show_chart, show_sheet
from calc.show.charts import draw
from calc.show.html import table_html
from calc.wiring.house import House
from calc.wiring.reading import codebook_for
from calc.work.table import Table, columns

DEMO = Path(__file__).parents[2] / "notebooks" / "jobs" / "fernhollow-lot-12.toml"


def test_html_says_all_that_the_sheet_says() -> None:
    job = read_job(DEMO)
    (sheet, *_) = families()["dwelling-load"].work(House.of(job))
    shown = show_sheet(sheet)._repr_mimebundle_()
    html, data = shown["text/html"], shown["application/vnd.studbay.sheet+json"]
    for line in data["lines"]:
        assert f">{line['number']}<" in html
        assert line["result"].split()[0] in html
    assert "<th scope='col'" in html
    assert "style" not in re.findall(r"<(\w+)", html), "a style sheet is taken out of a notebook that isn't trusted"


def test_a_long_result_stands_with_the_work_where_there_is_room() -> None:
    job = read_job(DEMO)
    (sheet, *_) = families()["receptacles"].work(House.of(job))
    shown = show_sheet(sheet)._repr_mimebundle_()
    rows = re.findall(r"<tr>(<td.*?)</tr>", shown["text/html"])
    lengths = set()
    for line, row in zip(shown["application/vnd.studbay.sheet+json"]["lines"], rows, strict=False):
        *_, work, result, _ = re.findall(r"<td[^>]*>(.*?)</td>", row)
        long = len(line["result"]) > 26
        lengths.add(long)
        assert ("<strong>" in work, "<strong>" in result) == (long, not long)
    assert lengths == {True, False}


def test_charts_are_the_same_each_time_and_carry_their_words() -> None:
    job = read_job(DEMO)
    code = codebook_for(job)
    family = families()["dwelling-load"]
    for chart in family.charts(House(job, code), family.work(House(job, code))):
        shown = show_chart(chart)._repr_mimebundle_()
        assert shown["image/svg+xml"] == draw(chart)
        assert chart.alt
        assert shown["application/vnd.studbay.chart+json"] == chart.as_json()
        assert chart.data.unit in shown["image/svg+xml"]


def test_a_column_without_a_name_has_no_empty_heading() -> None:
    """A heading that says nothing is read aloud as nothing: the place above such a column is a plain cell."""
    html = table_html(Table(title="Panel", columns=columns("Space", ""), rows=[["1", "spare"]]))
    assert re.findall(r"<th [^>]*></th>", html) == []
    assert "<td></td>" in html
