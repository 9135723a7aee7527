"""A learner's paper on a phone without a network: answered, hinted, kept over a reload, sent back, marked."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import BrowserContext, expect

from calc.practice.classes import class_set, mark_all, write
from calc.practice.handed_in import handed_in
from calc.practice.lesson import Again
from calc.practice.papers import Handed, Paper
from tests.browser.conftest import PHONE
from tests.browser.looking import AXE, RULES
from tests.browser.test_crew_page import FINGER_PX, SMALL

TWO_ROWS = """all => all.filter(each => each.getBoundingClientRect().height > 2 * parseFloat(getComputedStyle(each).fontSize))
  .map(each => each.textContent)"""


def test_answered_hinted_kept_sent_back_and_marked(phones: Callable[..., BrowserContext], tmp_path: Path) -> None:
    """What was typed is there after a reload; a hint looked at takes its share; the small file is marked as any table."""
    asked = tuple(
        class_set(family, ["Ann"], seed=7, level=3).papers[0].questions[0] for family in ("branch-circuits", "box-fill")
    )
    handed = Handed("Practice set", (Paper("Ann", asked),), hints=True)
    write(handed, tmp_path)
    paper = handed.papers[0]
    results = {head: Again(paper.questions[at]).shown[key]["result"] for (at, key), head in paper.heads.items()}
    page = phones().new_page()
    page.goto((tmp_path / "01-ann.html").as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    assert page.evaluate(SMALL, FINGER_PX) == []
    assert page.locator(".unit").evaluate_all(TWO_ROWS) == []
    for head, result in results.items():
        field = page.locator(f"[data-head='{head}']")
        field.select_option(result) if field.evaluate("each => each.tagName") == "SELECT" else field.fill(result)
    hints = page.locator(f"[data-hints='{next(iter(results))}']")
    hints.get_by_role("button", name="Hint 1: which rule (costs 25%)").tap()
    hints.get_by_role("button", name="Hint 2: what goes in (costs 50%)").tap()
    expect(hints.locator("li")).to_have_count(2)
    page.reload()
    expect(hints.locator("li")).to_have_count(2)
    expect(page.locator("#unsent")).to_have_text(f"{len(results)} of {len(results)} answered, not sent yet")
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found = page.evaluate("rules => axe.run(document, { runOnly: rules })", RULES)
    assert [fault["id"] for fault in found["violations"]] == []
    with page.expect_download() as sent:
        page.get_by_role("button", name="Send back").tap()
    expect(page.locator("#said")).to_contain_text("Send that file to your teacher.")
    back = tmp_path / "back.json"
    sent.value.save_as(back)
    marked = mark_all(handed, handed_in(handed, [back]))["Ann"]
    assert (marked.right, marked.earned) == (len(results), len(results) - 0.5)
