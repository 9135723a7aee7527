"""Words of the families: every line and note has them, and the words read as they should."""

from __future__ import annotations

import pytest

from calc.families import families
from calc.wiring.reading import WORDS
from calc.work import Words
from tests.everything import finished

FAMILIES = [name for name in sorted(path.stem for path in WORDS.glob("*.toml")) if finished(name)]


BRIEF = {"on_site", "uncovered"}


def test_each_family_has_a_place_of_its_own() -> None:
    """Two of one place would stand as the file system lists them: another packet on another machine."""
    places = [family.PLACE for family in families().values()]
    assert len(set(places)) == len(places)
    assert places == sorted(places)


@pytest.mark.parametrize("family", FAMILIES)
def test_each_text_is_a_sentence_and_each_name_is_not(family: str) -> None:
    """Reasons and notes are whole sentences; names are plain labels, short enough for a table."""
    for key, entry in Words(WORDS / f"{family}.toml").entries.items():
        manners = {part: said for part, said in entry.items() if isinstance(said, dict) and part != "expected_range"}
        assert entry.keys() - manners.keys() <= {"name", "reason", "text", "remedy", "expected_range", *BRIEF}, key
        assert not entry.keys() & BRIEF or "text" in entry, key
        for part in entry.keys() & BRIEF:  # a line on a page that is read in minutes
            assert len(entry[part]) < 90, f"{key}: {part}"
            assert entry[part].endswith("."), f"{key}: {part}"
        for manner, said in manners.items():
            assert said.keys() <= {"name", "reason"} & entry.keys(), f"{key}: {manner}"
            assert not any(said[part] == entry[part] for part in said), f"{key}: {manner} says the same"
            assert said.get("reason", "So.").strip().endswith((".", "?")), f"{key}: {manner}"
        for part in entry.keys() & {"reason", "text"}:
            assert entry[part].strip() == entry[part], f"{key}: {part}"
            assert entry[part].endswith((".", "?")), f"{key}: {part}"
            assert len(entry[part]) > 30, f"{key}: {part}"
        assert len(entry.get("name", "")) <= 60, f"{key}: name"
        assert not entry.get("name", "").endswith("."), f"{key}: name"
