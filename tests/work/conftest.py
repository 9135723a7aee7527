"""Words with an entry for each key that the tests of sheets and values print, and an empty sheet with them."""

from __future__ import annotations

from pathlib import Path

import pytest

from calc.work import Sheet, Words

WORDS = """
[a_va]
name = "load"
reason = "Why."
[b_va]
name = "more"
reason = "Why."
[c_a]
name = "current"
reason = "Why."
[share_pct]
name = "share"
reason = "Why."
[size]
name = "size"
reason = "Why."
[lamp]
name = "lamp {item}"
reason = "Why {item}."
[check]
name = "fits"
reason = "Why."
[other]
name = "other"
reason = "Why."
[said]
text = "Mind {what}."
[found]
name = "found"
reason = "Why."
[n]
name = "number"
reason = "Why."
"""


@pytest.fixture
def words(tmp_path: Path) -> Words:
    path = tmp_path / "test.toml"
    path.write_text(WORDS)
    return Words(path)


@pytest.fixture
def sheet(words: Words) -> Sheet:
    return Sheet("test", "Test", "subject", "2023", words)
