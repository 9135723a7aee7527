"""One server, one browser and one window of it for all tests; a page and a working folder for each that wants its own."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from tests.browser.pages import picture
from tests.browser.serving import Served, serving

WAITS_MS = 60_000
SIZE = {"width": 1280, "height": 900}
PHONE = {"width": 360, "height": 740}
NOT_OURS = (
    "Window name candidate",
    "Canceled future for create_subshell_request",
)  # JupyterLab's own, of a page or kernel that is left


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Everything here is a browser test."""
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker("browser")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        pytest.fail("these tests drive a real browser and there is no Chromium here: apt-get install chromium")
    expect.set_options(timeout=WAITS_MS)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with serving(tmp_path_factory.mktemp("served")) as served:
        yield served


@pytest.fixture(scope="session")
def amiss() -> list[str]:
    """What must not happen at any page: something asked of another machine, a script that fails."""
    return []


@pytest.fixture(scope="session")
def window(browser: Browser, amiss: list[str]) -> Iterator[BrowserContext]:
    window = browser.new_context(viewport=SIZE, accept_downloads=True)
    window.set_default_timeout(WAITS_MS)
    window.on("request", lambda asked: amiss.append(asked.url) if _outside(asked.url) else None)
    window.on("weberror", lambda fault: _note(amiss, fault.error.stack or str(fault.error)))
    yield window
    window.close()


@pytest.fixture
def phones(browser: Browser, amiss: list[str]) -> Iterator[Callable[..., BrowserContext]]:
    """Makes a phone that has no network; whatever is asked of one, and each script that fails, is told."""
    opened: list[BrowserContext] = []

    def phone(**options: Any) -> BrowserContext:
        made = browser.new_context(viewport=PHONE, has_touch=True, is_mobile=True, accept_downloads=True, **options)
        made.set_offline(True)
        made.on(
            "request",
            lambda asked: None if asked.url.startswith(("file:", "data:", "blob:")) else amiss.append(asked.url),
        )
        made.on("weberror", lambda fault: amiss.append(fault.error.stack or str(fault.error)))
        made.on("console", lambda said: amiss.append(said.text) if said.type == "error" else None)
        opened.append(made)
        return made

    yield phone
    for each in opened:
        each.close()


@pytest.fixture(autouse=True)
def nothing_amiss(amiss: list[str]) -> Iterator[None]:
    yield
    found = [*amiss]
    amiss.clear()
    assert found == []


@pytest.fixture(scope="session")
def place(served: Served) -> Callable[[str], Path]:
    """A working folder of that name with the shipped notebooks and jobs."""
    return served.place


@pytest.fixture
def folder(served: Served, request: pytest.FixtureRequest) -> Path:
    """A working folder of the test's own."""
    return served.place(_plain(request.node.name))


@pytest.fixture
def page(window: BrowserContext, served: Served, request: pytest.FixtureRequest) -> Iterator[Page]:
    """A page of the test's own; a picture of it is kept as the test leaves it, and its kernels end with it."""
    others = served.kernels()
    page = window.new_page()
    yield page
    picture(page, _plain(request.node.name))
    page.close()
    served.end_kernels(served.kernels() - others)


def _plain(name: str) -> str:
    return "-".join("".join(c if c.isalnum() else " " for c in name.removeprefix("test_")).split())[:60]


def _note(amiss: list[str], fault: str) -> None:
    if not any(said in fault for said in NOT_OURS):
        amiss.append(fault)


def _outside(url: str) -> bool:
    return url.startswith("http") and not url.startswith("http://127.0.0.1:")
