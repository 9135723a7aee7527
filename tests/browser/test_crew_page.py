"""The crew's page on a phone without a network: a file opened in a real browser, ticked, kept, sent back, taken in."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from calc import remedies
from calc.families.receptacles import plan
from calc.families.receptacles.room import rooms
from calc.job import Job, read_job, save_job, taken_back
from calc.packet.collect import Collected, Display
from calc.packet.crew import crew_document
from calc.packet.phone import phone_page
from calc.show.charts import draw
from calc.wiring.house import House
from tests.browser.conftest import PHONE
from tests.browser.looking import AXE, RULES
from tests.browser.pages import picture
from tests.packet.test_crew import FIX, FOUND, RECORD, fixes, look, stage
from tests.packet.test_phone import PANELS
from tests.packet.test_phone import page as small_page

JOBS = Path(__file__).parents[2] / "notebooks" / "jobs"
FINGER_PX = 44
DENIED = (
    "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('denied', 'SecurityError'); } })"
)
SMALL = """least => [...document.querySelectorAll("button, select, input, textarea")]
    .filter(each => each.getClientRects().length)
    .map(each => [each, (each.type === "checkbox" ? each.closest("label") : each).getBoundingClientRect()])
    .filter(([, box]) => Math.min(box.width, box.height) < least).map(([each]) => each.outerHTML.slice(0, 90))"""


def crew_page(job: Job) -> str:
    """The page of a job, with one thing to fix."""
    house = House.of(job)
    faces = remedies.panel_faces(house)
    shown = [Display("walk", part.as_json()) for part in (*remedies.walk(house), *([faces] if faces else []))]
    kitchen = next(found for found in rooms(house) if found.room.name == "Kitchen")
    drawn = [
        Display("chart", replace(chart, subject="Kitchen").as_json(), draw(chart)) for chart in plan.charts(kitchen)
    ]
    collected = Collected([Display("walk", fixes(FIX, by_room=[["Kitchen", [1]]])), *shown, *drawn])
    return phone_page(crew_document(collected, job), collected, name=job.job.name, address=job.job.address or "",
                      fingerprint=job.fingerprint)  # fmt: skip


@pytest.fixture(scope="module")
def job_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("crew")
    shutil.copytree(JOBS / "amendments", folder / "amendments")
    path = Path(shutil.copy(JOBS / "fernhollow-lot-12.toml", folder / "lot.toml"))
    (folder / "crew.html").write_text(crew_page(read_job(path)), encoding="utf-8")
    return path


def opened(phone: BrowserContext, job_path: Path) -> Page:
    page = phone.new_page()
    page.goto((job_path.parent / "crew.html").as_uri())
    return page


def item(page: Page, text: str) -> Any:
    return page.locator(".item:visible", has_text=text).first


def test_ticked_read_and_noted_kept_sent_back_and_taken_in(
    phones: Callable[..., BrowserContext], job_path: Path
) -> None:
    page = opened(phones(), job_path)
    page.get_by_label("Who you are").fill("I. Corrigan")
    item(page, "breaker protects").or_(item(page, "Attic: R9")).get_by_role("button", name="Corrected").tap()
    page.locator("#stage").select_option("rough")
    page.locator("#place").select_option("Kitchen")
    before = page.locator("#count").inner_text()
    kitchen = page.locator(".item:visible")
    kitchen.nth(0).get_by_role("button", name="✓ Right").tap()
    kitchen.nth(1).get_by_role("button", name="Not right").tap()
    kitchen.nth(1).get_by_label("What you saw").fill("Only at the first box.\n</textarea><script>alert(1)</script>")
    assert page.locator("#count").inner_text() != before
    page.get_by_role("button", name="Drawing").first.tap()
    expect(page.get_by_role("dialog").get_by_role("img").first).to_be_visible()
    page.get_by_role("button", name="Close").tap()
    page.locator("#place").select_option("")
    page.locator("#stage").select_option("readings")
    terminal = page.locator(".item:visible").first
    terminal.get_by_label("Torque on the label").fill("250")
    terminal.get_by_label("Set to").fill("tight")
    expect(terminal).to_contain_text("Give the torque as a number")
    terminal.get_by_label("Set to").fill("250")
    reading = page.locator("#reading")
    reading.get_by_label("Of what").fill("Kitchen left")
    reading.get_by_label("Reading").fill("550")
    reading.get_by_role("button", name="Add").tap()
    page.locator("#stage").select_option("more")
    page.locator("#found").get_by_label("What you saw").fill("Meter seal is broken.")
    page.get_by_role("button", name="Add it").tap()
    expect(page.locator("#unsent")).to_have_text("6 not sent yet")

    page.reload()
    expect(page.locator("#unsent")).to_have_text("6 not sent yet")
    expect(page.get_by_label("Who you are")).to_have_value("I. Corrigan")
    page.locator("#stage").select_option("rough")
    page.locator("#place").select_option("Kitchen")
    expect(kitchen.nth(0)).to_contain_text("Right: I. Corrigan")
    expect(kitchen.nth(1).get_by_label("What you saw")).to_have_value(
        "Only at the first box.\n</textarea><script>alert(1)</script>"
    )
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    picture(page, "crew-page")

    with page.expect_download() as handed:
        page.get_by_role("button", name="Send back").tap()
    expect(page.locator("#unsent")).to_contain_text("All sent")
    back = job_path.parent / handed.value.suggested_filename
    handed.value.save_as(back)
    job = read_job(job_path)
    taken = taken_back(job, back)
    assert (taken.conflicts, taken.earlier, taken.right, len(taken.added)) == ([], False, 1, 6)
    saved = save_job(taken.job)
    texts = [finding.text for finding in saved.findings[len(job.findings) :]]
    assert "Only at the first box.\n</textarea><script>alert(1)</script>" in texts
    assert "Torque of Supply, leg 1: 250 lb-in, 250 lb-in on the label" in texts
    assert "Insulation of Kitchen left: 550 MΩ" in texts
    assert {finding.source for finding in saved.findings[len(job.findings) :]} == {back.name}
    again = taken_back(saved, back)
    assert (again.added, again.closed, again.known) == ([], 0, 6)

    (job_path.parent / "crew.html").write_text(crew_page(saved), encoding="utf-8")
    later = opened(phones(), job_path)
    later.locator("#stage").select_option("rough")
    later.locator("#place").select_option("Kitchen")
    rows = later.locator(".item:visible")
    expect(rows.nth(0)).to_have_attribute("data-state", "right")
    expect(rows.nth(1)).to_contain_text("Found: Only at the first box.")
    later.locator("#place").select_option("")
    later.locator("#stage").select_option("readings")
    expect(rows.nth(0)).to_have_attribute("data-state", "right")
    expect(rows.nth(0)).to_contain_text("Set to 250\u00a0lb-in; on the label 250\u00a0lb-in; I. Corrigan")
    expect(rows.nth(1)).to_contain_text("Open")


def test_where_nothing_can_be_kept_it_says_so_and_still_sends_back(
    phones: Callable[..., BrowserContext], job_path: Path
) -> None:
    phone = phones()
    phone.add_init_script(DENIED)
    page = opened(phone, job_path)
    expect(page.get_by_text("This browser keeps nothing")).to_be_visible()
    page.locator(".item:visible [data-say]").first.tap()
    page.get_by_role("button", name="Send back").tap()
    expect(page.locator("#said")).to_have_text("Say who you are first.")
    expect(page.get_by_label("Who you are")).to_be_focused()
    page.keyboard.type("R. Vane")
    with page.expect_download() as handed:
        page.get_by_role("button", name="Send back").tap()
    assert handed.value.suggested_filename.startswith("back-fernhollow-lot-12-r-vane-")


def test_it_can_be_read_aloud_tapped_with_gloves_and_worked_by_keyboard(
    phones: Callable[..., BrowserContext], tmp_path: Path
) -> None:
    chart = {"title": "Plan: Kitchen", "alt": "A room.", "subject": "Kitchen"}
    (tmp_path / "crew.html").write_text(
        small_page(fixes(FIX), stage(look()), RECORD, FOUND, PANELS, charts=(chart,)), encoding="utf-8"
    )
    page = opened(phones(), tmp_path / "job.toml")
    page.locator("#stage").select_option("")
    page.locator(".item:visible [data-say=wrong]").first.focus()
    page.keyboard.press("Space")
    expect(page.locator(".item").first).to_have_attribute("data-state", "wrong")
    assert page.evaluate(SMALL, FINGER_PX) == []
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found = page.evaluate("rules => axe.run({ runOnly: rules })", RULES)["violations"]
    page.emulate_media(color_scheme="dark")
    found += page.evaluate("axe.run({ runOnly: ['color-contrast'] })")["violations"]
    page.get_by_role("button", name="Drawing").first.click()
    found += page.evaluate("rules => axe.run('dialog[open]', { runOnly: rules })", RULES)["violations"]
    assert [f"{v['id']}: {v['nodes'][0]['html'][:160]}" for v in found] == []
