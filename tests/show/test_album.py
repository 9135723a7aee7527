"""The pictures that a saved notebook keeps: of all that is shown, drawn at rest, and in place of the live parts."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import Any

import pytest

from calc.job import read_job
from calc.job.forms import form_of
from calc.keeping import WIDGET, still
from calc.show.album import HIDDEN, PICTURE, Album, portable
from calc.show.entries import entries_html, spread
from calc.workplace import shipped_notebooks

JOBS = shipped_notebooks() / "jobs"


class Handle:
    """A display that can be put in place of another."""

    shown: list[str]

    def __init__(self) -> None:
        self.shown = []
        HANDLES.append(self)

    def display(self, what: Any, **_: Any) -> None:
        self.shown.append(what.forms["text/html"])

    update = display


HANDLES: list[Handle] = []


@pytest.fixture
def handles(monkeypatch: pytest.MonkeyPatch) -> list[Handle]:
    HANDLES.clear()
    monkeypatch.setattr("calc.show.album.DisplayHandle", Handle)
    monkeypatch.setattr("calc.show.album.display", lambda part: None)
    return HANDLES


def test_a_picture_is_drawn_at_rest_and_again_only_where_it_differs(handles: list[Handle]) -> None:
    says = ["one"]

    async def work() -> None:
        album = Album(keeps=True, rest_s=0)
        album.put("part", lambda: says)
        assert handles[0].shown == [f'<div class="sb-picture">{HIDDEN}</div>'], (
            "nothing is drawn before the page is at rest"
        )
        await album.draw()
        await album.draw()
        says[0] = "two"
        await album.draw()

    asyncio.run(work())
    assert [shown.removeprefix(f'<div class="sb-picture">{HIDDEN}').removesuffix("</div>") for shown in handles[0].shown] == [
        "", "one", "two",
    ]  # fmt: skip


def test_where_nothing_is_kept_nothing_is_drawn(handles: list[Handle]) -> None:
    """A page of the workbook is not saved: no picture costs it anything."""
    Album(keeps=False).put("part", lambda: pytest.fail("drawn for nobody"))
    assert handles == []


def test_a_drawing_is_an_image_where_it_is_not_trusted() -> None:
    """JupyterLab takes drawings out of what it does not trust, and leaves images that stand in the text."""
    found = portable('<p>a</p><svg width="1"><g>\n</g></svg><p>b</p>')
    assert found.startswith('<p>a</p><img alt="" src="data:image/svg+xml;base64,')
    assert "<svg" not in found


def test_the_entries_of_a_form_are_there_to_read() -> None:
    job = read_job(JOBS / "fernhollow-lot-12.toml")
    html = entries_html(job.data, spread(form_of("box-fill")))
    for box in job.boxes:
        assert box.name in html
    assert "Marked volume, in³" in html
    html = entries_html(job.data, spread(form_of("dwelling-load")))
    assert "3240" in html
    assert "Floor area, ft²" in html


def test_what_is_saved_has_the_picture_and_not_the_live_part() -> None:
    live = {"output_type": "display_data", "data": {WIDGET: {"model_id": "1"}, "text/plain": "Form()"}, "metadata": {}}
    picture = {"output_type": "display_data", "data": {"text/html": "<p>kept</p>"}, "metadata": PICTURE}
    plain = {"output_type": "stream", "name": "stdout", "text": "said"}
    cells = [{"cell_type": "code", "source": "a", "outputs": [live, picture, plain]},
             {"cell_type": "code", "source": "b", "outputs": [live]}, {"cell_type": "markdown", "source": "c"}]  # fmt: skip
    kept = still({"cells": cells, "metadata": {"studbay": {}, "widgets": {}}})
    assert kept["cells"][0]["outputs"] == [picture, plain]
    assert "run the notebook" in kept["cells"][1]["outputs"][0]["data"]["text/html"]
    assert "widgets" not in kept["metadata"]


def test_the_picture_of_each_family_says_what_its_notebook_says(handles: list[Handle]) -> None:
    """What is kept of a page is all of it: every sheet, not the one in view."""
    from calc.show.desk import Desk

    path: Path = JOBS / "fernhollow-lot-12.toml"
    desk = Desk("feeder", path, live=True)
    desk._album = Album(keeps=True, rest_s=0)
    desk.form()
    desk.sheets()
    asyncio.run(desk._album.draw())
    entries, sheets = (handle.shown[-1] for handle in handles)
    for run in read_job(path).runs:
        assert run.name in entries
        assert run.name in sheets
