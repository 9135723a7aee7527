"""Each form and sheet as people meet it: narrow and wide, light and dark, and read aloud."""

from __future__ import annotations

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from calc.families import families
from calc.show.notebooks import notebooks_of
from calc.workplace import shipped_notebooks
from tests.browser.pages import FormPage, open_page, picture
from tests.browser.serving import Served

OURS = {"include": [[".sb"]]}
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
PAGE_RULES = (
    "region",
    "landmark-one-main",
    "page-has-heading-one",
    "bypass",
)  # of the page around, not of what is ours
NOTEBOOKS = {n.family: n.file for n in reversed(notebooks_of(shipped_notebooks())) if n.family in families()}


def violations(page: Page) -> list[str]:
    """What axe-core finds in our part of a page, one line each."""
    found = Axe().run(page, context=OURS, options=RULES).response["violations"]
    return [
        f"{v['impact']} {v['id']}: {v['help']}: {v['nodes'][0]['html'][:160]}"
        for v in found
        if v["id"] not in PAGE_RULES
    ]


@pytest.mark.parametrize("family", NOTEBOOKS)
def test_each_form_and_sheet_can_be_read_aloud(page: Page, served: Served, place: Path, family: str) -> None:
    """axe-core finds nothing serious, nor anything else, in form, sheets, charts, tables and what-ifs."""
    open_page(page, served, place, NOTEBOOKS[family])
    form = FormPage(page)
    for group in form.form.locator("fieldset.sb-list").all():
        if (more := group.get_by_role("button", name="More").first).count():
            more.click()
    page.locator(".sb-page details summary").first.click() if page.locator(".sb-page details").count() else None
    picture(page, f"form-{family}")
    page.locator(".sb-view").first.scroll_into_view_if_needed()
    picture(page, f"sheet-{family}")
    assert violations(page) == []


def test_the_start_page_can_be_read_aloud(page: Page, served: Served, place: Path) -> None:
    open_page(page, served, place, "00-start-here.ipynb")
    page.locator(".sb-start").first.wait_for()
    picture(page, "start-page")
    assert violations(page) == []


@pytest.mark.parametrize("theme", ["JupyterLab Light", "JupyterLab Dark"])
def test_themes_of_jupyterlab(page: Page, served: Served, place: Path, theme: str) -> None:
    open_page(page, served, place, "01-dwelling-load.ipynb", pages=False)
    form = FormPage(page)
    page.evaluate("theme => window.jupyterapp.commands.execute('apputils:change-theme', { theme })", theme)
    form.put("dwelling.floor_area_ft2", "lots")
    form.form.scroll_into_view_if_needed()
    picture(page, f"lab-{theme.split()[-1].lower()}")
    assert violations(page) == []


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (820, 1180)], ids=["desk", "tablet"])
@pytest.mark.parametrize("notebook", ["01-dwelling-load.ipynb", "07-box-fill.ipynb"])
def test_nothing_is_cut_off(page: Page, served: Served, place: Path, notebook: str, width: int, height: int) -> None:
    """No control lies outside the window, or under another; what is wider than the window scrolls in a frame of its own."""
    page.set_viewport_size({"width": width, "height": height})
    open_page(page, served, place, notebook)
    form = FormPage(page)
    picture(page, f"{notebook[:2]}-{width}")
    over = form.form.evaluate(
        """form => [...form.querySelectorAll("input, select, button, textarea")]
             .filter((each) => !each.closest(".sb-scroll") && each.getClientRects().length)
             .filter((each) => each.getBoundingClientRect().right > window.innerWidth || each.getBoundingClientRect().left < 0)
             .map((each) => each.outerHTML.slice(0, 120))"""
    )
    assert over == []
    small = form.form.evaluate(
        """form => [...form.querySelectorAll("input, select, button, textarea")]
             .filter((each) => each.getClientRects().length)
             .filter((each) => each.getBoundingClientRect().height < 24 || each.getBoundingClientRect().width < 24)
             .map((each) => each.outerHTML.slice(0, 120))"""
    )
    assert small == [], "a target for a finger is 24 px at least"
    first = form.form.locator("input").first.bounding_box()
    assert first is not None
    assert first["width"] > 100
