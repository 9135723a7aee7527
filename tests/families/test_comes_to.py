"""What the sample jobs come to stays what it is."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.families.comes_to import SAMPLES, comes_to, fence


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_each_sample_comes_to_the_same_checks_and_notes(path: Path) -> None:
    """A check that turns, or a note that appears or is gone; see tests/families/comes_to.py for a meant change."""
    assert comes_to(path) == fence()[path.stem]
