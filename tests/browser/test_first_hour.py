"""The start page: from nothing to a packet in JupyterLab, links between pages, spreadsheets out and in."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Page, expect

from calc.job import read_job
from tests.browser.pages import FormPage, expect_result, open_page, picture
from tests.browser.serving import Served

APPLIANCES = (
    "Load\tKind\tNameplate load\tVoltage\nVehicle supply\tev-supply\t11520\t240\nMicrowave\tmicrowave\t1,500\t120"
)


def test_from_nothing_to_a_packet_in_jupyterlab(page: Page, served: Served, folder: Path) -> None:
    open_page(page, served, folder, "00-start-here.ipynb", pages=False)
    page.get_by_label("Or a new one, called").fill("Alder Row 5")
    page.get_by_role("button", name="Make this job").click()
    expect(page.get_by_text("Made alder-row-5.toml.")).to_be_visible()
    bar = page.get_by_role("navigation", name="This job and its pages")
    bar.get_by_role("link", name="Dwelling load", exact=True).click()
    form = FormPage(page)
    expect(form.form.locator(".sb-job")).to_contain_text("Alder Row 5")
    form.field("Floor area").fill("1850")
    form.paste("loads", APPLIANCES)
    assert "Unsaved" in form.status
    expect_result(form.view("Sheet"), "general lighting", "5,550 VA")
    form.press("Save")
    assert "Nothing unsaved" in form.status
    job = read_job(folder / "notebooks" / "jobs" / "alder-row-5.toml")
    assert job.dwelling is not None
    assert job.dwelling.floor_area_ft2 == 1850
    assert [load.name for load in job.loads][-2:] == ["Vehicle supply", "Microwave"]
    page.get_by_role("tab", name="00-start-here.ipynb").click()
    page.get_by_role("button", name="Make the packet").click()
    expect(page.get_by_text("The packet is made.")).to_be_visible(timeout=60_000)
    picture(page, "packet-made-in-jupyterlab")
    with page.expect_popup() as popup:
        page.get_by_role("button", name="Open the packet (PDF)").click()
    assert popup.value.url.startswith("blob:")
    popup.value.close()
    assert (folder / "reports" / "Alder Row 5" / "permit-set.pdf").read_bytes().startswith(b"%PDF")


def test_a_page_leads_to_the_next_with_the_job_carried_along(page: Page, served: Served, folder: Path) -> None:
    open_page(page, served, folder, "00-start-here.ipynb")
    page.get_by_label("Job", exact=True).select_option("tinkers-row-4.toml")
    expect(page.get_by_text("tinkers-row-4, edition")).to_be_visible()
    bar = page.get_by_role("navigation", name="This job and its pages")
    bar.get_by_role("link", name="Dwelling load", exact=True).click()
    expect(FormPage(page).form.locator(".sb-job")).to_contain_text("tinkers-row-4")


def test_spreadsheets_out_and_in(page: Page, served: Served, folder: Path, tmp_path: Path) -> None:
    job = folder / "notebooks" / "jobs" / "fernhollow-lot-12.toml"
    before = [box.name for box in read_job(job).boxes]
    open_page(page, served, folder, "00-start-here.ipynb")
    page.get_by_label("List", exact=True).select_option("boxes")
    table = tmp_path / "boxes.csv"
    with page.expect_download() as told:
        page.get_by_role("button", name="Out as CSV").click()
    told.value.save_as(table)
    rows = table.read_text(encoding="utf-8-sig").splitlines()
    assert len(rows) > len(before)
    table.write_text("\n".join([*rows, rows[1].replace(before[0], "Added in a spreadsheet")]), encoding="utf-8")
    page.get_by_label("Spreadsheet", exact=True).set_input_files(table)
    page.get_by_role("button", name="Take it in").click()
    expect(page.get_by_text(f"{len(before) + 1} entries are in the job now")).to_be_visible()
    assert [box.name for box in read_job(job).boxes] == [*before, "Added in a spreadsheet"]
    kept = job.read_bytes()
    table.write_text(rows[0] + "\n" + rows[1].replace("nonmetallic", "cheese"), encoding="utf-8")
    page.get_by_label("Spreadsheet", exact=True).set_input_files(table)
    page.get_by_role("button", name="Take it in").click()
    expect(page.get_by_text('"cheese"')).to_be_visible()
    assert job.read_bytes() == kept
