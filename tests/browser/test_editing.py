"""Right and wrong entries, undo, other hands, restarts and keys alone, at the page."""

from __future__ import annotations

import os
import re
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest
import tomlkit
from playwright.sync_api import BrowserContext, Page, expect

from calc.job import read_job
from tests.browser.pages import FormPage, expect_result, open_page, picture, run_all
from tests.browser.serving import Served, serving

DWELLING = "01-dwelling-load.ipynb"
AREA = "dwelling.floor_area_ft2"
DEMO = "jobs/fernhollow-lot-12.toml"

DESCRIPTION = """node => node.getAttribute("aria-describedby").split(" ")
  .map((id) => document.getElementById(id).textContent).join(" ")"""


@pytest.fixture(scope="module")
def kept() -> dict[str, FormPage]:
    """The page that most of these tests share, while it is as it should be."""
    return {}


@pytest.fixture
def form(
    window: BrowserContext, served: Served, kept: dict[str, FormPage], request: pytest.FixtureRequest
) -> Iterator[FormPage]:
    """The demo house at its page of the dwelling load. What a test does there is taken back after it."""
    if "form" not in kept:
        page = window.new_page()
        open_page(page, served, served.place(request.node.name), DWELLING)
        kept["form"] = FormPage(page)
    form = kept.pop("form")
    form.page.bring_to_front()
    yield form
    picture(form.page, request.node.name.removeprefix("test_").replace("_", "-"))
    while form.can("Undo"):
        form.press("Undo")
    assert "Nothing unsaved" in form.status
    kept["form"] = form


@pytest.fixture(scope="module")
def in_lab(window: BrowserContext, served: Served) -> Iterator[FormPage]:
    """The same in JupyterLab."""
    page = window.new_page()
    open_page(page, served, served.place("in-lab"), DWELLING, pages=False)
    yield FormPage(page)
    page.close()


@pytest.fixture
def own(page: Page, served: Served, folder: Path) -> FormPage:
    """A page of the test's own."""
    open_page(page, served, folder, DWELLING)
    return FormPage(page)


def test_a_wrong_entry_is_explained_and_the_rest_goes_on(form: FormPage) -> None:
    form.put(AREA, "lots")
    expect(form.at(AREA)).to_have_attribute("aria-invalid", "true")
    assert form.said(AREA) == 'is "lots"; allowed: a number, 50 to 30,000 ft²'
    assert form.said(AREA) in str(form.at(AREA).evaluate(DESCRIPTION))
    assert "1 entry to correct" in form.status
    sheet = form.view("Sheet")
    expect_result(sheet, "general lighting", "9,720 VA")
    expect(form.page.get_by_text("Not current: an entry in the form needs correcting").first).to_be_visible()
    form.put("loads[1].load_va", "9,000")
    assert "1 entry to correct" in form.status
    form.page.get_by_role("list", name="Entries to correct").get_by_role("button", name="Floor area").click()
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
    expect(form.form.get_by_role("button", name="Undo")).to_have_attribute("title", "Take back: Floor area")
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
    form.page.wait_for_timeout(400)  # a person in the middle of a number: that nothing comes is what is waited for
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
    assert "Fill in the new row" in form.status, "what was just made is not wrong yet"
    expect(form.form.locator("[aria-invalid]")).to_have_count(0)
    form.at("loads[14].name").focus()
    expect(form.form.locator(".sb-status")).to_contain_text("to correct")
    form.put("loads[15].kind", "well-pump")
    form.put("loads[15].load_va", "1500")
    form.put("loads[15].volts", "240")
    assert "to correct" not in form.status
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


def test_a_place_that_two_people_changed_shows_both_and_asks(own: FormPage, folder: Path) -> None:
    """Another place that someone else saved is taken in unasked; one place with two values is for a person to decide."""
    job = folder / "notebooks" / DEMO

    def disagree(here: str, there: str) -> None:
        was = str(_area(job)).removesuffix(".0")
        own.put(AREA, here)
        job.write_text(job.read_text().replace(f"floor_area_ft2 = {was}", f"floor_area_ft2 = {there}"))
        own.press("Save")
        assert "Someone else saved another value" in own.status
        assert "Unsaved changes" in own.status
        assert _area(job) == float(there)

    disagree("2222", "3333")
    both = own.form.get_by_role("list", name="Places that two people changed").get_by_role("listitem")
    expect(both).to_have_text("Floor area: Keep 2222 Take 3333, as the file says")
    own.press("Take 3333, as the file says")
    expect(own.at(AREA)).to_have_value("3333")
    assert "Nothing unsaved" in own.status
    disagree("2223", "3334")
    own.press("Keep 2223")
    own.press("Save")
    assert _area(job) == 2223
    assert _area(job.with_name(f"{job.name}.previous")) == 3334
    disagree("2224", "3335")
    own.press("Keep both, in two files")
    assert "Nothing unsaved" in own.status
    assert (_area(job), _area(job.with_name("fernhollow-lot-12-2.toml"))) == (3335, 2224)


def test_two_tabs_lose_nothing(page: Page, window: BrowserContext, served: Served, folder: Path) -> None:
    """Each has its draft; what the one saves the other takes in, and both their entries are in the file in the end."""
    job = folder / "notebooks" / DEMO
    second = window.new_page()
    open_page(page, served, folder, DWELLING)
    open_page(second, served, folder, DWELLING)
    one, two = FormPage(page), FormPage(second)
    one.put(AREA, "2222")
    two.put("loads[1].load_va", "9000")
    two.press("Save")
    page.bring_to_front()
    one.form.dispatch_event("pointerenter")
    expect(one.at("loads[1].load_va")).to_have_value("9000")
    expect(one.at(AREA)).to_have_value("2222")
    assert re.search(r"Unsaved changes; draft kept \d\d:\d\d", one.status)
    one.press("Save")
    assert (_area(job), read_job(job).loads[0].load_va) == (2222, 9000)
    second.close(run_before_unload=True)


def test_loading_the_page_again_loses_nothing(own: FormPage, folder: Path) -> None:
    own.put(AREA, "2222")
    own.page.reload()
    again = FormPage(own.page)
    expect(again.at(AREA)).to_have_value("2222")
    assert again.status.startswith("Took up unsaved entries")
    again.press("Save")
    assert _area(folder / "notebooks" / DEMO) == 2222


def test_keys_of_the_form_are_no_commands_of_the_notebook(in_lab: FormPage, served: Served) -> None:
    """D pressed twice deletes a cell in JupyterLab, and Control+S saves the notebook."""
    form, page = in_lab, in_lab.page
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
    assert _area(served.root / "in-lab" / "notebooks" / DEMO) == 2222


def test_a_kernel_restart_loses_nothing_and_nobody_types_into_nothing(in_lab: FormPage) -> None:
    form, page = in_lab, in_lab.page
    form.put(AREA, "2224")
    page.evaluate("window.jupyterapp.shell.currentWidget.context.sessionContext.session.kernel.restart()")
    page.wait_for_function(
        "window.jupyterapp.shell.currentWidget.context.sessionContext.session.kernel.status === 'idle'"
    )
    form.at(AREA).fill("2225")
    expect(form.form.get_by_role("alert")).to_contain_text(
        re.compile(r"Lost connection: entries since \d\d:\d\d are in this tab")
    )
    expect(form.at(AREA)).to_be_disabled()
    run_all(page)
    expect(page.locator(".sb-lost:not(:empty)")).to_have_count(0)
    expect(page.locator(".jp-Notebook").get_by_role("heading", name="Dwelling load", exact=True)).to_be_in_viewport()
    again = FormPage(page)
    expect(again.at(AREA)).to_have_value("2225")
    expect(again.form.locator(".sb-status")).to_contain_text("Put back 1 entry")


def test_a_server_that_is_killed_loses_nothing(window: BrowserContext, tmp_path: Path) -> None:
    """What was typed after it was gone is in the tab; started again at its place, the page has it all."""
    page = window.new_page()
    with serving(tmp_path) as first:
        folder = first.place("killed")
        open_page(page, first, folder, DWELLING)
        form = FormPage(page)
        form.put("loads[1].load_va", "9000")
        os.killpg(first.pid, signal.SIGKILL)
        form.at(AREA).fill("2223")
        expect(form.form.get_by_role("alert")).to_contain_text("load this page again")
        expect(form.at(AREA)).to_be_disabled()
    for left in (tmp_path / "kept" / "JUPYTER_RUNTIME_DIR").glob("jpserver-*"):
        left.unlink()
    with serving(tmp_path, port=int(first.url.rstrip("/").rpartition(":")[2])) as second:
        open_page(page, second, folder, DWELLING)
        again = FormPage(page)
        expect(again.at(AREA)).to_have_value("2223")
        expect(again.at("loads[1].load_va")).to_have_value("9000")
        again.press("Save")
        assert _area(folder / "notebooks" / DEMO) == 2223
        page.close()


def test_keys_alone(form: FormPage) -> None:
    """Every control is reached with Tab in the order of the page, shows that it is reached, and works by keys."""
    page = form.page
    form.at("code.edition").focus()
    seen: list[str] = []
    while not any(at.startswith("loads[") for at in seen) and len(seen) < 120:
        page.keyboard.press("Tab")
        seen.append(page.evaluate("document.activeElement.dataset.at ?? document.activeElement.dataset.act ?? ''"))
    order = [at for at in seen if "." in at]
    assert order[0] == "code.adopted_as"
    assert AREA in order
    assert order.index(AREA) < order.index("service.system")
    assert order[-1].startswith("loads["), "one stop of the list, at the cell that was last worked in"
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
    reason = step.locator("xpath=ancestor::tr/following-sibling::tr[1]")
    expect(reason).to_contain_text("Looked up in ")
    expect(reason).to_contain_text("220.53 (")
    form.put(AREA, "2500")
    expect_result(sheet, "general lighting", "7,500 VA")
    expect_result(sheet, "general lighting", "was 9,720 VA")
    expect(sheet.locator("details").filter(has_text="demand of appliances fastened in place").first).to_have_attribute(
        "open", ""
    )


def test_what_if(form: FormPage) -> None:
    """Another number, by field or by slider; another edition. The job is not touched before *Use this*, which Undo takes back."""
    page = form.page
    changed = form.view("What would change")
    changed.scroll_into_view_if_needed()
    page.get_by_label("What if", exact=True).select_option(AREA)
    number = page.get_by_label("were, ft2")
    number.fill("5000")
    expect(changed.locator("tr", has_text="general lighting").first).to_contain_text("15,000 VA")
    page.get_by_label("floor area, slider").fill("2000")
    expect(number).to_have_value("2000")
    expect(changed.locator("tr", has_text="general lighting").first).to_contain_text("6,000 VA")
    page.get_by_role("button", name="Use this").click()
    form.form.scroll_into_view_if_needed()
    expect(form.at(AREA)).to_have_value("2000")
    form.press("Undo")
    expect(form.at(AREA)).to_have_value("3240")
    changed.scroll_into_view_if_needed()
    page.get_by_label("What if", exact=True).select_option("code.edition")
    page.get_by_label("were", exact=True).select_option("2026")
    expect(changed).not_to_contain_text("Nothing would change")
    form.form.scroll_into_view_if_needed()
    expect(form.at(AREA)).to_have_value("3240")
    assert "Nothing unsaved" in form.status


def test_a_try_is_offered_only_where_there_is_something_to_try(page: Page, served: Served, folder: Path) -> None:
    job = folder / "notebooks" / DEMO
    text = tomlkit.parse(job.read_text())
    del text["boxes"]
    job.write_text(tomlkit.dumps(text))
    open_page(page, served, folder, "07-box-fill.ipynb")
    form = FormPage(page)
    expect(page.get_by_label("What if", exact=True)).to_be_hidden()
    form.group("boxes").get_by_role("button", name="Add box").click()
    form.settle()
    form.put("boxes[1].cables", "2 x 12/2 with ground")
    form.put("boxes[1].marked_in3", "18")
    page.get_by_role("heading", name="What if").scroll_into_view_if_needed()
    expect(page.get_by_label("What if", exact=True)).to_be_visible()


def test_a_load_by_keys_alone(own: FormPage, folder: Path) -> None:
    """A field filled in, a row added and filled in, the job saved: no mouse."""
    keys = own.page.keyboard
    own.at("service.rating_a").focus()
    _tab_to(own, AREA, "Shift+Tab")
    keys.press("Control+a")
    keys.type("2000")
    own.page.locator(".sb-form .sb-add").first.focus()
    keys.press("Enter")
    row = f"loads[{len(read_job(folder / 'notebooks' / DEMO).loads) + 1}]"
    expect(own.at(f"{row}.name")).to_be_focused()
    for text in ("Well pump", "well pump", "1500"):
        keys.type(text)
        keys.press("Tab")
    _tab_to(own, f"{row}.volts", "Tab")
    keys.type("240")
    keys.press("Control+s")
    own.settle()
    assert "Saved." in own.status
    job = read_job(folder / "notebooks" / DEMO)
    added = job.loads[-1]
    assert (added.name, added.kind, added.load_va, added.volts) == ("Well pump", "well-pump", 1500, 240)
    assert job.dwelling is not None
    assert job.dwelling.floor_area_ft2 == 2000


def test_a_hundred_boxes(page: Page, served: Served, folder: Path) -> None:
    """A hundred rows pasted at once; an edit of the last is followed by its sheet and taken back like any other."""
    open_page(page, served, folder, "07-box-fill.ipynb")
    form = FormPage(page)
    there = len(read_job(folder / "notebooks" / DEMO).boxes)
    rows = [f"Box {n}\t18\t2 x 14/2 with ground\tnonmetallic" for n in range(1, 101)]
    form.paste("boxes", "\n".join(["Box\tMarked volume\tCables\tMaterial", *rows]))
    assert form.to_mend == []
    form.put(f"boxes[{there + 100}].marked_in3", "9")
    sheet = form.view("Sheet")
    expect_result(sheet, "volume that there is", "9 in³")
    expect(sheet).to_contain_text("Box 100. Edition")
    expect(sheet).to_contain_text("FALLS SHORT")
    form.press("Undo")
    expect_result(sheet, "volume that there is", "18 in³")


def test_what_is_wrong_inside_an_entry_says_in_which(page: Page, served: Served, folder: Path) -> None:
    open_page(page, served, folder, "07-box-fill.ipynb")
    form = FormPage(page)
    form.open_record("boxes[1].devices[1].wire")
    form.put("boxes[1].devices[1].wire", "13")
    assert form.to_mend[0].startswith(f"{form.at('boxes[1].name').input_value()}, ")
    assert "no 13 AWG is made: take 14 or 12" in form.to_mend[0]


def _tab_to(form: FormPage, at: str, key: str) -> None:
    """Go on with a key until a place of the form has the keyboard."""
    for _ in range(40):
        if form.at(at).evaluate("node => node === document.activeElement"):
            return
        form.page.keyboard.press(key)
    raise AssertionError(f"{key} does not lead to {at}")


def _area(job: Path) -> float | None:
    dwelling = read_job(job).dwelling
    return dwelling.floor_area_ft2 if dwelling is not None else None
