"""The bar of a page: the whole job with its pages, from what does not pass to its entry on another page; corrections used."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Page, expect

from tests.browser.looking import small, violations
from tests.browser.pages import FormPage, open_page
from tests.browser.serving import Served

SMALL_HOUSE = """[code]
edition = "2023"
[job]
name = "small house"
[dwelling]
kind = "one-family"
floor_area_ft2 = 1500
[[boxes]]
name = "Hall"
marked_in3 = 18
cables = ["3 x 12/2 with ground"]
devices = [{ kind = "receptacle", wire = 12 }]
"""
PRINTS = "window.print = () => {};"


def test_from_any_page_to_the_entry_behind_what_does_not_pass_and_back_in_order(
    page: Page, served: Served, folder: Path
) -> None:
    """The bar says how the whole job stands, and each page of it; a shortfall of another page is one click away. On the
    fix list a correction is entered by a button, Undo names it and takes it back, and the bar follows. A page prints whole. A page
    without a job of its own, such as the practice, has the same bar."""
    jobs = folder / "notebooks" / "jobs"
    (jobs / "small-house.toml").write_text(SMALL_HOUSE)
    (jobs / ".chosen").write_text("small-house.toml")
    page.add_init_script(PRINTS)
    open_page(page, served, folder, "01-dwelling-load.ipynb")
    bar = page.locator(".sb-house")
    expect(bar.locator(".sb-head")).to_contain_text("small house ✗FALLS SHORT Edition 2023.")
    expect(bar.locator(".sb-pages li", has_text="Box fill")).to_contain_text("✗FALLS SHORT")
    expect(bar.locator(".sb-pages li", has_text="Conductors")).to_contain_text("outside the scope")
    expect(bar.locator('[aria-current="page"]')).to_have_text("Dwelling load")
    assert violations(page, "bar") == []
    assert small(bar) == []
    bar.locator(".sb-open summary").click()
    bar.locator(".sb-open").get_by_role("link", name="Hall: box is large enough").click()
    page.wait_for_url("**/07-box-fill.ipynb*")
    expect(page.locator('[data-entry="boxes[1]"] :focus')).to_have_count(1)
    page.get_by_role("button", name="Print this page").click()
    paper = page.frame_locator("iframe.sb-paper")
    expect(paper.locator("body")).to_contain_text("18 in³ provided, 20.25 in³ required")
    expect(paper.locator("svg").first).to_be_attached()
    page.locator(".sb-pages").get_by_role("link", name="Fix list and walk").click()
    page.wait_for_url("**/10-fixes.ipynb*")
    form = FormPage(page)
    page.locator(".sb-fixes").scroll_into_view_if_needed()
    card = page.locator(".sb-card")
    expect(card).to_contain_text("Hall, Marked volume: 20.25")
    card.get_by_role("button", name="Use this").click()
    expect(page.locator(".sb-fixes")).to_contain_text("Entered for Hall: a box marked 20.25 in³")
    expect(card.get_by_role("button", name="Use this")).to_be_disabled()
    expect(bar.locator(".sb-head")).to_contain_text("✓passes")
    form.press("Undo")
    assert "Took back: Hall, Marked volume is now 18." in form.status
    expect(bar.locator(".sb-head")).to_contain_text("FALLS SHORT")
    page.locator(".sb-pages").get_by_role("link", name="Practice").click()
    page.wait_for_url("**/40-practice.ipynb*")
    expect(bar.locator(".sb-head")).to_contain_text("small house ✗FALLS SHORT")
    button = page.get_by_role("button", name="Mark what I have").first
    page.get_by_role("heading", name="The question").scroll_into_view_if_needed()
    expect(button).to_be_visible()
    link = page.get_by_role("link", name="start page")
    expect(link).to_have_css("text-decoration-line", "underline")  # told from the words around it without its colour
    page.get_by_role("button", name="Print this page").click()
    expect(page.frame_locator("iframe.sb-paper").locator("body")).to_contain_text("internal clamps")
