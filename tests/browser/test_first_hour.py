"""From nothing to a packet, by someone who has never seen the workbook."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from calc.job import read_job
from tests.browser.pages import FormPage, expect_result, open_page, picture
from tests.browser.serving import Served

APPLIANCES = (
    "Load\tKind\tNameplate load\tVoltage\nVehicle supply\tev-supply\t11520\t240\nMicrowave\tmicrowave\t1,500\t120"
)


@pytest.mark.parametrize("pages", [False, True], ids=["lab", "pages"])
def test_from_nothing_to_a_packet(page: Page, served: Served, place: Path, pages: bool) -> None:
    open_page(page, served, place, "00-start-here.ipynb", pages)
    page.get_by_label("Or a new one, called").fill("Alder Row 5")
    page.get_by_role("button", name="Make this job").click()
    expect(page.get_by_text("Made alder-row-5.toml.")).to_be_visible()
    picture(page, f"start-{'pages' if pages else 'lab'}")
    start = page
    page.get_by_role("link", name="Dwelling load", exact=True).click()
    form = FormPage(page)
    expect(form.form.locator(".sb-job")).to_contain_text("Alder Row 5")
    form.field("Floor area").fill("1850")
    form.paste("loads", APPLIANCES)
    assert "Unsaved" in form.status
    expect_result(form.view("Sheet"), "general lighting", "5,550 VA")
    form.press("Save")
    assert "Nothing unsaved" in form.status
    job = read_job(place / "notebooks" / "jobs" / "alder-row-5.toml")
    assert job.dwelling is not None
    assert job.dwelling.floor_area_ft2 == 1850
    assert [load.name for load in job.loads][-2:] == ["Vehicle supply", "Microwave"]

    if pages:
        page.go_back()
    else:
        page.get_by_role("tab", name="00-start-here.ipynb").click()
    start.get_by_role("button", name="Look again").click()
    start.get_by_role("button", name="Make the packet").click()
    expect(start.get_by_text("The packet is made.")).to_be_visible(timeout=60_000)
    picture(page, f"packet-made-{'pages' if pages else 'lab'}")
    made = place / "reports" / "Alder Row 5" / "packet.pdf"
    with page.expect_popup() as opened:
        start.get_by_role("button", name="Open the packet (PDF)").click()
    assert opened.value.url.startswith("blob:")

    command = [sys.executable, "-c", "from calc.cli import main; main()", "packet", "notebooks/jobs/alder-row-5.toml"]
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    subprocess.run([*command, "--out", "again"], cwd=place, env=environment, check=False, capture_output=True)
    assert (place / "again" / "Alder Row 5" / "packet.pdf").read_bytes() == made.read_bytes()
