"""What people read of the demo houses: no function notation, no raw keys, nothing that must be learnt first."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from calc.families import families
from calc.job.spoken import for_a_reader
from calc.packet.alike import Kind, Notes
from calc.packet.displays import Once, kind_head, notes_block, sheet_page
from calc.show.html import sheet_html
from calc.work import as_text
from tests import houses

ROOT = Path(__file__).parents[1]
HOUSES = sorted((ROOT / "notebooks" / "jobs").glob("*.toml"))
BARRED = {
    "function notation": r"\b(steps|over|excess|root|whole up|whole down|whole half up|larger of|smaller of|if)\(",
    "a comparison as a statement": r">=|<=|≥|≤",
    "how it was found": r"found by search",
    "a place in the file": r"\b[a-z_]+\[\d+\]",
    "degrees without their sign": r"\d [CF]\b(?![-/(.])",
    "a word of ours": r"\bcompany\b|surroundings|\bto mend\b|adjusted for company|wiring way|footing electrode",
}
KEY = re.compile(r"\b[a-z][a-z0-9]*(?:_[a-z0-9]+)+\b")
POWER = re.compile(r"\b(?:ft|in)[23]\b")


@cache
def sheets() -> list[dict[str, Any]]:
    """Every sheet of every demo house, in its public form."""
    found = []
    for path in HOUSES:
        house = houses.at(path)
        for family in families().values():
            if not family.needs(house.job):
                found += [sheet.as_json() for sheet in family.work(house)]
    return found


def texts(node: Any) -> Iterator[str]:
    """Every text in a structure of lists and tables."""
    if isinstance(node, dict | list | tuple):
        for inner in node.values() if isinstance(node, dict) else node:
            yield from texts(inner)
    elif isinstance(node, str):
        yield node


def on_paper(sheet: dict[str, Any]) -> str:
    """What the packet's template is given of a sheet: every text of it."""
    notes, twice = Notes([sheet]), Kind([sheet, sheet])
    page = sheet_page(sheet, 1, Kind([sheet]), notes, Once(), lambda at, here: "")
    return "\n".join(texts([page, kind_head(twice, sheet["title"], Once()), notes_block(notes)]))


def on_screen(sheet: dict[str, Any]) -> str:
    """What a browser shows of a sheet: its HTML without the tags."""
    return re.sub(r"<[^>]*>", "\n", sheet_html(sheet))


MEDIA = {"terminal": lambda sheet: as_text(sheet, reasons=True), "screen": on_screen, "paper": on_paper}


def around(found: re.Match[str]) -> str:
    """What was found, with what stands about it."""
    return found.string[max(found.start() - 60, 0) : found.end() + 60]


@pytest.mark.parametrize("medium", MEDIA)
def test_no_page_has_what_a_reader_must_learn_first(medium: str) -> None:
    """Formulas as a person writes them, comparisons in words, degrees with their sign, the trade's own words."""
    assert len(sheets()) > 100
    for sheet in sheets():
        text = MEDIA[medium](sheet)
        for what, pattern in BARRED.items():
            found = re.search(pattern, text)
            assert found is None, f"{sheet['title']}, {sheet['subject']}: {what}: {found and around(found)}"
        power = POWER.search(text)
        assert power is None, f"{sheet['title']}: a unit without its power: {power and around(power)}"


@pytest.mark.parametrize("medium", MEDIA)
def test_no_page_has_raw_keys(medium: str) -> None:
    """Keys stand in the file only; the terminal names, to who writes that file, an entry that it is to have."""
    for sheet in sheets():
        text = MEDIA[medium](sheet)
        keys = set(KEY.findall(text))
        if medium == "terminal":
            keys = {key for key in keys if for_a_reader(key) == key}
        assert not keys, f"{sheet['title']}, {sheet['subject']}: {', '.join(sorted(keys))}"


def test_labels_stand_in_place_of_keys_and_places() -> None:
    """What is no key and no place of the job stays as it is."""
    assert for_a_reader("a breaker (breaker_type), not left_of_it") == "a breaker ('Breaker type'), not left_of_it"
    assert for_a_reader("runs[2].length_ft: is far") == "'Runs 2, Length': is far"
    assert for_a_reader("put it in [[raceways]]") == "put it in 'Raceways'"
    assert for_a_reader("a room [so called]") == "a room [so called]"


def test_a_check_falls_short_in_words_on_every_page() -> None:
    """Each check of the demo houses says what is provided and what is required, or whether it is met."""
    said = re.compile(r".+ provided, .+ required|.+, (at most .+|none) allowed|(not )?met")
    checks = [check for sheet in sheets() for check in sheet["checks"]]
    assert any(not check["passes"] for check in checks)
    assert all(said.fullmatch(check["text"]) for check in checks), json.dumps([check["text"] for check in checks[:5]])
