"""One house from nothing to a packet, by the page of each family, as someone does who has never seen the workbook.

On the way each page is looked at: read aloud, light and dark, at a desk and on a tablet.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, expect
from pypdf import PdfReader

from calc.documents.house import tables_beside
from calc.families import families
from calc.job import Job, read_job
from calc.job.forms import form_of, recorded_in
from calc.show.entries import spread, texts
from calc.show.notebooks import notebooks_of
from calc.wiring.house import House
from calc.work.signs import with_signs
from calc.workplace import shipped_notebooks
from tests.browser.looking import cut_off, small, violations
from tests.browser.pages import FormPage, open_page, picture
from tests.browser.serving import Served

NAME, STEM = "Alder Row 5", "alder-row-5"
NOTEBOOKS = {n.family: n for n in reversed(notebooks_of(shipped_notebooks())) if n.family in families()}
IN_ORDER = [name for name in families() if name in NOTEBOOKS]


@cache
def model_house() -> Job:
    """The house that is typed in."""
    return read_job(Path(__file__).with_name(f"{STEM}.toml"))


@pytest.fixture(scope="module")
def others(served: Served) -> set[str]:
    """The kernels of other tests."""
    return served.kernels()


@pytest.fixture(scope="module")
def house(window: BrowserContext, served: Served, others: set[str]) -> Iterator[tuple[Page, Path]]:
    """A working folder where a new job has been made on the start page, and that page."""
    folder = served.place("from-nothing")
    page = window.new_page()
    open_page(page, served, folder, "00-start-here.ipynb")
    page.get_by_label("Or a new one, called").fill(NAME)
    page.get_by_role("button", name="Make this job").click()
    expect(page.get_by_text(f"Made {STEM}.toml.")).to_be_visible()
    yield page, folder
    page.close()


@pytest.fixture(scope="module", params=IN_ORDER)
def opened(
    house: tuple[Page, Path], window: BrowserContext, served: Served, request: pytest.FixtureRequest
) -> Iterator[tuple[str, FormPage, Path]]:
    """A family's page on that job, filled in there."""
    family, folder = request.param, house[1]
    page = window.new_page()
    open_page(page, served, folder, NOTEBOOKS[family].file)
    yield family, FormPage(page), folder / "notebooks" / "jobs" / f"{STEM}.toml"
    page.close(run_before_unload=True)


def test_the_form_is_filled_in_and_the_sheets_follow(opened: tuple[str, FormPage, Path]) -> None:
    """What was typed is in the job file, and each line that shows says what the same job says without a browser."""
    family, form, path = opened
    expect(form.form.locator(".sb-job")).to_contain_text(NAME)
    typed = fill_in(form, family)
    assert form.to_mend == []
    if form.can("Save"):  # two forms may ask for the same
        form.press("Save")
    assert "Nothing unsaved" in form.status
    job = read_job(path)
    said = texts(job.data, spread(form_of(family)))
    assert {at: said.get(at) for at in typed} == typed
    sheets = families()[family].work(House.of(job)) if not families()[family].needs(job) else []
    assert sheets
    shown = form.view("Sheet" if sheets else "Fix list")
    shown.scroll_into_view_if_needed()
    for at, sheet in enumerate(sheets):
        if len(sheets) > 1:
            form.page.get_by_role("combobox", name="Sheet", exact=True).select_option(str(at))
        expect(shown.get_by_role("heading", level=3)).to_have_text(sheet.title)
        expect(shown).to_contain_text(f"{sheet.subject}. Edition {sheet.edition}")
        wanted = [with_signs(str(line["result"])) for line in sheet.as_json()["lines"]]
        # a long result stands with the work, in the column before; a row of checks has no fifth
        results = shown.locator("tr:has(details):has(td:nth-child(5)) td:is(:nth-child(3), :nth-child(4)) strong")
        expect(results).to_have_text(wanted)
    tables = tables_beside(House.of(job), family) if sheets else []
    if tables:  # methods, editions or metals side by side, all boxes, all rooms
        beside = form.view("Table")
        beside.scroll_into_view_if_needed()
        expect(beside.get_by_role("heading", level=3)).to_have_text(tables[0].title)
        expect(beside.locator("tbody :is(td, th)")).to_have_text([str(cell) for row in tables[0].rows for cell in row])


def test_a_wrong_entry_is_explained_beside_it_and_the_last_good_sheet_stays(opened: tuple[str, FormPage, Path]) -> None:
    family, form, _ = opened
    number = form.form.locator('input[inputmode="decimal"]').first
    if not number.count():
        pytest.skip("this form asks for no number")
    at, was = number.get_attribute("data-at") or "", number.input_value()
    form.settle()
    before = form.view("Sheet").inner_html()
    form.put(at, "lots")
    said, status = form.said(at), form.status
    expect(form.view("Sheet")).to_have_class("sb-page sb-wide sb-old")
    assert form.view("Sheet").inner_html() == before
    picture(form.page, f"wrong-{family}")
    form.put(at, was)
    assert said.startswith('is "lots"')
    assert "1 entry to correct" in status
    expect(form.view("Sheet")).not_to_have_class("sb-old")
    assert "Nothing unsaved" in form.status


def test_it_can_be_read_aloud_in_light_and_dark(opened: tuple[str, FormPage, Path]) -> None:
    """axe-core finds nothing, serious or not, in form, sheets, charts, tables and what-ifs."""
    family, form, _ = opened
    for group in form.form.locator("fieldset.sb-list").all():
        if (more := group.get_by_role("button", name="More").first).count():
            more.click()
    if (step := form.view("Sheet").locator("details summary").first).count():
        step.click()
    assert violations(form.page, f"family-{family}") == []


@pytest.mark.parametrize("width", [1280, 820, 360], ids=["desk", "tablet", "phone"])
def test_nothing_is_cut_off(opened: tuple[str, FormPage, Path], width: int) -> None:
    """No control lies outside the window; what is wider than it scrolls in a frame of its own. A finger finds each."""
    family, form, _ = opened
    form.page.set_viewport_size({"width": width, "height": 900})
    form.form.scroll_into_view_if_needed()
    picture(form.page, f"family-{family}-{width}")
    assert cut_off(form.form) == []
    assert small(form.form) == []


def test_pages_that_were_opened_one_after_another_left_no_kernel(
    house: tuple[Page, Path], served: Served, others: set[str]
) -> None:
    """Each ends its own as it is closed; the start page has one, and the page that was last may still be closing."""
    assert len(served.kernels() - others) <= 2


def test_the_packet_is_made_and_is_the_command_lines(house: tuple[Page, Path]) -> None:
    """Each family that was filled in is in it; the command line makes the same packet, byte for byte."""
    page, folder = house
    page.bring_to_front()
    page.get_by_role("button", name="Look again").click()
    expect(page.get_by_role("row").filter(has_text="not in this job")).to_have_count(0)
    picture(page, "start-filled-in")
    page.get_by_role("button", name="Make the packet").click()
    command = [sys.executable, "-c", "from calc.cli import main; main()", "packet", f"notebooks/jobs/{STEM}.toml"]
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    with subprocess.Popen([*command, "--out", "again"], cwd=folder, env=environment, stderr=subprocess.DEVNULL):
        expect(page.get_by_text("The packet is made.")).to_be_visible(timeout=90_000)
    picture(page, "packet-made")
    made = [folder / "reports" / NAME / name for name in ("permit-set.pdf", "worked-annex.pdf")]
    for pdf in made:
        assert (folder / "again" / NAME / pdf.name).read_bytes() == pdf.read_bytes()
    with page.expect_popup() as popup:
        page.get_by_role("button", name="Open the packet (PDF)").click()
    assert popup.value.url.startswith("blob:")
    popup.value.close()
    text = "\n".join(sheet.extract_text() for sheet in PdfReader(made[1]).pages)
    job = read_job(folder / "notebooks" / "jobs" / f"{STEM}.toml")
    for family in IN_ORDER:
        if NOTEBOOKS[family].packet and not families()[family].needs(job):
            assert families()[family].work(House.of(job))[0].title in text


def fill_in(form: FormPage, family: str) -> dict[str, str]:
    """Type and paste what the model house has and the job has not yet; gives it by place."""
    typed: dict[str, str] = {}
    lists: dict[str, dict[str, dict[str, str]]] = {}
    groups = [group for group in form_of(family) if not recorded_in(group[0], form_of(family))]  # those have a page
    for at, text in texts(model_house().data, spread(groups)).items():
        outer, _, name = at.rpartition(".")
        if name.endswith("#"):  # how many there are, not an entry
            continue
        if outer.endswith("]"):
            lists.setdefault(outer[: outer.rindex("[")], {}).setdefault(outer, {})[name] = text
        elif text and at != "job.name":
            form.put(at, text)
            typed[at] = text
    for place, rows in lists.items():
        said = {f"{at}.{name}": text for at, row in rows.items() for name, text in row.items() if text}
        if form.has(place):
            for at, text in said.items():
                form.put_in_row(at, text)
        else:
            cells = [list(next(iter(rows.values()))), *(list(row.values()) for row in rows.values())]
            form.paste(place, "\n".join("\t".join(row) for row in cells))
        typed |= said
    return typed
