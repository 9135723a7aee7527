"""Looking at a page: what axe-core finds in it, what is cut off, what is too small for a finger."""

from __future__ import annotations

import time
from functools import cache
from pathlib import Path
from typing import Any

import axe_playwright_python
from jupyterlab.commands import get_app_dir
from playwright.sync_api import Locator, Page

from tests.browser.pages import picture

AXE = Path(axe_playwright_python.__file__).parent / "axe.min.js"
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
PAGE_AROUND = ("region", "landmark-one-main", "page-has-heading-one", "bypass")  # rules about what is not ours
TO_TOP = "node => { for (let each = node; each; each = each.parentElement) each.scrollTop = 0; }"
SETTLES_WITHIN_S = 3  # a page is set anew after its window has changed
DRAWN = "!document.querySelector('.sb-waiting')"
HEIGHT = (
    "Math.max(...[...document.querySelectorAll('.sb')].map((each) => each.getBoundingClientRect().bottom + scrollY))"
)


def violations(page: Page, name: str, but: tuple[str, ...] = ()) -> list[str]:
    """What axe-core finds in our part of a page, light and dark, one line each; pictures of the whole page are kept.

    The window is made as tall as the page: what an outer frame hides counts as having no label otherwise.
    """
    size = page.viewport_size
    assert size is not None
    page.set_viewport_size({"width": size["width"], "height": 12_000})
    page.wait_for_function(DRAWN)
    page.set_viewport_size({"width": size["width"], "height": max(900, int(page.evaluate(HEIGHT)) + 300)})
    page.locator(".sb").first.evaluate(TO_TOP)
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found = _axe(page, {"runOnly": RULES, "rules": {rule: {"enabled": False} for rule in (*PAGE_AROUND, *but)}})
    picture(page, f"{name}-light")
    dark = page.add_style_tag(path=_dark_theme())
    found += _axe(page, {"runOnly": ["color-contrast"]})
    picture(page, f"{name}-dark")
    dark.evaluate("sheet => sheet.remove()")
    page.set_viewport_size(size)
    return found


def cut_off(form: Locator) -> list[str]:
    """Controls that lie outside the window at its sides, though no frame of their own scrolls there."""
    return _controls(form, "!each.closest('.sb-scroll') && (box.right > frame.right || box.left < frame.left)")


def small(form: Locator) -> list[str]:
    """Controls of less than 24 px, too small for a finger."""
    return _controls(form, "Math.min(box.height, box.width) < 24")


def _controls(form: Locator, amiss: str) -> list[str]:
    script = f"""form => {{ const frame = form.closest(".jp-Notebook").getBoundingClientRect();
          return [...form.querySelectorAll("input, select, button, textarea")]
          .filter((each) => {{ const box = each.getBoundingClientRect(); return each.getClientRects().length && ({amiss}); }})
          .map((each) => each.outerHTML.slice(0, 120)); }}"""
    found: list[str] = form.evaluate(script)
    until = time.monotonic() + SETTLES_WITHIN_S
    while found and time.monotonic() < until:
        form.page.wait_for_timeout(50)
        found = form.evaluate(script)
    return found


def _axe(page: Page, options: dict[str, Any]) -> list[str]:
    found = page.evaluate("options => axe.run({ include: [['.sb']] }, options)", options)["violations"]
    return [f"{v['impact']} {v['id']}: {v['help']}: {v['nodes'][0]['html'][:160]}" for v in found]


@cache
def _dark_theme() -> Path:
    """The colours of JupyterLab's own dark theme."""
    return Path(get_app_dir()) / "themes" / "@jupyterlab" / "theme-dark-extension" / "index.css"
