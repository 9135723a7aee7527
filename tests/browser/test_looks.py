"""The start page, and a notebook in JupyterLab's own dark theme, read aloud; each family's page is in test_families."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Page

from tests.browser.looking import cut_off, small, violations
from tests.browser.pages import FormPage, open_page
from tests.browser.serving import Served

DARK = "window.jupyterapp.commands.execute('apputils:change-theme', { theme: 'JupyterLab Dark' })"


def test_the_start_page_can_be_read_aloud(page: Page, served: Served, folder: Path) -> None:
    open_page(page, served, folder, "00-start-here.ipynb")
    page.get_by_role("button", name="Take it in").wait_for()
    assert violations(page, "start") == []
    page.set_viewport_size({"width": 820, "height": 1180})
    for part in page.locator(".sb-start").all():
        assert cut_off(part) == []
        assert small(part) == []


def test_a_notebook_in_jupyterlab_in_the_dark(page: Page, served: Served, folder: Path) -> None:
    open_page(page, served, folder, "01-dwelling-load.ipynb", pages=False)
    form = FormPage(page)
    page.evaluate(DARK)
    page.locator('body[data-jp-theme-light="false"]').wait_for(state="attached")
    form.put("dwelling.floor_area_ft2", "lots")
    # axe takes what JupyterLab's panels clip for hidden, and so finds no label; on its page the same form has them
    assert violations(page, "lab", but=("label-title-only",)) == []
    assert cut_off(form.form) == []  # beside JupyterLab's list of files
