"""The reference site: a page a family that says what the program says, links that lead somewhere, no other host."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from calc.families import Family
from calc.show.reference import page_of
from calc.site import HOUSES, build, documented, family_page, refusals

HEADINGS = ["Its limits", "A worked example", "By hand", "The rules it uses", "Sources"]
FETCHED = re.compile(r"url\(\s*['\"]?(?:https?:)?//", re.IGNORECASE)


class Named(HTMLParser):
    """What a page fetches or leads to, and the places in it that may be led to."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.targets: list[str] = []
        self.ids: set[str] = set()
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if name in ("src", "href", "action", "srcset") and value:
                self.targets.append(value)
            if name == "id" and value:
                self.ids.add(value)


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("site")
    build(out)
    return out


@pytest.mark.parametrize("family", documented(), ids=lambda family: family.FAMILY)
def test_the_page_of_a_family_has_every_part_and_no_blank(family: Family) -> None:
    page = family_page(family.FAMILY, page_of(family.FAMILY))
    assert re.findall(r"^##+ (.*)$", page, re.MULTILINE) == HEADINGS
    assert "{{" not in page
    assert page.count("<section") >= 1
    assert page.count("class='worked'") >= 6
    assert re.search(r'<img alt="[^"]{40,}" src="data:image/svg', page), "a drawing, told in words too"
    assert (HOUSES.parent / re.findall(r"`notebooks/([^`]+\.ipynb)`", page)[-1]).exists()


def test_a_page_shows_the_numbers_that_the_program_works() -> None:
    drop = next(family for family in documented() if family.FAMILY == "voltage-drop")
    by_hand = re.sub(r"<.*?>", "", family_page(drop.FAMILY, page_of(drop.FAMILY)).partition("## By hand")[2])
    assert f"{2 * 16 * 1.98 * 0.11:.2f}\N{NO-BREAK SPACE}V" in by_hand


def test_a_blank_that_no_line_fills_is_an_error() -> None:
    drop = next(family for family in documented() if family.FAMILY == "voltage-drop")
    with pytest.raises(KeyError, match="no_such_line"):
        family_page(drop.FAMILY, page_of(drop.FAMILY) + "{{ no_such_line }}")


def test_refusals_are_read_from_the_program(tmp_path: Path) -> None:
    (tmp_path / "a.py").write_text('raise Refused(f"{run.name} is over " "the table.", cite)\nraise Refused(text)\n')
    assert refusals([tmp_path / "a.py"], "Refused") == ["... is over the table."]
    assert refusals([tmp_path / "a.py"], "Missing") == []


def test_every_family_has_its_page(site: Path) -> None:
    assert {path.stem for path in (site / "families").glob("*.html")} == {family.FAMILY for family in documented()}


def test_pages_name_no_other_host_and_lead_to_what_is_there(site: Path) -> None:
    pages = {path: Named(path.read_text(encoding="utf-8")) for path in site.rglob("*.html")}
    assert len(pages) > len(documented())
    for path, named in pages.items():
        assert len(named.targets) > 5
        for target in named.targets:
            assert not re.match(r"(\w+:)?//", target), f"{path.name} names {target}"
            place, _, anchor = target.partition("#")
            if path.name == "404.html" or place.startswith("data:"):
                continue
            there = (path.parent / place.partition("?")[0]).resolve() if place else path
            assert there.exists(), f"{path.name} leads to {target}"
            if anchor and there.suffix == ".html":
                assert anchor in pages[there].ids, f"{path.name} leads to {target}"


def test_styles_fetch_nothing_from_another_host(site: Path) -> None:
    styles = [path.read_text(encoding="utf-8") for path in site.rglob("*.css")]
    pages = [path.read_text(encoding="utf-8") for path in site.rglob("*.html")]
    assert styles
    assert not any(FETCHED.search(text) or "@import" in text for text in (*styles, *pages))
