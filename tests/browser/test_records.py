"""One record for each thing: what is inside an entry stands with it, and keys lead along a list."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.pages import FormPage, open_page, picture, wide_form
from tests.browser.serving import Served


@pytest.fixture(scope="module")
def boxes(window: BrowserContext, served: Served) -> Iterator[FormPage]:
    with wide_form(window, served, "records", "07-box-fill.ipynb") as form:
        yield form


def test_a_box_has_its_cables_devices_and_the_rest_in_one_record(boxes: FormPage) -> None:
    """Devices stand in the record of their box, what is empty is folded, suggestions are at hand, and Undo names what
    it takes back; Discard goes back to what was saved, and Undo brings the entries back."""
    boxes.open_record("boxes[2].devices[1].wire")
    record = boxes.form.locator('tr.sb-more[data-entry="boxes[2]"]')
    expect(record.locator('[data-at="boxes[2].devices[1].wire"]')).to_have_value("12")
    expect(record.locator('details[data-fold="boxes[2].barriers"]')).not_to_have_attribute("open", "")
    expect(boxes.form.locator('fieldset[data-group="boxes.devices"]')).to_have_count(0)
    expect(boxes.at("boxes[2].fan_framing")).to_have_count(0)
    boxes.put_in_row("boxes[2].mounted", "ceiling")
    boxes.at("boxes[2].box").focus()
    expect(boxes.form.locator('datalist option[value="4 x 1-1/2 square"]')).to_have_count(1)
    boxes.at("boxes[2].cables").fill("3 x 12/2 with ground, 14")
    expect(boxes.form.locator('datalist option[value="3 x 12/2 with ground, 14/2 NM"]')).to_have_count(1)
    boxes.put("boxes[2].cables", "3 x 12/2 with ground, 14/2 NM")
    expect(boxes.tool("Undo")).to_contain_text("Undo B2 bedroom, north wall, Cables")
    record.get_by_role("button", name="Add device").click()
    expect(boxes.at("boxes[2].devices[2].kind")).to_be_focused()
    boxes.settle()
    picture(boxes.page, "record-of-a-box")
    boxes.press("Discard")
    assert boxes.status.startswith("Back to what was saved: ")
    assert not boxes.can("Discard")
    expect(boxes.at("boxes[2].devices[2].kind")).to_have_count(0)
    boxes.press("Undo")
    expect(boxes.at("boxes[2].cables")).to_have_value("3 x 12/2 with ground, 14/2 NM")
    boxes.press("Discard")


def test_a_row_is_one_stop_with_arrows_inside_until_it_is_typed_in(boxes: FormPage) -> None:
    keys = boxes.page.keyboard
    boxes.at("boxes[3].name").focus()
    keys.press("Tab")
    expect(boxes.at("boxes[4].name")).to_be_focused()
    keys.press("ArrowDown")
    keys.press("ArrowRight")
    expect(boxes.at("boxes[5].box")).to_be_focused()
    keys.press("ArrowRight")
    expect(boxes.at("boxes[5].marked_in3")).to_be_focused()
    keys.type("36")
    keys.press("Tab")
    expect(boxes.at("boxes[5].cables")).to_be_focused()
    boxes.settle()
    boxes.press("Discard")


def test_a_receptacle_is_placed_and_moved_on_the_plan_by_keys_and_by_pointer(
    page: Page, served: Served, folder: Path
) -> None:
    """The plan of a room stands in its record. An arrow moves a receptacle an inch, a drag moves it along its wall, the
    button adds one where none reaches, and the sheet, the record and Undo follow."""
    open_page(page, served, folder, "08-receptacles.ipynb")
    form = FormPage(page)
    form.open_record("rooms[1].outlets[1].at_ft")
    stop = page.locator('[data-stop="rooms[1].outlets[3]"]')
    expect(stop).to_have_attribute("aria-valuetext", "south wall, 8 ft 6 in from the east corner")
    stop.focus()
    for key in ("ArrowRight", "PageUp"):
        page.keyboard.press(key)
        form.settle()
    expect(stop).to_have_attribute("aria-valuetext", "south wall, 9 ft 7 in from the east corner")
    expect(stop).to_be_focused()
    expect(form.at("rooms[1].outlets[3].at_ft")).to_have_value("9 ft 7 in")
    box = page.locator('[data-stop="rooms[1].outlets[5]"] circle').first.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 9, box["y"] + 9)
    page.mouse.down()
    page.mouse.move(box["x"] + 69, box["y"] + 5, steps=4)
    page.mouse.up()
    form.settle()
    assert form.at("rooms[1].outlets[5].at_ft").input_value() != "2.5"
    expect(form.tool("Undo")).to_contain_text("Family room")
    before = form.stands
    form.press("Discard")
    page.get_by_role("button", name="Add a receptacle: Walls of Family room").click()
    form.settle()
    expect(page.locator('[data-stop="rooms[1].outlets[6]"]')).to_be_focused()
    assert "4 fall short" in form.stands, f"the gap is closed; before {before}"
    picture(page, "plan-by-hand")
    form.press("Discard")


def test_a_circuit_is_moved_in_its_panels_schedule_by_keys_and_by_pointer(
    page: Page, served: Served, folder: Path
) -> None:
    """A circuit goes to the space below by an arrow, changing places with the one there, and to an empty space by a drag.
    Its record has its loads and its run, to be put on it and taken off."""
    open_page(page, served, folder, "06-branch-circuits.ipynb")
    form = FormPage(page)
    form.form.locator('tr[data-entry="panels[2]"]').first.get_by_role("button", name="More").click()
    form.settle()
    breaker = page.locator(".sb-breaker", has_text="Dining")
    breaker.focus()
    page.keyboard.press("ArrowDown")
    form.settle()
    expect(page.locator('[data-space="5"]')).to_have_text("Dining")
    expect(page.locator('[data-space="3"]')).to_have_text("Kitchen right")
    expect(page.locator(".sb-breaker:focus")).to_have_text("Dining")
    breaker.drag_to(page.locator('[data-space="25"]'))
    form.settle()
    expect(page.locator('[data-space="25"]')).to_have_text("Dining")
    page.locator(".sb-breaker", has_text="Cooking").first.drag_to(page.locator('[data-space="3"]'))
    form.settle()
    assert "taken by" in form.status
    form.press("Undo")
    form.press("Undo")
    expect(page.locator('[data-space="3"]')).to_have_text("Dining")
    form.form.locator('tr[data-entry="circuits[1]"]').first.get_by_role("button", name="More").click()
    loads = form.form.locator('[data-loads="circuits[1]"]')
    loads.get_by_label("Put on it").select_option(label="Cooktop, now on Cooking")
    form.settle()
    expect(loads).to_contain_text("Cooktop Take off")
    loads.get_by_role("button", name="Take Cooktop off").click()
    form.settle()
    expect(loads.get_by_role("button", name="Cooktop", exact=True)).to_have_count(0)
    form.press("Discard")
    own = form.form.locator('tr.sb-more[data-entry="circuits[1]"]')
    own.get_by_role("button", name="Enter its run").click()
    length = own.get_by_label("Length", exact=True).last
    expect(length).to_be_focused()
    form.settle()
    form.put(str(length.get_attribute("data-at")), "48")
    form.put(str(own.get_by_label("Cable", exact=True).last.get_attribute("data-at")), "12/2 NM")
    expect(form.tool("Undo")).to_contain_text("Cable")
    assert not form.to_mend
    picture(page, "record-of-a-circuit")
    own.get_by_role("button", name="Remove this run").click()
    form.settle()
    expect(own.get_by_role("button", name="Enter its run")).to_have_count(1)
    assert not form.can("Discard"), "as it was saved"
