"""What the families use of words and rules: together here, so that all jobs are worked once for both."""

from __future__ import annotations

import pytest

from calc.codebook import editions
from calc.codebook.files import edition
from calc.families import families
from calc.wiring.reading import WORDS
from calc.work import Words
from tests.everything import finished, recorded

FAMILIES = [name for name in sorted(path.stem for path in WORDS.glob("*.toml")) if finished(name)]


@pytest.mark.parametrize("family", FAMILIES)
def test_every_entry_is_used_by_some_job(family: str) -> None:
    """A line without words stops its family (WorkError); words without a line are found here."""
    used = {key for name, key in recorded().words if name == family}
    entries = Words(WORDS / f"{family}.toml").entries
    manners = {f"{key}.{part}" for key, entry in entries.items() for part in entry if isinstance(entry[part], dict)}
    unused = {*entries, *(name for name in manners if not name.endswith(".expected_range"))} - used
    assert not unused, (
        f"no job in tests/everything.py uses {sorted(unused)}: add one to tests/samples, or drop the words"
    )


@pytest.mark.parametrize("name", editions())
def test_every_rule_that_a_family_asks_for_is_there_or_declared_absent(name: str) -> None:
    """Asked under any edition, it stands in each one: with something to say, or with the reason for its absence."""
    rules = edition(name).rules
    for asked in sorted({rule for _, rule in recorded().rules}):
        assert asked in rules, asked
        assert rules[asked].absent or rules[asked].words, asked


@pytest.mark.parametrize("name", editions())
def test_every_rule_is_asked_for_under_some_edition(name: str) -> None:
    """A rule that no family asks for says nothing to anybody. Held once all families are finished."""
    if unfinished := [family for family in families() if not finished(family)]:
        pytest.skip(f"families without a notebook yet: {', '.join(unfinished)}")
    asked = {rule for _, rule in recorded().rules}
    unused = set(edition(name).rules) - asked
    assert not unused, f"no family asks for {sorted(unused)} in any job of tests/everything.py"
