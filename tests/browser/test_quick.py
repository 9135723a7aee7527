"""The quick page in a real browser, at the width of a phone: the answer follows what is typed, and goes into a job."""

from __future__ import annotations

from playwright.sync_api import BrowserContext, expect

from calc.job import read_job
from tests.browser.serving import Served

THUMB_PX = 44
PHONE = {"width": 360, "height": 740}


def test_a_question_is_answered_as_it_is_typed_with_a_thumb(window: BrowserContext, served: Served) -> None:
    place = served.place("quick")
    page = window.new_page()
    page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    page.goto(served.address(place, "11-quick.ipynb", pages=True))
    line = page.locator(".sb-quick-line")
    expect(line).to_contain_text("5.66 %")
    expect(page.locator(".sb-house .sb-head")).to_contain_text("fernhollow-lot-12")
    page.get_by_label("Load").fill("20")
    expect(line).to_contain_text("7.08 %")
    page.get_by_label("Load").fill("160")
    expect(page.locator(".sb-quick-one")).to_contain_text("beside it: carries the load: 20 A provided")
    page.get_by_label("Question").select_option("box")
    expect(line).to_contain_text("20.25")
    small = "[...document.querySelectorAll('.sb-quick :is(input, select, button, summary)')].filter(e => e.offsetHeight && e.offsetHeight < %d).length"
    assert page.evaluate(small % THUMB_PX) == 0
    assert page.evaluate("document.documentElement.scrollWidth") == PHONE["width"]
    page.get_by_label("Job", exact=True).select_option("fernhollow-lot-14.toml")
    page.get_by_label("Name", exact=True).fill("Box from the field")
    page.get_by_role("button", name="Put it in the job").click()
    expect(page.locator(".sb-quick-said")).to_contain_text("is in fernhollow-lot-14.toml now")
    assert any(
        box.name == "Box from the field" for box in read_job(place / "notebooks/jobs/fernhollow-lot-14.toml").boxes
    )
    page.close()
