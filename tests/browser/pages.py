"""What a person does at the pages of the workbook, as short words for tests."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import BrowserContext, Locator, Page, expect

from tests.browser.serving import Served

PICTURES = Path(__file__).parents[2] / "reports" / "browser"
KERNEL_IDLE = """() => {
  const page = window.jupyterapp?.shell?.currentWidget;
  return page?.context?.isReady && page.context.sessionContext.session?.kernel?.status === "idle";
}"""
PASTE = """(area, text) => {
  const data = new DataTransfer();
  data.setData("text/plain", text);
  area.dispatchEvent(new ClipboardEvent("paste", { clipboardData: data, bubbles: true, cancelable: true }));
}"""


def open_page(page: Page, served: Served, place: Path, notebook: str, pages: bool = True) -> None:
    """Show a notebook and have it run: a page does by itself, in JupyterLab a person chooses Run All Cells."""
    page.goto(served.address(place, notebook, pages))
    if not pages:
        page.wait_for_function(KERNEL_IDLE)
        run_all(page)


@contextmanager
def wide_form(window: BrowserContext, served: Served, folder: str, notebook: str) -> Iterator[FormPage]:
    """A form on a page of its own on a wide screen; its kernel ends with it."""
    others = served.kernels()
    page = window.new_page()
    page.set_viewport_size({"width": 1440, "height": 900})
    open_page(page, served, served.place(folder), notebook)
    yield FormPage(page)
    page.close()
    served.end_kernels(served.kernels() - others)


def run_all(page: Page) -> None:
    """Run, Run All Cells, from the menu as a person does."""
    page.get_by_role("menuitem", name="Run", exact=True).click()
    page.get_by_role("menuitem", name="Run All Cells", exact=True).click()


def picture(page: Page, name: str) -> None:
    """Keep a picture of what is on the screen, for people to look at."""
    PICTURES.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=PICTURES / f"{name}.png")


class FormPage:
    """A form on a page."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.form = page.locator(".sb-form").last
        self.form.wait_for()
        self.form.scroll_into_view_if_needed()

    def settle(self) -> None:
        """Wait until Python has answered all that was asked."""
        expect(self.form).not_to_have_attribute("data-busy", re.compile(".*"), timeout=15_000)

    def at(self, place: str) -> Locator:
        """The control of a place in the job."""
        return self.form.locator(f'[data-at="{place}"]')

    def field(self, label: str) -> Locator:
        """A control by its label, as a screen reader finds it."""
        return self.form.get_by_label(label, exact=True)

    def group(self, at: str) -> Locator:
        """The part of the form for a list or a table of the job."""
        return self.form.locator(f'fieldset[data-group="{at}"]')

    def put(self, place: str, text: str) -> None:
        """Fill a place in and leave it."""
        folded = self.form.locator(f'fieldset > details[data-fold="{place.rpartition(".")[0]}"]:not([open]) > summary')
        if folded.count():
            folded.click()
        control = self.at(place)
        if control.evaluate("node => node.tagName") == "SELECT":
            control.select_option(text)
        else:
            control.fill(text)
            control.dispatch_event("change")
        self.settle()

    def put_in_row(self, place: str, text: str) -> None:
        """Fill in a place of an entry of a list, with the record of the entry opened for it where need be."""
        self.open_record(place)
        if self.at(place).input_value() != text:
            self.put(place, text)

    def open_record(self, place: str) -> None:
        """Open what a place stands in: the records and folds of the entries around it."""
        for end in (found.end() for found in re.finditer(r"\]", place)):
            entry = place[:end]
            if self.at(place).count():
                return
            line = self.form.locator(f'tr[data-entry="{entry}"]:not(.sb-more)')
            more = line.get_by_role("button", name="More")
            if more.count() and more.get_attribute("aria-expanded") == "false":
                more.click()
            for fold in (f"{entry} rest", *([place[: place.index("[", end)]] if "[" in place[end:] else [place])):
                folded = self.form.locator(f'details[data-fold="{fold}"]:not([open])')
                if folded.count() and not self.at(place).count():
                    folded.locator("summary").first.click()

    def has(self, place: str) -> bool:
        """Whether a list has entries. Of a list inside others, the record around it is opened."""
        self.open_record(place)
        return self.form.locator(f'[data-entry="{place}[1]"]').count() > 0

    def paste(self, place: str, rows: str) -> None:
        """Paste rows from a spreadsheet into a list."""
        self.open_record(place)
        inner = self.form.locator(f'details[data-fold="{place}"]')
        group = inner if inner.count() else self.group(re.sub(r"\[\d+\]", "", place))
        group.locator("textarea").first.evaluate(PASTE, rows)
        self.settle()

    def press(self, button: str) -> None:
        """Press a button of the form's bar."""
        self.tool(button).click()
        self.settle()

    def can(self, button: str) -> bool:
        """Whether a button of the form's bar can be pressed now."""
        return self.tool(button).is_enabled()

    def tool(self, button: str) -> Locator:
        """A button of the form's bar; Undo says besides what it takes back."""
        if button not in ("Undo", "Redo", "Save", "Discard"):
            return self.form.locator(".sb-bar").get_by_role("button", name=button, exact=True)
        return self.form.locator(f'[data-tool="{button.lower()}"]')

    @property
    def status(self) -> str:
        """What the form says of itself."""
        return self.form.locator(".sb-status").text_content() or ""

    @property
    def stands(self) -> str:
        """What the form says of the sheets."""
        return self.form.locator(".sb-verdict").text_content() or ""

    @property
    def to_mend(self) -> list[str]:
        """The entries to mend, each with what is wrong with it."""
        return self.form.get_by_role("list", name="Entries to correct").locator("li").all_text_contents()

    def said(self, place: str) -> str:
        """What is told beside a place."""
        return self.form.locator(f'[data-said="{place}"]').text_content() or ""

    def view(self, label: str) -> Locator:
        """The sheet, chart or table in view."""
        return self.page.get_by_role("region", name=label, exact=True).last


def expect_result(sheet: Locator, step: str, text: str) -> None:
    """A line of a sheet, by the name of its step, comes to have a result. Out of sight a sheet is not drawn again."""
    sheet.scroll_into_view_if_needed()
    row = sheet.locator("tr").filter(has=sheet.page.get_by_text(step, exact=True)).first
    expect(row.locator("td").nth(3)).to_contain_text(text)
