"""Right and wrong entries, undo, other hands, restarts and keys alone, at the page."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from calc.job import read_job
from tests.browser.pages import FormPage, expect_result, open_page, run_all
from tests.browser.serving import Served

AREA = "dwelling.floor_area_ft2"
DEMO = "jobs/fernhollow-lot-12.toml"

DESCRIPTION = """node => node.getAttribute("aria-describedby").split(" ")
  .map((id) => document.getElementById(id).textContent).join(" ")"""


@pytest.fixture
def form(page: Page, served: Served, place: Path) -> FormPage:
    """The demo house at its page of the dwelling load."""
    open_page(page, served, place, "01-dwelling-load.ipynb")
    return FormPage(page)


@pytest.fixture
def job(place: Path) -> Path:
    return place / "notebooks" / DEMO


def test_a_wrong_entry_is_explained_and_the_rest_goes_on(form: FormPage) -> None:
    form.put(AREA, "lots")
    expect(form.at(AREA)).to_have_attribute("aria-invalid", "true")
    assert form.said(AREA) == 'is "lots"; allowed: 50 to 30,000 ft2'
    assert form.said(AREA) in str(form.at(AREA).evaluate(DESCRIPTION))
    assert "1 entry to mend" in form.status
    sheet = form.view("Sheet")
    expect_result(sheet, "general lighting", "9,720 VA")
    expect(form.page.get_by_text("Not current: an entry in the form needs mending").first).to_be_visible()
    form.put("loads[1].load_va", "9,000")
    assert "1 entry to mend" in form.status
    form.page.get_by_role("list", name="Entries to mend").get_by_role("button", name="Floor area").click()
    expect(form.at(AREA)).to_be_focused()
    form.put(AREA, "3000")
    expect(form.form.locator("[aria-invalid]")).to_have_count(0)
    expect_result(sheet, "general lighting", "9,000 VA")


def test_undo_and_redo(form: FormPage) -> None:
    for area in ("1000", "2000"):
        form.put(AREA, area)
    form.press("Undo")
    expect(form.at(AREA)).to_have_value("1000")
    assert form.status.startswith("Took back: Floor area is now 1000.")
    form.press("Undo")
    expect(form.at(AREA)).to_have_value("3240")
    assert "Nothing unsaved" in form.status
    form.press("Redo")
    expect(form.at(AREA)).to_have_value("1000")


def test_keystrokes_of_one_entry_are_one_step(form: FormPage) -> None:
    area = form.at(AREA)
    area.focus()
    area.press("Control+a")
    area.press_sequentially("2750", delay=60)
    area.press("Tab")
    form.settle()
    expect_result(form.view("Sheet"), "general lighting", "8,250 VA")
    form.press("Undo")
    expect(area).to_have_value("3240")


def test_a_first_digit_is_not_yet_wrong(form: FormPage) -> None:
    """'2' of '2750' is under the least area: nothing may flash while a person is in the middle of a number."""
    area = form.at(AREA)
    area.fill("2")
    form.page.wait_for_timeout(150)
    form.settle()
    assert form.said(AREA) == ""
    area.fill("2750")
    form.settle()
    assert form.said(AREA) == ""


def test_rows_of_a_list(form: FormPage) -> None:
    form.group("loads").get_by_role("button", name="Add load").click()
    form.settle()
    expect(form.at("loads[15].name")).to_be_focused()
    expect(form.at("loads[15].name")).to_have_value("Load 1")
    assert "to mend" in form.status
    form.put("loads[15].kind", "well-pump")
    form.put("loads[15].load_va", "1500")
    form.put("loads[15].volts", "240")
    assert "to mend" not in form.status
    form.group("loads").get_by_role("button", name="Move up: Load 1").click()
    form.settle()
    expect(form.at("loads[14].name")).to_have_value("Load 1")
    form.group("loads").get_by_role("button", name="Copy: Load 1").click()
    form.settle()
    expect(form.at("loads[15].name")).to_have_value("Load 2")
    for name in ("Load 1", "Load 2"):
        form.group("loads").get_by_role("button", name=f"Remove: {name}").click()
        form.settle()
    assert "Nothing unsaved" in form.status, "the list is what it was"


def test_more_of_an_entry(form: FormPage) -> None:
    row = form.group("loads").get_by_role("button", name="More: Cooktop")
    row.click()
    expect(row).to_have_attribute("aria-expanded", "true")
    form.put("loads[1].status", "removed")
    assert form.form.locator('[data-at="loads[1].status"]').input_value() == "removed"
    row.click()
    expect(form.at("loads[1].status")).to_have_count(0)


@pytest.mark.parametrize(
    ("answer", "here", "beside"),
    [("Take the file's version", 3333, None), ("Keep both", 3333, 2222), ("Overwrite the file", 2222, None)],
)
def test_a_conflict(form: FormPage, job: Path, answer: str, here: int, beside: int | None) -> None:
    form.put(AREA, "2222")
    job.write_text(job.read_text().replace("3240", "3333"))
    form.press("Save")
    assert "changed by someone else" in form.status
    assert "Unsaved changes" in form.status
    form.press(answer)
    assert "Nothing unsaved" in form.status
    assert read_job(job).dwelling.floor_area_ft2 == here  # type: ignore[union-attr]
    kept = job.with_name("fernhollow-lot-12-2.toml")
    assert (read_job(kept).dwelling.floor_area_ft2 if kept.exists() else None) == beside  # type: ignore[union-attr]


def test_loading_the_page_again_loses_nothing(form: FormPage, job: Path) -> None:
    form.put(AREA, "2222")
    form.page.reload()
    again = FormPage(form.page)
    expect(again.at(AREA)).to_have_value("2222")
    assert again.status.startswith("Took up unsaved entries")
    again.press("Save")
    assert read_job(job).dwelling.floor_area_ft2 == 2222  # type: ignore[union-attr]


def test_a_kernel_restart_loses_nothing_and_nobody_types_into_nothing(page: Page, served: Served, place: Path) -> None:
    open_page(page, served, place, "01-dwelling-load.ipynb", pages=False)
    form = FormPage(page)
    form.put(AREA, "2222")
    page.evaluate("window.jupyterapp.shell.currentWidget.context.sessionContext.session.kernel.restart()")
    page.wait_for_function(
        "window.jupyterapp.shell.currentWidget.context.sessionContext.session.kernel.status === 'idle'"
    )
    form.at(AREA).fill("2223")
    expect(form.form.get_by_role("alert")).to_contain_text("No answer from the calculation")
    expect(form.at(AREA)).to_be_disabled()
    run_all(page)
    expect(page.locator(".sb-lost:not(:empty)")).to_have_count(0)
    again = FormPage(page)
    expect(again.at(AREA)).to_have_value("2222")
    assert again.status.startswith("Took up unsaved entries")


def test_keys_of_the_form_are_no_commands_of_the_notebook(page: Page, served: Served, place: Path) -> None:
    """D pressed twice deletes a cell in JupyterLab, and Control+S saves the notebook."""
    open_page(page, served, place, "01-dwelling-load.ipynb", pages=False)
    form = FormPage(page)
    cells = page.locator(".jp-Notebook .jp-Cell")
    count = cells.count()
    form.at("loads[1].kind").focus()
    for key in ("d", "d"):
        page.keyboard.press(key)
    form.settle()
    form.form.get_by_role("button", name="Move down: Cooktop").focus()
    for key in ("d", "d", "x", "b"):
        page.keyboard.press(key)
    assert cells.count() == count
    form.settle()
    form.at(AREA).focus()
    page.keyboard.press("Control+a")
    page.keyboard.type("2222")
    page.keyboard.press("Control+s")
    form.settle()
    expect(form.form.locator(".sb-status")).to_contain_text("Saved.")
    assert read_job(place / "notebooks" / DEMO).dwelling.floor_area_ft2 == 2222  # type: ignore[union-attr]


def test_keys_alone(form: FormPage) -> None:
    """Every control is reached with Tab in the order of the page, shows that it is reached, and works by keys."""
    page = form.page
    form.at("code.edition").focus()
    seen: list[str] = []
    for _ in range(40):
        page.keyboard.press("Tab")
        seen.append(page.evaluate("document.activeElement.dataset.at ?? document.activeElement.dataset.act ?? ''"))
    order = [at for at in seen if "." in at]
    assert order[0] == "code.adopted_as"
    assert AREA in order
    assert order.index(AREA) < order.index("service.system") < order.index("loads[1].name")
    outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
    assert outline == "solid"
    form.at(AREA).focus()
    page.keyboard.press("Control+a")
    page.keyboard.type("2000")
    page.keyboard.press("Enter")
    form.settle()
    expect_result(form.view("Sheet"), "general lighting", "6,000 VA")
    form.form.get_by_role("button", name="Undo").focus()
    page.keyboard.press("Enter")
    form.settle()
    expect(form.at(AREA)).to_have_value("3240")
    expect(form.form.get_by_role("button", name="Redo")).to_be_enabled()
    form.form.get_by_role("button", name="Move down: Cooktop").focus()
    page.keyboard.press("Space")
    form.settle()
    expect(form.form.get_by_role("button", name="Move down: Cooktop")).to_be_focused()
    step = form.view("Sheet").locator("summary", has_text="general lighting").first
    step.focus()
    page.keyboard.press("Enter")
    expect(step.locator("xpath=..")).to_have_attribute("open", "")


def test_a_line_opens_to_its_reason_its_row_and_its_section_and_stays_open(form: FormPage) -> None:
    sheet = form.view("Sheet")
    sheet.scroll_into_view_if_needed()
    step = sheet.locator("details").filter(has_text="demand of appliances fastened in place").first
    step.locator("summary").click()
    expect(step).to_contain_text("Looked up in ")
    expect(step).to_contain_text("220.53 (")
    form.put(AREA, "2500")
    expect_result(sheet, "general lighting", "7,500 VA")
    expect_result(sheet, "general lighting", "was 9,720 VA")
    expect(sheet.locator("details").filter(has_text="demand of appliances fastened in place").first).to_have_attribute(
        "open", ""
    )


def test_what_if(form: FormPage) -> None:
    """Another number, by field or by slider; another edition. The job is not touched."""
    page = form.page
    page.get_by_label("What if", exact=True).select_option(AREA)
    number = page.get_by_label("were, ft2")
    number.fill("5000")
    changed = page.get_by_role("region", name="What would change")
    expect(changed.locator("tr", has_text="general lighting").first).to_contain_text("15,000 VA")
    page.get_by_label("floor area, slider").fill("2000")
    expect(number).to_have_value("2000")
    expect(changed.locator("tr", has_text="general lighting").first).to_contain_text("6,000 VA")
    page.get_by_label("What if", exact=True).select_option("code.edition")
    page.get_by_label("were", exact=True).select_option("2026")
    expect(changed).not_to_contain_text("Nothing would change")
    form.form.scroll_into_view_if_needed()
    expect(form.at(AREA)).to_have_value("3240")
    assert "Nothing unsaved" in form.status
