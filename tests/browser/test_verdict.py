"""What a page says of its sheets, above its form: all of it, and from each thing that does not pass to its entry."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import BrowserContext, expect

from tests.browser.pages import FormPage, open_page
from tests.browser.serving import Served


@pytest.fixture(scope="module")
def feeder(window: BrowserContext, served: Served) -> Iterator[FormPage]:
    """The demo house of a first day at its page of conductors: three things fall short, two are not shown."""
    others = served.kernels()
    page = window.new_page()
    open_page(page, served, served.place("verdict"), "02-feeder.ipynb")
    yield FormPage(page)
    page.close()
    served.end_kernels(served.kernels() - others)


def test_three_shortfalls_are_never_three_passes(feeder: FormPage) -> None:
    """The bar counts every check of the page, shortfalls first; each that does not pass is named, none is cut."""
    assert "FALLS SHORT 3 fall short, 2 not shown, " in feeder.stands
    feeder.form.get_by_text("What does not pass (5)").click()
    listed = feeder.form.locator(".sb-open li")
    expect(listed).to_have_count(5)
    assert [text.split(" ")[0] for text in listed.all_inner_texts()] == ["✗FALLS"] * 3 + ["?NOT"] * 2


def test_from_a_shortfall_to_its_entry_in_one_click(feeder: FormPage) -> None:
    feeder.form.locator(".sb-open li", has_text="R9 attic hole").get_by_role("button").click()
    expect(feeder.form.locator('[data-entry="runs[9]"] :focus')).to_have_count(1)


def test_what_is_mended_leaves_the_count(feeder: FormPage) -> None:
    """The verdict follows an edit: cooler, the conductors carry what their breaker lets through."""
    feeder.put_in_row("runs[9].ambient_f", "86")
    assert "FALLS SHORT 2 fall short, 2 not shown, " in feeder.stands
    feeder.press("Undo")
    assert "3 fall short" in feeder.stands
