"""What a page says of its sheets: above its form the verdict, from all of them; beside it the result of what is edited."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import BrowserContext, expect

from tests.browser.pages import FormPage, picture, wide_form
from tests.browser.serving import Served

SMALLEST_PX = """page => Math.min(...[...page.querySelectorAll("svg")].flatMap((svg) => { const scale = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
  return [...svg.querySelectorAll("text")].map((text) => parseFloat(getComputedStyle(text).fontSize) * scale); }))"""


@pytest.fixture(scope="module")
def feeder(window: BrowserContext, served: Served) -> Iterator[FormPage]:
    """The demo house of a first day at its page of conductors: three things fall short, two are not shown."""
    with wide_form(window, served, "verdict", "02-feeder.ipynb") as form:
        yield form


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


def test_the_result_stands_beside_the_entry_and_says_what_the_edit_changed(feeder: FormPage) -> None:
    """The panel follows the entry that is edited: its state, tightest check, sheet and chart, and each line that changed."""
    feeder.form.locator('[data-entry="runs[2]"] [data-at]').first.focus()
    beside = feeder.form.locator(".sb-beside")
    expect(beside.locator(".sb-about")).to_have_text("✓passes R2 feeder")
    expect(beside.locator(".sb-tightest")).to_contain_text("to spare")
    entry, panel = feeder.form.locator('[data-entry="runs[2]"]').first.bounding_box(), beside.bounding_box()
    assert entry is not None
    assert panel is not None
    assert panel["x"] > entry["x"] + entry["width"] - 1, "beside it, not beneath"
    expect(beside.locator(".sb-changed li")).to_have_count(0)
    feeder.put_in_row("runs[2].calculated_a", "150")
    expect(beside.locator(".sb-changed")).to_contain_text("150")
    expect(beside.locator(".sb-chart svg")).to_be_visible()
    picture(feeder.page, "result-beside")
    feeder.press("Undo")


def test_on_a_phone_the_result_is_a_line_above_the_form(feeder: FormPage) -> None:
    size = feeder.page.viewport_size
    assert size is not None
    feeder.page.set_viewport_size({"width": 360, "height": 800})
    beside = feeder.form.locator(".sb-beside")
    expect(beside).not_to_have_attribute("open", "")
    line, body = beside.bounding_box(), feeder.form.locator(".sb-body").bounding_box()
    assert line is not None
    assert body is not None
    assert line["height"] < 48
    assert line["y"] + line["height"] <= body["y"]
    cell = feeder.form.locator('[data-entry="runs[2]"] td[data-field="name"]')
    assert "Run" in cell.evaluate("node => getComputedStyle(node, '::before').content"), (
        "a card, each field with its label"
    )
    row, window = cell.bounding_box(), feeder.page.evaluate("innerWidth")
    assert row is not None
    assert row["x"] + row["width"] <= window
    picture(feeder.page, "feeder-360")
    chart = feeder.view("Chart")
    chart.scroll_into_view_if_needed()
    expect(chart.locator("svg")).to_be_visible()
    assert chart.evaluate(SMALLEST_PX) >= 11.99, "no writing in a chart is too small to read"
    feeder.page.set_viewport_size(size)
    expect(beside).to_have_attribute("open", "")


def test_the_result_is_one_key_from_the_top(feeder: FormPage) -> None:
    feeder.form.get_by_role("button", name="Skip to the result").focus()
    feeder.page.keyboard.press("Enter")
    expect(feeder.form.locator(".sb-beside summary").first).to_be_focused()


def test_what_has_the_keyboard_is_never_under_the_bar(feeder: FormPage) -> None:
    """Going back by Shift+Tab from below, each control that is reached lies wholly beneath the bar."""
    controls = feeder.form.locator(".sb-body :is(input, select, button):visible")
    controls.last.focus()
    for _ in range(30):
        feeder.page.keyboard.press("Shift+Tab")
        under = feeder.page.evaluate(
            """() => { const bar = document.querySelector(".sb-form .sb-bar").getBoundingClientRect();
                       return document.activeElement.getBoundingClientRect().top < bar.bottom - 1; }"""
        )
        assert not under
