"""One browser and one server for all tests of a process; a working folder and a window of its own for each test."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright

from tests.browser.pages import picture
from tests.browser.serving import Served, serving

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Everything here is a browser test; without Chromium it is skipped, and says so."""
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker("browser")
            if CHROMIUM is None:
                item.add_marker(pytest.mark.skip(reason="no Chromium here: apt-get install chromium"))


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    expect.set_options(timeout=15_000)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with serving(tmp_path_factory.mktemp("served")) as served:
        yield served


@pytest.fixture
def place(served: Served, request: pytest.FixtureRequest) -> Path:
    """A working folder with the shipped notebooks and jobs."""
    return served.place("".join(c if c.isalnum() else "-" for c in request.node.name)[:60])


@pytest.fixture
def page(browser: Browser, served: Served, request: pytest.FixtureRequest) -> Iterator[Page]:
    """A window of 1280 x 900. Nothing may be asked of any other machine, and no script may fail."""
    context = browser.new_context(viewport={"width": 1280, "height": 900}, accept_downloads=True)
    page = context.new_page()
    page.set_default_timeout(15_000)
    outside: list[str] = []
    faults: list[str] = []
    context.on("request", lambda asked: outside.append(asked.url) if _outside(asked.url) else None)
    context.on("weberror", lambda fault: faults.append(fault.error.stack or str(fault.error)))
    yield page
    picture(page, request.node.name.replace("/", "-"))
    context.close()
    served.end_kernels()
    assert outside == []
    assert faults == []


def _outside(url: str) -> bool:
    return url.startswith("http") and not url.startswith("http://127.0.0.1:")
