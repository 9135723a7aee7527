"""What is collected from executed notebooks, and what is refused."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from calc.packet import CollectError, collect
from tests.packet import samples
from tests.packet.samples import notebook, output


def test_displays_come_in_the_order_of_notebooks_and_cells(tmp_path: Path) -> None:
    first = notebook(
        tmp_path / "1.ipynb",
        [output("document", samples.document())],
        [output("sheet", samples.dwelling_sheet()), output("chart", samples.chart(), samples.chart_svg())],
    )
    second = notebook(tmp_path / "2.ipynb", [output("table", samples.table())])
    found = collect([second, first]).displays
    assert [(d.kind, d.notebook, d.cell) for d in found] == [
        ("table", "2.ipynb", 2),
        ("document", "1.ipynb", 2),
        ("sheet", "1.ipynb", 3),
        ("chart", "1.ipynb", 3),
    ]
    assert found[-1].svg == samples.chart_svg()


def test_a_display_shown_twice_counts_once(tmp_path: Path) -> None:
    sheet = samples.dwelling_sheet()
    other = samples.dwelling_sheet(subject="Unit B")
    path = notebook(tmp_path / "n.ipynb", [output("sheet", sheet)], [output("sheet", other), output("sheet", sheet)])
    assert collect([path]).of("sheet") == [sheet, other]


def test_a_notebook_may_contribute_nothing(tmp_path: Path) -> None:
    said = {"output_type": "display_data", "metadata": {}, "data": {"text/html": "<p>No boxes in this job.</p>"}}
    printed = {"output_type": "stream", "name": "stdout", "text": ["hello"]}
    path = notebook(tmp_path / "n.ipynb", [said, printed], [])
    assert collect([path]).displays == []


def test_a_cell_that_ended_in_an_error_is_refused(tmp_path: Path) -> None:
    failed = {"output_type": "error", "ename": "ValueError", "evalue": "no area", "traceback": []}
    path = notebook(tmp_path / "n.ipynb", [], [failed])
    with pytest.raises(CollectError, match=r"n\.ipynb, cell 3: ended in ValueError: no area"):
        collect([path])


@pytest.mark.parametrize(
    ("kind", "data", "svg", "said"),
    [
        ("sheet", samples.dwelling_sheet(schema_version=1), "", "sheet format 1"),
        ("sheet", {"schema_version": 2, "family": "x"}, "", "lacks title, subject"),
        ("sheet", ["no"], "", "must be a JSON object, not list"),
        ("chart", samples.chart(), "", "has no drawing"),
        ("chart", samples.chart(alt="  "), "<svg/>", "no description in words"),
    ],
)
def test_a_display_must_be_what_its_type_promises(tmp_path: Path, kind: str, data: Any, svg: str, said: str) -> None:
    path = notebook(tmp_path / "n.ipynb", [output(kind, data, svg)])
    with pytest.raises(CollectError, match=rf"^n\.ipynb, cell 2: .*{said}"):
        collect([path])


def test_infinity_is_no_result(tmp_path: Path) -> None:
    path = notebook(tmp_path / "n.ipynb", [output("sheet", samples.dwelling_sheet(results={"a": float("inf")}))])
    with pytest.raises(CollectError, match="Infinity"):
        collect([path])


@pytest.mark.parametrize("content", ["", "not json", "[]", '{"cells": 3}', '{"nbformat": 4}', '{"cells": [3]}'])
def test_a_file_that_is_no_notebook_is_named(tmp_path: Path, content: str) -> None:
    path = tmp_path / "n.ipynb"
    path.write_text(content)
    with pytest.raises(CollectError, match=r"n\.ipynb"):
        collect([path])


def test_a_missing_notebook_is_named(tmp_path: Path) -> None:
    with pytest.raises(CollectError, match=r"gone\.ipynb: can't be read"):
        collect([tmp_path / "gone.ipynb"])
