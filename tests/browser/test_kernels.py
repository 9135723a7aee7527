"""A page that is left takes its kernel with it, and the server stays small. Many pages one after another: test_families."""

from __future__ import annotations

import re
from pathlib import Path

import psutil
import pytest
from playwright.sync_api import BrowserContext

from calc.workplace import server_command, shipped_notebooks
from tests.browser.pages import open_page
from tests.browser.serving import Served

MOST_MB = 250


def test_a_page_that_is_left_or_closed_ends_its_kernel(window: BrowserContext, served: Served) -> None:
    folder, others = served.place("left-pages"), served.kernels()
    page, second = window.new_page(), window.new_page()
    for each, notebook in ((page, "05-raceway.ipynb"), (page, "07-box-fill.ipynb"), (second, "00-start-here.ipynb")):
        open_page(each, served, folder, notebook)
        each.locator(".sb").first.wait_for()
    assert len(served.kernels() - others) == 2, "the page that was left has none"
    assert psutil.Process(served.pid).memory_info().rss / 1e6 < MOST_MB
    for each in (page, second):
        each.close(run_before_unload=True)
    served.wait_for_kernels(others)


@pytest.mark.parametrize("setting", ["cull_idle_timeout", "cull_interval"])
def test_a_kernel_without_a_page_is_ended_by_itself(setting: str) -> None:
    """One whose page went without saying so, such as a browser that was killed."""
    command = " ".join(server_command(Path(shipped_notebooks().parent), browser=False, pages=True))
    found = re.search(rf"MappingKernelManager\.{setting}=(\d+)", command)
    assert found is not None
    assert 0 < int(found[1]) <= 300
