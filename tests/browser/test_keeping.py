"""A notebook used in JupyterLab: what is saved of it, what shows without its kernel, and what stays as it was."""

from __future__ import annotations

import shutil
from collections.abc import Iterator

import nbformat
import pytest
from nbconvert import HTMLExporter
from playwright.sync_api import BrowserContext, Page, expect

from calc.keeping import USED
from tests.browser.pages import KERNEL_IDLE, FormPage, expect_result, picture, run_all
from tests.browser.serving import REPOSITORY, Served, serving

NOTEBOOK = "01-dwelling-load.ipynb"
AREA = "dwelling.floor_area_ft2"
PANEL = "window.jupyterapp.shell.currentWidget"
HAS_PICTURES = f"""() => {PANEL}.content.model.sharedModel.cells.flatMap((cell) => cell.toJSON().outputs ?? [])
  .filter((each) => each.metadata?.studbay?.picture)
  .map((each) => [each.data["text/html"]].flat().join("")).filter((html) => html.includes("7,500 VA")).length === 1"""


@pytest.fixture(scope="module")
def clone(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A clone of the program, served as `studbay open` serves it there."""
    place = tmp_path_factory.mktemp("clone")
    for part in ("calc", "notebooks", "templates"):
        shutil.copytree(REPOSITORY / part, place / part, ignore=shutil.ignore_patterns(".*", "__pycache__"))
    with serving(tmp_path_factory.mktemp("served-clone"), clone=place) as served:
        yield served


@pytest.fixture(scope="module")
def used(clone: Served, window: BrowserContext) -> Iterator[Page]:
    """The notebook of the dwelling load in that clone, run, an entry changed, and saved as autosave does."""
    page = window.new_page()
    page.goto(clone.address(clone.root, NOTEBOOK, pages=False))
    page.wait_for_function(KERNEL_IDLE, timeout=60_000)
    run_all(page)
    form = FormPage(page)
    form.put(AREA, "2500")
    expect_result(form.view("Sheet"), "general lighting", "7,500 VA")
    page.wait_for_function(HAS_PICTURES)
    page.evaluate(f"{PANEL}.context.save()")
    yield page
    page.close()


def test_as_long_as_it_is_live_no_picture_stands_beside_it(used: Page) -> None:
    expect(used.locator(".sb-picture").first).to_be_attached()
    expect(used.locator(".sb-picture:visible")).to_have_count(0)


def test_use_changes_nothing_in_the_notebook_itself(used: Page, clone: Served) -> None:
    """The program's own notebook is as it was, to the byte; what was saved of its use lies with the reports."""
    assert (clone.root / "notebooks" / NOTEBOOK).read_bytes() == (REPOSITORY / "notebooks" / NOTEBOOK).read_bytes()
    assert (clone.root / USED / NOTEBOOK).is_file()


def test_what_was_saved_shows_all_of_it_anywhere(used: Page, clone: Served) -> None:
    """Turned into a web page with nothing of ours: the entries, each sheet, each chart, and no live part."""
    notebook = nbformat.read(clone.root / USED / NOTEBOOK, as_version=4)
    html, _ = HTMLExporter(exclude_input=True).from_notebook_node(notebook)
    for said in ("Floor area", ">2500<", "7,500 VA", "data:image/svg+xml", "general lighting"):
        assert said in html
    assert "widget-view" not in html


def test_opened_without_a_kernel_it_shows_what_it_showed(used: Page, clone: Served) -> None:
    used.evaluate(f"{PANEL}.context.sessionContext.shutdown()")
    used.reload()
    expect(used.locator(".sb-picture", has_text="7,500 VA").first).to_be_visible()
    expect(used.locator(".sb-picture", has_text="Floor area").first).to_be_visible()
    expect(used.get_by_text("model not found")).to_have_count(0)
    expect(used.locator(".sb-picture img").first).to_be_attached()
    picture(used, "opened-without-a-kernel")


def test_a_notebook_that_is_closed_ends_its_kernel(used: Page, clone: Served) -> None:
    used.wait_for_function(KERNEL_IDLE)
    assert len(clone.kernels()) == 1
    with used.expect_response(lambda answer: answer.request.method == "DELETE" and "/api/sessions/" in answer.url):
        used.evaluate("window.jupyterapp.commands.execute('application:close')")
    assert clone.kernels() == set()
