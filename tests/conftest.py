"""Every sheet that any test makes is replayed, line by line, by an evaluator that imports nothing of ours."""

from __future__ import annotations

import functools
import os
import re
import tempfile
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

from calc.codebook.book import Codebook
from calc.codebook.tables import FOLDER
from calc.work import Sheet
from tests.replay.evaluator import replaying

# What the user has made is remembered with the user's files: in tests, in a folder of their own.
os.environ["XDG_STATE_HOME"] = tempfile.mkdtemp(prefix="studbay-tests-")

# No timing decides a test: a busy machine draws slowly, and that is no fault of what is tested. Nor does chance: the same
# examples are drawn each time, and others by `make fuzz`.
settings.register_profile("studbay", deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True)
settings.register_profile("anew", settings.get_profile("studbay"), derandomize=False, print_blob=True)
settings.load_profile("studbay")


@pytest.fixture(autouse=True, scope="session")
def replay_every_sheet() -> Iterator[None]:
    """Replace the one way out of a sheet by one that replays what comes out, and that finds a line made twice."""
    plain = Sheet.as_json
    replayed = replaying(plain, FOLDER)

    @functools.wraps(plain)
    def checked(self: Sheet) -> dict[str, Any]:
        keys = [made.key for kind in (self.lines, self.checks, self.unknowns) for made in kind]
        twice = [key for key in keys if re.sub(r"\[\d+\]$", "", key) in set(keys) - {key}]
        assert not twice, f"{self.family} makes {twice} once more: only items of a job's own words may be alike"
        names = [made.name for kind in (self.lines, self.checks, self.unknowns) for made in kind if "[" not in made.key]
        lacking = [name for name in names if name != " ".join(name.split())]
        assert not lacking, f"{self.family}: {lacking} is told apart by an item, and has none"
        return replayed(self)

    Sheet.as_json = checked  # type: ignore[method-assign]
    yield
    Sheet.as_json = plain  # type: ignore[method-assign]


@pytest.fixture(autouse=True, scope="session")
def asked_rules() -> Iterator[set[tuple[str, str]]]:
    """(edition, rule) of every rule that a family asked for."""
    asked: set[tuple[str, str]] = set()
    plain = Codebook._known

    @functools.wraps(plain)
    def recording(self: Codebook, rule: str) -> object:
        asked.add((self.edition, rule))
        return plain(self, rule)

    Codebook._known = recording  # type: ignore[method-assign, assignment]
    yield asked
    Codebook._known = plain  # type: ignore[method-assign]
